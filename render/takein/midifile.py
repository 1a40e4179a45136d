"""MIDI files as sheets: the tempo map, time signatures, markers and cues, and what channel 10 strikes."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from charts.kit import GM_OPEN_HAT
from charts.pattern import CLOSED, OPEN, Stroke
from charts.source import FeelmapError
from charts.timing import Meter
from render.musicxml.keys import key_name
from render.takein.drumpart import BY_NOTE
from render.takein.holding import holds_played
from render.takein.quiet import quietly
from render.takein.sheet import MOST_PLAYED, Sheet, SheetBar, Struck, Tempo, meter_of
from render.terminal.words import many

MIDI = "MIDI"
DRUM_CHANNEL = 10
CLICKS = range(75, 78)  # claves and wood blocks: a click, no drum of the kit
COUNT_IN, PICKUP = "count-in", "pickup"  # cue points that say what stands before bar 1


@dataclass(frozen=True)
class Event:
    """What music21 read: its tick, what kind it is, its data."""

    tick: int
    kind: str
    data: bytes
    note: int = 0


def read_midi(data: bytes) -> Sheet:
    """A MIDI file's sheet.

    :raises FeelmapError: what music21 cannot read, or a file without bars.
    """
    sheet = Sheet([])
    with quietly(MIDI):
        per_quarter, events, pitched = _events(data)
    end = max((event.tick for event in events), default=0)
    if not end:
        raise FeelmapError("this MIDI file has nothing in it", "export the song again")
    starts = _bars(sheet, events, per_quarter, end)
    _signs(sheet, events, starts, per_quarter)
    _drums(sheet, events, starts, per_quarter)
    if pitched:
        sheet.lose("the notes of the other channels: a chart has no pitched notes")
    _before_bar_1(sheet)
    holds_played(sheet)
    sheet.lose("open repeats, hits, stops and dynamics: MIDI plays everything out and says none of them")
    return sheet


def _events(data: bytes) -> tuple[int, list[Event], bool]:
    """Ticks a quarter, the events that matter in time, and whether any pitched note sounds."""
    from music21.midi import ChannelVoiceMessages, MetaEvents, MidiFile

    file = MidiFile()
    if data[12:13] >= b"\x80":
        raise FeelmapError("this MIDI file counts in frames, not in beats", "export it with ticks a quarter")
    file.readstr(data)
    kinds = {
        getattr(MetaEvents, name): name
        for name in (
            "SET_TEMPO",
            "TIME_SIGNATURE",
            "KEY_SIGNATURE",
            "MARKER",
            "CUE_POINT",
            "SEQUENCE_TRACK_NAME",
        )
    }
    found, pitched = [], False
    for number, track in enumerate(file.tracks):
        tick = 0
        for event in track.events:
            tick += int(event.time or 0)
            if event.type == ChannelVoiceMessages.NOTE_ON and event.velocity:
                if event.channel == DRUM_CHANNEL:
                    found.append(Event(tick, "NOTE", b"", int(event.pitch)))
                else:
                    pitched = True
            elif event.type in kinds and (number == 0 or kinds[event.type] != "SEQUENCE_TRACK_NAME"):
                found.append(Event(tick, kinds[event.type], _bytes(event.data)))
        found.append(Event(tick, "END", b""))
    return int(file.ticksPerQuarterNote), sorted(found, key=lambda event: event.tick), pitched


def _bytes(data: Any) -> bytes:
    return bytes(data) if isinstance(data, bytes | bytearray) else b""


def _bars(sheet: Sheet, events: list[Event], per_quarter: int, end: int) -> list[int]:
    """Make the bars by the time signatures; a signature inside a bar cuts it short. Returns their ticks."""
    changes = [event for event in events if event.kind == "TIME_SIGNATURE" and len(event.data) >= 2]
    meter, tick, place = Meter(4, 4), 0, 0
    starts: list[int] = []
    if not changes:
        sheet.guess("the file has no time signature: 4/4")
    while tick < end:
        if len(starts) >= MOST_PLAYED:
            raise FeelmapError(f"this MIDI file has more than {MOST_PLAYED} bars", "give one song alone")
        while place < len(changes) and changes[place].tick <= tick:
            upper, power = changes[place].data[0], changes[place].data[1]
            meter = meter_of([upper], 2 ** min(power, 8), sheet, str(len(starts) + 1))
            place += 1
        following = tick + max(1, int(meter.quarters * per_quarter))
        if place < len(changes) and changes[place].tick < following:
            following = changes[place].tick
        sheet.bars.append(SheetBar(str(len(starts) + 1), meter, Fraction(following - tick, per_quarter)))
        starts.append(tick)
        tick = following
    return starts


def _signs(sheet: Sheet, events: list[Event], starts: list[int], per_quarter: int) -> None:
    for event in events:
        place = max(0, bisect_right(starts, event.tick) - 1)
        bar, at = sheet.bars[place], Fraction(event.tick - starts[place], per_quarter)
        if event.kind == "SET_TEMPO" and int.from_bytes(event.data, "big"):
            bar.tempos.append(Tempo(at, Fraction(60_000_000, int.from_bytes(event.data, "big"))))
        elif event.kind == "MARKER" and _text(event):
            if at * 2 > bar.quarters and place + 1 < len(sheet.bars):
                bar = sheet.bars[place + 1]  # set a little early by hand
            bar.mark = bar.mark or _text(event)
        elif event.kind == "CUE_POINT" and _text(event):
            bar.words.append((at, _text(event)))
        elif event.kind == "KEY_SIGNATURE" and len(event.data) >= 2 and not sheet.key:
            sharps = int.from_bytes(event.data[:1], "big", signed=True)
            if -7 <= sharps <= 7:
                sheet.key = key_name(sharps, "minor" if event.data[1] else "major")
        elif event.kind == "SEQUENCE_TRACK_NAME" and not sheet.title:
            sheet.title = _text(event)


def _text(event: Event) -> str:
    try:
        text = event.data.decode("utf-8")
    except UnicodeDecodeError:
        text = event.data.decode("latin-1")
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())


def _drums(sheet: Sheet, events: list[Event], starts: list[int], per_quarter: int) -> None:
    struck = [event for event in events if event.kind == "NOTE" and event.note not in CLICKS]
    if not struck:
        return
    unknown = 0
    for bar in sheet.bars:
        bar.strokes = []
    for event in struck:
        place = bisect_right(starts, event.tick) - 1
        code = BY_NOTE.get(event.note)
        if code is None:
            unknown += 1
            continue
        strokes = sheet.bars[place].strokes
        assert strokes is not None  # just made
        hat = OPEN if event.note == GM_OPEN_HAT else CLOSED
        strokes.append(
            Struck(Fraction(event.tick - starts[place], per_quarter), Stroke(0, Fraction(0), code, hat=hat))
        )
    sheet.lose("accents, ghost notes and sticking: MIDI has only how hard a note is struck")
    if unknown:
        sheet.lose(f"{many(unknown, 'percussion note')}: no drum of a kit has them")


def _before_bar_1(sheet: Sheet) -> None:
    """Bars before the first marker that the file itself calls count-in or pickup."""
    said = [{text for _, text in bar.words} & {COUNT_IN, PICKUP} for bar in sheet.bars]
    first = next((place for place, bar in enumerate(sheet.bars) if bar.mark), 0)
    counted = 0
    for place, bar in enumerate(sheet.bars[:first]):
        bar.words = [(at, text) for at, text in bar.words if text not in (COUNT_IN, PICKUP)]
        if any(PICKUP in words for words in said[: place + 1]):
            bar.before = True
        elif COUNT_IN in said[0]:
            counted += 1
    if counted:
        length = sum((bar.quarters for bar in sheet.bars[:counted]), Fraction(0))
        sheet.count_in = length
        sheet.bars = [*_carried(sheet.bars[:counted], sheet.bars[counted:])]


def _carried(dropped: list[SheetBar], kept: list[SheetBar]) -> Iterator[SheetBar]:
    """The bars after the count-in; the tempo that it set stays in force."""
    tempos = [tempo for bar in dropped for tempo in bar.tempos]
    if tempos and kept and not any(tempo.at == 0 for tempo in kept[0].tempos):
        kept[0].tempos.insert(0, Tempo(Fraction(0), tempos[-1].quarters))
    yield from kept
