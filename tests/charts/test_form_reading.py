"""The form: what a line says, and what a repeated name inherits."""

from __future__ import annotations

from fractions import Fraction

import pytest
from support import BOOK, chart, findings, form, of_rule, read, song

from charts.song import Section


def only(name: str, *lines: str) -> Section:
    """The last section of that name."""
    return [section for section in form(*lines).form if section.name == name][-1]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("A (8)", ((8,), 1, False)),
        ("A (4+4+3)", ((4, 4, 3), 1, False)),
        ("A (8) x2", ((8,), 2, False)),
        ("A (8) x2 open", ((8,), 2, True)),
        ("A (8) open", ((8,), 1, True)),
        ("A: {bars: 4+4, times: 3, open: yes}", ((4, 4), 3, True)),
        ("'Chorus 2, big (8)'", ((8,), 1, False)),
    ],
)
def test_a_form_line_says_bars_times_and_open(line: str, expected: tuple[object, ...]) -> None:
    """In the line or under keys."""
    section = form(line).form[0]
    assert expected == (section.phrases, section.times, section.open)


def test_a_repeat_takes_all_that_the_first_line_said() -> None:
    """Bars, cues, fills, tempo; and it is the very same section."""
    first, _, second = form("A (8) x2: {cue: low, fill: big turn, tempo: 90}", "B (4)", "A").form
    assert first == second


def test_a_later_change_holds_for_that_appearance_only() -> None:
    """A third appearance goes back to the line that gave the bars."""
    _, changed, third = form("A (8): {cue: low}", "A: {cue: high, dynamics: ff}", "A").form
    assert (("high",), ("ff",)) == (tuple(cue.text for cue in changed.cues), changed.dynamics)
    assert (("low",), ()) == (tuple(cue.text for cue in third.cues), third.dynamics)


def test_cues_and_fills_are_merged_place_by_place() -> None:
    """One is changed, one stays, one goes."""
    changed = only(
        "A",
        "A (8): {cues: {1: one, 3: three, 5: five}, fills: {4: big turn, 8: short pickup}}",
        "A: {cues: {3: drei, 5: none}, fills: {4: none}}",
    )
    assert ["one", "drei"] == [cue.text for cue in changed.cues]
    assert ["short pickup"] == [use.name for use in changed.fills]


def test_none_removes() -> None:
    """What a section inherits can be taken away."""
    changed = only(
        "A",
        "A (8): {hits: 3.1, tempo: 90, fill: big turn, cue: low, stops: 8.1, meter: 3/4}",
        "A: {hits: none, tempo: none, fill: none, cue: none, stops: none, meter: none}",
    )
    assert ((), Fraction(100), (), (), (), "4/4") == (
        changed.hits, changed.tempo, changed.fills, changed.cues, changed.stops, str(changed.meter),
    )  # fmt: skip


def test_like_takes_a_section_over_under_a_new_name() -> None:
    """And that name can be repeated."""
    sections = form("A (8): {cue: low, hits: 2.1}", "B: {like: A, cue: high}", "B").form
    assert [8, 8, 8] == [section.bars for section in sections]
    assert ["low", "high", "high"] == [section.cues[0].text for section in sections]
    assert sections[0].hits == sections[2].hits


def test_a_section_without_a_tempo_goes_back_to_the_songs() -> None:
    """A section's own tempo is its own."""
    assert [100, 90, 100] == [section.tempo for section in form("A (8)", "B (8): {tempo: 90}", "C (8)").form]


def test_a_second_line_with_bars_is_an_error() -> None:
    """Of rule form."""
    found = of_rule(findings(chart("A (8)", "A (4)")), "form")
    assert ["A gets its bars a second time"] == [finding.message for finding in found if finding.is_error]


