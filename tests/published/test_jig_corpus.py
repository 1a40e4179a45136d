"""Onset sets of real tunes: Ryan's Mammoth Collection, as encoded in music21's corpus.

The collection (Boston, 1883) is in the public domain; the encodings lie inside the package music21, which
distributes them by permission. A sample spread evenly over the folder; counts over all of it, tried: per
dotted quarter in 6/8 {0, 1/3, 2/3} 4,587, {0, 2/3} 1,015, {0} 247, {0, 1/2, 2/3} 131, {0, 1/6, 1/3, 2/3} 21;
per quarter in 2/4 four even sixteenths 9,439.
"""

from __future__ import annotations

import importlib.util
import re
from collections import Counter
from fractions import Fraction as F
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from support import DOTTED, QUARTER, feel, verdict

from charts.timing import Beat
from charts.verdict import CLASHES, FITS

SAMPLE = 6  # tunes of a meter
JIG_TEMPO = 112  # dotted quarters per minute, brisk; common practice, no source
REEL_TEMPO = 92


def tunes(meter: str) -> list[Path]:
    """An even sample of the tunes in a meter; the files are in a fixed order."""
    spec = importlib.util.find_spec("music21")
    assert spec is not None
    assert spec.origin is not None
    folder = Path(spec.origin).parent / "corpus" / "ryansMammoth"
    wanted = re.compile(rf"^M:\s*{meter}\s*$".encode(), re.MULTILINE)
    found = [path for path in sorted(folder.glob("*.abc")) if wanted.search(path.read_bytes())]
    return found[:: max(1, len(found) // SAMPLE)][:SAMPLE]


def measures(path: Path) -> list[Any]:
    """A tune's bars as music21 reads them; its cache is not used, nothing is written."""
    from music21.abcFormat import ABCFile
    from music21.abcFormat.translate import abcToStreamScore

    score = abcToStreamScore(ABCFile().readstr(path.read_bytes().decode("latin-1")))
    return list(score.recurse().getElementsByClass("Measure"))


@cache
def onset_sets(meter: str, beats: int, quarters: F) -> Counter[str]:
    """How often each set of onsets fills a beat of a whole bar, written like "0 1/3 2/3"."""
    found: Counter[str] = Counter()
    for path in tunes(meter):
        for bar in measures(path):
            notes = [note for note in bar.recurse().notes if note.quarterLength]
            length = sum((F(each.quarterLength) for each in bar.recurse().notesAndRests), F(0))
            if length.limit_denominator(96) != beats * quarters:
                continue  # a pick-up, or a bar that the encoding cuts in two
            at = [F(note.getOffsetInHierarchy(bar)).limit_denominator(96) / quarters for note in notes]
            for beat in range(beats):
                found[" ".join(str(place - beat) for place in at if beat <= place < beat + 1)] += 1
    return found


def share_that_fits(sets: Counter[str], name: str, beat: Beat, bpm: int) -> float:
    struck = {onsets: count for onsets, count in sets.items() if onsets}
    fits = sum(n for onsets, n in struck.items() if verdict(onsets, feel(name), bpm, beat).verdict == FITS)
    return fits / sum(struck.values())


def jigs() -> Counter[str]:
    return onset_sets("6/8", 2, F(3, 2))


def reels() -> Counter[str]:
    return onset_sets("2/4", 2, F(1))


def test_the_sample_has_the_sets_in_the_order_of_the_whole_collection() -> None:
    """Three eighths first, then long and short."""
    assert ["0 1/3 2/3", "0 2/3"] == [onsets for onsets, _ in jigs().most_common(2)]
    assert reels().most_common(1)[0][0] == "0 1/4 1/2 3/4"


@pytest.mark.parametrize("name", ["fast 6/8", "6/8 ballad"])
def test_jigs_sit_on_a_six_eight_feel(name: str) -> None:
    """Nearly every beat of the compound tunes."""
    assert share_that_fits(jigs(), name, DOTTED, JIG_TEMPO) > 0.99


@pytest.mark.parametrize("onsets", ["0 1/3 2/3", "0 2/3", "0", "0 1/2 2/3", "0 1/6 1/3 2/3"])
def test_the_commonest_sets_of_all_the_jigs_fit(onsets: str) -> None:
    """The five that the whole collection has most of."""
    assert verdict(onsets, feel("fast 6/8"), JIG_TEMPO, DOTTED).verdict == FITS


def test_reels_sit_on_straight_sixteenths() -> None:
    """Nearly every beat of the tunes in 2/4."""
    assert share_that_fits(reels(), "straight sixteenths", QUARTER, REEL_TEMPO) > 0.9


@pytest.mark.parametrize("name", ["shuffle", "half-time shuffle"])
def test_four_even_sixteenths_clash_with_a_shuffle(name: str) -> None:
    """The commonest set of the tunes in 2/4: it fits straight sixteenths and fights a shuffle."""
    commonest = reels().most_common(1)[0][0]
    assert verdict(commonest, feel("straight sixteenths"), REEL_TEMPO).verdict == FITS
    assert verdict(commonest, feel(name), REEL_TEMPO).verdict == CLASHES
    assert share_that_fits(reels(), name, QUARTER, REEL_TEMPO) < 0.3
