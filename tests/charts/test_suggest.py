"""Which fill for a spot."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F

import pytest
from support import BOOK, chart, feel, findings, of_rule, pattern, song

from charts.families import KIN, kinship
from charts.feel import Feel, plain_name
from charts.fitting.hands import playable
from charts.fitting.moments import own_beats
from charts.fitting.reasons import length
from charts.fitting.spot import chart_spot
from charts.fitting.suggest import Suggestion, instead_of
from charts.fitting.suggest import suggest as suggest_of
from charts.fitting.wanted import Spot, Wanted, like
from charts.pattern import Pattern
from charts.reading.files import read_pattern_file
from charts.source import Source
from charts.timing import Meter
from charts.verdict import FITS, judge, worst
from charts.vocabularies import BOOK_ORIGIN, FeelTable, PatternTable

BEAT = Meter.read("4/4").beats[0]
TURN = chart(
    "Verse (8): {fill: sixteenths round the kit}", "Chorus (8)", feel="half-time shuffle", tempo="92"
)


def spot(name: str = "shuffle", bpm: int = 92, beats: int = 4, **more) -> Spot:
    wanted = more.pop("wanted", Wanted(2, 3))
    return Spot(feel(name), ((BEAT, F(bpm)),) * beats, wanted, **more)


def named(rows: str, name: str, **more) -> Pattern:
    return replace(pattern(rows), name=name, **more)


def table(rows: dict[str, str]) -> PatternTable:
    fills = "".join(f'  {name}: {{rows: "{row}"}}\n' for name, row in rows.items())
    return PatternTable([read_pattern_file(Source("fills.yaml", f"fills:\n{fills}"), BOOK_ORIGIN)])


def suggest(spot: Spot, patterns, **more) -> tuple[Suggestion, ...]:
    return suggest_of(spot, patterns, BOOK.feels, **more)


def names(found) -> list[str]:
    return [each.pattern.name for each in found]


def at(text: str, section: int = 0, bar: int | None = None):
    return chart_spot(song(text), section, bar)


# Ranking


def test_only_what_fits_and_can_be_played() -> None:
    """Every suggestion from the vocabulary, for several feels and tempos."""
    for name, bpm in (
        ("shuffle", 92),
        ("straight sixteenths", 140),
        ("sixteenth shuffle", 80),
        ("swing", 220),
    ):
        here = spot(name, bpm)
        found = suggest(here, BOOK.patterns.fills())
        assert found
        for each in found:
            under = here.beats[len(here.beats) - each.pattern.beats :]
            assert worst(judge(each.pattern, here.feel, under)) == FITS
            assert playable(each.pattern, here.feel, under).playable
            assert each.pattern.tempo is None or each.pattern.tempo[0] <= bpm <= each.pattern.tempo[1]


def test_the_nearest_in_length_busyness_and_drums_comes_first() -> None:
    """What is like the one asked for goes ahead of the rest."""
    asked = pattern("SD ooo|ooo\nFT ...|..o")
    others = [
        named("SD o..", "one"),
        named("SD ooo|ooo|ooo|ooo", "long"),
        named("RD ooo|ooo", "ride"),
        named("SD oo.|ooo\nFT ...|..o", "like"),
    ]
    found = suggest(spot(wanted=like(asked)), others)
    assert names(found)[0] == "like"
    assert [each.distance for each in found] == sorted(each.distance for each in found)


def test_a_feel_that_clashes_is_left_out() -> None:
    """Straight sixteenths do not come up in a shuffle, whatever else is right."""
    assert not suggest(spot(), [named("SD oooo|oooo", "sixteenths")])


def test_what_hands_cannot_play_there_is_left_out() -> None:
    """Three drums at once; and a foot that cannot land."""
    assert not suggest(spot(), [named("SD ooo\nT1 ooo\nFT ooo", "three hands")])
    foot = [named("BD ooo", "foot")]
    assert not suggest(spot(bpm=140), foot)


def test_a_fill_outside_its_own_tempi_is_left_out() -> None:
    """Its range says where it sounds right."""
    slow = [named("SD ooo", "slow", tempo=(F(40), F(80)))]
    assert not suggest(spot(bpm=92), slow)
    assert suggest(spot(bpm=60), slow)


def test_a_fill_longer_than_the_room_is_left_out() -> None:
    """Four beats do not go into two."""
    assert not suggest(spot(beats=2), [named("SD ooo|ooo|ooo|ooo", "long")])


def test_a_fill_for_another_meter_is_left_out() -> None:
    """One made for 7/8 in 2+2+3 does not lie over quarters."""
    seven = [named("SD oo|oo|ooo", "seven", meter=Meter.read("7/8 (2+2+3)"))]
    assert not suggest(spot("straight eighths", 100), seven)


def test_the_fill_used_just_before_is_not_repeated() -> None:
    """Nor the one that is there now."""
    one = [named("SD ooo", "Short Pickup")]
    assert not suggest(spot(taken=frozenset({"short pickup"})), one)


def test_grooves_are_not_fills() -> None:
    """Nothing that loops is offered."""
    assert not suggest(spot(), BOOK.patterns.grooves())


def test_its_own_words_count() -> None:
    """Of two that are equally near the one that suits a chorus goes first, and says so."""
    both = [named("SD ooo|ooo", "a"), named("SD oOo|ooo", "b", suits="into choruses; loud")]
    found = suggest(spot(leads_into="Chorus 2"), both)
    assert names(found) == ["b", "a"]
    assert found[0].reason.startswith("suits a chorus")


POLKA, SAMBA, ANY = (
    named("SD Oo|oo", "c polka", feels=("polka",)),
    named("SD oO|oo", "a samba", feels=("samba",)),
    named("SD oo|Oo", "b any", suits="under a vocal"),
)


def test_what_is_made_for_the_feel_goes_first_and_what_is_made_for_another_last() -> None:
    """Of fills that are equally near; the reason says what each is made for."""
    two = spot("polka", wanted=Wanted(2, 2))
    found = suggest(two, [SAMBA, ANY, POLKA])
    assert names(found) == ["c polka", "b any", "a samba"]
    assert [each.reason.split(", ")[0] for each in found] == ["made for polka", "2 beats", "made for samba"]
    assert names(suggest(replace(two, feel=feel("samba")), [POLKA, ANY, SAMBA]))[0] == "a samba"


def test_a_stranger_is_a_clear_step_away_and_home_a_small_one_nearer() -> None:
    """Another style goes after what is a little calmer, not after what is half as long; length goes first."""
    shorter, longer = named("SD oo", "short"), named("SD oo|oo|oo|oo", "long", feels=("polka",))
    wanted = spot("polka", wanted=Wanted(2, 2), leads_into="Verse", beats=8)
    assert names(suggest(wanted, [SAMBA, named("SD oo|o.", "calm")])) == ["calm", "a samba"]
    assert names(suggest(wanted, [SAMBA, shorter])) == ["a samba", "short"]
    assert names(suggest(wanted, [longer, ANY])) == ["b any", "long"]


def test_in_three_a_waltz_is_at_home_in_any_feel() -> None:
    """The meter of the bar counts, in ``suggest`` and in what the check offers instead."""
    lines = (
        "Verse (8): {fill: {rows: 'SD ooo|o.o|o.o'}}",
        "Chorus (8): {dynamics: f}",
        "Verse 2 (8)",
        "Chorus",
    )
    three, four = chart(*lines, head="meter: 3/4\n"), chart(*lines)
    (best, *_) = suggest(at(three, 2).spot, BOOK.patterns.fills())
    assert best.reason.startswith("made for waltz, ")
    instead = [of_rule(findings(text), "grid")[0].detail["instead"] for text in (three, four)]
    assert [any("waltz" in name for name in names) for names in instead] == [True, False]


def test_what_is_instead_is_for_the_style_of_the_feel() -> None:
    """No fill for swing alone in a shuffle; the drag is for marches and street beats, not for a samba."""
    for name, clash, fill, offered in (
        ("shuffle", "sixteenths round the kit", "trading turn", False),
        ("swing", "sixteenths round the kit", "trading turn", True),
        ("samba", "skip pickup", "drag pickup", False),
        ("march", "skip pickup", "drag pickup", True),
        ("second line", "skip pickup", "drag pickup", True),
    ):
        text = chart(f"Verse (8): {{fill: {clash}}}", "Chorus (8)", feel=name, tempo="110")
        (found,) = of_rule(findings(text), "grid")
        assert (fill in found.detail["instead"]) == offered, name


def test_styles_are_those_of_the_books_own_feels() -> None:
    """Two books with the same fills, of which one calls its polka a samba, too."""
    fills = 'fills:\n  b samba: {feels: samba, rows: "SD oo|oo"}\n  c any: {rows: "SD oO|oo"}\n'
    ours = PatternTable([read_pattern_file(Source("fills.yaml", fills), BOOK_ORIGIN)])
    polka, clash, under = feel("polka"), named("SD ooo|ooo", "threes"), ((BEAT, F(100)),) * 2
    own = FeelTable([replace(polka, also=("samba",))])
    for feels, first in ((own, "b samba"), (BOOK.feels, "c any"), (own, "b samba")):
        assert instead_of(clash, polka, under, ours, feels)[0].name == first


def test_soft_places_ask_for_no_toms() -> None:
    """The snare alone goes ahead of the toms."""
    both = [named("SD ooo|...\nFT ...|ooo", "toms"), named("SD ooo|ooo", "zz snare")]
    assert names(suggest(spot(soft=True), both))[0] == "zz snare"


def test_reasons_are_a_few_words() -> None:
    """Length, busyness and drums, compared with what was asked for."""
    wanted = like(pattern("SD ooo|ooo"))
    (found,) = suggest(spot(wanted=wanted), [named("SD oo.\nT1 ..o", "turn")])
    assert found.reason == "shorter, as busy, snare and high tom"


def test_equals_go_by_name() -> None:
    """The order is the same every time."""
    both = [named("SD ooo|ooo", "b"), named("SD oOo|ooo", "a")]
    assert names(suggest(spot(), both)) == names(suggest(spot(), both[::-1])) == ["a", "b"]


def test_instead_of_gives_up_to_three() -> None:
    """What the rule grid names: fills that fit under a fill that does not."""
    clash = named("SD oooo|oooo|oooo|oooo", "sixteenths")
    beats = own_beats(clash, F(92))
    found = instead_of(clash, feel("half-time shuffle"), beats, BOOK.patterns, BOOK.feels)
    assert len(found) == 3
    assert all(worst(judge(each, feel("half-time shuffle"), beats[-each.beats :])) == FITS for each in found)


METERS = {
    "slow 12/8": "12/8", "6/8 ballad": "6/8", "fast 6/8": "6/8", "bembe": "12/8", "jazz waltz": "3/4",
    "waltz": "3/4", "march": "2/4", "polka": "2/4", "cut time": "2/2", "swing in five": "5/4",
}  # fmt: skip


def tempo_of(feel: Feel) -> int:
    """The middle of its groove's tempos."""
    groove = BOOK.patterns.get(feel.groove)
    assert groove is not None
    assert groove.tempo is not None
    return int(sum(groove.tempo) / 2)


