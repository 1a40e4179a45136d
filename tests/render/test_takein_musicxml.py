"""Scores of others taken in as MusicXML: parts, heads, short bars, jumps, drums by name and by place."""

from __future__ import annotations

from pathlib import Path

import pytest
from scores import PARTS, REST, archive, lines, message, score, taken, words
from support import BOOK

from charts.source import FeelmapError
from render.importing import opening
from render.importing.take import Taken, take_in

REPEAT = '<barline location="right"><repeat direction="backward"/></barline>'
FORWARD = '<barline location="left"><repeat direction="forward"/></barline>'
HELD = "<note><rest/><duration>{}</duration><notations><fermata/></notations></note>"
SHORT = "<note><rest/><duration>{}</duration></note>"
CROSS = "<notehead>x</notehead>"


def of(tmp_path: Path, text: str) -> Taken:
    return taken(tmp_path, "s.musicxml", text)


def hit(place: str, length: int = 2, more: str = "") -> str:
    """A drum note on a staff place; two to a quarter."""
    step, octave = place
    return (
        f"<note><unpitched><display-step>{step}</display-step><display-octave>{octave}</display-octave></unpitched>"
        f"<duration>{length}</duration>{more}</note>"
    )


HATS = hit("G5", 2, CROSS) * 4
SNARE = hit("C5", 1) * 8
DOWN = hit("C5", 1) * 4 + hit("A4", 1) * 4


def sign(name: str) -> str:
    return f"<direction><direction-type><{name}/></direction-type></direction>"


def test_the_other_parts_are_counted(tmp_path: Path) -> None:
    """A chart follows one."""
    more = '<score-part id="P2"><part-name>Horn</part-name></score-part></part-list>'
    text = score("...", "...").replace("</part-list>", more)
    horn = f'<part id="P2"><measure number="1">{REST.format(8)}</measure></part></score-partwise>'
    found = of(tmp_path, text.replace("</score-partwise>", horn))
    assert (2, True) == (found.song.bars, "1 of 2 parts: a chart has no pitched notes" in found.lost)


def test_the_title_may_stand_in_a_credit(tmp_path: Path) -> None:
    """The first that has words."""
    head = "".join(f"<credit><credit-words>{text}</credit-words></credit>" for text in (" ", "My Song"))
    assert "My Song" == of(tmp_path, score("...", head=head)).song.title


@pytest.mark.parametrize("mark", [words("Allegro"), '<sound tempo="0"/>'])
def test_a_tempo_that_no_number_says_is_guessed(tmp_path: Path, mark: str) -> None:
    """And the guess is told."""
    found = of(tmp_path, score(mark + "...", "..."))
    assert (100, True) == (found.song.tempo, "tempo 100: the score gives none" in found.guessed)


def test_a_meter_of_two_kinds_of_beat_is_one_of_the_smaller(tmp_path: Path) -> None:
    """3/4 and 3/8 in one bar are nine eighths."""
    both = "".join(f"<beats>3</beats><beat-type>{kind}</beat-type>" for kind in (4, 8))
    text = score(f"<attributes><time>{both}</time></attributes>{REST.format(9)}")
    assert "9/8" == str(of(tmp_path, text).song.meter)


def test_more_bars_than_a_song_has(tmp_path: Path) -> None:
    """Refused before they are read."""
    many = score("...").replace("</part>", "<measure/>" * 10_000 + "</part>")
    assert "this score has more than 2000 bars" == message(tmp_path, "s.musicxml", many)


def test_a_bar_in_two_halves_is_one(tmp_path: Path) -> None:
    """Three beats, the repeat, the pickup played again: words, holds, tempos and strokes of both."""
    bars = (
        FORWARD + '<sound tempo="90"/>' + words("in") + HELD.format(2),
        "...",
        words("look") + HELD.format(6) + REPEAT,
        "...",
    )
    found = of(tmp_path, score(*bars))
    first = found.song.form[0]
    assert (1, 90, 2, 2) == (found.song.pickup, found.song.tempo, first.bars, first.times)
    assert ["2", "2.4"] == [str(hold.place) for hold in first.holds]
    assert ["in", "look", "in"] == [cue.text for cue in first.cues]
    assert "bar 3 is short for the pickup: a whole bar" in found.guessed


def test_strokes_of_a_bar_in_two_halves_are_one_bar(tmp_path: Path) -> None:
    """The groove of the repeat goes on over the repeat sign."""
    half = hit("G5", 2, CROSS)
    bars = FORWARD + half, HATS, HATS, half * 3 + REPEAT, HATS
    found = of(tmp_path, score(*bars))
    assert "- A (3) x2" == lines(found.text)[0]
    assert "HH x|x|x|x\n" in found.text


