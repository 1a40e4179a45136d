"""Real tunes: onset sets in Ryan's Mammoth Collection, from music21's corpus (encodings distributed by permission).

The compound tunes sit on a 6/8 feel; four even sixteenths fit straight sixteenths and clash with a shuffle. A
sample, small enough for a test; counts over the whole collection were measured once, in the same way.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest
from support import DOTTED, QUARTER, feel

from charts.verdict import CLASHES, FITS, TOLERANCE_MS, judge_beat

SAMPLE = 12  # tunes of each meter
EVEN_SIXTEENTHS = tuple(Fraction(n, 4) for n in range(4))


@pytest.fixture(scope="module")
def tunes() -> dict[str, Counter[tuple[Fraction, ...]]]:
    """Onset sets of the felt beats, by meter, of the first tunes in that meter."""
    from music21 import corpus

    found: dict[str, Counter[tuple[Fraction, ...]]] = {"6/8": Counter(), "2/4": Counter()}
    taken = dict.fromkeys(found, 0)
    for path in sorted(corpus.getComposer("ryansMammoth")):
        if all(count >= SAMPLE for count in taken.values()):
            break
        head = path.read_text(encoding="utf-8", errors="replace")[:4000]
        meter = next((m for m in found if f"M: {m}" in head or f"M:{m}" in head), None)
        if meter is None or taken[meter] >= SAMPLE:
            continue
        taken[meter] += 1
        found[meter] += _beats(corpus.parse(path), Fraction(3, 2) if meter == "6/8" else Fraction(1))
    assert taken == dict.fromkeys(found, SAMPLE)
    return found


def _beats(score: object, length: Fraction) -> Counter[tuple[Fraction, ...]]:
    """The onset sets of every whole beat of a tune; pick-up bars and odd bars are passed over."""
    from music21 import stream

    assert isinstance(score, stream.Stream)
    beats: Counter[tuple[Fraction, ...]] = Counter()
    for measure in score.recurse().getElementsByClass(stream.Measure):
        bar = measure.barDuration.quarterLength
        if measure.paddingLeft or measure.duration.quarterLength != bar:
            continue
        onsets: dict[int, set[Fraction]] = {}
        for note in measure.notes:
            at = Fraction(note.offset).limit_denominator(96) / length
            if not note.duration.isGrace:
                onsets.setdefault(int(at), set()).add(at % 1)
        beats.update(tuple(sorted(places)) for places in onsets.values())
    return beats


def test_jigs_sit_on_a_compound_feel(tunes: dict[str, Counter[tuple[Fraction, ...]]]) -> None:
    """Nearly every beat fits the 6/8 feel; the few that do not are ornaments in duplets."""
    grid = feel("6/8 ballad").grid(DOTTED, Fraction(100))
    verdicts: Counter[str] = Counter()
    for onsets, count in tunes["6/8"].items():
        verdicts[judge_beat(onsets, grid, Fraction(600), TOLERANCE_MS).verdict] += count
    assert verdicts[FITS] >= 0.98 * verdicts.total() > 100


def test_three_even_eighths_are_the_commonest_beat_of_a_jig(
    tunes: dict[str, Counter[tuple[Fraction, ...]]],
) -> None:
    """{0, 1/3, 2/3} 4,587 times in the whole collection, then {0, 2/3}."""
    thirds = (Fraction(0), Fraction(1, 3), Fraction(2, 3))
    assert [thirds, (Fraction(0), Fraction(2, 3))] == [onsets for onsets, _ in tunes["6/8"].most_common(2)]


def test_reels_in_sixteenths_fit_straight_sixteenths_and_clash_with_a_shuffle(
    tunes: dict[str, Counter[tuple[Fraction, ...]]],
) -> None:
    """Four even sixteenths are the commonest beat of the 2/4 tunes (9,439 in the whole collection)."""
    (commonest, count), *_ = tunes["2/4"].most_common(1)
    assert (EVEN_SIXTEENTHS, True) == (commonest, count > 100)
    straight = feel("straight sixteenths").grid(QUARTER, Fraction(100))
    shuffle = feel("shuffle").grid(QUARTER, Fraction(100))
    beat = Fraction(600)
    assert (FITS, CLASHES) == (
        judge_beat(commonest, straight, beat, TOLERANCE_MS).verdict,
        judge_beat(commonest, shuffle, beat, TOLERANCE_MS).verdict,
    )
