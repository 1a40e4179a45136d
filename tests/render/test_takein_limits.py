"""Files that are written to do harm: every limit has its message, nothing takes the machine's memory."""

from __future__ import annotations

import io
import json
import struct
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from scores import REST, archive, message, score, taken, time, words

from render.importing import limits
from render.importing.limits import Limit

ROOT = Path(__file__).parents[2]
MOST_MEMORY = 300  # MB
BRACKET = (
    '<barline location="left"><ending number="{0}" type="start"/></barline>...'
    '<barline location="right"><ending number="{0}" type="stop"/>{1}</barline>'
)
BACK = '<repeat direction="backward"/>'
HUGE = "1e30000000"


def abc(music: str, head: str = "") -> bytes:
    return f"X:1\nT:T\n{head}M:4/4\nL:1/4\nK:C\n{music}\n".encode()


def midi(track: bytes) -> bytes:
    return b"MThd\0\0\0\6\0\1\0\1\1\xe0MTrk" + struct.pack(">L", len(track)) + track


def packed(kind: int) -> bytes:
    """A score of blanks in a packing that shrinks them to next to nothing."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", kind) as made:
        made.writestr("a.xml", b" " * (8 << 20))
    return data.getvalue()


def spoken(number: int) -> str:
    return "".join(words(f"w{each}") for each in range(number))


BEYOND: dict[str, tuple[str, bytes]] = {
    "FILE": ("bomb.mxl", archive({"a.xml": b" " * (33 << 20)})),
    "MIDI_FILE": ("big.mid", b"MThd" + bytes(200 << 10)),
    "ABC_FILE": ("big.abc", abc("CDEF|" + "%" * (1 << 20))),
    "ABC_TUNE": ("long.abc", abc("CDEF|" * 7_000)),
    "MEMBERS": ("many.mxl", archive({f"{n}": b"" for n in range(1_001)})),
    "ELEMENTS": ("many.xml", b"<a>" + b'<b c="d"/>' * 150_001),
    "TAG": ("endless.xml", b"<a " + b" ".join(b'a%d="1"' % n for n in range(90_000)) + b"/>"),
    "DEPTH": ("deep.xml", b"<a>" * 5_000),
    "BARS": ("bars.musicxml", score(*["..."] * 2_001).encode()),
    "PLAYED": ("repeat.musicxml", score('...<barline><repeat direction="backward" times="9999"/></barline>').encode()),
    "SECTIONS": ("marks.musicxml", score(*[words(f"M{n}", "rehearsal") + "..." for n in range(501)]).encode()),
    "BAR_LENGTH": ("long.musicxml", score(REST.format(999_999_999)).encode()),
    "WORDS": ("words.musicxml", score(spoken(65) + "...").encode()),
    "FIGURE": ("time.musicxml", score(time("257", 4) + "...").encode()),
    "ABC_FIGURE": ("rest.abc", abc("a99999999|")),
}  # fmt: skip


@pytest.mark.parametrize("name", [name for name, each in vars(limits).items() if isinstance(each, Limit)])
def test_every_limit_has_its_message(tmp_path: Path, name: str) -> None:
    """One more than the most is refused in the words of the table."""
    limit: Limit = vars(limits)[name]
    end = limit.message.format(where="\0", most=limit.most).rpartition("\0")[2]
    assert end in message(tmp_path, *BEYOND[name])


@pytest.mark.parametrize(
    "bar",
    [
        f"<attributes><divisions>{HUGE}</divisions></attributes>...",
        f"<note><rest/><duration>{HUGE}</duration></note>",
        f'<sound tempo="{HUGE}"/>...',
        f"<direction><direction-type><words>x</words></direction-type><offset>{HUGE}</offset></direction>...",
        f"<attributes><key><fifths>{HUGE}</fifths></key></attributes>...",
    ],
)
def test_a_number_that_nobody_can_count_is_none(tmp_path: Path, bar: str) -> None:
    """An exponent is not how MusicXML writes numbers; what it stands for is left out."""
    assert 1 == taken(tmp_path, "s.musicxml", score(bar)).song.bars


@pytest.mark.parametrize(
    ("beats", "kind", "says"),
    [
        ("1_000", 4, "bar 1: 0/4 has 0 beats: write 1 to 32"),
        ("4", 3, "bar 1: 4/3 is not a meter"),
        ("4", 0, "bar 1: 4/0 is not a meter"),
        ("0", 4, "bar 1: 0/4 has 0 beats"),
        ("33", 4, "bar 1: 33/4 has 33 beats"),
    ],
)
def test_a_meter_that_nobody_counts_is_refused(tmp_path: Path, beats: str, kind: int, says: str) -> None:
    """With its bar."""
    assert message(tmp_path, "s.musicxml", score(time(beats, kind) + "...")).startswith(says)


@pytest.mark.parametrize("kind", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_other_packings_are_refused(tmp_path: Path, kind: int) -> None:
    """MusicXML allows stored and deflated files; the others unpack gigabytes from nothing."""
    assert "packed in a way that a .mxl file must not be" in message(tmp_path, "s.mxl", packed(kind))


@pytest.mark.parametrize(
    ("bars", "played"),
    [
        ((BRACKET.format(2, ""), "..."), 2),
        ((BRACKET.format(2, BACK), "..."), 3),
        ((BRACKET.format("2, 3", BACK), BRACKET.format(4, ""), "..."), 5),
    ],
)
def test_a_part_that_opens_with_a_later_ending_is_played(
    tmp_path: Path, bars: tuple[str, ...], played: int
) -> None:
    """The first ending that is there is for the first time too."""
    assert played == taken(tmp_path, "s.musicxml", score(*bars)).song.bars


def test_a_score_that_is_all_pickup_has_bars(tmp_path: Path) -> None:
    """Every measure numbered 0 and implicit."""
    text = (
        score("...", "...").replace("<measure ", '<measure implicit="yes" ').replace('number="', 'number="0')
    )
    assert 2 == taken(tmp_path, "s.musicxml", text).song.bars


def test_endings_that_are_never_played_are_passed_over(tmp_path: Path) -> None:
    """Hundreds in a row, after a D.C.: passed one by one, not each inside the other."""
    bars = [BRACKET.format(1, BACK)] * 1_500
    assert taken(tmp_path, "s.musicxml", score("...", *bars, words("D.C.") + "...")).song.bars


HARMLESS = {
    "spaces.abc": abc("CDEF|", "M:1" + " " * 30_000 + "\n"),
    "braces.abc": abc("{" * 31_000),
    "fields.abc": abc("[A:" * 10_000),
    "slashes.abc": abc("a" + "/" * 30_000 + "|"),
    "parts.abc": abc("P:A\nCDEF|", "P:" + "(" * 15_000 + "\n"),
    "ticks.mid": midi(b"\0\x99\x26\x40" + b"\xff" * 4_000 + b"\x7f\x26\x40" + b"\0\xff\x2f\0"),
    "key.mid": midi(b"\0\xff\x59\x02\x20\x00\x01\x99\x26\x40\0\xff\x2f\0"),
    "numbers.musicxml": score(f'<barline location="left"><ending number="{"9," * 300_000}" type="start"/></barline>...').encode(),
    "text.musicxml": score(words("a " * 1_000_000) + "...").encode(),
    "divisions.musicxml": score("".join(f"<attributes><divisions>{n}</divisions></attributes><note><duration>1</duration></note>" for n in range(1, 9_000))).encode(),
}  # fmt: skip
CHILD = """
import json, sys
from render.cli.app import run
codes = [run(["import", path, "-o", f"{path}.yaml"]) for path in sys.argv[1:]]
most = next(line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM"))
print(json.dumps([codes, int(most) // 1024]))
"""


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="reads the kernel's own account of memory")
def test_no_file_takes_the_memory(tmp_path: Path) -> None:
    """All of them in one process: an answer to each, exit 0 or 2, and less than 300 MB."""
    files = {**HARMLESS, **dict(BEYOND.values()), "b.mxl": packed(zipfile.ZIP_BZIP2)}
    for name, data in files.items():
        (tmp_path / name).write_bytes(data)
    paths = [str(tmp_path / name) for name in files]
    done = subprocess.run(
        [sys.executable, "-c", CHILD, *paths], capture_output=True, text=True, check=False, cwd=ROOT
    )
    codes, most = json.loads(done.stdout)
    assert set(codes) == {0, 2}
    assert "Traceback" not in done.stderr
    assert most < MOST_MEMORY
