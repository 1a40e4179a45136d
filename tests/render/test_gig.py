"""The running order, on the screen and as JSON."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from band import band, gig

from render.cli.app import run
from render.cli.short_way import answered
from render.gig_answer import gig_json
from render.page.setwords import break_pieces
from render.terminal.ink import Ink, cells
from render.terminal.running_order import gig_lines, show_gig
from setlists.gig import GigBreak

EVENING = """
    gig: Mill Street
    date: 2026-12-04
    start: 23:50
    ends: 0:20
    sets:
      - name: First set
        length: 2 min
        songs:
          - Tin Roof
          - Short Cut: {tempo: 118, key: E, notes: capo 3, segue: yes, skip: Tag}
          - Opener: {between: 1 min}
          - "Café au Coin, dernière"
      - break: 20 min
      - name: Second set
        songs:
          - Raffle: {length: 3:30}
          - Long Meadow
"""
WIDTHS = (40, 60, 80, 120)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A book with this evening in it."""
    band(tmp_path)
    (tmp_path / "setlists").mkdir()
    text = "\n".join(line[4:] for line in EVENING.strip("\n").splitlines())
    (tmp_path / "setlists" / "mill.yaml").write_text(text + "\n", encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize(("height", "times"), [(20, 2), (80, 1), (None, 1)])
def test_the_sets_stand_at_the_end_too_where_they_have_scrolled_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, height: int | None, times: int
) -> None:
    """On a screen that is lower than the running order; with the gig's own times."""
    monkeypatch.setattr("render.terminal.running_order.height", lambda stream: height)
    stream = io.StringIO()
    show_gig(gig(EVENING, band(tmp_path)), stream)
    lines = stream.getvalue().splitlines()
    starts = ("Mill Street", "Friday 4 December 2026, 23:50", "First set -", "Second set -")
    assert [times] * len(starts) == [sum(line.startswith(start) for line in lines) for start in starts]
    assert lines[-1].startswith("Second set -") is (times == 2)


@pytest.mark.parametrize("width", WIDTHS)
def test_no_line_is_wider_than_the_screen(tmp_path: Path, width: int) -> None:
    """Whatever the titles, and nothing is left out for it."""
    found = gig(EVENING, band(tmp_path))
    lines = list(gig_lines(found, width, Ink()))
    assert width >= max(cells(line.rstrip()) for line in lines)
    text = " ".join(" ".join(lines).split())
    for song in found.songs:
        assert all(word in text for word in song.title.split())
        for hazard in song.hazards:
            assert hazard.message in text
        if song.feel:
            assert song.feel.name in text


def test_a_wide_screen_has_a_line_a_song(tmp_path: Path) -> None:
    """Clock, number, title, tempo, feel, count-in, key, length."""
    lines = list(gig_lines(gig(EVENING, band(tmp_path)), 100, Ink()))
    assert "23:50  1  Tin Roof                ♩ = 120  straight eighths  1 bar     G    1:06" in lines
    assert "23:51  2  Short Cut               ♩ = 118  straight eighths  none      E    0:47" in lines
    assert "Mill Street" == lines[0]
    assert "Friday 4 December 2026, 23:50 to 00:20, curfew 00:20" == lines[1]


def test_what_is_special_stands_under_its_song(tmp_path: Path) -> None:
    """Note, what is changed tonight, the segue, a long changeover."""
    lines = [line.strip() for line in gig_lines(gig(EVENING, band(tmp_path)), 100, Ink(signs=False))]
    cut, opener = (
        lines.index(next(each for each in lines if f"{name}   " in each)) for name in ("Cut", "Opener")
    )
    assert ["capo 3", "118 tonight, else 100; without Tag", "-> segue into Opener"] == [
        line for line in lines[cut + 1 : opener] if line[0] not in "-!" or line.startswith("->")
    ]
    assert "then 1 min before the next" in lines
    assert "break, 20 min" in next(line for line in lines if "break" in line)


def test_an_overrun_is_told_at_the_head_of_its_set(tmp_path: Path) -> None:
    """In the line and, with what would help, below it."""
    lines = list(gig_lines(gig(EVENING, band(tmp_path)), 120, Ink()))
    head = next(place for place, line in enumerate(lines) if line.startswith("First set"))
    assert lines[head].endswith("of 2 min, 3 min 32 s over the slot")
    assert lines[head + 1].lstrip().startswith("! First set runs 3 min 32 s over its 2 min; dropping ")