@pytest.mark.parametrize(
    ("bar", "bars", "said"),
    [
        (SHORT.format(0.5), 2, "bar 2 only leads into the next one: not counted"),
        (SHORT.format(6), 3, "bar 2 lasts 3 quarters, not a bar of 4/4: 3/4"),
        (SHORT.format(2), 3, "bar 2 lasts 1 quarter, not a bar of 4/4: 1/4"),
    ],
)
def test_a_bar_of_another_length_is_told(tmp_path: Path, bar: str, bars: int, said: str) -> None:
    """As a bar of its own meter, or as none."""
    found = of(tmp_path, score("...", bar, "..."))
    assert (bars, True) == (found.song.bars, said in found.guessed)


@pytest.mark.parametrize(
    ("bars", "form"),
    [
        (  # into the middle of a section
            (words("A", "rehearsal") + "...", sign("segno") + "...", words("B", "rehearsal") + "...", words("D.S. al fine") + "..."),
            ["- A (2)", "- B (2)", "- A 2 (1)", "- B"],
        ),
        (  # the coda sign is at both ends
            ("...", sign("segno") + "...", sign("coda") + "...", words("D.S. al Coda") + "...", sign("coda") + "..."),
            ["- A (1)", "- B (1)", "- C (2)", "- B", "- C 2 (1)", "- D (1)"],
        ),
        (  # in words
            ("...", words("segno") + "...", words("to coda") + "...", words("D.S. al Coda") + "...", words("coda") + "..."),
            ["- A (1)", "- B (3)", "- B 2 (2)", "- C (1)"],
        ),
    ],
)  # fmt: skip
def test_jumps_are_played_out(tmp_path: Path, bars: tuple[str, ...], form: list[str]) -> None:
    """Every part that is come to in another way is a line of its own."""
    assert form == lines(of(tmp_path, score(*bars)).text)


def instruments(*names: str) -> str:
    """A part list that names instruments and gives no numbers."""
    told = "".join(
        f'<score-instrument id="I{place}"><instrument-name>{name}</instrument-name></score-instrument>'
        for place, name in enumerate(names)
    )
    return PARTS.replace("</score-part>", f"{told}</score-part>")


@pytest.mark.parametrize(
    ("name", "voice"),
    [("Acoustic Snare", "SD"), ("Bass Drum 1", "BD"), ("High Floor Tom", "FT"), ("Ride Cymbal 1", "RD"), ("floor tom", "FT"), ("B2", "B2")],
)  # fmt: skip
def test_an_instrument_without_a_number_is_known_by_its_name(tmp_path: Path, name: str, voice: str) -> None:
    """General MIDI's names and ours; wherever it is on the staff."""
    bar = hit("D6", 2, '<instrument id="I0"/>') * 4
    text = of(tmp_path, score(*[bar] * 3).replace(PARTS, instruments(name))).text
    assert f"#       {voice} " in text


def test_a_drum_without_a_name_is_known_by_its_place(tmp_path: Path) -> None:
    """As drum music is written; a place that no drum has is counted."""
    found = of(tmp_path, score(HATS, HATS, HATS, DOWN + hit("B3", 0)))
    use = found.song.form[0].fills[0]
    assert use.pattern is not None
    assert ["SD"] * 4 + ["FT"] * 4 == [stroke.voice for stroke in use.pattern.strokes]
    assert "1 percussion note: no drum of a kit has them" in found.lost


@pytest.mark.parametrize(
    ("bars", "fills"),
    [
        ((HATS, HATS, words("fill") + SNARE, DOWN, HATS, HATS), [(4, 8)]),  # goes on unlike the groove
        (
            (HATS, HATS, words("fill") + SNARE, hit("A5", 8, CROSS), HATS, HATS),
            [(3, 4)],
        ),  # a bar that only lands
        ((HATS, HATS, words("fill") + SNARE, words("fill") + DOWN, HATS, HATS), [(3, 4), (4, 4)]),
    ],
)
def test_a_fill_that_the_score_names_goes_on_to_the_groove(
    tmp_path: Path, bars: tuple[str, ...], fills: list[tuple[int, int]]
) -> None:
    """Over bars that are not groove, up to a landing or the next fill."""
    uses = of(tmp_path, score(*bars)).song.form[0].fills
    assert fills == [(use.bar, use.pattern.beats) for use in uses if use.pattern]


def test_a_hand_that_strikes_two_drums_at_once_is_left_out(tmp_path: Path) -> None:
    """A part that names one hand over two drums keeps its strokes and loses its sticking."""
    right = "<notations><technical><fingering>R</fingering></technical></notations>"
    both = hit("C5", 2, right) + hit("A4", 2, "<chord/>" + right)
    text = score(HATS, HATS, words("fill") + both * 4)
    pattern = of(tmp_path, text).song.form[0].fills[0].pattern
    assert pattern is not None
    assert (8, False) == (len(pattern.strokes), pattern.stuck)


def test_strokes_on_no_grid_are_no_fill(tmp_path: Path) -> None:
    """A fill is named, and cannot be written in cells."""
    divided = "<attributes><divisions>49</divisions></attributes>"
    found = of(tmp_path, score(divided + hit("C5", 196), words("fill") + hit("C5", 1) + hit("C5", 195)))
    assert "a fill in bar 2: its strokes lie on no grid" in found.lost


