"""The strokes of a percussion part: the drum is told by General MIDI note, name, or place on the staff."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from xml.etree.ElementTree import Element

from charts.kit import GM_OPEN_HAT, SPELLINGS, VOICES, is_hand
from charts.pattern import BOTH, BUZZ, CLOSED, DRAG, FLAM, GHOST, HALF_OPEN, LEFT, OPEN, PLAIN, RIGHT, Stroke
from render.importing.elements import Placed
from render.importing.score import Struck

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


def _places() -> dict[tuple[str, bool], str]:
    """Staff place and whether the head is crossed -> voice; the kit's plain heads come first."""
    found: dict[tuple[str, bool], str] = {}
    plain_first = sorted(VOICES.values(), key=lambda voice: voice.head not in ("normal", "x"))
    for voice in plain_first:
        found.setdefault((voice.staff, voice.head == "x"), voice.code)
    return found


BY_PLACE = _places()
BY_NAME = {
    **{voice.name: voice.code for voice in VOICES.values()},
    **{k.casefold(): v for k, v in SPELLINGS.items()},
}


class Kit:
    """The instruments of a part as the score declares them."""

    def __init__(self, score_part: Element | None) -> None:
        self.notes: dict[str, int] = {}
        self.names: dict[str, str] = {}
        for midi in score_part.iterfind("midi-instrument") if score_part is not None else ():
            text = (midi.findtext("midi-unpitched") or "").strip()
            if text.isdigit():
                self.notes[midi.get("id", "")] = int(text[:4]) - 1  # MusicXML counts from 1
        for instrument in score_part.iterfind("score-instrument") if score_part is not None else ():
            name = (instrument.findtext("instrument-name") or "").strip().casefold()
            self.names[instrument.get("id", "")] = name
            if name in GM_NAMES:
                self.notes.setdefault(instrument.get("id", ""), GM_NAMES[name])

    def voice(self, note: Element) -> tuple[str, str] | None:
        """A note's voice, and how open the hi-hat is; None for what is no part of a kit."""
        found = note.find("instrument")
        name = found.get("id", "") if found is not None else ""
        if name in self.notes:
            number = self.notes[name]
            code = BY_NOTE.get(number)
            return (code, OPEN if number == GM_OPEN_HAT else CLOSED) if code else None
        if self.names.get(name) in BY_NAME:
            return BY_NAME[self.names[name]], CLOSED
        place = f"{note.findtext('unpitched/display-step')}{note.findtext('unpitched/display-octave')}"
        code = BY_PLACE.get((place, note.findtext("notehead") in CROSSED))
        return (code, CLOSED) if code else None


def strokes_of(placed: Iterable[Placed], kit: Kit) -> tuple[list[Struck], int]:
    """The strokes of a measure in time, and how many could not be given to a drum."""
    found: list[Struck] = []
    graces: list[str] = []
    unknown = 0
    for at, note in placed:
        if note.tag != "note" or note.find("unpitched") is None or _held(note):
            continue
        voice = kit.voice(note)
        if voice is None:
            unknown += 1
        elif note.find("grace") is not None:
            graces.append(voice[0])
        elif not any(each.at == at and each.stroke.voice == voice[0] for each in found):
            small = graces.count(voice[0])
            graces = [each for each in graces if each != voice[0]]
            found.append(Struck(at, _stroke(note, *voice, small)))
    return _with_both_hands(sorted(found, key=lambda each: each.at)), unknown


def _held(note: Element) -> bool:
    """True for a note that is only the rest of a tied one."""
    return any(tie.get("type") == "stop" for tie in note.iterfind("tie"))


def _stroke(note: Element, code: str, hat: str, small: int) -> Stroke:
    head = note.find("notehead")
    kind = PLAIN
    if head is not None and head.get("parentheses") == "yes":
        kind = GHOST
    elif note.find("notations/ornaments/tremolo") is not None and is_hand(code):
        kind = BUZZ
    elif small and is_hand(code):
        kind = FLAM if small == 1 else DRAG
    accented = any(
        note.find(f"notations/articulations/{sign}") is not None for sign in ("accent", "strong-accent")
    )
    if code == "HH":
        hat = _opening(note, hat)
    return Stroke(
        0, Fraction(0), code, kind, accented and kind != GHOST, hat, _hand(note) if is_hand(code) else ""
    )


def _opening(note: Element, hat: str) -> str:
    technical = note.find("notations/technical")
    if technical is not None:
        for sign, how in (("half-muted", HALF_OPEN), ("open", OPEN), ("stopped", CLOSED)):
            if technical.find(sign) is not None:
                return how
    return hat


def _hand(note: Element) -> str:
    hands = {(each.text or "").strip().upper() for each in note.iterfind("notations/technical/fingering")}
    if {RIGHT, LEFT} <= hands:
        return BOTH
    return next((hand for hand in (RIGHT, LEFT) if hand in hands), "")


def _with_both_hands(found: list[Struck]) -> list[Struck]:
    """Both hands stand once over a chord, and are meant for all that hands strike there."""
    both = {each.at for each in found if each.stroke.hand == BOTH}
    return [
        replace(each, stroke=replace(each.stroke, hand=BOTH))
        if each.at in both and each.stroke.by_hand
        else each
        for each in found
    ]
