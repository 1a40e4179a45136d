"""The strokes of a percussion part: the drum is found by General MIDI note, name, or place on the staff."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from xml.etree.ElementTree import Element

from charts.kit import GM_OPEN_HAT, SPELLINGS, VOICES, is_hand
from charts.pattern import BOTH, BUZZ, CLOSED, DRAG, FLAM, GHOST, HALF_OPEN, LEFT, OPEN, PLAIN, RIGHT, Stroke
from render.importing.limits import number
from render.importing.score import Struck
from render.importing.xmltree import text_of

# General MIDI notes that no voice has for its own, and the voice that is nearest
NEAREST = {40: "SD", 41: "FT", 47: "T2", 59: "RD", GM_OPEN_HAT: "HH"}
BY_NOTE = {**{voice.gm: voice.code for voice in VOICES.values()}, **NEAREST}
# what General MIDI Level 1 calls its percussion notes, for scores that name instruments and number none
GM_NAMES = {
    "acoustic bass drum": 35, "bass drum 1": 36, "side stick": 37, "acoustic snare": 38, "electric snare": 40,
    "low floor tom": 41, "closed hi-hat": 42, "high floor tom": 43, "pedal hi-hat": 44, "low tom": 45,
    "open hi-hat": 46, "low-mid tom": 47, "hi-mid tom": 48, "crash cymbal 1": 49, "high tom": 50,
    "ride cymbal 1": 51, "chinese cymbal": 52, "splash cymbal": 55, "crash cymbal 2": 57, "ride cymbal 2": 59,
    "snare drum": 38, "kick drum": 36, "hi-hat": 42,
}  # fmt: skip
CROSSED = ("x", "cross", "circle-x")
OPENINGS = {"half-muted": HALF_OPEN, "open": OPEN, "stopped": CLOSED}
BY_NAME = {
    **{voice.name: voice.code for voice in VOICES.values()},
    **{spelling.casefold(): code for spelling, code in SPELLINGS.items()},
}
# staff place and whether the head is crossed; the kit's plain heads hold where two voices share a place
BY_PLACE = {
    (voice.staff, voice.head == "x"): voice.code
    for voice in sorted(VOICES.values(), key=lambda voice: voice.head not in ("normal", "x"))[::-1]
}


def hat_of(note: int) -> str:
    """How open the hi-hat of a General MIDI note is."""
    return OPEN if note == GM_OPEN_HAT else CLOSED


class Kit:
    """The instruments of a part as the score declares them."""

    def __init__(self, score_part: Element | None) -> None:
        self.notes: dict[str, int] = {}
        self.names: dict[str, str] = {}
        for midi in score_part.iterfind("midi-instrument") if score_part is not None else ():
            found = number(midi.findtext("midi-unpitched"))
            if found is not None:
                self.notes[midi.get("id", "")] = int(found) - 1  # MusicXML counts from 1
        for instrument in score_part.iterfind("score-instrument") if score_part is not None else ():
            name = text_of(instrument, "instrument-name").casefold()
            self.names[instrument.get("id", "")] = name
            if name in GM_NAMES:
                self.notes.setdefault(instrument.get("id", ""), GM_NAMES[name])

    def voice(self, note: Element) -> tuple[str, str] | None:
        """A note's voice, and how open the hi-hat is; None for what is not part of a kit."""
        found = note.find("instrument")
        name = found.get("id", "") if found is not None else ""
        if name in self.notes:
            code = BY_NOTE.get(self.notes[name])
            return (code, hat_of(self.notes[name])) if code else None
        place = text_of(note, "unpitched/display-step") + text_of(note, "unpitched/display-octave")
        code = BY_NAME.get(self.names.get(name, "")) or BY_PLACE.get(
            (place, text_of(note, "notehead") in CROSSED)
        )
        return (code, CLOSED) if code else None


def strokes_of(placed: Iterable[tuple[Fraction, Element]], kit: Kit) -> tuple[list[Struck], int]:
    """The strokes of a measure in time, and how many could not be given to a drum."""
    found: dict[tuple[Fraction, str], Struck] = {}
    graces: dict[str, int] = {}
    unknown = 0
    for at, note in placed:
        if note.tag != "note" or note.find("unpitched") is None or note.find("tie[@type='stop']") is not None:
            continue
        voice = kit.voice(note)
        if voice is None:
            unknown += 1
        elif note.find("grace") is not None:
            graces[voice[0]] = graces.get(voice[0], 0) + 1
        elif (at, voice[0]) not in found:
            found[at, voice[0]] = Struck(at, _stroke(note, *voice, graces.pop(voice[0], 0)))
    return _with_both_hands(sorted(found.values(), key=lambda each: each.at)), unknown


def _stroke(note: Element, code: str, hat: str, small: int) -> Stroke:
    """A stroke with its kind; ``small`` grace notes come before it."""
    head, kind = note.find("notehead"), PLAIN
    if head is not None and head.get("parentheses") == "yes":
        kind = GHOST
    elif note.find("notations/ornaments/tremolo") is not None and is_hand(code):
        kind = BUZZ
    elif small and is_hand(code):
        kind = FLAM if small == 1 else DRAG
    marks = {each.tag for each in note.iterfind("notations/articulations/*")}
    accent = kind != GHOST and not marks.isdisjoint(("accent", "strong-accent"))
    if code == "HH":
        signs = {each.tag for each in note.iterfind("notations/technical/*")}
        hat = next((how for sign, how in OPENINGS.items() if sign in signs), hat)
    return Stroke(0, Fraction(0), code, kind, accent, hat, _hand(note) if is_hand(code) else "")


def _hand(note: Element) -> str:
    hands = {text_of(each).upper() for each in note.iterfind("notations/technical/fingering")}
    if {RIGHT, LEFT} <= hands:
        return BOTH
    return next((hand for hand in (RIGHT, LEFT) if hand in hands), "")


def _with_both_hands(found: list[Struck]) -> list[Struck]:
    """Both hands are marked once over a chord, and hold for all that hands strike there."""
    both = {each.at for each in found if each.stroke.hand == BOTH}
    return [
        replace(each, stroke=replace(each.stroke, hand=BOTH))
        if each.at in both and each.stroke.by_hand
        else each
        for each in found
    ]