@pytest.mark.parametrize(
    ("ends", "slot", "end"),
    [
        ("0:00", "5 min", "2:32 of 5 min, 1 min 32 s past the curfew"),
        ("0:00", "2 min", "2:32 of 2 min, 32 s over the slot, 1 min 32 s past the curfew"),
        ("0:10", "2 min", "2:32 of 2 min, 32 s over the slot"),
        ("0:10", "5 min", "2:32 of 5 min"),
    ],
)
def test_the_head_of_a_set_says_which_limit_is_broken(tmp_path: Path, ends: str, slot: str, end: str) -> None:
    """Inside its slot and past the curfew is not over its slot; the JSON has the more of the two."""
    text = f"start: 23:59\nends: {ends}\nsets: [{{name: One, length: {slot}, songs: [Tin Roof, Tin Roof]}}]"
    found = gig(text, band(tmp_path))
    (line,) = [line for line in gig_lines(found, 120, Ink()) if line.startswith("One")]
    assert line.endswith(f"  23:59 to 00:01, {end}")
    assert gig_json(found)["sets"][0]["over_by"] == (0 if "," not in end else 92 if "past" in end else 32)


@pytest.mark.parametrize(
    ("start", "words"),
    [("start: 21:30, ", "1 h 4 min"), ("start: 20:40, ", "20 min"), ("", "20 min")],
)
def test_a_break_lasts_until_the_next_set(tmp_path: Path, start: str, words: str) -> None:
    """A set that waits for its own start makes the break longer, in the minutes that the clock shows."""
    text = f"start: 20:25\nsets: [{{songs: [Tin Roof]}}, {{break: 20 min}}, {{{start}songs: [Tin Roof]}}]"
    (line,) = [line for line in gig_lines(gig(text, band(tmp_path)), 80, Ink()) if "break" in line]
    assert line.split() == ["20:26", "break,", *words.split()]


def test_a_break_lasts_the_same_in_every_view(tmp_path: Path) -> None:
    """On the screen, on the set sheet and in JSON: 20:43:20 to 21:00 is 17 minutes by the clock beside it."""
    text = """
        start: 20:30
        sets:
          - {songs: [Raffle: {length: "13:20"}]}
          - break: 5 min
          - {start: 21:00, songs: [Tin Roof]}
    """
    found = gig(text, band(tmp_path))
    (line,) = [line for line in gig_lines(found, 80, Ink()) if "break" in line]
    pause = found.parts[1]
    assert isinstance(pause, GigBreak)
    on_paper = " ".join(piece.text for piece in break_pieces(pause))
    answer = gig_json(found)["sets"][1]
    assert ["20:43", "break,", "17", "min"] == line.split()
    assert "break 17 min at 20:43" == " ".join(on_paper.replace("\u00a0", " ").split())
    assert ("17 min", 1000, "20:43:20") == (answer["break"], answer["seconds"], answer["starts_at"])


def test_plain_ink_has_neither_colour_nor_signs(tmp_path: Path) -> None:
    """What a pipe or an old terminal gets is ASCII but for the titles."""
    lines = list(gig_lines(gig(EVENING, band(tmp_path)), 80, Ink(signs=False)))
    assert all("\x1b" not in line for line in lines)
    assert all(line.isascii() for line in lines if not {"é", "è"} & set(line))


def test_without_a_start_the_minutes_are_counted(tmp_path: Path) -> None:
    """From the first count on."""
    lines = list(gig_lines(gig("sets: [{songs: [Tin Roof, Tin Roof]}]", band(tmp_path)), 80, Ink()))
    assert any(line.startswith("1:26  2  Tin Roof") for line in lines)


