"""What is in the bars, over and under them: each at its bar, in order, touching nothing."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support import BOOK, form

from charts.song import Place
from charts.timing import Meter
from render.page.boxes import disc_width
from render.page.hits import hit_bar
from render.page.lanes import Block, Hanging, Spot, hang
from render.page.model import Laid, Page, Pen
from render.page.plan import Sizes
from render.page.roadmap import geometry_for
from render.page.row_layout import lay_row
from render.page.rows import FormRow
from render.page.sheet import Options, sheet_of
from render.page.strips import Bar
from render.page.theme import SIGN

SIZES = Sizes(1.0, 0.0, 1.0)
WIDTH = 543.0


def laid(*lines: str, ending: str | None = None, across: int = 8):
    """The last row of a form."""
    sheet = sheet_of(form(*lines), Options())
    rows = [FormRow(row, sheet.uses[row.part.index], ending) for row in sheet.rows]
    return lay_row(rows[-1], geometry_for(rows, WIDTH, across, SIZES))


def page_of(*lines: str, **options) -> Page:
    page = Page("p", "p", 700, 900)
    laid(*lines, **options).paint(Pen(page, 1.0, 0, 0), 0.0, 100.0, SIZES.box)
    return page


def texts(page: Page, kind: str) -> list[str]:
    return [item.text for item in page.words if item.kind == kind]


def test_a_cue_stands_in_the_strip_at_its_bar():
    """Over the bar lines after it, which give way to it."""
    (line,) = laid("A (8): {cues: {3: hats closed tight}}").lines
    ((left, _, _),) = line.inside.words
    third = line.inside.bars[2]
    assert third.left < left < third.left + 6
    assert () == line.below.hung


def test_a_cue_that_does_not_fit_hangs_at_its_bar():
    """Before the next cue, a fill or the end of the phrase it has no room; then it is under its own bar."""
    (line,) = laid("A (4+4): {cues: {4: everybody in again now}, fill: gallop}").lines
    (hung,) = line.below.hung
    assert hung.item.bar.number == 4
    assert hung.spot.left == pytest.approx(line.inside.bars[3].left, abs=2)
    assert [] == line.inside.words


def test_cues_that_hang_keep_their_order():
    """The right one nearest to the bars, so that no tie crosses words."""
    cues = ", ".join(f"{bar}: a rather long cue for bar {bar} and on" for bar in (1, 2, 3, 4))
    (line,) = laid(f"A (4+4): {{cues: {{{cues}}}}}").lines
    spots = [each.spot for each in line.below.hung]
    assert [1, 2, 3, 4] == [each.item.bar.number for each in line.below.hung] or len(spots) < 4
    assert sorted(spot.left for spot in spots) == [spot.left for spot in spots]


def test_a_number_is_where_its_fill_starts():
    """In its own bar, over a band as long as the fill."""
    (line,) = laid("A (8): {fills: {4: gallop, 8: four on the snare}}").lines
    first, second = line.inside.discs
    bars = line.inside.bars
    assert first.left == pytest.approx(bars[3].x(0.5))
    assert bars[7].left < second.left < second.right < bars[7].right
    assert (bars[3].x(0.5), bars[3].right, False) == line.inside.bands[0]


def test_which_time_through_is_beside_the_number_or_over_the_bar():
    """Beside it where the bar is wide enough."""
    fill = "{use: gallop, pass: last}"
    wide, narrow = (
        laid(f"A (8) x2: {{fills: {{{bar}: {fill}}}}}").lines[0].inside.discs[0].timed for bar in (4, 8)
    )
    assert not narrow
    assert not wide
    (line,) = laid(f"A (2) x2: {{fill: {fill}}}").lines
    assert line.inside.discs[0].timed
    assert ["last time"] == texts(page_of(f"A (8) x2: {{fill: {fill}}}"), "time")


def test_two_fills_in_one_bar_never_share_a_bracket():
    """Which time through is said at its own number, over the bar where it has no room inside."""
    tune = form("A (8) x2: {fills: {4: {use: gallop, pass: 1}, 8: {use: four on the snare, pass: 2}}}")
    first, second = tune.form[0].fills
    tune = replace(tune, form=(replace(tune.form[0], fills=(replace(first, bar=8), second)),))
    sheet = sheet_of(tune, Options())
    rows = [FormRow(row, sheet.uses[0]) for row in sheet.rows]
    (line,) = lay_row(rows[0], geometry_for(rows, WIDTH, 8, SIZES)).lines
    assert [] == line.inside.discs
    assert ["fill", "fill"] == [each.item.kind for each in line.above.hung]


def test_a_wide_number_gets_a_longer_disc():
    """Its digits are as large as any."""
    mark = laid("A (8): {fill: gallop}").lines[0].inside.discs[0].mark
    wide = type(mark)("28", mark.spans, False, "")
    assert disc_width(mark, SIZES, False) == SIZES.disc < disc_width(wide, SIZES, False)


def test_a_silence_says_stop():
    """In its block; over several bars in one; above the bars where every block is too short."""
    assert ["STOP"] == texts(page_of("A (8): {stops: 1.2-2.4}"), "stop")
    (line,) = laid("A (8): {stops: 1.2-2.4}").lines
    assert len(line.inside.stops) == 1
    assert ["STOP"] == texts(page_of("A (8): {stops: 1.2}"), "stop")
    (line,) = laid("A (8): {stops: 1.2}").lines
    assert [] == line.inside.stop_words
    assert ["stop"] == [each.item.kind for each in line.above.hung]


def test_a_silence_leaves_room_for_a_number():
    """The disc lies between its parts."""
    (line,) = laid("A (4): {stops: 4.1-4.4, fill: gallop}").lines
    (disc,) = line.inside.discs
    assert all(right < disc.left or left > disc.right for left, right in line.inside.stops)
    assert line.inside.stops


def test_what_ends_a_vamp_is_bold_at_the_end():
    """Before the last fill; under the bars where they are too short."""
    (line,) = laid("Vamp (8) x4 open: {until: the nod, fill: gallop}").lines
    ((_, right, pieces),) = line.inside.words
    assert "until the nod" == " ".join(piece.text for piece in pieces)
    assert line.inside.bars[5].left < right < line.inside.discs[0].left
    (line,) = laid("A (8)", "Vamp (1) x4 open: {until: the singer is ready for it}").lines
    assert [None] == [each.item for each in line.below.hung]


def test_end_is_said_at_the_last_bar_line():
    """Behind it, or under it where the line is full."""
    (line,) = laid("A (8)", "Tag (4)", ending="cold on 1").lines
    assert line.after[0] > line.inside.right
    assert line.inside.ends
    (line,) = laid("A (8)", ending="cold on 1").lines
    assert line.after is None
    (hung,) = line.below.hung
    assert hung.spot.right == pytest.approx(line.inside.right)


def test_flags_are_over_their_own_bar():
    """A bar of another length has its meter over it and a red frame; hits are between."""
    page = page_of("A (8): {odd-bars: {8: 2/4}, hits: 8.1 8.2}")
    (flag,) = (mark for mark in page.marks if mark.kind == "flag")
    (hits,) = (mark for mark in page.marks if mark.kind == "hits")
    assert (flag.left, flag.right) == (hits.left, hits.right)
    assert ["2/4"] == texts(page, "meter change")
    assert {SIGN} == {item.role for item in page.items if getattr(item, "line", 0) > 2}
    (line,) = laid("A (8): {odd-bars: {8: 2/4}, hits: 8.1 8.2}").lines
    assert line.above.hung[0].spot.near >= line.hits.spots[0].far


PLACES = st.builds(
    Place, st.just(1), st.integers(1, 4), st.sampled_from(["", "&", "e", "a", Fraction(1, 3), Fraction(2, 3)])
)


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(["4/4", "6/8", "7/8 (2+2+3)"]),
    st.sampled_from(list(BOOK.feels)),
    st.lists(PLACES, min_size=1, max_size=5),
    st.lists(PLACES, min_size=1, max_size=5),
)
def test_hits_at_different_places_never_look_the_same(meter, feel, one, other):
    """In any feel: the same picture is the same moments."""
    shape = Meter.read(meter)
    beats = shape.beats
    one, other = (
        [replace(p, offset=p.offset or Fraction(0)) for p in each if p.beat <= len(beats)]
        for each in (one, other)
    )
    if not one or not other:
        return
    tempo = Fraction(100)
    times = [{(p.beat, p.at(beats[p.beat - 1], feel, tempo)) for p in each} for each in (one, other)]
    same = hit_bar(shape, feel, one, tempo) == hit_bar(shape, feel, other, tempo)
    assert not same or times[0] == times[1]


def test_a_hold_is_over_its_beat():
    """Over a hit on the same beat as well."""
    page = page_of("A (4): {holds: 4.3, hits: 4.3}")
    (hold,) = (mark for mark in page.marks if mark.kind == "fermata")
    assert hold.left + 0.5 * (hold.right - hold.left) < hold.x < hold.right


def test_open_and_dynamics_are_under_a_long_name():
    """Where the column has no room beside it."""
    (name,) = [laid("Instrumental break (8) x8 open: {until: nod, dynamics: p to ff}").name]
    assert len(name.lines) > 1
    said = [piece.text for line in name.lines for _, piece in line]
    assert ["Instrumental", "break", "×8", "OPEN"] == said
    assert ["p", "", "ff"] == [piece.text for piece in name.dynamics]


BAR = Bar(1, 0.0, 50.0, True, True, False, None)


def block(width: float, height: float = 10.0) -> Block:
    return Block(width, Laid(height, lambda pen, x, y: None))


def item(anchor: float, natural: float, least: float = 5.0) -> Hanging:
    def lay(room: float) -> Block:
        lines = 1 if room >= natural else 2
        return block(min(natural, room), 10.0 * lines)

    return Hanging("cue", BAR, anchor, natural, least, lay)


def test_what_hangs_is_as_near_as_it_can_be():
    """On the first level where it touches nothing."""
    lanes = hang([item(0.0, 30.0), item(50.0, 30.0)], 100.0, 1.0)
    assert [0.0, 0.0] == [each.spot.near for each in lanes.hung]
    assert lanes.height == 10.0


def test_what_would_touch_goes_to_the_next_level_with_a_tie():
    """The left one, so that its tie passes beside the other."""
    left, right = hang([item(0.0, 80.0, least=70.0), item(50.0, 30.0)], 100.0, 1.0).hung
    assert (0.0, None) == (right.spot.near, right.tie)
    assert (10.0, 0.0) == (left.spot.near, left.tie)


def test_words_take_two_lines_in_their_own_room_where_that_is_lower():
    """Rather than a level of their own."""
    left, _ = hang([item(0.0, 80.0), item(50.0, 30.0)], 100.0, 1.0).hung
    assert (0.0, 20.0) == (left.spot.near, left.spot.far)
    assert left.spot.right < 50.0


def test_what_is_too_wide_at_the_edge_ends_there():
    """It reaches back, but not over what hangs before it."""
    (alone,) = hang([item(90.0, 40.0, least=30.0)], 100.0, 1.0).hung
    assert (60.0, 100.0) == (alone.spot.left, alone.spot.right)
    _, right = hang([item(70.0, 10.0), item(90.0, 40.0, least=26.0)], 100.0, 1.0).hung
    assert right.spot.left > 70.0


def test_nothing_hangs_where_something_is_taken():
    """Hits keep their room."""
    (hung,) = hang([item(0.0, 30.0)], 100.0, 1.0, [Spot(0.0, 50.0, 0.0, 16.0)]).hung
    assert hung.spot.near == 16.0


def test_the_last_bar_line_is_clear_of_a_silence():
    """It is thicker than others."""
    (line,) = laid("A (8)", "B (1): {stops: 1.2-1.4}", ending="").lines
    assert line.inside.stops[-1][1] <= line.inside.right - 3.2
