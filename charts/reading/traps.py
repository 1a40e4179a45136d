"""The traps of the format: what a musician writes and YAML takes for something else.

When a text does not compose, every line that shows a known trap is told in our own words; only where none
does is the parser's place given, never its words.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from charts.source import ERROR, Finding, Source, Span

# bounded, so that no search goes back over a long line again and again
_WORDS = r"[^#'\"{}\[\]:\s](?:[^#'\"{}\[\]:]{0,200}[^#'\"{}\[\]:\s])?"
_VALUE = r"[^#'\"{}\[\]]{0,200}[^#'\"{}\[\]\s]"
_SPACED = r"[^\s:/]\S{0,200}(?: {1,3}[^\s#]\S{0,200}){0,40}"
_KEY = r"^(?:\s*-)?\s*(?:[^\s#'\"{}\[\]][^#'\"{}\[\]:]*:\s+)"
_TRAPS = (
    (re.compile(r"^[ ]*(\t+)"), "a tab stands in the indent", "indent with spaces"),
    (
        re.compile(_KEY + r"('[^']*)$"),
        "this ' opens a quotation that does not end",
        'put the words in double quotes: "\'til cue"',
    ),
    (
        re.compile(r"[:{,]\s+('[a-z]+ [^']*)$"),
        "this ' opens a quotation that does not end",
        'put the words in double quotes: "\'til cue"',
    ),
    (
        re.compile(r"(?::|-)\s+('(?P<words>[^'\"#]{0,200}'\w[^'\"#]{0,200})'?)\s*$"),
        "this quotation ends at its apostrophe",
        r'put the words in double quotes: "\g<words>"',
    ),
    (re.compile(r"(?::|-)\s+(\"[^\"]*)$"), "this quotation does not end", 'close it with "'),
    (re.compile(r"(?::|-)\s+([@`][^#]*)"), "words cannot begin with @ or `", "put the words in quotes"),
    (re.compile(r"(?::|-)\s+(%[^#]*)"), "words cannot begin with %", "put the words in quotes"),
    (re.compile(r"^\s+(\*)\s"), "a star stands before this line", "begin it with a hyphen and a space: “- ”"),
    (re.compile(r"(?::|-)\s+(\*[^#]*)"), "words cannot begin with *", "put the words in quotes"),
    (re.compile(r"(?::|-)\s+(&[^#]*)"), "words cannot begin with &", "put the words in quotes"),
    (re.compile(r"(?::|-)\s+(![^#]*)"), "words cannot begin with !", "put the words in quotes"),
    (re.compile(r"(?::|-)\s+(\[[^\]]*)$"), "words cannot begin with [", "put the words in quotes"),
    (re.compile(r":\s+(\[[^\]]*\]\s+[^#\s].*)$"), "words cannot begin with [", "put the words in quotes"),
    (
        re.compile(
            rf"^\s*-\s+((?!name:)(?P<line>{_WORDS}):\s+(?P<keys>[a-z][a-z-]*:\s{_VALUE}))\s*(?:#.*)?$"
        ),
        "keys behind a line stand in braces",
        r"write \g<line>: {\g<keys>}",
    ),
    (
        re.compile(
            rf"^\s*((?P<line>fills|cues|tempos|odd-bars|holds):\s+(?P<keys>\d[\w.&+/]*:\s{_VALUE}))\s*(?:#.*)?$"
        ),
        "keys behind a line stand in braces",
        r"write \g<line>: {\g<keys>}",
    ),
    (
        re.compile(
            rf"^\s*-\s+((?P<line>{_WORDS})\s*(?P<keys>\{{[^{{}}]{{0,200}}:\s[^{{}}]{{0,200}}\}}))\s*(?:#.*)?$"
        ),
        "no colon before {",
        r"write \g<line>: \g<keys>",
    ),
    (
        re.compile(_KEY + r"([^'\"{\[#|>\s][^#]*?:(?:\s[^#]*)?)$"),
        "a colon in plain words starts a new key",
        "put words that contain a colon in quotes",
    ),
    (
        re.compile(r"\{[^{}'\"]{0,200}?:\s+([^,{}'\"]{0,200}?:\s[^,{}'\"]{0,200})[,}]"),
        "a colon in plain words starts a new key",
        "put words that contain a colon in quotes",
    ),
    (
        re.compile(r"^(?:\s*-\s+)(?=\S)([^#'\"{}\[\]:]+\([\d+ ]*\)[^:#]*):\{"),
        "no space after the colon",
        "write a space between : and {",
    ),
    (
        re.compile(rf"^\s*(?:- )?((?P<key>[a-z][a-z-]*):(?P<value>{_SPACED}))\s*(?:\s#.*)?$"),
        "no space after the colon",
        r"write \g<key>: \g<value>",
    ),
    (
        re.compile(r"^(---)\s*$"),
        "--- starts a second document",
        "one song a file: delete the line, or split the file",
    ),
    (
        re.compile(r"(?::|-)\s+[\[{](?:[^\[\]{}#\"']|\"[^\"]*\"|'[^']*')*\s(#.*[\]}])"),
        "# starts a comment, and what closes the bracket is in it",
        "put words that contain # in quotes",
    ),
    (re.compile(r"(\{[^{}]*)$"), "this { is not closed", "close it with }"),
    (re.compile(r":\s+(\[[^\[\]]*)$"), "this [ is not closed", "close it with ]"),
)


def syntax_findings(source: Source, error: Exception) -> list[Finding]:
    """What is wrong with a text that does not compose; at least one finding."""
    found = list(_trapped(source))
    place = _place(source, error)
    control = _control(source)
    if control is not None:
        return [control]
    if found and (place is None or min(f.span.line for f in found if f.span) <= place.line):
        return found
    if isinstance(error, RecursionError) or "depth" in str(error) or "nesting" in str(error):
        return [
            Finding(
                "file",
                ERROR,
                "nested too deep",
                place,
                hint="a chart needs five levels; look for stray brackets",
            )
        ]
    other = (
        _colonless(source, error, place)
        or _indented(source, place)
        or _undashed(source, error, place)
        or _beside(source, place)
    )
    return [*found, other or _general(source, error, place)]


def _trapped(source: Source) -> Iterator[Finding]:
    block = -1  # indent of a key whose rows stand below it, while inside them
    for number, line in enumerate(source.lines, start=1):
        indent = len(line) - len(line.lstrip(" "))
        if block >= 0 and (not line.strip() or indent > block):
            continue
        block = indent if re.search(r":\s*[|>][-+0-9]*\s*$", line) else -1
        for pattern, message, hint in _TRAPS:
            hit = pattern.search(line)
            if hit and (number > 1 or not line.startswith("---")):
                span = Span(source, number, hit.start(1) + 1, hit.end(1) + 1)
                yield Finding("file", ERROR, message, span, hint=hit.expand(hint))
                break


_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\x85\u2028\u2029]")


def _control(source: Source) -> Finding | None:
    """A character that nobody sees and YAML does not take, or takes for the end of a line."""
    hit = _CONTROL.search(source.text)
    if hit is None:
        return None
    line, column = source.place(hit.start())
    span = Span(source, line, column, column + 1)
    return Finding(
        "file", ERROR, f"control character U+{ord(hit[0]):04X} in the text", span, hint="delete it"
    )


def _place(source: Source, error: Exception) -> Span | None:
    mark: Any = getattr(error, "problem_mark", None)
    if mark is None:
        position = getattr(error, "position", None)
        if not isinstance(position, int):
            return Span(source, 1, 1, 1)
    else:
        position = mark.index
    line, column = source.place(position)
    return Span(source, line, column, column + 1)


_PLAIN = r"([^:#'\"{}\[\]]*[^:#'\"{}\[\]\s])"
_BARE = re.compile(rf"^(\s*)-\s+{_PLAIN}\s*(?:#.*)?$")
_VALUED = re.compile(rf"^(\s*)([a-z][a-z-]*):\s+{_PLAIN}\s*(?:#.*)?$")
_A_KEY = re.compile(r"^(\s+)[a-z][a-z-]*:(?:\s|$)")


_NO_COLON = re.compile(r"^( *)([a-z][a-z-]*)(?:\s+([^\s:#(][^:#]*))?(?:#.*)?$")


def _colonless(source: Source, error: Exception, place: Span | None) -> Finding | None:
    """A key without its colon: the line where reading began, or the one above at the place's indent."""
    context: Any = getattr(error, "context_mark", None)
    numbers = [source.place(context.index)[0]] if context is not None else []
    if place is not None and (own := _A_KEY.match(f" {source.lines[place.line - 1]}")):
        deep = len(own[1]) - 1
        above = (n for n in range(place.line - 1, 0, -1) if _indent(source.lines[n - 1]) <= deep)
        numbers += [n for n in (next(above, 0),) if n and _indent(source.lines[n - 1]) == deep]
    for number in numbers:
        found = _NO_COLON.match(source.lines[number - 1])
        if found and not _goes_on(source, number, len(found[1])):
            span = Span(source, number, len(found[1]) + 1, found.end(2) + 1)
            words = (found[3] or "").strip()
            return Finding(
                "file", ERROR, f"no colon behind {found[2]}", span, hint=f"write {found[2]}: {words}".rstrip()
            )
    return None


