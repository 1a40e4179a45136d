"""The signs of a MusicXML part that say how it is played: marks, words, endings, dynamics, swing, holds."""

from __future__ import annotations

import re
from fractions import Fraction
from xml.etree.ElementTree import Element

from charts.song import DYNAMICS
from render.importing.elements import Walk, number_of
from render.importing.score import Bar, Score
from render.importing.words import DA_CAPO, DAL_SEGNO, sign

LOUDER, SOFTER = "<", ">"
JUMPS = {"dacapo": DA_CAPO, "dalsegno": DAL_SEGNO}


def read_signs(part: Element, sheet: Score) -> None:
    """Read the signs of every measure into the bar it became."""
    walk = Walk()
    for measure, bar in zip(part.iterfind("measure"), sheet.bars, strict=False):
        bar.before = measure.get("implicit") == "yes" and bar.number[:1] in ("0", "X")
        for at, child in walk.measure(measure):
            if child.tag == "direction":
                _direction(bar, at, child)
            elif child.tag == "sound":
                _sound(bar, child)
            elif child.tag == "barline":
                _barline(bar, child)
            elif child.tag == "note" and child.find("notations/fermata") is not None and at not in bar.holds:
                bar.holds.append(at)


def _direction(bar: Bar, at: Fraction, direction: Element) -> None:
    for kind in direction.iterfind("direction-type"):
        for child in kind:
            _kind(bar, at, child)
    sound = direction.find("sound")
    if sound is not None:
        _sound(bar, sound)


def _kind(bar: Bar, at: Fraction, child: Element) -> None:
    text = " ".join((child.text or "").split())
    if child.tag == "rehearsal" and text:
        bar.mark = f"{bar.mark} {text}".strip()
    elif child.tag == "words" and text:
        if not sign(bar, text):
            bar.words.append((at, text))
    elif child.tag == "segno":
        bar.segno = True
    elif child.tag == "coda":
        bar.coda = True
    elif child.tag == "dynamics":
        bar.dynamics += [(at, each.tag) for each in child if each.tag in DYNAMICS]
    elif child.tag == "wedge" and child.get("type") in ("crescendo", "diminuendo"):
        bar.dynamics.append((at, LOUDER if child.get("type") == "crescendo" else SOFTER))


def _sound(bar: Bar, sound: Element) -> None:
    """Jumps that only the ear is told of, and swing."""
    for name, jump in JUMPS.items():
        if sound.get(name) and not bar.jump:
            bar.jump = jump
    bar.fine = bar.fine or sound.get("fine") not in (None, "no")
    bar.segno = bar.segno or bool(sound.get("segno"))
    bar.coda = bar.coda or bool(sound.get("coda"))
    if sound.get("tocoda"):
        bar.to_coda, bar.coda = True, bool(sound.get("coda"))
    swing = sound.find("swing")
    if swing is not None:
        first, second = number_of(swing.findtext("first")), number_of(swing.findtext("second"))
        if swing.find("straight") is not None or not first or not second:
            bar.straight, bar.swing = True, None
        else:
            bar.swing, bar.straight = (first / second, swing.findtext("swing-type") or "eighth"), False


def _barline(bar: Bar, barline: Element) -> None:
    ending = barline.find("ending")
    if ending is None:
        return
    if ending.get("type") == "start":
        bar.ending_starts = True
        numbers = re.findall(r"\d+", ending.get("number", "")) or re.findall(r"\d+", ending.text or "")
        bar.ending = tuple(int(number[:4]) for number in numbers[:999])
    else:
        bar.ending_stops = True