def test_line_and_key_that_disagree_are_an_error() -> None:
    """Both may say it, if they say the same."""
    assert of_rule(findings(chart("A (8): {bars: 4}")), "form")
    assert read(chart("A (8): {bars: 8}")).song is not None


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ("hits: 9.1", "has no bar 9"),
        ("hits: 3.5", "has no beat 5"),
        ("meter: 6/8, hits: 3.6", "has no beat 6"),
        ("cues: {9: x}", "has no bar 9"),
        ("stops: 7.1-9.1", "has no bar 9"),
        ("odd-bars: {9: 2/4}", "has no bar 9"),
        ("fills: {9: big turn}", "has no bar 9"),
        ("fill: {use: big turn, pass: 3}", "has no pass 3"),
        ("tempos: {9: 80}", "has no bar 9"),
        ("stops: 8.1-7.1", "ends before it starts"),
        ("feel: shuffle, hits: 3.1e", "has no “e”"),
        ("fill: {pass: last}", "neither a name nor rows"),
        ("feel: {name: x, divides: [2], swing: 2}", "whose last division is 3"),
        ("dynamics: loud", "is not a dynamic"),
        ("holds: {3.1: long}", "is not a number"),
    ],
)
def test_a_place_that_is_not_there_is_told(keys: str, says: str) -> None:
    """With what the section has instead."""
    assert any(says in finding.message and finding.hint for finding in findings(chart(f"A (8): {{{keys}}}")))


def test_values_are_read_as_they_stand() -> None:
    """What YAML would turn into a number, a truth or a time stays what a musician wrote."""
    found = song(
        "title: no\nby: 010\nkey: E\ntempo: 66.5\nfeel: shuffle\ncount-in: 1 bar 2 beats\npickup: 1/2 beat\n"
        "ending: 20:30\nform:\n  - on (8): {cue: yes, cues: {7.2: 1e3}}\n"
    )
    assert ("no", "010", "E", Fraction(133, 2), "20:30") == (
        found.title,
        found.by,
        found.key,
        found.tempo,
        found.ending,
    )
    assert ("on", ["yes", "1e3"]) == (found.form[0].name, [cue.text for cue in found.form[0].cues])
    assert ((1, 2), Fraction(1, 2)) == ((found.count_in.bars, found.count_in.beats), found.pickup)


def test_a_fill_can_stand_in_the_chart() -> None:
    """Rows in place, and a pattern like another."""
    text = chart(
        "A (8):\n      fill:\n        rows: |\n          SD ooo|o..\n          BD ...|..o\n        pass: 1",
        feel="shuffle",
    )
    use = song(text).form[0].fills[0]
    assert use.pattern is not None
    assert (2, "", 1) == (use.pattern.beats, use.name, use.pass_)


def test_a_wrong_cell_in_a_chart_is_told_at_its_own_column() -> None:
    """Row and column of the file, not of the pattern."""
    text = chart("A (8):\n      fill:\n        rows: |\n          SD oqo|o..\n", feel="shuffle")
    finding = next(each for each in findings(text) if "not a stroke" in each.message)
    assert finding.span is not None
    assert (text.split("\n")[finding.span.line - 1][finding.span.column - 1], "q") == ("q", finding.span.text)


def test_a_feel_can_be_defined_in_place() -> None:
    """With its own ratio."""
    found = song(chart("A (8): {feel: {name: lazy, divides: [2, 3], swing: 1.6}}"))
    assert ("lazy", Fraction(8, 5), 6) == (
        found.form[0].feel.name,
        found.form[0].feel.swing,
        found.form[0].feel.home,
    )


def test_limits_have_their_messages() -> None:
    """2,000 sections, 10,000 bars."""
    assert any("2000 sections" in each.message for each in findings(chart(*["A (1)"] + ["A"] * 2000)))
    assert any("10000 bars" in each.message for each in findings(chart("A (999) x20")))
    assert any("are too many" in each.message for each in findings(chart("A (10001)")))