@pytest.mark.parametrize("follows", ["", ": {dynamics: f}", ": {dynamics: p}"])
@pytest.mark.parametrize("bars", [1, 2])
@pytest.mark.parametrize("each", list(BOOK.feels), ids=lambda each: each.name)
def test_one_of_the_first_three_is_made_for_the_feel(each: Feel, bars: int, follows: str) -> None:
    """On an empty spot of one bar and of two, in every feel that ships, whatever follows."""
    head = f"meter: {METERS.get(each.name, '4/4')}\n"
    lines = (f"Verse ({bars}): {{dynamics: mf}}", f"Chorus (8){follows}")
    here = at(chart(*lines, head=head, feel=each.name, tempo=str(tempo_of(each)))).spot
    family = kinship(each, BOOK.feels, here.meter)
    levels = [family.made_for(found.pattern)[0] for found in suggest(here, BOOK.patterns.fills(), count=3)]
    assert min(levels) <= KIN


# Spots in a chart


def test_the_spot_is_the_end_of_the_last_pass() -> None:
    """Two bars are free, and the fill that is there is what another should be like."""
    found = at(TURN)
    assert (found.bar, len(found.spot.beats), found.spot.leads_into) == (8, 8, "Chorus")
    assert found.now is not None
    assert found.spot.wanted.beats == 4
    assert plain_name("sixteenths round the kit") in found.spot.taken


