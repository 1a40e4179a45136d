"""What is struck where a fill ends, and whether it can be reached."""

from __future__ import annotations

import pytest
from support import chart, findings, of_rule, song

from charts.landing import CRASH_VOICES, landing_after, landing_voices

FEET = (
    'rows: "SD oooo\\nBD ..oo"'  # two sixteenths of the foot before the barline: at 140 no time for a third
)
HANDS = 'rows: "SD oooo\\nT1 ...o"'  # both hands on the last sixteenth


def landing(*lines: str, tempo: str = "140"):
    return of_rule(findings(chart(*lines, feel="straight sixteenths", tempo=tempo)), "landing")


def voices(*lines: str, index: int = 0) -> tuple[str, ...]:
    found = song(chart(*lines))
    (use,) = found.form[index].fills
    return landing_voices(found.form, index, found.form[index].times, use)


def test_a_foot_that_is_too_late_is_told() -> None:
    """The limb, from its last stroke to the landing, as a warning."""
    (finding,) = landing(f"Verse (4): {{fill: {{{FEET}}}}}", "Chorus (4)")
    assert finding.level == "warning"
    expected = "the right foot has 107 ms from BD on 4+3/4 to BD on 1, and needs 150"
    assert finding.message == f"the landing is out of reach: {expected}"


def test_hands_that_are_too_late_are_told() -> None:
    """Both hands struck a sixteenth before the crash."""
    (finding,) = landing(f"Verse (4): {{fill: {{{HANDS}}}}}", "Chorus (4)")
    assert "hand has 107 ms" in finding.message


def test_there_is_time_at_a_slower_tempo() -> None:
    """The same fill at 90 bpm."""
    assert not landing(f"Verse (4): {{fill: {{{FEET}}}}}", "Chorus (4)", tempo="90")


@pytest.mark.parametrize(
    "lines",
    [
        (f"Verse (4): {{fill: {{{FEET}}}}}",),
        (f"Verse (4): {{fill: {{{FEET}}}}}", "Break (4): {stops: 1.1}"),
        (f"Verse (4): {{fill: {{{FEET}}}}}", "Break (4): {stops: 1.1-2.4}"),
        (f"Verse (4): {{fill: {{{FEET}}}}}", "Quiet (4): {dynamics: p}"),
        (f"Verse (4): {{fill: {{{FEET}}}}}", "Quiet (4): {dynamics: ppp to f}"),
        (f"Verse (4): {{fill: {{{FEET}, land: none}}}}", "Chorus (4)"),
        (f"Verse (4): {{fill: {{{FEET}, land: SD}}}}", "Chorus (4)"),
        (f"Verse (4): {{fills: {{2: {{{FEET}}}}}, stops: 3.1}}",),
    ],
    ids=["last bar", "stop", "span", "p", "swell from ppp", "none", "another voice", "stop inside"],
)
def test_nothing_is_asked_where_nothing_lands(lines) -> None:
    """After the last bar, into a stop, into p and softer, and where the chart says so."""
    assert not landing(*lines)


@pytest.mark.parametrize(
    "lines",
    [
        (f"Verse (4): {{fill: {{{FEET}}}}}", "Loud (4): {dynamics: mp}"),
        (f"Verse (4): {{fill: {{{FEET}}}}}", "Break (4): {stops: 1.2}"),
        (f"Verse (4): {{fill: {{{FEET}, land: crash}}}}", "Quiet (4): {dynamics: p}"),
        (f"Verse (4): {{fill: {{{FEET}, land: crash}}}}",),
        (f"Verse (4): {{fills: {{2: {{{FEET}}}}}}}",),
        (f"Verse (4) x2: {{fills: {{4: {{{FEET}, pass: 1}}}}}}",),
    ],
    ids=["mp", "a later stop", "crash into p", "crash at the end", "inside", "into the next pass"],
)
def test_crash_and_bass_drum_are_asked_elsewhere(lines) -> None:
    """Louder than p, with the stop later, or where the chart asks for it."""
    assert landing(*lines)


def test_a_fill_that_lands_inside_a_bar_is_told_there() -> None:
    """It lands on the upbeat of three; the foot's last stroke is a sixteenth before."""
    (finding,) = landing(f"Verse (4): {{fills: {{2.3&: {{{FEET}}}}}}}")
    assert finding.message.endswith("from BD on 3+1/4 to BD on 3+1/2, and needs 150")


def test_what_lands() -> None:
    """Crash and bass drum, a voice by name, or nothing."""
    assert voices("Verse (4): {fill: one flam}", "Chorus (4)") == CRASH_VOICES
    assert voices("Verse (4): {fill: {use: one flam, land: RD}}", "Chorus (4)") == ("RD",)
    assert voices("Verse (4): {fill: {use: one flam, land: none}}", "Chorus (4)") == ()


def test_where_a_fill_ends() -> None:
    """In the next bar, in the next pass, in the next section, or nowhere."""
    found = song(chart("Verse (4) x2", "Chorus (4)"))
    places = [landing_after(found.form, *where) for where in ((0, 1, 2), (0, 1, 4), (0, 2, 4), (1, 1, 4))]
    assert [(each.index, each.place.bar) for each in places] == [(0, 3), (0, 1), (1, 1), (2, 1)]
    assert places[-1].section is None
