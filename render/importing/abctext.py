"""ABC text made ready for music21: one tune, one voice, and the signs that music21 drops kept as numbers.

music21 passes inline fields through untouched, so every ending, decoration, annotation and multi-bar rest is
written as ``[r:N]`` and looked up again afterwards.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from charts.source import FeelmapError
from render.importing.limits import ABC_FIGURE, ABC_TUNE

KEPT_FIELDS = "MLKQP"  # fields in the body that change how it is played
_FIELD = re.compile(r"^([A-Za-z+]):(.*)$")
_VOICE = re.compile(r"(?:V:\s*(\S+)|\s*\[V:\s*([^\s\]]+))")
_SIGN = re.compile(
    r"""!(?P<sign>[^!\s|]{1,40})! | \+(?P<old>[^+\s|]{1,40})\+
    | "[\^_<>@](?P<words>[^"]*)" | (?P<chord>"[^"]*")
    | \[(?P<field>[A-Za-z]:[^\[\]]*)\]
    | (?P<bar>[|:\]])?\[\s*(?P<ending>\d[\d,\-.]*) | (?P<line>[|:\]])(?P<after>\d[\d,\-.]*)
    | (?P<rest>[ZX])(?P<many>\d{0,4})(?=[\s|:\]]|$)
    | (?P<letter>[SO])(?=[\s^_=]*[A-Ga-gzx\[("])
    | (?P<bowing>[uv~.]|[HLMPT](?=[\s^_=]*[A-Ga-gz\[(])|\((?!\d)|\))""",
    re.VERBOSE,
)
_ROAD = re.compile(r"(?i)(d\.? ?[cs]\b|da capo|dal segno|fine\b|segno\b|coda\b|to coda)")  # no chord
_CHORD = re.compile(
    r"(?i:\s*n\.?c\.?\s*$)|\s*\(?[A-G][#b♯♭]?(?:$|[\d/()+°ø^-]|\s|(?:m|maj|min|dim|aug|sus|add)(?![a-z]))"
)
_LETTERS = {"S": "segno", "O": "coda"}


@dataclass
class Tune:
    """A tune's header fields, its text for music21, and the signs that its numbers are for."""

    header: dict[str, list[str]] = field(default_factory=dict)
    text: str = ""
    signs: list[tuple[str, str]] = field(default_factory=list)
    tunes: int = 1
    voices: int = 1
    chords: int = 0  # chord symbols over the music
    sung: bool = False  # with words below it

    def keep(self, kind: str, value: str) -> str:
        """Put a sign away; returns what is in the text instead."""
        self.signs.append((kind, value.strip()))
        return f"[r:{len(self.signs) - 1}]"


def first_tune(text: str) -> Tune:
    """The first tune of a file, its first voice.

    :raises FeelmapError: no tune, or a tune that is far too long.
    """
    lines = [line.rstrip() for line in text.replace("\r\n", "\n").replace("\r", "\n").split("\n")]
    heads = [number for number, line in enumerate(lines) if line.startswith("X:")]
    start = heads[0] if heads else 0
    end = next((n for n in range(start + 1, len(lines)) if lines[n].startswith("X:")), len(lines))
    lines = lines[start:end]
    ABC_TUNE.hold(sum(map(len, lines)))
    tune = Tune(tunes=max(1, len(heads)))
    _read(tune, lines)
    return tune


def _read(tune: Tune, lines: list[str]) -> None:
    kept: list[str] = []
    voices: list[str] = []
    body, heard = False, True  # inside the music; in the first voice
    for line in (line.split("%", 1)[0].rstrip() for line in lines):
        voice = _VOICE.match(line)
        if voice:
            name = voice[1] or voice[2]
            voices += [name] if name not in voices else []
            heard = name == voices[0]
        found = _FIELD.match(line)
        if found and not body:
            tune.header.setdefault(found[1], []).append(found[2].strip())
            kept += [_safe(line)] if found[1] in "MLQK" else []
            body = found[1] == "K"
        elif found and heard and found[1] in KEPT_FIELDS:
            kept.append(_safe(line) if found[1] == "L" else tune.keep("field", _safe(line)))
        elif found and body and heard and found[1] in "wW":
            tune.sung = True
        elif body and line and heard and not found:
            kept.append(_music(tune, line))
    tune.voices = max(1, len(voices))
    if not body:
        raise FeelmapError("this ABC tune has no K: line", "a tune starts with X:, T:, M: and K: lines")
    tune.text = "\n".join(kept) + "\n"


def _safe(line: str) -> str:
    """A line without a number that music21 would count for hours."""
    ABC_FIGURE.hold(max((int(number[:9]) for number in re.findall(r"\d+", line)), default=0), line[:40])
    return line


def _music(tune: Tune, line: str) -> str:
    """A line of music with its signs put away; small notes and second voices in a bar are left out."""
    line = re.sub(r"\{[^{}]*\}|&[^|]*", "", line.rstrip("\\"))
    _safe(re.sub(r'"[^"]*"', "", line))
    return _SIGN.sub(lambda found: _put_away(tune, found), line)


def _put_away(tune: Tune, found: re.Match[str]) -> str:
    if found["bowing"]:
        return ""
    if found["chord"] is not None:
        text = found["chord"].strip('"')
        if _ROAD.match(text) or not _CHORD.match(text):
            return tune.keep("words", text)
        tune.chords += 1
        return ""
    if found["field"] is not None:
        name = found["field"][0]
        if name == "L":
            return f"\n{_safe(found['field'])}\n"  # music21 reads it on a line of its own
        return tune.keep("field", _safe(found["field"])) if name in KEPT_FIELDS else ""
    if found["ending"] or found["after"]:
        line = found["bar"] or found["line"] or ""
        return line + tune.keep("ending", found["ending"] or found["after"])
    if found["rest"]:
        return tune.keep("rest", found["many"])
    if found["letter"]:
        return tune.keep("sign", _LETTERS[found["letter"]])
    if found["words"] is not None:
        return tune.keep("words", found["words"])
    return tune.keep("sign", found["sign"] or found["old"])