def test_tempo_is_taken_where_the_beats_are() -> None:
    """In a section that speeds up each beat has its own."""
    found = at(chart("Verse (4): {tempo: 100 to 116}", "Chorus (4)"))
    tempos = [bpm for _, bpm in found.spot.beats]
    assert (tempos[0], tempos[-1]) == (108, 115)


@pytest.mark.parametrize(
    ("line", "free"),
    [
        ("Verse (8): {hits: 8.1}", 3),
        ("Verse (8): {stops: 8.1-8.2}", 2),
        ("Verse (8): {stops: 7.2}", 6),
        ("Verse (8): {holds: 8.3}", 1),
        ("Verse (8): {fills: {7: one flam}}", 4),
        ("Verse (8): {fills: {8.2: one flam}}", 3),
        ("Verse (1)", 4),
        ("Verse (8): {odd-bars: {8: 2/4}}", 6),
        ("Verse (8): {hits: 8.4&}", 8),
    ],
)
def test_what_is_free(line: str, free: int) -> None:
    """Hits, stops, holds and other fills take their beats; a section ends where it ends."""
    assert len(at(chart(line, "Chorus (4)")).spot.beats) == free


@pytest.mark.parametrize("busy", ["stops: 8.3-8.4", "stops: 7.3-8.4", "hits: 8.1 8.3", "holds: 8.2"])
def test_what_the_fill_there_now_covers_is_free(busy: str) -> None:
    """It is played there, so another of its length can be; what check offers instead is offered here too."""
    here = at(chart(f"Verse (8): {{{busy}, fill: sixteenths round the kit}}", "B (4)", feel="shuffle"))
    assert len(here.spot.beats) == here.now.pattern.beats == 4
    found = suggest(here.spot, BOOK.patterns.fills(), count=200)
    under = here.spot.beats
    instead = instead_of(here.now.pattern, here.spot.feel, under, BOOK.patterns, BOOK.feels)
    assert instead
    assert {each.name for each in instead} <= set(names(found))