def test_the_json_has_every_key(tmp_path: Path) -> None:
    """Null where it does not apply; breaks stand in their place."""
    found = gig_json(gig(EVENING, band(tmp_path)))
    assert ["gig", "date", "start", "curfew", "sets"] == list(found)
    assert ["Mill Street", "2026-12-04", "23:50", "00:20"] == list(found.values())[:4]
    first, pause, second = found["sets"]
    keys = {"name", "break", "starts_at", "songs", "seconds", "slot", "over_by"}
    assert keys == set(first) == set(pause) == set(second)
    assert [120, None, None] == [part["slot"] for part in (first, pause, second)]
    assert "2026-12-04T23:50:00" == first["starts_at"] < pause["starts_at"] < second["starts_at"]
    assert ("20 min", 1200, []) == (pause["break"], pause["seconds"], pause["songs"])
    keys = {"title", "starts_at", "seconds", "tempo", "feel", "count_in", "key", "segue", "skip", "note"}
    keys |= {"hazards"}
    assert all(keys == set(song) for part in found["sets"] for song in part["songs"])
    raffle = second["songs"][0]
    assert (None, None, None, None, False, 210) == (
        raffle["tempo"],
        raffle["feel"],
        raffle["count_in"],
        raffle["key"],
        raffle["segue"],
        raffle["seconds"],
    )


def test_the_json_of_a_song_is_as_it_is_played_tonight(tmp_path: Path) -> None:
    """Tempo, key, note and segue from the set list; hazards as the rules tell them."""
    cut = gig_json(gig(EVENING, band(tmp_path)))["sets"][0]["songs"][1]
    near = cut.pop("hazards")[0]
    assert {
        "title": "Short Cut",
        "starts_at": "2026-12-04T23:51:26",
        "seconds": round(16 * 4 * 60 / 118 + 8 * 4 * 60 / (110 * 1.18), 3),
        "tempo": 118.0,
        "feel": "straight eighths",
        "count_in": "none",
        "key": "E",
        "segue": True,
        "skip": ["Tag"],
        "note": "capo 3",
    } == cut
    assert {"rule", "level", "message"} == set(near)


def test_times_without_a_date_have_none(tmp_path: Path) -> None:
    """And without a start there is no time at all."""
    book = band(tmp_path)
    timed = gig_json(gig("start: 23:59\nsets: [{songs: [Tin Roof, Tin Roof]}]", book))
    assert ["23:59:00", "00:00:26"] == [song["starts_at"] for song in timed["sets"][0]["songs"]]
    untimed = gig_json(gig("sets: [{songs: [Tin Roof]}]", book))
    assert (None, None, None) == (
        untimed["start"],
        untimed["curfew"],
        untimed["sets"][0]["songs"][0]["starts_at"],
    )
    assert None is untimed["sets"][0]["starts_at"]


def test_the_command_answers_on_standard_output(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As a page, and as JSON that parses."""
    assert 0 == run(["gig", "mill street", "--book", str(folder)])
    page = capsys.readouterr()
    assert page.out.startswith("Mill Street\n")
    assert not page.err
    assert 0 == run(["gig", "mill", "--json", "--book", str(folder)])
    assert "Mill Street" == json.loads(capsys.readouterr().out)["gig"]


def test_an_unknown_song_leaves_standard_output_empty(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Status 2, and the place in the file with the nearest song on standard error."""
    (folder / "setlists" / "hall.yaml").write_text("gig: Hall\nsets: [{songs: [Tin Rooof]}]\n")
    assert 2 == run(["gig", "hall", "--book", str(folder)])
    said = capsys.readouterr()
    assert not said.out
    assert "setlists/hall.yaml:2:17: error: no song is called “Tin Rooof”" in said.err
    assert "    did you mean Tin Roof?" in said.err


@pytest.mark.parametrize("name", ["mill", "Mill Street", "setlists/mill.yaml"])
@pytest.mark.parametrize("as_json", [[], ["--json"]])
def test_show_shows_a_set_list(
    folder: Path, capsys: pytest.CaptureFixture[str], name: str, as_json: list[str]
) -> None:
    """What ``gig`` shows, without the option parser as well as with it."""
    assert 0 == run(["gig", "mill", "--book", str(folder), *as_json])
    shown = capsys.readouterr().out
    assert "Mill Street" in shown
    assert answered(["show", name, "--book", str(folder), *as_json])
    assert shown == capsys.readouterr().out
    assert 0 == run(["show", name, "--book", str(folder), *as_json])
    assert shown == capsys.readouterr().out


def test_show_prefers_the_chart(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where a chart and a set list have the word, ``show`` shows the chart and ``gig`` the set list."""
    (folder / "charts" / "mill.yaml").write_text(
        "title: The Mill\ntempo: 92\nfeel: shuffle\nform:\n  - Verse (8)\n", encoding="utf-8"
    )
    assert 0 == run(["show", "mill", "--book", str(folder)])
    assert capsys.readouterr().out.startswith("The Mill")
