"""A seeded fuzzer over every reader and the commands that read: ``python tests/fuzz.py [FILES] [SEED]``.

It mutates the demo book and a handful of hostile texts, and asks of every answer: no exception but our own,
under a second, findings with a place and words, and nothing written. Long runs are for the person at the
desk; a short one is part of the tests.
"""

from __future__ import annotations

import random
import re
import sys
import time
import traceback
from collections.abc import Callable, Iterator
from pathlib import Path

from charts.book import Book
from charts.check.run import check_song
from charts.notation import read_rows
from charts.reading.chart import read_chart
from charts.reading.files import read_feel_file, read_pattern_file
from charts.reading.nodes import compose, decode
from charts.reading.reader import Reader
from charts.reading.settings import read_settings
from charts.source import FeelmapError, Finding, Source
from charts.vocabularies import PatternTable
from render.terminal.findings import finding_json, finding_lines
from setlists.demo import demo_files
from setlists.reading import read_setlist

LIMIT = 1.0  # seconds for one answer
BITS = (
    "\t", "\0", "\u2028", "\u0085", "\ufeff", "\r\n", "\r", "'", '"', "[", "]", "{", "}", ":", ": ", " #", "#x",
    "&a ", "*a", "!x ", "@", "%", "|", ">", "- ", "x2", " open", "(8)", "(", ")", "none", "-1", "0", "1e9", "9" * 30,
    "1/0", "7/8", "7/8 (2+2+3)", "4/4", "0/4", "92 to 104", "to", "3.2&", "3.2+1/0", "3.2+5/3", "999999.1", "shuffle",
    "sixteenths round the kit", "like: Verse 1", "like: ", "use: ", "rows: ", "SD o.o|", "~", "null", "<<: ", "? ",
    "é", "💥", "Ω", "\u202e", "a" * 300, "tempo: ", "fills: {", "fill: ", "hits: ", "odd-bars: {", "holds: ", "---\n",
)  # fmt: skip
NUMBERS = (
    "0",
    "1",
    "2",
    "3",
    "5",
    "7",
    "8",
    "12",
    "16",
    "20",
    "31",
    "64",
    "66.5",
    "128",
    "400",
    "999",
    "9999",
)
TRADE = (
    "half-time shuffle", "sixteenth shuffle", "swing", "jazz waltz", "straight sixteenths", "slow 12/8", "bossa nova",
    "7/8 (2+2+3)", "5/4", "6/8", "12/8", "2/2", "3/8", "92 to 104", "400 to 20", "ppp", "p to ff", "none", "2 bars",
    "3 beats", "x2 open", "stairs in threes", "sixteenths round the kit", "short pickup", "big turn", "3.1 3.2& 4.1",
    "7.3-8.4", "8.4a", "next", "crash", "each", "last", "ritard over 2 bars", "fade", "yes", "3:30", "20:30", "45 min",
)  # fmt: skip
HOSTILE = (
    "", "\n", "# only words\n", "-", "{", "[", "a: " + "[" * 3000, "- " * 3000 + "x", "? " * 500 + "x", "{a: " * 900,
    "a: &a [x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a]\nc: &c [*b,*b,*b,*b,*b,*b,*b]\nd: [*c,*c,*c,*c,*c,*c,*c,*c]\n",
    "title: " + "x" * 100_000, "title: T\ntempo: 100\nfeel: shuffle\nform: [" + "A (1)," * 3000 + "]",
    "title: T\ntempo: 100\nfeel: shuffle\nform: [A (9999) x999]", "title: T\ntempo: 0\nfeel: swing\nform: [A (8)]",
    "title: T\ntempo: 100\nfeel: swing\nform:\n - A (8): {fill: {like: x}}\n - a\n - A: {like: A}\n",
    "fills: {a: {like: b}, b: {like: a}}", "fills: {a: {rows: 'SD " + "|".join(["o" * 48] * 64) + "'}}",
    "title: T\ntempo: 400\nfeel: {name: x, divides: [2,2,2,3], swing: 4}\nform:\n - A (9): {fill: {rows: 'SD "
    + "|".join(["ozgfzdoO"] * 48) + "'}}\n",
    "title: T\ntempo: 400\nfeel: {name: x, divides: [2,2,2,3], swing: 4}\nform:\n - A (1): {fill: {rows: 'SD "
    + "|".join(["oz" * 24] * 64) + "'}}\n",
)  # fmt: skip


def mutated(rng: random.Random, data: bytes) -> bytes:
    """A file a few careless or hostile keys away from a good one."""
    for _ in range(rng.choice((1, 1, 1, 2, 3, 8))):
        data = rng.choice((_insert, _insert, _cut, _repeat, _swap_lines, _flip, _indent, _number, _word))(
            rng, data
        )
    return data


def altered(rng: random.Random, data: bytes) -> bytes:
    """A file that says something else than a good one; most of them can be read."""
    for _ in range(rng.choice((1, 2, 4, 8))):
        data = rng.choice((_number, _number, _word, _drop_line, _repeat_line))(rng, data)
    return data


def _insert(rng: random.Random, data: bytes) -> bytes:
    at = rng.randint(0, len(data))
    return data[:at] + rng.choice(BITS).encode() + data[at:]


