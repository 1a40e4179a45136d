"""Repeats and jumps played out: against music21's Expander where it agrees with practice, by hand where not.

music21 10.5's ``repeat.Expander`` agrees with practice for plain repeats, ``times=``, numbered endings alone
and jumps alone (tried); with jumps and endings in one piece it ignores the brackets.
"""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from render.importing.musicxml import read_musicxml
from render.importing.playing import play

STEPS = "CDEFGAB"  # a pitch of its own tells each bar, since music21 counts anew after a jump
TIME = (
    "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
)
FORWARD = '<barline location="left"><repeat direction="forward"/></barline>'


def back(times: int = 0, ending: str = "") -> str:
    """A backward repeat sign, under a bracket that ends there."""
    said = f' times="{times}"' if times else ""
    stop = f'<ending number="{ending}" type="stop"/>' if ending else ""
    return f'<barline location="right">{stop}<repeat direction="backward"{said}/></barline>'


def begin(ending: str) -> str:
    return f'<barline location="left"><ending number="{ending}" type="start"/></barline>'


def stop(ending: str) -> str:
    return f'<barline location="right"><ending number="{ending}" type="discontinue"/></barline>'


def words(text: str) -> str:
    return f"<direction><direction-type><words>{text}</words></direction-type></direction>"


SEGNO = "<direction><direction-type><segno/></direction-type></direction>"
CODA = "<direction><direction-type><coda/></direction-type></direction>"


def note(number: int) -> str:
    octave, step = divmod(number, 7)
    return (
        f"<note><pitch><step>{STEPS[step]}</step><octave>{octave + 1}</octave></pitch>"
        "<duration>4</duration></note>"
    )


def score(*bars: tuple[str, str]) -> str:
    """A score of bars, each with what is before and after its note."""
    body = "".join(
        f'<measure number="{number}">{TIME if number == 1 else ""}{left}{note(number)}{right}</measure>'
        for number, (left, right) in enumerate(bars, start=1)
    )
    return (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>D</part-name></score-part>'
        f'</part-list><part id="P1">{body}</part></score-partwise>'
    )


def ours(text: str) -> list[int]:
    sheet = read_musicxml(ElementTree.fromstring(text))
    return [step.bar + 1 for step in play(sheet.bars)]


def music21s(text: str) -> list[int]:
    from music21.musicxml.xmlToM21 import MusicXMLImporter
    from music21.repeat import Expander

    importer: Any = MusicXMLImporter()
    importer.xmlText = text
    importer.parseXMLText()
    expander = Expander(importer.stream.parts[0])
    part = expander.process() if expander.isExpandable() else importer.stream.parts[0]
    return [(n.pitch.octave - 1) * 7 + STEPS.index(n.pitch.step) for n in part.recurse().notes]


PLAIN = ("", "")


@st.composite
def blocks(draw: st.DrawFn) -> list[tuple[str, str]]:
    """A few bars: plain, repeated so many times, or with numbered endings."""
    kind = draw(st.sampled_from(["plain", "repeat", "endings"]))
    body = [PLAIN] * draw(st.integers(1, 3))
    if kind == "plain":
        return body
    times = draw(st.sampled_from([0, 2, 3, 4]))
    if kind == "repeat":
        body[0] = (FORWARD, "")
        body[-1] = (body[-1][0], back(times))
        return body
    body[0] = (FORWARD, "")
    early = ", ".join(str(number) for number in range(1, max(2, times)))
    last = str(max(2, times))
    first = [(begin(early), ""), *[PLAIN] * draw(st.integers(0, 1))]
    first[-1] = (first[-1][0], back(ending=early))
    return [*body, *first, (begin(last), stop(last))]


@given(st.lists(blocks(), min_size=1, max_size=3))
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_repeats_and_endings_are_played_as_music21_plays_them(parts: list[list[tuple[str, str]]]) -> None:
    """Plain repeats, repeats that say how often, numbered endings."""
    text = score(*(bar for part in parts for bar in part), PLAIN)
    assert music21s(text) == ours(text)


@pytest.mark.parametrize(
    ("jump", "bars"),
    [
        ("D.C.", [PLAIN, PLAIN, PLAIN]),
        ("D.C. al Fine", [PLAIN, (words("Fine"), ""), PLAIN]),
        ("D.S. al Fine", [PLAIN, (SEGNO, ""), (words("Fine"), ""), PLAIN]),
    ],
)
def test_a_jump_alone_is_played_as_music21_plays_it(jump: str, bars: list[tuple[str, str]]) -> None:
    """D.C. and D.S., to the end or to Fine."""
    text = score(*bars, ("", words(jump)))
    assert music21s(text) == ours(text)


def test_a_jump_with_endings_and_a_coda() -> None:
    """1 2 3 2 4 5 6 7 2 4 5 8 9: after a D.S. first endings are skipped and repeats not taken (a theory
    handbook's page, read); music21 ignores the brackets here."""
    text = score(
        PLAIN,
        (SEGNO + FORWARD, ""),
        (begin("1"), back(ending="1")),
        (begin("2"), stop("2")),
        ("", words("To Coda")),
        PLAIN,
        ("", words("D.S. al Coda")),
        (CODA, ""),
        PLAIN,
    )
    assert ours(text) == [1, 2, 3, 2, 4, 5, 6, 7, 2, 4, 5, 8, 9]


def test_a_coda_sign_at_both_ends_of_the_jump() -> None:
    """The same sign where the coda is left for and where it begins: common practice, no source."""
    text = score(PLAIN, (CODA, ""), PLAIN, ("", words("D.C. al Coda")), (CODA, ""))
    assert ours(text) == [1, 2, 3, 4, 1, 2, 5]


def test_repeats_in_the_coda_are_taken() -> None:
    """What has not been played before is played with its repeats: common practice, no source."""
    text = score(("", words("To Coda")), ("", words("D.C. al Coda")), (CODA + FORWARD, back()), PLAIN)
    assert ours(text) == [1, 2, 1, 3, 3, 4]


def test_jumps_that_only_the_ear_is_told_of() -> None:
    """MusicXML 4.0, element ``sound``: dacapo, fine."""
    text = score(PLAIN, ('<sound fine="yes"/>', ""), ("", '<sound dacapo="yes"/>'))
    assert ours(text) == [1, 2, 3, 1, 2]