def test_the_fill_just_before_is_known() -> None:
    """In the same section, in the pass before, in the section before."""
    inside = at(chart("Verse (8): {fills: {4: one flam}}", "Chorus (4)"))
    across = at(chart("Verse (8): {fill: one flam}", "Chorus (4)"), 1)
    passes = at(chart("Verse (8) x2: {fills: {8: {use: one flam, pass: 1}}}", "Chorus (4)"))
    for found in (inside, across, passes):
        assert found.before is not None
        assert found.before.name == "one flam"
        assert "one flam" in found.spot.taken


def test_what_follows_decides_how_big() -> None:
    """One beat into something softer, a bar into something loud, half a bar else."""
    sizes = [
        at(chart("Verse (8): {dynamics: mf}", line)).spot.wanted.beats
        for line in ("Quiet (4): {dynamics: p}", "Loud (4): {dynamics: f}", "Same (4)")
    ]
    assert sizes == [1, 4, 2]


def test_into_p_it_is_soft_and_lands_on_nothing() -> None:
    """No toms are wished for, and no crash is asked."""
    found = at(chart("Verse (8)", "Quiet (4): {dynamics: p}"))
    assert (found.spot.soft, found.spot.landing) == (True, ())


def test_the_last_bar_leads_into_the_ending() -> None:
    """Nothing lands after it."""
    found = at(chart("Verse (8)"))
    assert (found.spot.leads_into, found.spot.landing) == ("ending", ())


