"""Standard MIDI Files: the click of a song and its drums, with tempo map, time signatures, sections and cues.

Format 1; meta events as in MIDI Manufacturers Association RP-001; click and drums on channel 10 with the
numbers of General MIDI Level 1.
"""

from __future__ import annotations

import io
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import chain

import mido

from charts.performance import Performance
from render.plain_text import ascii_text
from render.sound.clicks import BEAT, ONE, SUB, WARN, Click
from render.sound.striking import Hit, note_of, rooms, sounds_of
from render.sound.ticks import Knot, Ticks, knots, signatures, tempo_map, ticks_a_quarter

NOTE_ON = "note_on"
CHANNEL = 9  # channel 10, counted from 0
CLICK_NOTES = {ONE: (76, 120), BEAT: (77, 100), SUB: (77, 48), WARN: (75, 127)}  # note, velocity
SHORTEST = Fraction(1, 8)  # quarters; how long a drum note is written unless it is struck again before

Note = tuple[int, int, int]  # tick, number, velocity
Event = tuple[int, str, dict[str, int | str]]  # tick, the message's type, what it says


def line_midi(
    line: Performance, clicked: Sequence[Click], hits: Sequence[Hit] = (), click_db: float = 0.0
) -> bytes:
    """A line with its click and drums as a MIDI file; ``click_db`` makes the click louder or softer."""
    places = sorted(
        {click.quarters for click in clicked}
        | {hit.quarters for hit in hits}
        | {beat.quarters for beat in line.beats}
    )
    spread = knots(line, places)
    ticks = Ticks(ticks_a_quarter(chain(places, (knot.quarters for knot in spread))), spread)
    end = ticks.at(line.quarters)
    file = mido.MidiFile(type=1, ticks_per_beat=ticks.per_quarter)
    file.tracks.append(_track(line.song.title, _conducted(line, spread, ticks), end))
    file.tracks.append(_track("Click", _notes(_clicked(clicked, ticks, click_db), ticks), end))
    if hits:
        file.tracks.append(_track("Drums", _notes(_struck(hits, spread, ticks), ticks), end))
    data = io.BytesIO()
    file.save(file=data)
    return data.getvalue()


def _conducted(line: Performance, spread: Sequence[Knot], ticks: Ticks) -> Iterator[Event]:
    """Tempo, time signatures, sections as markers, cues as cue points."""
    for tick, signature in signatures(line, ticks):
        yield tick, "time_signature", signature._asdict()
    for tick, microseconds in tempo_map(spread, ticks):
        yield tick, "set_tempo", {"tempo": microseconds}
    for words in line.sections:
        yield ticks.at(words.quarters), "marker", {"text": ascii_text(words.text)}
    for words in line.cues:
        yield ticks.at(words.quarters), "cue_marker", {"text": ascii_text(words.text)}


def _clicked(clicked: Iterable[Click], ticks: Ticks, click_db: float) -> Iterator[Note]:
    """The notes of the click; dB are 40 times the logarithm of velocity (DLS Level 1, from memory)."""
    for click in clicked:
        number, velocity = CLICK_NOTES[click.kind]
        yield ticks.at(click.quarters), number, min(127, max(1, round(velocity * 10 ** (click_db / 40))))


def _struck(hits: Sequence[Hit], spread: Sequence[Knot], ticks: Ticks) -> Iterator[Note]:
    """The notes of the strokes; graces and bounces lie that many ms from theirs at the tempo there."""
    tempos = list(tempo_map(spread, ticks))
    starts = [tick for tick, _ in tempos]
    for hit, room in rooms(hits):
        tick = ticks.at(hit.quarters)
        for sound in sounds_of(hit.stroke, room):
            found = bisect_left(starts, tick) if sound.after < 0 else bisect_right(starts, tick)
            moved = sound.after * 1e6 / tempos[max(0, found - 1)][1] * ticks.per_quarter
            yield max(0, tick + round(moved)), note_of(hit.stroke), sound.velocity


def _notes(notes: Iterable[Note], ticks: Ticks) -> Iterator[Event]:
    """Each note on and off; it ends at the latest where the same number sounds again."""
    following: dict[int, int] = {}
    usual = int(SHORTEST * ticks.per_quarter)
    for tick, number, velocity in sorted(notes, reverse=True):
        if following.get(number) == tick:
            continue  # the louder of two at once is enough
        end = min(tick + usual, following.get(number, tick + usual))
        following[number] = tick
        yield tick, NOTE_ON, {"channel": CHANNEL, "note": number, "velocity": velocity}
        yield end, "note_off", {"channel": CHANNEL, "note": number, "velocity": 0}


def _track(name: str, events: Iterable[Event], end: int) -> mido.MidiTrack:
    """A track from events at absolute ticks; what ends goes before what begins."""
    track = mido.MidiTrack([mido.MetaMessage("track_name", name=ascii_text(name))])
    now = 0
    for tick, kind, said in sorted(events, key=_order):
        tick = min(tick, end)
        build = mido.Message if kind.startswith("note") else mido.MetaMessage
        track.append(build(kind, skip_checks=True, time=tick - now, **said))
        now = tick
    track.append(mido.MetaMessage("end_of_track", time=end - now))
    return track


def _order(event: Event) -> tuple[int, int]:
    return event[0], 1 if event[1] == NOTE_ON else 0