def _indent(line: str) -> int:
    """How deep a line stands; an empty one or a comment as deep as can be."""
    words = line.lstrip(" ")
    return len(line) - len(words) if words and words[0] != "#" else len(line) + 1_000


def _goes_on(source: Source, number: int, deep: int) -> bool:
    """True for a line that carries on the words of a key above it."""
    above = (source.lines[n - 1] for n in range(number - 1, 0, -1) if _indent(source.lines[n - 1]) < deep)
    return _VALUED.match(next(above, "")) is not None


def _indented(source: Source, place: Span | None) -> Finding | None:
    """A key below a form line without its colon, or below a key that has its value already."""
    key = _A_KEY.match(source.lines[place.line - 1]) if place is not None else None
    if place is None or key is None:
        return None
    before = (n for n in range(place.line - 1, 0, -1) if source.lines[n - 1].partition("#")[0].strip())
    number = next(before, 0)
    above = source.lines[number - 1] if number else ""
    if (bare := _BARE.match(above)) and len(key[1]) > len(bare[1]):
        span = Span(source, number, bare.end(2) + 1, bare.end(2) + 2)
        message = "keys stand below this line, and no colon at its end"
        return Finding("file", ERROR, message, span, hint=f"write {bare[2]}:")
    if (valued := _VALUED.match(above)) and len(key[1]) > len(valued[1]):
        span = Span(source, place.line, 1, len(key[1]) + 1)
        message = f"this line stands deeper than {valued[2]} above it, which has its value"
        return Finding("file", ERROR, message, span, hint=f"begin it right below {valued[2]}")
    return None