def test_a_bar_inside_the_section() -> None:
    """It leads on into the same section; a bar that is not there is refused."""
    found = at(TURN, 0, 4)
    assert (found.bar, found.spot.leads_into, found.now) == (4, "Verse", None)
    with pytest.raises(ValueError, match="there is not a bar 9"):
        at(TURN, 0, 9)


def test_a_fill_that_sets_up_the_next_is_judged_there() -> None:
    """Suggestions then fit the feel of the section that follows."""
    text = chart("Verse (8): {fill: {use: stairs in threes, sets-up: next}}", "Shuffle (4): {feel: shuffle}")
    assert at(text).spot.feel.name == "shuffle"


def test_a_books_own_fills_come_from_its_table() -> None:
    """Any patterns will do: here none."""
    assert suggest(at(TURN, 1).spot, PatternTable([]).fills()) == ()


def test_a_landing_inside_a_beat_moves_what_is_offered() -> None:
    """Where a fill lands on the upbeat of four, others are judged as they would lie there."""
    clash = named("SD ooooo|ooooo", "fives")
    under = ((BEAT, F(100)),) * 3
    rows = {"eighths": "SD oo|oo", "too long": "SD oo|oo|oo", "threes": "SD ooo|ooo"}
    found = instead_of(clash, feel("straight eighths"), under, table(rows), BOOK.feels, offset=F(1, 2))
    assert [each.name for each in found] == ["eighths"]


def test_what_is_instead_is_of_the_book_and_can_be_played_at_the_tempo() -> None:
    """Two books with fills that sound alike under other names; the same spot, slower and faster."""
    clash, straight = named("SD ooo|ooo", "threes"), feel("straight sixteenths")
    busy, calm = {"busy": "SD oooo|oooo"}, {"calm": "SD o.o.|o.o."}
    first, second = table(busy | calm), table({"other name": "SD oooo|oooo"} | calm)
    for bpm, of_first, of_second in (
        (90, {"busy", "calm"}, {"other name", "calm"}),
        (300, {"calm"}, {"calm"}),
        (90, {"busy", "calm"}, {"other name", "calm"}),
    ):
        under = ((BEAT, F(bpm)),) * 2
        assert {each.name for each in instead_of(clash, straight, under, first, BOOK.feels)} == of_first
        assert {each.name for each in instead_of(clash, straight, under, second, BOOK.feels)} == of_second


# The fill that is there


def test_the_fill_that_clashes_comes_first_on_the_right_grid() -> None:
    """The same drums in the same order, on the feel's grid, with how it got there; then the rest."""
    here = at(TURN).spot
    first, second, *_ = suggest(here, BOOK.patterns.fills())
    assert here.now is not None
    assert (first.pattern.name, first.laid_anew) == ("sixteenths round the kit re-laid", True)
    assert worst(judge(first.pattern, here.feel, here.under(first.pattern))) == FITS
    assert first.pattern.voices == here.now.voices
    assert first.pattern.feels == ("half-time shuffle",)
    assert not second.laid_anew


@pytest.mark.parametrize(
    ("fill", "feel_name", "moved"),
    [
        ("stairs in threes", "shuffle", False),  # it fits
        ("triplets round the kit", "straight sixteenths", False),  # it crosses the beat: the player's choice
        ("sixteenths round the kit", "shuffle", True),
        ("nonesuch", "shuffle", False),
        ("{rows: 'SD oooo'}", "shuffle", True),
    ],
)
def test_only_a_clash_is_moved(fill: str, feel_name: str, moved: bool) -> None:
    """What fits or crosses is left alone; what does not exist cannot be moved."""
    text = chart(f"Verse (8): {{fill: {fill}}}", "Chorus (8)", feel=feel_name, tempo="92")
    assert [each.laid_anew for each in suggest(at(text).spot, BOOK.patterns.fills(), count=1)] == [moved]


