"""A tempo from taps: one tap too many, too few or out of time does not spoil it.

Every gap between two taps is tried as the beat; the one that explains most taps as neighbouring beats wins.
Taps that fall between its beats are left out, and the beat is the median slope through the rest (Theil 1950,
Sen 1968; from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

PAUSE_SECONDS, PAUSE_BEATS = 4.0, 2.5  # a gap longer than both starts anew; at 20 per minute a beat lasts 3 s
KEPT = 24  # taps that count
OFF = 0.25  # a tap this far from a beat, in beats, is no beat
STARTS = 3  # the first taps, each tried as the first beat
SETTLED_TAPS, SETTLED = 5, 0.03  # taps, and how far they lie from the beat, in beats


@dataclass(frozen=True, slots=True)
class TappedTempo:
    """What the taps give: beats per minute, how far the taps stray (ms, median), how many counted and not."""

    bpm: float
    stray_ms: float
    used: int
    left_out: int

    @property
    def settled(self) -> bool:
        """True where enough taps agree."""
        return self.used >= SETTLED_TAPS and self.stray_ms * self.bpm / 60000 <= SETTLED


def tempo_of(taps: Sequence[float]) -> TappedTempo | None:
    """The tempo of some taps, in seconds on any clock; None for fewer than two.

    >>> tempo_of([0.0, 0.5, 1.0, 1.5]).bpm
    120.0
    >>> tempo_of([0.0, 0.5, 0.8, 1.0, 1.5]).bpm, tempo_of([0.0, 0.5, 1.5, 2.0]).bpm
    (120.0, 120.0)
    """
    taps = this_run(taps)[-KEPT:]
    gaps = [late - early for early, late in pairwise(taps) if late > early]
    if not gaps:
        return None
    chains = [_chain(taps, first, gap) for gap in gaps for first in range(min(STARTS, len(taps) - 1))]
    best = max(chains, key=_score)
    if len(best) < 2:
        return None
    period = _slope(best)
    offset = median(tap - beat * period for beat, tap in best)
    stray = median(abs(tap - beat * period - offset) for beat, tap in best)
    return TappedTempo(60 / period, stray * 1000, len(best), len(taps) - len(best))


def this_run(taps: Sequence[float]) -> list[float]:
    """The taps since the last pause."""
    run: list[float] = []
    for tap in taps:
        beat = median(late - early for early, late in pairwise(run)) if len(run) > 1 else 0.0
        if run and tap - run[-1] > max(PAUSE_SECONDS, PAUSE_BEATS * beat):
            run = []
        run.append(tap)
    return run


def _chain(taps: Sequence[float], first: int, gap: float) -> list[tuple[int, float]]:
    """The taps that lie on beats of about ``gap``, each with its beat counted from the first."""
    chain = [(0, taps[first])]
    for tap in taps[first + 1 :]:
        beats = (tap - chain[-1][1]) / gap
        if round(beats) >= 1 and abs(beats - round(beats)) <= OFF:
            chain.append((chain[-1][0] + round(beats), tap))
    return chain


def _score(chain: list[tuple[int, float]]) -> tuple[int, int]:
    """Taps one beat after another first, then all that lie on a beat."""
    steps = [later - earlier for (earlier, _), (later, _) in pairwise(chain)]
    return sum(step == 1 for step in steps), len(chain)


def _slope(chain: list[tuple[int, float]]) -> float:
    return median(
        (tap - before) / (beat - earlier)
        for place, (beat, tap) in enumerate(chain)
        for earlier, before in chain[:place]
    )
