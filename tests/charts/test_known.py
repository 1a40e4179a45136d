"""What was found playable at one tempo answers for others."""

from __future__ import annotations

from fractions import Fraction as F

from hypothesis import given, settings
from hypothesis import strategies as st
from support import feel, pattern

from charts.fitting.hands import playable
from charts.fitting.known import plays
from charts.fitting.moments import own_beats
from charts.limits import Limits
from charts.pattern import Stroke

FEELS = ("straight sixteenths", "shuffle", "sixteenth shuffle", "swing")
SLOW_DOUBLES = Limits(F(2000), F(70), F(2000), F(90))  # a player whose limits lie as far apart as they may
TEMPI = st.integers(20, 400).map(F)


@st.composite
def fills(draw: st.DrawFn):
    cells = draw(st.integers(1, 6))
    beats = draw(st.integers(1, 3))
    lines = [
        f"{voice} "
        + "|".join("".join(draw(st.sampled_from(signs)) for _ in range(cells)) for _ in range(beats))
        for voice, signs in (("SD", "oof."), ("FT", "o.."), ("BD", "o..."))
    ]
    return pattern("\n".join(lines))


@settings(max_examples=150, deadline=None)
@given(
    fills(),
    st.sampled_from(FEELS),
    st.lists(TEMPI, min_size=2, max_size=5),
    st.sampled_from([Limits(), SLOW_DOUBLES]),
    st.booleans(),
)
def test_whatever_was_asked_before_the_answer_is_the_same(fill, name, tempos, limits, lands) -> None:
    """At every tempo, asked in any order, what the whole search says."""
    landing = (Stroke(fill.beats, F(0), "C1"), Stroke(fill.beats, F(0), "BD")) if lands else ()
    for bpm in tempos:
        beats = own_beats(fill, bpm)
        whole = playable(fill, feel(name), beats, limits, False, landing).playable
        assert whole == plays(fill, feel(name), beats, limits, False, landing), bpm


def test_a_tempo_that_changes_under_the_fill_is_looked_at_closely() -> None:
    """The last beat alone is too fast for one hand."""
    fill = pattern("SD oo|oooo\nstick RR|RRRR")
    (first, bpm), (second, _) = own_beats(fill, F(100))
    straight = feel("straight eighths")
    assert plays(fill, straight, [(first, bpm), (second, bpm)], Limits(), False)
    assert not plays(fill, straight, [(first, bpm), (second, F(300))], Limits(), False)
