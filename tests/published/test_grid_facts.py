"""Grid, counting and swing against trade facts and published results.

Beside each check stands its source; "common practice, no source" is what drummers hold in common.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from support import BOOK, QUARTER, feel, pattern, verdict

from charts.feel import ratio_by_tempo
from charts.ruler import ruler_for
from charts.timing import Meter
from charts.verdict import CLASHES, FITS, TOLERANCE_MS

F = Fraction


def test_a_bar_of_triplets_has_12_notes_and_of_sixteenth_triplets_24() -> None:
    """Common practice, no source."""
    shuffle, beats = feel("half-time shuffle").grid(QUARTER, F(92)), len(Meter.read("4/4").beats)
    assert (12, 24) == (beats * shuffle.home, beats * shuffle.finer(shuffle.home))


def test_sixteenth_triplets_run_at_double_the_speed_of_eighth_triplets() -> None:
    """Common practice, no source."""
    grid = feel("shuffle").grid(QUARTER, F(100))
    assert grid.finer(3) == 2 * 3


@pytest.mark.parametrize("name", ["shuffle", "half-time shuffle"])
def test_straight_sixteenths_do_not_fit_a_shuffle_and_triplets_do(name: str) -> None:
    """Common practice, no source."""
    assert (CLASHES, FITS, FITS) == (
        verdict("0 1/4 1/2 3/4", feel(name), 92).verdict,
        verdict("0 1/3 2/3", feel(name), 92).verdict,
        verdict("0 1/6 1/3 1/2 2/3 5/6", feel(name), 92).verdict,
    )


def test_straight_sixteenths_fit_straight_sixteenths() -> None:
    """Common practice, no source."""
    assert verdict("0 1/4 1/2 3/4", feel("straight sixteenths"), 92).verdict == FITS


def test_a_herta_in_a_triplet_lies_at_0_a_sixth_a_third_and_two_thirds() -> None:
    """Two fast strokes and two slow ones, 1:1:2:2; common practice, after two drum teachers' pages."""
    gaps = [F(1), F(1), F(2), F(2)]
    at, places = F(0), []
    for gap in gaps:
        places.append(at / sum(gaps))
        at += gap
    assert [F(0), F(1, 6), F(1, 3), F(2, 3)] == places
    assert verdict(" ".join(map(str, places)), feel("half-time shuffle"), 92).verdict == FITS


def test_a_diddle_inside_a_triplet_is_sixteenth_triplets() -> None:
    """At 1/3 and 1/2 of the beat: Percussive Arts Society usage of the word, read in an encyclopedia text."""
    rows = pattern("SD    o.oo o.\nstick R.LL R.")
    second, third = rows.onsets[0][1:3]
    assert (F(1, 3), F(1, 2)) == (second, third)
    assert third - second == F(1, 6)
    assert verdict("0 1/3 1/2 2/3", feel("shuffle"), 92).verdict == FITS


def test_quarter_note_triplets_start_at_two_thirds_of_a_beat() -> None:
    """Arithmetic: 0, 2/3 and 4/3 of a beat lie on the triplet grid of two beats."""
    places = [F(2, 3) * n for n in range(3)]
    assert [F(0), F(2, 3), F(4, 3)] == places
    for beat in (0, 1):
        inside = " ".join(str(at - beat) for at in places if beat <= at < beat + 1)
        assert verdict(inside, feel("shuffle"), 92).verdict == FITS


def test_sixteenths_and_sextuplets_share_only_the_half() -> None:
    """Arithmetic: on a ruler of 12 cells they meet at its start and its middle; thirty-seconds need 24."""
    fours, sixes, eights = ([(F(n, cells), "x") for n in range(cells)] for cells in (4, 6, 8))
    ruler = ruler_for([[fours, sixes]])
    shared = [{cell for cell, sign in enumerate(line) if sign == "x"} for line in ruler.lines(fours, sixes)]
    assert {0, ruler.width // 2} == shared[0] & shared[1]
    assert (12, 24) == (ruler.cells, ruler_for([[eights, sixes]]).cells)


@pytest.mark.parametrize(
    ("name", "count"),
    [("straight eighths", "1 &"), ("straight sixteenths", "1 e & a"), ("shuffle", "1 trip let")],
)
def test_counts_are_the_trades(name: str, count: str) -> None:
    """Read on a drum teacher's pages: eighths 1 &, sixteenths 1 e & a, triplets 1 trip let or 1 & a."""
    assert count == feel(name).count


@pytest.mark.parametrize(
    ("bpm", "ratio"), [(200, F(2)), (240, F(3, 2)), (260, F(131, 100)), (280, F(114, 100)), (300, F(1))]
)
def test_swing_by_tempo_keeps_a_short_note_of_100_ms(bpm: int, ratio: Fraction) -> None:
    """Derived from A. Friberg, A. Sundström, Swing ratios and ensemble timing in jazz performance, Music
    Perception 19(3) 2002, 333-349 (short note about 100 ms from medium tempo up; abstract read): a model."""
    assert float(ratio_by_tempo(F(bpm))) == pytest.approx(float(ratio), abs=0.005)
    short = F(60000, bpm) / (1 + ratio_by_tempo(F(bpm)))
    assert float(short) == pytest.approx(100, abs=0.01)


@pytest.mark.parametrize(("bpm", "measured"), [(72, 2.00), (180, 1.72), (290, 1.26)])
def test_measured_ratios_lie_near_the_model(bpm: int, measured: float) -> None:
    """Real takes of the Groove MIDI Dataset (Gillick et al. 2019, CC BY 4.0), measured: shuffle at 72,
    jazz at 180 and 290. The ratio is contested (Honing, de Haas 2008), so near means within 0.3."""
    assert float(ratio_by_tempo(F(bpm))) == pytest.approx(measured, abs=0.3)


@pytest.mark.parametrize(
    ("upbeat", "ratio"), [(F(1, 2), F(1)), (F(3, 5), F(3, 2)), (F(2, 3), F(2)), (F(3, 4), F(3))]
)
def test_an_upbeat_at_p_is_a_ratio_of_p_to_the_rest(upbeat: Fraction, ratio: Fraction) -> None:
    """Arithmetic: p / (1 - p)."""
    from charts.feel import Grid

    assert upbeat == Grid((3,), 3, ratio).upbeat == ratio / (1 + ratio)
    assert ratio == upbeat / (1 - upbeat)


def test_the_tolerance_is_where_order_is_heard() -> None:
    """About 20 ms: I. J. Hirsh, Auditory perception of temporal order, JASA 31 (1959) 759; figures read in
    Watson, Seminars in Hearing 25(3) 2004, 219."""
    assert TOLERANCE_MS == 20


def test_near_is_never_heard_as_another_order() -> None:
    """A beat that is near has no stroke 20 ms or more from the grid (Hirsh 1959, as above)."""
    for each in BOOK.feels:
        for cells in range(1, 10):
            found = verdict(" ".join(str(F(n, cells)) for n in range(cells)), each, 250)
            assert (found.verdict == CLASHES) == (abs(found.worst_ms) >= 20)