def test_a_fill_longer_than_its_room_is_not_moved() -> None:
    """There is nowhere to move it to."""
    here = at(chart("Verse (1): {fill: two bars round the kit}", "Chorus (8)", feel="shuffle"))
    assert not any(each.laid_anew for each in suggest(here.spot, BOOK.patterns.fills()))


# Into another feel


INTO = chart("Verse (8)", "Chorus (8): {feel: half-time shuffle}", tempo="92")


def test_into_another_feel_the_next_one_counts() -> None:
    """First what fits both, then one that only the next feel admits, to be set up; then the old feel's."""
    here = at(INTO).spot
    both, after, *rest = suggest(here, BOOK.patterns.fills())
    new = feel("half-time shuffle")
    for feels, each in (((here.feel, new), both), ((new,), after), ((here.feel,), rest[0])):
        assert {feel_.name for feel_ in (here.feel, new) if fits_there(each, here, feel_)} == {
            feel_.name for feel_ in feels
        }
    assert [each.sets_up for each in (both, after, *rest)] == [False, True] + [False] * len(rest)
    assert both.reason.startswith("fits both feels, ")
    assert after.reason.startswith("sets up the half-time shuffle, ")
    assert all(fits_there(each, here, here.feel) for each in rest)
    assert len({id(each.pattern) for each in (both, after, *rest)}) == len(rest) + 2


def fits_there(each: Suggestion, here: Spot, in_feel: Feel) -> bool:
    return worst(judge(each.pattern, in_feel, here.under(each.pattern))) == FITS


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("Chorus (8): {feel: shuffle}", "shuffle"),
        ("Chorus (8): {feel: shuffle, tempo: 120}", ""),  # a fill at one tempo cannot set up the other
        ("Chorus (8): {feel: straight eighths}", ""),
        ("Chorus (8)", ""),
    ],
)
def test_when_the_next_feel_counts(line: str, name: str) -> None:
    """Where it is another at the same tempo."""
    found = at(chart("Verse (8)", line)).spot.next_feel
    assert (found.name if found else "") == name
    assert at(chart("Verse (8)", line), 0, 4).spot.next_feel is None
    assert at(chart("Verse (8)")).spot.next_feel is None


def test_between_feels_of_one_grid_nothing_is_set_up() -> None:
    """What the next feel admits the old one admits, too."""
    here = at(chart("Verse (8)", "Chorus (8): {feel: straight sixteenths}"))
    assert not any(each.sets_up for each in suggest(here.spot, BOOK.patterns.fills()))


# Hits


@pytest.mark.parametrize(
    ("hits", "beats", "offset", "target"),
    [
        ("8.4&", 8, F(1, 2), "8.4&"),
        ("8.4", 7, F(0), "8.4"),
        ("8.2 8.4&", 2 + 1 - 1, F(1, 2), "8.4&"),
        ("8.4 8.4&", 8, F(1, 2), "8.4&"),  # one figure
        ("8.2& 8.4", 1, F(0), "8.4"),
        ("8.3", 1, F(0), ""),  # the last beat is free
    ],
)
def test_a_hit_with_no_beat_after_it_is_a_target(hits: str, beats: int, offset: F, target: str) -> None:
    """The beats before it are free, up to what an earlier hit takes; what is offered lands on it."""
    here = at(chart(f"Verse (8): {{hits: {hits}}}", "Chorus (4)"))
    assert (len(here.spot.beats), here.spot.offset, here.spot.target) == (beats, offset, target)
    found = suggest(here.spot, BOOK.patterns.fills())
    assert found
    if target:
        assert (here.target is not None) == (here.spot.landing == ("C1", "BD"))
        assert all(f"lands on the hit at {target}" in each.reason for each in found)
        assert all(each.pattern.meter is None for each in found)
        assert found[0].pattern.beats == 1