_LED = re.compile(r"^( *)(-(?= )|[a-z][a-z-]*(?=:(?:\s|$)))\s*([^:#]*[^:#\s])?")


def _undashed(source: Source, error: Exception, place: Span | None) -> Finding | None:
    """A line among lines behind “- ” that has none."""
    context: Any = getattr(error, "context_mark", None)
    numbers = [place.line] if place is not None else []
    numbers += [source.place(context.index)[0]] if context is not None else []
    for number in numbers:
        line = source.lines[number - 1].partition(" #")[0].rstrip()
        words = line.lstrip(" ")
        indent = line[: len(line) - len(words)]
        if not indent or not words or words[0] in "-#":
            continue
        lines = (line for line in reversed(source.lines[: number - 1]) if line.strip())
        above = next((line for line in lines if not line.startswith(f"{indent} ")), "")
        if above.startswith(f"{indent}- "):
            span = Span(source, number, len(indent) + 1, len(line) + 1)
            return Finding("file", ERROR, "no “- ” before this line", span, hint=f"write - {words}")
    return None


def _beside(source: Source, place: Span | None) -> Finding | None:
    """A line that stands a little left or right of the one that it goes with."""
    own = _LED.match(source.lines[place.line - 1]) if place is not None else None
    if place is None or own is None:
        return None
    lines = filter(None, map(_LED.match, reversed(source.lines[: place.line - 1])))
    alike = [led for led in lines if (led[2] == "-") == (own[2] == "-")]
    above = min(alike, key=lambda led: abs(len(led[1]) - len(own[1])), default=None)
    if above is None or above[1] == own[1]:
        return None
    name = f"- {above[3] or ''}".strip() if above[2] == "-" else above[2]
    side = "left" if len(own[1]) < len(above[1]) else "right"
    span = Span(source, place.line, 1, own.start(2) + 2)
    message = f"this line stands a little {side} of {name} above it"
    return Finding("file", ERROR, message, span, hint=f"begin it right below {name}")


def _general(source: Source, error: Exception, place: Span | None) -> Finding:
    """No known trap: the parser's place, and the place where what it was reading began."""
    context: Any = getattr(error, "context_mark", None)
    lines: tuple[tuple[str, str], ...] = ()
    if context is not None and place is not None and context.line + 1 != place.line:
        begun = source.place(context.index)[0]
        lines = (("begun", f"line {begun}: {source.lines[begun - 1].strip()[:60]}"),)
    hint = "check the indent, the colon with its space, and that every bracket and quote is closed"
    return Finding(
        "file",
        ERROR,
        "this line does not read on from what stands before it",
        place,
        hint,
        lines=(*lines, ("mend", hint)) if lines else (),
    )