def test_a_packed_score_is_found_where_its_container_says(tmp_path: Path) -> None:
    """Not the first file that looks like one."""
    where = '<container><rootfiles><rootfile full-path="{}"/></rootfiles></container>'

    def packed(path: str) -> bytes:
        files = {
            "a.xml": score("..."),
            "b.xml": score("...", "..."),
            "META-INF/container.xml": where.format(path),
        }
        return archive({name: text.encode() for name, text in files.items()})

    assert [2, 1] == [taken(tmp_path, "s.mxl", packed(path)).song.bars for path in ("b.xml", "gone.xml")]


def test_a_file_that_nobody_may_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Said, with what to look at."""

    path = tmp_path / "s.musicxml"
    path.touch()

    def refused(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr(opening, "file_bytes", refused)
    with pytest.raises(FeelmapError, match="no permission to read") as told:
        take_in(path, BOOK)
    assert "see who owns the file" == told.value.hint


def test_a_time_signature_out_of_range_is_refused(tmp_path: Path) -> None:
    """Before anything counts up to it."""
    time = "<attributes><time><beats>999999999</beats><beat-type>4</beat-type></time></attributes>"
    assert "a time signature of 999999999 is out of range" == message(
        tmp_path, "s.musicxml", score(time + "...")
    )


def marked(name: str, *bars: str) -> tuple[str, ...]:
    """A section of a score: its rehearsal mark over its first bar."""
    return words(name, "rehearsal") + bars[0], *bars[1:]


@pytest.mark.parametrize(
    ("bars", "form"),
    [
        (  # twice its bars are two passes
            (*marked("A", "...", "..."), *marked("B", "..."), *marked("A", *["..."] * 4)),
            ["- A (2)", "- B (1)", "- A x2"],
        ),
        (  # other bars need another name
            (*marked("A", "...", "..."), *marked("B", "..."), *marked("A", *["..."] * 3), *marked("C", "..."), *marked("A", *["..."] * 3)),
            ["- A (2)", "- B (1)", "- A 2 (3)", "- C (1)", "- A 2"],
        ),
        (  # open once
            (*marked("A", words("open") + "..."), *marked("B", "..."), *marked("A", "...")),
            ["- A (1) open", "- B (1)", "- A: | open: no"],
        ),
        (  # an odd bar, and none the next time
            (*marked("A", "...", SHORT.format(6), "..."), *marked("B", "..."), *marked("A", "...", "...", "...")),
            ["- A (3): | odd-bars: | 2: 3/4", "- B (1)", "- A: | odd-bars: none"],
        ),
        (  # the other way round
            (*marked("A", "...", "...", "..."), *marked("B", "..."), *marked("A", "...", SHORT.format(6), "...")),
            ["- A (3)", "- B (1)", "- A: | odd-bars: | 2: 3/4"],
        ),
    ],
)  # fmt: skip
def test_a_section_that_comes_again_says_what_is_otherwise(
    tmp_path: Path, bars: tuple[str, ...], form: list[str]
) -> None:
    """Its name, how often, and the keys that differ or go."""
    text = of(tmp_path, score(*bars)).text.split("form:\n")[1]
    assert form == [
        " | ".join(map(str.strip, f"- {part}".strip().split("\n"))) for part in text.split("  - ")[1:]
    ]


def test_swing_that_ends_is_straight_again(tmp_path: Path) -> None:
    """From the next section on, as the sign says."""
    swing = "<sound><swing><first>2</first><second>1</second><swing-type>eighth</swing-type></swing></sound>"
    straight = "<sound><swing><straight/></swing></sound>"
    bars = (*marked("A", swing + "..."), *marked("B", "..."), *marked("C", straight + "..."))
    found = of(tmp_path, score(*bars))
    assert ["shuffle", "shuffle", "straight eighths"] == [each.feel.name for each in found.song.form]
    assert "feel: straight eighths, since no swing sign any more" in found.guessed


def test_a_feel_inside_a_section_is_kept_as_a_cue(tmp_path: Path) -> None:
    """A section has one feel; a dynamic that it does not begin with is a cue, too."""
    loud = "<direction><direction-type><dynamics><f/></dynamics></direction-type></direction>"
    found = of(tmp_path, score(*marked("A", "...", words("Swing") + "...", loud + "...")))
    assert "bar 2: “Swing” inside a section, kept as a cue" in found.lost
    assert [("2", "Swing"), ("3", "f")] == [(str(cue.place), cue.text) for cue in found.song.form[0].cues]


def test_jumps_that_only_the_ear_is_told_of_are_played(tmp_path: Path) -> None:
    """As sounds without words."""
    back = '<direction><direction-type><words/></direction-type><sound dacapo="yes"/></direction>'
    end = '<direction><direction-type><words/></direction-type><sound fine="yes"/></direction>'
    assert 5 == of(tmp_path, score("...", end + "...", back + "...")).song.bars
