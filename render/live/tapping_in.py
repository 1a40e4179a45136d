"""The command ``tap``: the tempo as it settles, and the charts nearest to it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from charts.wording import many
from render.live.screen import Screen, quits
from render.live.tapping import TappedTempo, tempo_of, this_run
from render.terminal.ink import BOLD, Ink, cut

NEAREST = 5
INK = Ink(colour=True, signs=False)
Tune = tuple[str, Fraction, str]  # title, tempo, feel


def nearest(tunes: Sequence[Tune], bpm: float, count: int = NEAREST) -> list[Tune]:
    """The tunes whose tempo is nearest by ratio, then by title.

    >>> nearest([("a", Fraction(60), "swing"), ("b", Fraction(100), "swing")], 90, 1)[0][0]
    'b'
    """
    return sorted(tunes, key=lambda tune: (max(tune[1] / bpm, bpm / tune[1]), tune[0]))[:count]


def lines(tempo: TappedTempo | None, taps: int, tunes: Sequence[Tune], width: int) -> list[str]:
    """The screen after some taps, none wider than ``width``."""
    if tempo is None:
        return [("  tap the beat on any key; q ends" if not taps else "  go on tapping")[:width]]
    settled = "settled" if tempo.settled else "settling"
    left = f", {tempo.left_out} left out" if tempo.left_out else ""
    told = f"{settled}: {many(tempo.used, 'tap')}{left}, within {tempo.stray_ms:.0f} ms"
    bpm = f"{tempo.bpm:.1f}"
    told = cut(f"  {bpm} per minute   {told}", width, INK)
    found_lines = [told.replace(bpm, INK(bpm, BOLD), 1)]
    found = nearest(tunes, tempo.bpm)
    if found:
        found_lines += ["", "  nearest charts"]
        found_lines += [
            cut(f"    {float(tune):6.1f}  {title}   {feel}", width, INK) for title, tune, feel in found
        ]
    return found_lines


def run(tunes: Callable[[], Sequence[Tune]]) -> TappedTempo | None:
    """Listen to taps until a key quits; what was found last, for the record.

    ``tunes`` is asked for once, before the first tap, so that no tap is timed late.
    """
    taps: list[float] = []
    with Screen() as shown:
        shown.draw(lines(None, 0, (), shown.width))
        known = tunes()
        while True:
            found = shown.key(None)
            if found is None:
                continue
            key, moment = found
            if quits(key):
                return tempo_of(taps)
            taps = this_run([*taps, moment])
            shown.draw(lines(tempo_of(taps), len(taps), known, shown.width))
