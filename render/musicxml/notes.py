"""Percussion notes: unpitched, on their place of the staff, with head, accent, grace notes and sticking."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from xml.etree.ElementTree import Element

from charts.kit import GM_OPEN_HAT, VOICES
from charts.notevalues import Event, beams
from charts.pattern import BOTH, BUZZ, CLOSED, DRAG, FLAM, GHOST, HALF_OPEN, LEFT, OPEN, RIGHT, Stroke
from render.musicxml.element import add

PART = "P1"
HANDS, FEET = "1", "2"  # the staff's two voices: stems up and down
OPEN_HAT = "HH-open"
GM_CHANNEL = "10"
Ticks = Callable[[Fraction], int]


def instrument_of(stroke: Stroke) -> str:
    """The instrument that sounds a stroke: a voice's code; open hats have a sound of their own."""
    return OPEN_HAT if stroke.hat != CLOSED else stroke.voice


def instrument_id(code: str) -> str:
    return f"{PART}-{code}"


def gm_note(code: str) -> int:
    """General MIDI percussion note of an instrument."""
    return GM_OPEN_HAT if code == OPEN_HAT else VOICES[code].gm


def instrument_name(code: str) -> str:
    return "open hi-hat" if code == OPEN_HAT else VOICES[code].name


class NoteWriter:
    """Writes one bar's notes; remembers whether the hi-hat was left open, so that closing it is marked."""

    def __init__(self, measure: Element, ticks: Ticks) -> None:
        self.measure, self.ticks = measure, ticks
        self.hat_open = False

    def whole_rest(self, quarters: Fraction) -> None:
        """A bar's rest in the first voice."""
        note = add(self.measure, "note")
        add(note, "rest", measure="yes")
        add(note, "duration", self.ticks(quarters))
        add(note, "voice", HANDS)

    def beat(self, events: Sequence[Event], voice: str, holds: Iterable[Fraction] = ()) -> None:
        """One beat of one voice; ``holds`` are places in it that carry a fermata."""
        held = {_covering(events, at) for at in holds}
        for place, (event, beam) in enumerate(zip(events, beams(events), strict=True)):
            for stroke in event.strokes:
                self._graces(stroke, voice)
            if not event.strokes:
                self._note(event, None, voice, [], False, place in held)
            for number, stroke in enumerate(event.strokes):
                self._note(event, stroke, voice, beam if not number else [], number > 0, place in held)

    def _graces(self, stroke: Stroke, voice: str) -> None:
        """A flam is one small note before the stroke, a drag two."""
        if stroke.kind == FLAM:
            self._grace(stroke, voice, "eighth", "yes", ())
        elif stroke.kind == DRAG:
            self._grace(stroke, voice, "16th", "no", ("begin", "begin"))
            self._grace(stroke, voice, "16th", "no", ("end", "end"))

    def _grace(self, stroke: Stroke, voice: str, type_: str, slash: str, beam: Sequence[str]) -> None:
        note = add(self.measure, "note")
        add(note, "grace", slash=slash)
        _unpitched(note, stroke)
        add(note, "instrument", id=instrument_id(instrument_of(stroke)))
        add(note, "voice", voice)
        add(note, "type", type_)
        _stem_and_head(note, stroke, voice)
        _beams(note, beam)

    def _note(
        self, event: Event, stroke: Stroke | None, voice: str, beam: Sequence[str], chord: bool, held: bool
    ) -> None:
        note = add(self.measure, "note")
        if chord:
            add(note, "chord")
        if stroke is None:
            _rest(note, voice)
        else:
            _unpitched(note, stroke)
        add(note, "duration", self.ticks(event.quarters))
        if stroke is not None:
            add(note, "instrument", id=instrument_id(instrument_of(stroke)))
        add(note, "voice", voice)
        _value(note, event)
        if stroke is not None:
            _stem_and_head(note, stroke, voice)
            _beams(note, beam)
        self._notations(note, event, stroke, chord, held)

    def _notations(self, note: Element, event: Event, stroke: Stroke | None, chord: bool, held: bool) -> None:
        marks = Element("notations")
        if not chord:
            if event.opens:
                add(marks, "tuplet", type="start", number="1", bracket="yes")
            if event.closes:
                add(marks, "tuplet", type="stop", number="1")
        if stroke is not None:
            if stroke.kind == BUZZ:
                add(add(marks, "ornaments"), "tremolo", 0, type="unmeasured")
            self._technical(marks, stroke, chord)
            if stroke.accent:
                add(add(marks, "articulations"), "accent")
        if held and not chord:
            add(marks, "fermata", type="upright")
        if len(marks):
            note.append(marks)

    def _technical(self, marks: Element, stroke: Stroke, chord: bool) -> None:
        """How open the hi-hat is, and which hand: there is no sticking element, so fingering says it."""
        technical = Element("technical")
        if stroke.hat == OPEN:
            add(technical, "open")
        elif stroke.hat == HALF_OPEN:
            add(technical, "half-muted", smufl="guitarHalfOpenPedal")  # the half-open hat's circle
        elif stroke.voice == "HH" and self.hat_open:
            add(technical, "stopped")
        if stroke.voice == "HH":
            self.hat_open = stroke.hat != CLOSED
        if stroke.hand and not (chord and stroke.hand == BOTH):
            for hand in (RIGHT, LEFT) if stroke.hand == BOTH else (stroke.hand,):
                add(technical, "fingering", hand)
        if len(technical):
            marks.append(technical)


def _covering(events: Sequence[Event], at: Fraction) -> int:
    """The event that sounds at a place of its beat."""
    return max(place for place, event in enumerate(events) if event.at <= at)


def _unpitched(note: Element, stroke: Stroke) -> None:
    place = VOICES[stroke.voice].staff
    unpitched = add(note, "unpitched")
    add(unpitched, "display-step", place[0])
    add(unpitched, "display-octave", place[1])


def _rest(note: Element, voice: str) -> None:
    rest = add(note, "rest")
    if voice == FEET:  # out of the hands' way
        add(rest, "display-step", "D")
        add(rest, "display-octave", "4")


def _value(note: Element, event: Event) -> None:
    if event.type:
        add(note, "type", event.type)
        for _ in range(event.dots):
            add(note, "dot")
    if event.tuplet is not None:
        change = add(note, "time-modification")
        add(change, "actual-notes", event.tuplet.actual)
        add(change, "normal-notes", event.tuplet.normal)
        add(change, "normal-type", event.tuplet.type)


def _stem_and_head(note: Element, stroke: Stroke, voice: str) -> None:
    add(note, "stem", "up" if voice == HANDS else "down")
    head = VOICES[stroke.voice].head
    if stroke.kind == GHOST:
        add(note, "notehead", head, parentheses="yes")
    elif head != "normal":
        add(note, "notehead", head)


def _beams(note: Element, beam: Sequence[str]) -> None:
    for number, word in enumerate(beam, start=1):
        add(note, "beam", word, number=str(number))