def test_what_sets_up_a_hit_fits_and_can_be_landed() -> None:
    """In a swung feel the hit is late, and so is what leads to it."""
    here = at(chart("Verse (8): {hits: 8.4&}", "Chorus (4)", feel="swing", tempo="140"))
    assert here.spot.offset == F(2, 3)
    found = suggest(here.spot, BOOK.patterns.fills())
    for each in found:
        laid = here.spot.laid(each.pattern)
        assert worst(judge(laid, here.spot.feel, here.spot.under(each.pattern), lands=F(2, 3))) == FITS


def test_a_hold_is_not_a_target() -> None:
    """Nor a hit of another bar."""
    assert at(chart("Verse (8): {holds: 8.4}", "Chorus (4)")).target is None
    assert at(chart("Verse (8): {hits: 7.4&, holds: 8.4}", "Chorus (4)")).target is None


def test_names_that_belong_to_a_place_are_offered_there_only() -> None:
    """A fill of a meter ends at the barline of that meter, or of bars that are whole ones of it."""
    fills = [named("SD oo|oo", "of two", meter=Meter.read("2/4"), feels=("any",))]
    for meter, offered in (("4/4", True), ("2/4", True), ("3/4", False), ("6/8", False)):
        here = at(chart("Verse (8)", "Chorus (8)", head=f"meter: {meter}\n")).spot
        assert bool(suggest(here, fills)) == offered, meter
    assert not suggest(at(chart("Verse (8): {hits: 8.4}", "Chorus (4)")).spot, fills)
    assert not suggest(at(chart("Verse (8): {hits: 8.4&}", "Chorus (4)")).spot, fills)


# Style


def test_a_fill_for_the_feel_takes_the_third_place() -> None:
    """However far it is; where one is among the three already, nothing moves."""
    near = [named(f"SD {'oo' * n}", f"near {n}") for n in (1, 2, 4)]
    far = named("T1 o.|..|..|..|..|..|..|oo", "far", feels=("polka",))
    here = spot("polka", 100, 8, wanted=Wanted(1, 2, frozenset({"SD"})))
    assert names(suggest(here, [*near, far]))[2] == "far"
    assert len(suggest(here, [*near, far])) == 4
    assert names(suggest(here, [*near[:2], far])) == [*names(suggest(here, near[:2])), "far"]
    strangers = [replace(each, feels=("samba",)) for each in near]
    assert names(suggest(here, [*strangers, far])).index("far") <= 2
    assert names(suggest(here, near)) == names(suggest(here, near[::-1]))


def test_of_equals_the_busier_one_is_first_where_that_is_wanted() -> None:
    """And the calmer one where that is."""
    both = [named("SD o..|o..", "a calm"), named("SD ooo|ooo", "b busy")]
    assert names(suggest(spot(wanted=Wanted(2, 3)), both)) == ["b busy", "a calm"]
    assert names(suggest(spot(wanted=Wanted(2, 1)), both[::-1])) == ["a calm", "b busy"]


def test_the_order_of_styles() -> None:
    """The feel, its family, any feel, a sister feel, strangers; all else being equal."""
    rows = ("SD oo|oo", "SD oO|oo", "SD Oo|oo", "SD oo|Oo", "SD oo|oO")
    feels = ("samba", "second line", "any", "march", "polka")
    fills = [
        named(each, f"{place} {name}", feels=(name,))
        for place, (each, name) in enumerate(zip(rows, feels, strict=True))
    ]
    found = names(suggest(spot("polka", 100, wanted=Wanted(2, 2)), fills))
    assert [name.split(" ", 1)[1] for name in found] == list(feels[::-1])