def test_shipped_names_are_known() -> None:
    """The vocabulary is after every book."""
    assert BOOK.patterns.get("stairs in threes") is not None
    assert BOOK.feels.get("Straight 8ths") is BOOK.feels.get("straight eighths")


def test_an_eighth_of_a_compound_bar_is_offered_as_its_place() -> None:
    """Who counts 6/8 in six reads where the sixth eighth is."""
    (found,) = [each for each in findings(chart("A (8): {meter: 6/8, hits: 8.6}")) if each.is_error]
    assert found.hint.endswith("its eighth 6 is 8.2a")


def test_what_repeats_inherit_is_told_once() -> None:
    """The place is in the file once."""
    assert len(findings(chart("A (8): {hits: 9.1}", "A: {cue: x}", "A: {cue: y}"))) == 1


def test_a_meter_that_cannot_be_read_is_not_blamed_on_the_beats() -> None:
    """One error, not a trail of them."""
    found = findings(chart("A (8): {hits: 3.6}", head="meter: 7/8\n"))
    assert ["7/8 needs its groups"] == [each.message for each in found]


def test_a_key_by_another_word_is_understood() -> None:
    """What people write for tempo, feel and writer."""
    text = "title: T\nbpm: 100\nstyle: shuffle\nartist: Us\nform: [A (8)]\n"
    assert {"write tempo", "write feel", "write by"} <= {each.hint for each in findings(text)}


def test_rows_without_their_bar_run_into_one_line() -> None:
    """And that is said, not what falls out of it."""
    text = chart("A (8):\n      fill:\n        rows:\n          SD oo|oo\n          BD o.|o.\n")
    assert ["the rows run into one line"] == [each.message for each in findings(text)]


def test_bars_cannot_be_taken_away() -> None:
    """A section without bars is none; what it is like may be."""
    _, found = findings(chart("A: {bars: none}"))
    assert "“none” is not a number of bars" == found.message
    assert "" == song(chart("A (8)", "A: {like: none}")).form[1].like


def test_yes_and_no_by_other_words() -> None:
    """What was yes and no to YAML still is."""
    said = {
        word: form(f"A (8): {{open: {word}}}").form[0].open for word in ("on", "true", "off", "false", "no")
    }
    assert {"on": True, "true": True, "off": False, "false": False, "no": False} == said


def test_holds_and_tempos_of_a_repeat_can_be_taken_away() -> None:
    """As everything that a section inherits."""
    _, bare = form(
        "A (8): {holds: {3.1: 4}, tempos: {3: 90}}", "A: {holds: none, tempos: none, fills: none}"
    ).form
    assert ((), ()) == (bare.holds, bare.tempos)


def test_fills_of_a_repeat_can_be_taken_away_all_at_once() -> None:
    """And new ones put there later."""
    lines = ["A (8): {fills: {4: big turn, 8: short pickup}}", "A: {fills: none}", "A"]
    assert [2, 0, 2] == [len(section.fills) for section in form(*lines).form]


def test_what_stands_in_places_is_put_in_their_order() -> None:
    """However it was written."""
    section = form(
        "A (8): {hits: 3.2 3.1& 2.4, holds: {6.1: 2.5 s, 2.1: 4}, tempos: {6: 90, 3: {tempo: 80 to 70, pass: each}}}"
    ).form[0]
    assert ["2.4", "3.1&", "3.2"] == [str(at) for at in section.hits]
    assert [("2", 4), ("6", Fraction(5, 2))] == [(str(hold.place), hold.seconds) for hold in section.holds]
    assert [(3, 80, 70, "each"), (6, 90, None, "last")] == [
        (m.bar, m.tempo, m.to, m.pass_) for m in section.tempos
    ]


def test_no_pickup_and_no_count_in_can_be_said() -> None:
    """In a word."""
    found = song(chart("A (8)", head="pickup: none\ncount-in: none\n"))
    assert (0, 0, 0) == (found.pickup, found.count_in.bars, found.count_in.beats)