def _cut(rng: random.Random, data: bytes) -> bytes:
    at = rng.randint(0, len(data))
    return data[:at] + data[at + rng.randint(1, 20) :]


def _repeat(rng: random.Random, data: bytes) -> bytes:
    at = rng.randint(0, len(data))
    piece = data[at : at + rng.randint(1, 60)]
    return data[:at] + piece * rng.choice((2, 3, 40)) + data[at:]


def _swap_lines(rng: random.Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]
    return b"\n".join(lines)


def _flip(rng: random.Random, data: bytes) -> bytes:
    if not data:
        return data
    at = rng.randrange(len(data))
    return data[:at] + bytes([rng.randrange(256)]) + data[at + 1 :]


def _indent(rng: random.Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    at = rng.randrange(len(lines))
    lines[at] = b" " * rng.randint(0, 6) + lines[at].lstrip()
    return b"\n".join(lines)


def texts(seed: int) -> Iterator[tuple[str, bytes]]:
    """Names and contents without end, the same for the same seed."""
    rng = random.Random(seed)
    good = [(name, data) for name, data in demo_files()]
    for number, text in enumerate(HOSTILE):
        yield f"charts/hostile-{number}.yaml", text.encode("utf-8", "surrogatepass")
    while True:
        name, data = rng.choice(good)
        yield name, rng.choice((mutated, altered))(rng, data)


def _number(rng: random.Random, data: bytes) -> bytes:
    """Another number in the place of one."""
    found = list(re.finditer(rb"\d+", data))
    if not found:
        return data
    place = rng.choice(found)
    return data[: place.start()] + rng.choice(NUMBERS).encode() + data[place.end() :]


def _word(rng: random.Random, data: bytes) -> bytes:
    """One value of the file in the place of another, or a word of the trade."""
    found = list(re.finditer(rb"(?<=: )[^\n{},:#\[\]]+", data))
    if not found:
        return data
    place = rng.choice(found)
    new = rng.choice((rng.choice(found)[0], rng.choice(TRADE).encode()))
    return data[: place.start()] + new + data[place.end() :]


def _drop_line(rng: random.Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    del lines[rng.randrange(len(lines))]
    return b"\n".join(lines)


def _repeat_line(rng: random.Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    at = rng.randrange(len(lines))
    return b"\n".join([*lines[:at], *[lines[at]] * rng.choice((2, 2, 9)), *lines[at + 1 :]])


class Fuzz:
    """Reads texts the way the commands do and remembers what went wrong."""

    def __init__(self) -> None:
        self.book = Book.shipped()
        self.failures: list[str] = []
        self.slowest = 0.0

    def try_one(self, name: str, data: bytes) -> None:
        """One file through its readers."""
        start = time.process_time()  # of our own work: others may share the machine
        try:
            for finding in self._findings(name, data):
                _look_at(finding)
        except FeelmapError:
            pass
        except Exception:
            self.failures.append(f"{name}\n{data[:2000]!r}\n{traceback.format_exc()}")
        took = time.process_time() - start
        self.slowest = max(self.slowest, took)
        if took > LIMIT:
            self.failures.append(f"{name} took {took:.1f} s\n{data[:2000]!r}")

    def _findings(self, name: str, data: bytes) -> list[Finding]:
        source = decode(data, name)
        if isinstance(source, Finding):
            return [source]
        folder = Path(name).parts[0]
        reader = _READERS.get(folder, Fuzz._settings if name == "book.yaml" else Fuzz._feels)
        return reader(self, source)

    def _chart(self, source: Source) -> list[Finding]:
        read = read_chart(source, self.book)
        return read.findings if read.song is None else [*read.findings, *check_song(self.book, read.song)]

    def _fills(self, source: Source) -> list[Finding]:
        file = read_pattern_file(source, "book")
        table = PatternTable([file])
        list(table)
        read_rows(source.text)
        return table.findings

    def _setlist(self, source: Source) -> list[Finding]:
        return list(read_setlist(source, self.book)[1])

    def _feels(self, source: Source) -> list[Finding]:
        return read_feel_file(source)[1]

    def _settings(self, source: Source) -> list[Finding]:
        document = compose(source)
        if document.root is None:
            return document.findings
        reader = Reader(source)
        read_settings(reader, document.root)
        return reader.findings


_READERS: dict[str, Callable[[Fuzz, Source], list[Finding]]] = {
    "charts": Fuzz._chart,
    "fills": Fuzz._fills,
    "setlists": Fuzz._setlist,
}


def _look_at(finding: Finding) -> None:
    """A finding can be printed and given as JSON, and says something."""
    assert finding.message, finding
    assert list(finding_lines(finding, 80))
    assert finding_json(finding)["message"]


def run(files: int, seed: int) -> Fuzz:
    """So many files; stops early after twenty failures."""
    fuzz = Fuzz()
    for number, (name, data) in enumerate(texts(seed)):
        if number >= files or len(fuzz.failures) >= 20:
            break
        fuzz.try_one(name, data)
    return fuzz


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    start = time.perf_counter()
    result = run(count, int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    for failure in result.failures:
        print(failure, "\n")
    took = time.perf_counter() - start
    print(f"{count} files in {took:.0f} s, slowest {result.slowest:.3f} s, {len(result.failures)} failures")
    sys.exit(bool(result.failures))
