"""WAV files: 16-bit mono, 44.1 kHz, with named places and a loop where there is one.

RIFF chunks as in the Multimedia Programming Interface and Data Specifications 1.0 (IBM and Microsoft, 1991;
from memory): ``fmt``, ``smpl`` (loop points), ``data``, ``cue`` and ``LIST adtl`` (names of places).
"""

from __future__ import annotations

import math
import struct
import sys
from array import array
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from charts.source import FeelmapError
from render.plain_text import ascii_text

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from charts.performance import Performance

    Samples = array[int] | NDArray[np.int16]

RATE = 44_100  # samples a second
FULL_SCALE = 32_767
LOWEST_DB = -60.0  # peak, below full scale
LONGEST_SECONDS = 3600.0
PIECE = 1 << 18  # samples, about six seconds: what is held at once of a long file
_FUZZ = 1e-6  # of a sample: what is left of sums in binary


@dataclass(frozen=True, slots=True)
class Marked:
    """A named sample."""

    sample: int
    name: str


def section_marks(line: Performance) -> list[Marked]:
    """The sections of a song as named places."""
    return [Marked(sample_at(words.seconds), ascii_text(words.text)) for words in line.sections]


def sample_at(seconds: float) -> int:
    """The first sample that is not before a time.

    >>> sample_at(0.5), sample_at(0.50001)
    (22050, 22051)
    """
    return max(0, math.ceil(seconds * RATE - _FUZZ))


def check_length(seconds: float, what: str, hint: str = "write MIDI instead: -o OUT.mid") -> None:
    """Refuse what no one would keep in memory."""
    if seconds > LONGEST_SECONDS:
        raise FeelmapError(
            f"{what} lasts {seconds / 60:.0f} minutes, and a WAV file here holds {LONGEST_SECONDS / 60:.0f}",
            hint,
        )


def peak_of(level_db: float) -> int:
    """The largest sample at a level below full scale; louder than full scale is refused.

    >>> peak_of(-6.0)
    16422
    >>> peak_of(3.0)
    Traceback (most recent call last):
    charts.source.FeelmapError: a peak above 0 dB cannot be written without distortion, and hurts ears
    """
    if not math.isfinite(level_db):
        raise FeelmapError(f"{level_db} is not a level", "write a peak in dB below full scale, like -6")
    if level_db > 0:
        raise FeelmapError(
            "a peak above 0 dB cannot be written without distortion, and hurts ears",
            "write 0 or less, -6 unless there is a reason; the volume knob does the rest, from low upward",
        )
    if level_db < LOWEST_DB:
        raise FeelmapError(f"at {level_db:g} dB nothing is heard", f"write {LOWEST_DB:g} to 0")
    return round(FULL_SCALE * 10 ** (level_db / 20))


def wave_pieces(
    pieces: Iterable[Samples], count: int, marks: Sequence[Marked] = (), loop: tuple[int, int] | None = None
) -> Iterator[bytes]:
    """A WAV file of that many 16-bit samples, as its pieces are made.

    ``loop`` is the first sample of the loop and the first after it.
    """
    form = struct.pack("<HHIIHH", 1, 1, RATE, RATE * 2, 2, 16)
    head = _chunk(b"fmt ", form) + (_chunk(b"smpl", _loop(*loop)) if loop else b"")
    tail = _named(marks) if marks else b""
    total = 4 + len(head) + 8 + count * 2 + len(tail)
    yield b"RIFF" + struct.pack("<I", total) + b"WAVE" + head + b"data" + struct.pack("<I", count * 2)
    yield from map(_little_endian, pieces)
    yield tail


def _little_endian(samples: Samples) -> bytes:
    if sys.byteorder == "little":
        return samples.tobytes()
    swapped = array("h", samples.tobytes())
    swapped.byteswap()
    return swapped.tobytes()


def _chunk(name: bytes, body: bytes) -> bytes:
    return name + struct.pack("<I", len(body)) + body + b"\0" * (len(body) % 2)


def _loop(start: int, end: int) -> bytes:
    """One endless forward loop; the last sample of a loop belongs to it."""
    nanoseconds = round(1e9 / RATE)
    head = struct.pack("<9I", 0, 0, nanoseconds, 60, 0, 0, 0, 1, 0)
    return head + struct.pack("<6I", 0, 0, start, end - 1, 0, 0)


def _named(marks: Sequence[Marked]) -> bytes:
    points = b"".join(
        struct.pack("<II4sIII", place, mark.sample, b"data", 0, 0, mark.sample)
        for place, mark in enumerate(marks, start=1)
    )
    labels = b"".join(
        _chunk(b"labl", struct.pack("<I", place) + mark.name.encode("ascii") + b"\0")
        for place, mark in enumerate(marks, start=1)
    )
    return _chunk(b"cue ", struct.pack("<I", len(marks)) + points) + _chunk(b"LIST", b"adtl" + labels)
