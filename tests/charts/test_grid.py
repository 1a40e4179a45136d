"""The rule grid: fills against the feel where they are played."""

from __future__ import annotations

from support import chart, findings, of_rule

from charts.source import Finding

SIXTEENTHS = "sixteenths round the kit"


def grid(*lines: str, feel: str = "half-time shuffle", head: str = "", tempo: str = "92") -> list[Finding]:
    return of_rule(findings(chart(*lines, feel=feel, head=head, tempo=tempo)), "grid")


def test_straight_sixteenths_over_a_shuffle_are_an_error_at_the_fill() -> None:
    """With the beat, the offsets, and the place in the song."""
    (found,) = grid("Verse (8): {fill: sixteenths round the kit}")
    assert ("error", "clashes", -54.3) == (found.level, found.detail["verdict"], found.detail["offset_ms"])
    assert ("Verse", 1, 8, 1) == (found.where.section, found.where.pass_, found.where.bar, found.where.beat)
    assert found.span is not None
    assert found.span.text == SIXTEENTHS
    assert found.message == "this fill divides the beat in 4, and Verse is a half-time shuffle (3)"


def test_triplets_over_a_straight_feel_are_a_warning() -> None:
    """Where they do not run from beat to beat; straight sixteenths over a shuffle are simply wrong."""
    (found,) = grid("Verse (8): {fill: {rows: 'SD ooo|o.o|o.o|ooo'}}", feel="straight sixteenths")
    assert ("warning", "clashes") == (found.level, found.detail["verdict"])


def test_triplets_from_beat_to_beat_over_a_straight_feel_are_a_note() -> None:
    """A whole run in threes is a rhythm across the beat, not a slip."""
    (found,) = grid("Verse (8): {fill: stairs in threes}", "Chorus (8)", feel="straight sixteenths")
    assert ("note", "crosses") == (found.level, found.detail["verdict"])


def test_on_purpose_turns_a_finding_into_a_note_with_its_reason() -> None:
    """Listed, not counted."""
    (found,) = grid("Verse (8): {fill: {use: sixteenths round the kit, on-purpose: we like it}}")
    assert ("note", "we like it") == (found.level, found.detail["on_purpose"])


def test_sets_up_next_judges_against_the_next_section() -> None:
    """A straight fill into a straight bridge is right; without the word the message says what it fits."""
    lines = "Bridge (8): {feel: straight sixteenths}"
    assert not grid("Verse (8): {fill: {use: sixteenths round the kit, sets-up: next}}", lines)
    (found,) = grid("Verse (8): {fill: sixteenths round the kit}", lines)
    assert any("Bridge, the next section" in text for _, text in found.lines)


def test_one_finding_for_each_written_place() -> None:
    """Repeats and passes that inherit it stand in also."""
    (found,) = grid("Chorus (8) x2: {fills: {4: sixteenths round the kit}}", "Verse (8)", "Chorus")
    assert [("Chorus", 1, 2, 4), ("Chorus", 25, 1, 4), ("Chorus", 25, 2, 4)] == [
        (each["section"], each["first_bar"], each["pass"], each["bar"]) for each in found.detail["also"]
    ]
    two = grid("Chorus (8): {fill: sixteenths round the kit}", "Chorus: {fill: sixteenths round the kit}")
    assert len(two) == 2


def test_a_fill_that_fits_is_silent() -> None:
    """Nothing to say is said by saying nothing."""
    assert not grid("Verse (8): {fill: stairs in threes}")


def test_the_tempo_of_the_beat_counts() -> None:
    """The same even pair clashes at 240 and is near at 260, where the swing is lighter."""
    pair = "fill: {rows: 'SD oo'}"
    assert ["error"] == [each.level for each in grid(f"A (8): {{{pair}}}", feel="swing", tempo="240")]
    assert ["note"] == [each.level for each in grid(f"A (8): {{{pair}}}", feel="swing", tempo="260")]


def test_written_straight_played_swung_fits_a_shuffle() -> None:
    """Pairs written even are read as swung ones."""
    fill = "fill: {rows: 'SD oo|oo', written: straight, played: swung}"
    assert not grid(f"A (8): {{{fill}}}", feel="shuffle")
    assert grid("A (8): {fill: {rows: 'SD oo|oo'}}", feel="shuffle")


def test_every_beat_of_the_fill_is_listed() -> None:
    """As in fit."""
    (found,) = grid("A (8): {fill: {rows: 'SD ooo|oooo|ooo|oo'}}")
    assert ["fits", "clashes", "fits", "clashes"] == [beat["verdict"] for beat in found.detail["beats"]]
    assert [1, 2, 3, 4] == [beat["beat"] for beat in found.detail["beats"]]


def test_a_fill_that_lands_inside_a_beat_is_laid_over_the_beats_it_covers() -> None:
    """Two strokes before the & of four in a shuffle: on the grid where it falls."""
    assert not grid("A (8): {fills: {8.4&: {rows: 'SD ooo'}}}", feel="shuffle")
    assert grid("A (8): {fills: {8.4&: {rows: 'SD oooo'}}}", feel="shuffle")


def test_a_straight_feel_in_seven_eighths_divides_its_groups() -> None:
    """2, 2 and 3: triplets on a group of two clash, three eighths on a group of three fit."""
    seven = "meter: 7/8 (2+2+3)\n"
    assert not grid("A (8): {fill: {rows: 'SD oo|oo|ooo'}}", feel="straight eighths", head=seven)
    assert grid("A (8): {fill: {rows: 'SD ooo|oo|ooo'}}", feel="straight eighths", head=seven)


def test_a_compound_bar_is_told_in_its_own_beats_and_re_laid_in_its_meter() -> None:
    """Three eighths a beat, whatever the feel divides elsewhere; the place runs over both bars."""
    (found,) = grid(
        "A (8): {meter: 6/8, fill: sixteenths round the kit}", feel="straight eighths", tempo="100"
    )
    assert found.message.endswith("A is in straight eighths (3 in this beat of three eighths)")
    assert "bar 7 beat 1 to bar 8 beat 2, at 100 bpm" == found.caption
    assert found.hint.endswith('regrid "sixteenths round the kit" --feel "straight eighths" --meter "6/8"')
