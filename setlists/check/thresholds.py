"""Every figure that a rule between songs decides by, with its reason."""

from __future__ import annotations

from fractions import Fraction

# Two tempos closer than this feel like one, so the old groove runs on under the new feel: neighbouring
# marks on a clockwork metronome (60 63 66 69 72 76, 116 120 126) lie 3.5 to 5.5 % apart. Common
# practice, from memory, no source.
SAME_TEMPO = Fraction(1, 20)

# How exactly one tempo must lie on a subdivision of the other to pull the count-off to it: about what a
# count of four drifts by among people who hear no click. Common practice, no source.
COUNT_OFF = Fraction(3, 100)

# A smaller change of tempo inside a segue passes unnoticed: a tone displaced by under 2.5 % of the spacing
# is not heard (A. Friberg, J. Sundberg, JASA 98, 1995, 2524, abstract read); ours is to take a change of
# tempo for the same.
SEGUE = Fraction(1, 40)

# Songs of one feel in a row before it is told: the third is where a room stops dancing. Common practice,
# no source.
IN_A_ROW = 3

# Seconds over a slot before they are told: the clock shows whole seconds, and less is rounding.
OVER = 0.5
