"""Scores that are in a test, and what is taken in from them."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import mido
import pytest
from support import BOOK

from charts.book import Book
from charts.source import FeelmapError
from render.importing.take import Taken, take_in


def taken(tmp_path: Path, name: str, data: bytes | str, book: Book = BOOK) -> Taken:
    path = tmp_path / name
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    return take_in(path, book)


def lines(text: str) -> list[str]:
    return [line.strip() for line in text.split("form:\n")[1].splitlines() if line.startswith("  - ")]


def message(tmp_path: Path, name: str, data: bytes | str) -> str:
    with pytest.raises(FeelmapError) as told:
        taken(tmp_path, name, data)
    return told.value.message


def ticked(*events: tuple[float, str, dict[str, object]], quarters: int) -> bytes:
    """A MIDI file of one track: (quarters from the start, meta event, what it says)."""
    file, now = mido.MidiFile(type=1, ticks_per_beat=480), 0
    file.tracks.append(track := mido.MidiTrack())
    for at, kind, said in events:
        track.append(mido.MetaMessage(kind, time=round(at * 480) - now, **said))
        now = round(at * 480)
    track.append(mido.MetaMessage("end_of_track", time=quarters * 480 - now))
    data = io.BytesIO()
    file.save(file=data)
    return data.getvalue()


def at_tempo(at: float, bpm: float) -> tuple[float, str, dict[str, object]]:
    return at, "set_tempo", {"tempo": round(60_000_000 / bpm)}


def marked(at: float, text: str) -> tuple[float, str, dict[str, object]]:
    return at, "marker", {"text": text}


PARTS = '<part-list><score-part id="P1"><part-name>Flute</part-name></score-part></part-list>'
REST = '<note><rest measure="yes"/><duration>{}</duration></note>'


def score(*bars: str, head: str = "") -> str:
    """A score of one part; each bar is its own XML with ``...`` for a bar's rest."""
    body = ""
    for number, bar in enumerate(bars, start=1):
        attributes = "<attributes><divisions>2</divisions></attributes>" if number == 1 else ""
        body += f'<measure number="{number}">{attributes}{bar.replace("...", REST.format(8))}</measure>'
    return f'<score-partwise version="4.0">{head}{PARTS}<part id="P1">{body}</part></score-partwise>'


def time(beats: str, kind: int) -> str:
    return f"<attributes><time><beats>{beats}</beats><beat-type>{kind}</beat-type></time></attributes>"


def words(text: str, tag: str = "words") -> str:
    return f"<direction><direction-type><{tag}>{text}</{tag}></direction-type></direction>"


def archive(files: dict[str, bytes]) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in files.items():
            packed.writestr(name, content)
    return data.getvalue()