@pytest.mark.parametrize("place", ["ending", "hit", "push"])
def test_what_is_for_one_kind_of_place_is_not_offered_elsewhere(place: str) -> None:
    """An ending in the last bar of the song; a hit or a push is looked for in the list."""
    fills = [named("SD oo|oo", "only", place=place)]
    assert not suggest(at(chart("Verse (8)", "Chorus (8)")).spot, fills)
    assert bool(suggest(at(chart("Verse (8)")).spot, fills)) == (place == "ending")


def test_in_a_swung_feel_strokes_between_the_places_cost() -> None:
    """As many strokes on the groove's own places go first."""
    both = [named("SD o.ggo.|o.....", "a between"), named("SD ooo|o.o", "b on it")]
    assert names(suggest(spot(wanted=Wanted(2, 2.5)), both)) == ["b on it", "a between"]


def test_into_a_hit_the_swung_pairs_count() -> None:
    """A set-up on four for a kick on its upbeat, before one in the middle of the triplet."""
    both = [named("SD ..O", "a middle"), named("SD .O.", "b on four")]
    here = at(chart("Verse (8): {hits: 8.4&}", "Chorus (4)", feel="shuffle")).spot
    assert names(suggest(here, both)) == ["b on four", "a middle"]


def test_a_fill_for_the_family_counts_among_the_first_three() -> None:
    """It is fetched where none is there, and where it is there none for the feel itself is fetched."""
    near = [named(f"SD {'oo|' * n}oo", f"near {n}") for n in (0, 1, 2)]
    kin = named("T1 o.|..|..|..|..|..|..|oo", "kin", feels=("march",))
    own = named("T1 o.|..|..|..|..|..|..|o.", "own", feels=("polka",))
    here = spot("polka", 100, 8, wanted=Wanted(1, 2, frozenset({"SD"})))
    assert names(suggest(here, [*near, kin])) == ["near 0", "near 1", "kin", "near 2"]
    among = [near[0], replace(near[1], feels=("march",)), near[2], own]
    assert names(suggest(here, among))[3] == "own"


def test_a_clash_as_long_as_its_room_is_moved() -> None:
    """Four beats in a section of one bar."""
    here = at(chart("Verse (1): {fill: sixteenths round the kit}", "Chorus (8)", feel="shuffle", tempo="92"))
    assert suggest(here.spot, BOOK.patterns.fills(), count=1)[0].laid_anew


@pytest.mark.parametrize(("bpm", "offered"), [(79, False), (80, True), (100, True), (101, False)])
def test_a_fills_own_tempos_hold_to_both_ends(bpm: int, offered: bool) -> None:
    """The slowest and the fastest are in its range."""
    fills = [named("SD ooo", "own", tempo=(F(80), F(100)))]
    assert bool(suggest(spot(bpm=bpm), fills)) == offered


def test_into_a_hit_the_next_feel_does_not_count() -> None:
    """The band's hit is still in the old one."""
    here = at(chart("Verse (8): {hits: 8.4&}", "Chorus (8): {feel: shuffle}")).spot
    assert (here.target, here.next_feel) == ("8.4&", None)


def test_where_a_fill_is_written_a_hit_is_not_a_target() -> None:
    """What is there ends at the barline, also where it does not exist."""
    assert at(chart("Verse (8): {hits: 8.4&, fill: nonesuch}", "Chorus (8)")).target is None


@pytest.mark.parametrize(
    ("beats", "bar", "words"),
    [(1, 2, "1 beat"), (2, 2, "a bar"), (4, 2, "2 bars"), (2, 4, "half a bar"), (2, 3, "2 beats"),
     (5, 4, "5 beats"), (1, 1, "1 beat"), (2, 0, "2 beats")],
)  # fmt: skip
def test_lengths_are_told_in_bars_where_they_are_whole(beats: int, bar: int, words: str) -> None:
    """Half a bar from two beats up; a bar of one beat, or none that is known, is told in beats."""
    assert length(beats, bar) == words
