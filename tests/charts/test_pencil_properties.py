"""The pencil over generated files: values read back, bytes outside the change stay."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from tricky import TRICKY

from charts.book import Book
from charts.editing.pencil import Pencilled, pencil
from charts.editing.wish import wish
from charts.reading.chart import read_chart
from charts.reading.values import words
from charts.song import Place, Song
from charts.source import Source
from charts.wording import control_in

BOOK = Book.shipped()
TEXT = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=24)
SIGNS = st.sampled_from(TRICKY)
WORDS = (TEXT | SIGNS).filter(
    lambda text: words(text).casefold() not in ("none", "") and not control_in(text)
)
PAD = st.sampled_from(["", "  # say", " #: {x}"])
KEYS = st.sampled_from(
    ["tempo: 96", "dynamics: f", "until: the nod", "hits: 1.2", "groove: 'as, is'", "stops: 2.1-2.2"]
)
CUES = ["", "cues: {2: old}", "cues: {1: 'a', 2: \"old, too\"}", "cue: 'x'", "cues: {3: c}"]


VALUES = [
    ("tempo", "101.5"),
    ("dynamics", "p to ff"),
    ("feel", "swing"),
    ("bars", "2+3"),
    ("fill", "stairs in threes"),
]


@st.composite
def sections(draw: st.DrawFn) -> str:
    """One section with the cue bar 2 in some style, or without."""
    keys = draw(st.lists(KEYS, unique=True, max_size=3))
    cues = draw(st.sampled_from(CUES))
    keys += [cues] if cues else []
    keys = list(draw(st.permutations(keys)))
    line = draw(st.sampled_from(["A (4) open", "'A (4) x2 open'", '"A (4) open"']))
    style = draw(st.sampled_from(["flow", "block", "wide", "bare"]))
    if style == "bare" or not keys:
        return f"  - {line}{draw(PAD)}\n"
    if style == "flow":
        return f"  - {line}: {{{', '.join(keys)}}}{draw(PAD)}\n"
    if style == "wide":
        lines = ",\n".join(f"        {key}" for key in keys)
        return f"  - {line}: {{{draw(PAD)}\n{lines}}}{draw(PAD)}\n"
    gap = draw(st.sampled_from(["", "\n", "      # hold\n", "# left\n"]))
    return f"  - {line}:{draw(PAD)}\n" + "".join(f"{gap}      {key}{draw(PAD)}\n" for key in keys)


@st.composite
def charts(draw: st.DrawFn) -> str:
    """A chart around one section, with odd titles, line ends and ends of file."""
    title = '"' + words(draw(TEXT)).translate({34: "", 92: "", 0xFEFF: "", 0xFFFE: "", 0xFFFF: ""}) + 'é🥁"'
    start = draw(st.sampled_from(["", "---\n", "# x\n\n"]))
    head = f"{start}title: {title}{draw(PAD)}\ntempo: 92\nfeel: shuffle\n"
    before = draw(st.sampled_from(["", "  - Intro (2)\n"]))
    after = draw(st.sampled_from(["", "  - A\n", "  # fin\n"]))
    text = head + f"form:{draw(PAD)}\n{before}" + draw(sections()) + after
    text = text.removesuffix("\n") if draw(st.booleans()) else text
    return text.replace("\n", draw(st.sampled_from(["\n", "\r\n"])))


def song(text: str) -> Song:
    read = read_chart(Source("charts/a.yaml", text), BOOK)
    assert read.song is not None, read.findings
    return read.song


def mark(key: str, value: str, section: str | None, bar: int | None, text: str) -> Pencilled:
    return pencil(Source("charts/a.yaml", text), wish(key, value, section, bar, BOOK), BOOK)


def common(a: str, b: str) -> int:
    return next((i for i, (x, y) in enumerate(zip(a, b, strict=False)) if x != y), min(len(a), len(b)))


@settings(max_examples=150, deadline=None)
@given(charts(), WORDS, st.sampled_from([None, 1, 2, 4]))
def test_cue_reads_back(text: str, cue: str, bar: int | None) -> None:
    """Any words are read back as they were given, in any file, and only the place of the change differs."""
    done = mark("cue", cue, "A", bar, text)
    section = next(each for each in song(done.text).form if each.name == "A")
    assert {c.place: c.text for c in section.cues}[Place(bar or 1)] == words(cue)
    start = common(text, done.text)
    end = min(common(text[::-1], done.text[::-1]), len(text) - start, len(done.text) - start)
    replaced, written = text[start : len(text) - end], done.text[start : len(done.text) - end]
    assert "\n" not in replaced.strip("\r\n")
    assert len(written) <= 10 * len(cue) + 40
    assert done.text.count("\r\n") == done.text.count("\n") if "\r\n" in text else "\r" not in done.text


@settings(max_examples=60, deadline=None)
@given(charts(), st.sampled_from(VALUES))
def test_there_and_back(text: str, what: tuple[str, str]) -> None:
    """A value changed and changed back leaves the file as it was, byte for byte."""
    key, value = what
    done = mark(key, value, "A", None, text)
    if done.before is not None:
        assert mark(key, done.before, "A", None, done.text).text == text
    else:
        again = mark(key, value, "A", None, done.text)
        assert again.text == done.text
        assert again.before == value


@settings(max_examples=100, deadline=None)
@given(charts(), st.sampled_from([*VALUES, ("cue", "in, then: #1")]), st.sampled_from([None, 1, 2, 4]))
def test_new_and_none(text: str, what: tuple[str, str], bar: int | None) -> None:
    """What was new and is taken away again leaves the file as it was, byte for byte; no comment is ever lost."""
    key, value = what
    if key == "bars":
        return
    at = bar if key in ("cue", "fill") else None
    done = mark(key, value, "A", at, text)
    none = mark(key, "none", "A", at, done.text)
    assert none.text == text if done.before is None else none.removed
    assert none.text.count("#") >= text.count("#") - (done.before or "").count("#")


@settings(max_examples=60, deadline=None)
@given(charts(), st.sampled_from(["66.5", "120"]))
def test_song_key(text: str, tempo: str) -> None:
    """The song's own tempo changes in its place, and nothing else."""
    assert mark("tempo", tempo, None, None, text).text == text.replace("tempo: 92", f"tempo: {tempo}", 1)
