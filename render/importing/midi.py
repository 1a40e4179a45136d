"""MIDI files as scores: time signatures, tempos, markers and cues, and what channel 10 strikes."""

from __future__ import annotations

import contextlib
import io
import re
from bisect import bisect_right
from fractions import Fraction
from itertools import accumulate
from typing import Any, NamedTuple

from charts.pattern import Stroke
from charts.source import FeelmapError
from charts.timing import Meter
from charts.wording import many
from render.importing.drumpart import BY_NOTE, hat_of
from render.importing.limits import BARS
from render.importing.quiet import quietly
from render.importing.score import START, Bar, Score, Struck, Tempo, plain
from render.importing.signatures import meter_of

DRUM_CHANNEL = 9  # counted from 0
CLICKS = range(75, 78)  # claves and wood blocks: a click, no drum of the kit
COUNT_IN, PICKUP = "count-in", "pickup"  # cue points that name what comes before bar 1
FRAMES = b"\x80"  # from this byte on, a file counts in frames of film
LONGEST_NUMBER = 4096  # bytes; a length in a MIDI file has at most four


class Event(NamedTuple):
    """A message with its place in ticks from the start."""

    tick: int
    said: Any


def read_midi(data: bytes) -> Score:
    """A MIDI file's score.

    :raises FeelmapError: what mido cannot read, or a file without bars.
    """
    score = Score()
    with quietly("MIDI"):
        per_quarter, events = _events(data)
    end = max((event.tick for event in events), default=0)
    if not end or not per_quarter:
        raise FeelmapError("this MIDI file has nothing in it", "export the song again")
    starts = _bars(score, events, per_quarter, end)
    for event in events:
        place = max(0, bisect_right(starts, event.tick) - 1)
        _sign(score, place, Fraction(event.tick - starts[place], per_quarter), event.said)
    _strokes(score, events, starts, per_quarter)
    _before_bar_1(score)
    score.lose("open repeats, hits, stops and dynamics: a MIDI file has none of them")
    return score


def _events(data: bytes) -> tuple[int, list[Event]]:
    """Ticks a quarter, and the messages of all tracks in time."""
    from mido import MidiFile

    if data[12:13] >= FRAMES:
        raise FeelmapError("this MIDI file counts in frames, not in beats", "export it in ticks per quarter")
    if re.search(rb"[\x80-\xff]{%d}" % LONGEST_NUMBER, data):
        raise ValueError
    file = MidiFile(file=io.BytesIO(data), clip=True)
    found = []
    for number, track in enumerate(file.tracks):
        ticks = accumulate(message.time for message in track)
        found += [
            Event(tick, said)
            for tick, said in zip(ticks, track, strict=True)
            if number == 0 or said.type != "track_name"
        ]
    return file.ticks_per_beat, sorted(found, key=lambda event: event.tick)


def _bars(score: Score, events: list[Event], per_quarter: int, end: int) -> list[int]:
    """Make the bars by the time signatures; one inside a bar cuts it short. Returns the bars' ticks."""
    changes = [event for event in events if event.said.type == "time_signature"]
    meter, tick, place = Meter(4, 4), 0, 0
    starts: list[int] = []
    if not changes:
        score.guess("the file has no time signature: 4/4")
    while tick < end:
        number = str(len(starts) + 1)
        BARS.hold(len(starts) + 1, "this MIDI file")
        while place < len(changes) and changes[place].tick <= tick:
            said = changes[place].said
            meter = meter_of([said.numerator], min(said.denominator, 256), score, number)
            place += 1
        following = tick + max(1, int(meter.quarters * per_quarter))
        if place < len(changes):
            following = min(following, changes[place].tick)
        score.bars.append(Bar(number, meter, Fraction(following - tick, per_quarter)))
        starts.append(tick)
        tick = following
    return starts


def _sign(score: Score, place: int, at: Fraction, said: Any) -> None:
    """What a message other than a stroke means for the bar it is in."""
    bar = score.bars[place]
    if said.type == "set_tempo" and said.tempo:
        bar.tempos.append(Tempo(at, Fraction(60_000_000, said.tempo)))
    elif said.type == "marker":
        early = at * 2 > bar.quarters and place + 1 < len(score.bars)  # set by hand, a little too soon
        bar = score.bars[place + early]
        bar.mark = bar.mark or _text(said.text)
    elif said.type == "cue_marker":
        bar.say(at, _text(said.text))
    elif said.type == "key_signature":
        score.key = score.key or said.key.replace("m", " minor")
    elif said.type == "track_name":
        score.title = score.title or _text(said.name)
    elif said.type == "note_on" and said.channel != DRUM_CHANNEL and said.velocity:
        score.lose("the notes of the other channels: a chart has no pitched notes")


def _text(latin: str) -> str:
    """A text's words. mido reads every text as Latin-1, and most files are in UTF-8."""
    with contextlib.suppress(UnicodeDecodeError):
        latin = latin.encode("latin-1").decode("utf-8")
    return plain(latin)


def _strokes(score: Score, events: list[Event], starts: list[int], per_quarter: int) -> None:
    struck = [
        event
        for event in events
        if event.said.type == "note_on" and event.said.velocity and event.said.channel == DRUM_CHANNEL
        if event.said.note not in CLICKS
    ]
    if not struck:
        return
    for event in struck:
        place, code = bisect_right(starts, event.tick) - 1, BY_NOTE.get(event.said.note)
        if code is not None:
            at = Fraction(event.tick - starts[place], per_quarter)
            stroke = Stroke(0, START, code, hat=hat_of(event.said.note))
            score.bars[place].strokes.append(Struck(at, stroke))
    score.lose("accents, ghost notes and sticking: MIDI has only how hard a note is struck")
    unknown = sum(event.said.note not in BY_NOTE for event in struck)
    if unknown:
        score.lose(f"{many(unknown, 'percussion note')}: no drum of a kit has them")


def _before_bar_1(score: Score) -> None:
    """Bars before the first marker that the file itself calls count-in or pickup."""
    said = [{said.text for said in bar.words} & {COUNT_IN, PICKUP} for bar in score.bars]
    first = next((place for place, bar in enumerate(score.bars) if bar.mark), 0)
    counted = 0
    for place, bar in enumerate(score.bars[:first]):
        bar.words = [each for each in bar.words if each.text not in (COUNT_IN, PICKUP)]
        if any(PICKUP in words for words in said[: place + 1]):
            bar.before = True
        elif COUNT_IN in said[0]:
            counted += 1
    if not counted:
        return
    dropped, score.bars = score.bars[:counted], score.bars[counted:]
    score.count_in = sum((bar.quarters for bar in dropped), START)
    tempos = [tempo for bar in dropped for tempo in bar.tempos]
    if tempos and all(tempo.at for tempo in score.bars[0].tempos):
        score.bars[0].tempos.insert(0, Tempo(START, tempos[-1].quarters))
