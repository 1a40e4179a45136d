"""The doctor: what a musician wrote that YAML reads otherwise, or not at all, and what to write instead.

A text that does not compose is looked at only where its parser lost its way: from the first line that cannot
be read after those above it, up to the place where the parser gave up. Every other line is well.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator
from typing import Any

import yaml

from charts.quoting import scalar
from charts.source import ERROR, Finding, Source, Span

Slip = tuple[str, str]  # what is wrong, and what to write instead

MOST_READ = 1 << 20  # letters that are read again, at most, to find the line
MOST_LETTERS = 2_000  # a longer line is not looked at
_READER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


_QUOTES = "put the words in quotes"
_COLON = ("a colon in plain words starts a new key", "put words that contain a colon in quotes")
_BRACES = ("keys after a line need braces", r"write \2: {\3}")
_WORDS = r"[^#'\"{}\[\]:\s](?:[^#'\"{}\[\]:]*[^#'\"{}\[\]:\s])?"
_END = r"\s*(?:#.*)?$"
_TEXT = r"[^#'\"{}\[\]:]*"
_KEYED = rf"[a-z][a-z-]*:\s{_TEXT}(?:,\s*[a-z][a-z-]*:\s{_TEXT})*"  # keys with words, separated by commas
_PLACED = rf"\d[\w.&+/]*:\s{_TEXT}(?:,\s*\d[\w.&+/]*:\s{_TEXT})*"
_BEGUN = r"(?:[:-]\s+|[\[{,]\s*)"  # where a value begins
# A line that shows its slip by itself: pattern, with what is wrong in its first group, message and hint.
_SLIPS = tuple(
    (re.compile(pattern), message, hint)
    for pattern, message, hint in (
        (r"^ *(\t+)", "this line is indented with a tab", "indent with spaces"),
        (r"^\s+(\*)\s", "a star is before this line", "begin it with a hyphen and a space: “- ”"),
        (r"^(---)\s*$", "--- starts a second song", "put each song in a file of its own"),
        (rf"{_BEGUN}(([@`%*&!])[^#]*)", r"words cannot begin with \2", _QUOTES),
        (r":\s+(\[[^\]]*\]\s+[^#\s].*)$", "words cannot begin with [", _QUOTES),
        (rf"^\s*-\s+((?!name:)({_WORDS}):\s+({_KEYED})){_END}", *_BRACES),
        (rf"^\s*((fills|cues|tempos|odd-bars|holds):\s+({_PLACED})){_END}", *_BRACES),
        (rf"^\s*-\s+(({_WORDS})\s*(\{{[^{{}}]*:\s[^{{}}]*\}})){_END}", "no colon before {", r"write \2: \3"),
        (rf"^(?:\s*-)?\s*{_WORDS}:\s+([^'\"{{\[#|>\s][^#]*?:(?:\s[^#]*)?)$", *_COLON),
        (r"\{[^{}'\"]*?:\s+([^,{}'\"]*?:\s[^,{}'\"]*)[,}]", *_COLON),
        (
            r"[\[{](?:[^\[\]{}#\"']|\"[^\"]*\"|'[^']*')*\s(#.*[\]}])",
            "# starts a comment, and the closing bracket is in it",
            "put words that contain # in quotes",
        ),
    )
)
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\x85\u2028\u2029]")


def diagnosed(source: Source, error: Exception) -> Finding:
    """What is wrong with a text that does not compose."""
    hidden = _CONTROL.search(source.text)
    if hidden is not None:
        message = f"control character U+{ord(hidden[0]):04X} in the text"
        return _finding(source.span(hidden.start(), hidden.end()), (message, "delete it"))
    lost = _lost(source, error)
    if isinstance(error, RecursionError) or "depth" in str(error) or "nesting" in str(error):
        return _finding(lost, ("nested too deep", "a chart needs five levels; look for stray brackets"))
    first = _first_unread(source.lines, lost.line)
    for number in range(first, lost.line + 1):
        found = next(_in_line(source, number), None)
        if found is not None:
            return found
    return _between_lines(source, first) or _not_closed(source, error) or _unknown(source, error, lost)


def _finding(span: Span, slip: Slip) -> Finding:
    return Finding("file", ERROR, slip[0], span, slip[1])


def _lost(source: Source, error: Any) -> Span:
    """Where the parser gave up."""
    mark = getattr(error, "problem_mark", None)
    index = mark.index if mark else getattr(error, "position", 0)
    return source.span(index, index)


def _first_unread(lines: list[str], lost: int) -> int:
    """The first line, from 1, with which the text above it can no longer be read."""
    letters = 0
    for count in range(lost - 1, 0, -1):
        text = "\n".join(lines[:count])
        letters += len(text)
        if letters > MOST_READ:
            return lost
        if _reads(text):
            return count + 1
    return 1


def _reads(text: str) -> bool:
    try:
        for _ in yaml.parse(text, Loader=_READER):
            pass
    except yaml.YAMLError:
        return False
    return True


def _in_line(source: Source, number: int) -> Iterator[Finding]:
    """The slips that a line shows by itself."""
    line = _line(source, number)
    yield from _open_quote(source, number, line)
    for pattern, message, hint in _SLIPS:
        found = pattern.search(line)
        if found:
            span = Span(source, number, found.start(1) + 1, found.end(1) + 1)
            yield _finding(span, (found.expand(message), found.expand(hint)))


def _line(source: Source, number: int) -> str:
    """A line by its number from 1; nothing for number 0 and for a line that is too long."""
    line = source.lines[number - 1] if number else ""
    return line if len(line) <= MOST_LETTERS else ""


_QUOTED = re.compile(
    rf"""\s#.*|(?:^\s*|{_BEGUN})(?P<all>"(?:[^"\\]|\\.)*"|(?P<short>'(?:[^']|'')*')(?=\w)|'(?:[^']|'')*'"""
    r"""|(?P<open>["']))"""
)


def _open_quote(source: Source, number: int, line: str) -> Iterator[Finding]:
    """A quotation that its line does not close, or that ends at an apostrophe."""
    for found in _QUOTED.finditer(line):
        span = Span(source, number, found.start("all") + 1, len(line) + 1)
        if found["open"] == '"':
            yield _finding(span, ("this quotation does not end", 'close it with "'))
        elif found["open"]:
            hint = 'put the words in double quotes: "\'til cue"'
            yield _finding(span, ("this ' opens a quotation that does not end", hint))
        elif found["short"]:
            words = line[found.start("all") + 1 :].rpartition("'")[0]
            hint = f'put the words in double quotes: "{words}"'
            yield _finding(span, ("this quotation ends at its apostrophe", hint))


_LED = re.compile(rf"^( *)(-(?= )|[a-z][a-z-]*(?=:(?:\s|$)))\s*({_WORDS})?")
_BARE = re.compile(rf"^ *- +({_WORDS}){_END}")
_VALUED = re.compile(rf"^ *([a-z][a-z-]*):\s+({_WORDS}){_END}")
_NO_COLON = re.compile(rf"^ *([a-z][a-z-]*)(?:(?:\s+|:)([^\s:#(][^:#]*?))?{_END}")


def _between_lines(source: Source, number: int) -> Finding | None:
    """The slips that show only beside the lines above: how deep a line is, a hyphen or colon left out."""
    line = _line(source, number).partition(" #")[0].rstrip()
    own, deep = _LED.match(line), _depth(line)
    above = [n for n in range(1, number) if _line(source, n).strip(" ")[:1] not in "#"]
    sibling = next((n for n in reversed(above) if _depth(_line(source, n)) <= deep), 0)
    parent = next((n for n in reversed(above) if _depth(_line(source, n)) < deep), 0)
    if own and own[2] != "-":
        if bare := _BARE.match(_line(source, parent)):
            slip = (f"the lines below belong to {bare[1]}, which needs a colon", f"write {bare[1]}:")
            return _finding(Span(source, parent, bare.end(1) + 1, bare.end(1) + 2), slip)
        if valued := _VALUED.match(_line(source, parent)):
            slip = (f"this line is deeper than {valued[1]} above it", f"begin it right below {valued[1]}")
            return _finding(Span(source, number, 1, deep + 1), slip)
    for n in (number, sibling):
        bare = _NO_COLON.match(_line(source, n))
        if bare and _depth(_line(source, n)) == deep:
            slip = (f"{bare[1]} needs a colon and a space", f"write {bare[1]}: {bare[2] or ''}".rstrip())
            return _finding(Span(source, n, deep + 1, bare.end(1) + 1), slip)
    if deep and line.lstrip()[:2] != "- " and _line(source, sibling).startswith(f"{' ' * deep}- "):
        slip = ("no “- ” before this line", f"write - {line.strip()}")
        return _finding(Span(source, number, deep + 1, len(line) + 1), slip)
    return _beside(source, number, own, above) if own else None


def _depth(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


def _beside(source: Source, number: int, own: re.Match[str], above: list[int]) -> Finding | None:
    """A line that is a little left or right of the one that it goes with."""
    led = filter(None, (_LED.match(_line(source, n)) for n in reversed(above)))
    alike = [found for found in led if (found[2] == "-") == (own[2] == "-")]
    near = min(alike, key=lambda found: abs(len(found[1]) - len(own[1])), default=own)
    if near[1] == own[1]:
        return None
    name = f"- {near[3] or ''}".strip() if near[2] == "-" else near[2]
    side = "left" if len(own[1]) < len(near[1]) else "right"
    slip = (f"this line is a little {side} of {name} above it", f"begin it right below {name}")
    return _finding(Span(source, number, 1, own.start(2) + 2), slip)


def _not_closed(source: Source, error: Any) -> Finding | None:
    """A bracket that is open where the parser gave up."""
    if "flow" not in (getattr(error, "context", "") or ""):
        return None
    index = error.context_mark.index
    span = source.span(index, index)
    close = {"{": "}", "[": "]"}.get(span.text)
    return _finding(span, (f"this {span.text} is not closed", f"close it with {close}")) if close else None


def _unknown(source: Source, error: Any, lost: Span) -> Finding:
    """No slip that we know: the parser's place, and the line where what it was reading began."""
    hint = "check the indent, the colon with its space, and that every bracket and quote is closed"
    found = _finding(lost, ("this line does not follow from the one above", hint))
    mark = getattr(error, "context_mark", None)
    begun = source.span(mark.index, mark.index).line if mark else lost.line
    if begun != lost.line:
        found.lines = (("begun", f"line {begun}: {source.lines[begun - 1].strip()[:60]}"), ("mend", hint))
    return found


OTHER_DASHES = {
    "-": "put a space after each hyphen",
    **dict.fromkeys("–—•·", "begin each line with a plain hyphen and a space: “- ”"),
}
_KEY_AND_WORDS = re.compile(r"([a-z][a-z-]*):?\s+(\S.*)")
_METER = re.compile(r"\d{1,2}/\d{1,2}\b", re.ASCII)


def unbraced(key: str, value: str, keys: Container[str]) -> Slip | None:
    """The slip of ``KEY: VALUE`` whose value was meant as keys; None where it was not.

    >>> unbraced("Verse (8)", "like Chorus", {"like"})
    ('keys after a line need braces', 'write Verse (8): {like: Chorus}')
    >>> unbraced("Verse (8) {cue", "all in}", {"cue"})
    ('no colon before {', 'write Verse (8): {cue: all in}')
    """
    if ":{" in key:
        return "no space after the colon", "write a space between : and {"
    name, brace, first = key.partition("{")
    if brace and value.endswith("}"):
        return "no colon before {", f"write {name.rstrip()}: {{{first}: {value}"
    given = colonless(value, keys)
    return (_BRACES[0], f"write {key}: {{{given}}}") if given else None


def colonless(text: str, keys: Container[str]) -> str | None:
    """A known key and its words with the colon between them; None where the text does not begin with one.

    >>> colonless("cue wait, then in", {"cue"}), colonless("wait", {"cue"})
    ('cue: "wait, then in"', None)
    """
    found = _KEY_AND_WORDS.fullmatch(text)
    if not found or found[1] not in keys:
        return None
    return f"{found[1]}: {scalar(found[2], flow=True, typed=True)}"


def after_colon(name: str, text: str, known: bool, is_fill: bool) -> str:
    """What to write for ``NAME: TEXT`` in a form without a key: bars, how often, or a key for the words.

    ``known`` says that a section of that name was there before.
    """
    if re.fullmatch(r"[\d+]+( bars?)?", text, re.ASCII) and "(" not in name:
        return f"write {name} ({text.split(maxsplit=1)[0]})"
    if re.fullmatch(r"[x×]\d+( open)?|open", text, re.ASCII):
        return f"write {name} {text}"
    if "(" not in text and (name.endswith(")") or known):
        key = "fill" if is_fill else "meter" if _METER.match(text) else "cue"
        return f"write {name}: {{{key}: {scalar(text, flow=True)}}}"
    return f'leave the colon out, or put the line in quotes: "{name}: {text}"'


def second_key(noun: str, name: str, key: str, keys: Container[str], in_braces: bool) -> Slip:
    """The slip of a song or section with a second key beside its name."""
    if in_braces:
        return f"a {noun} in braces has one key, its name", "write - NAME: {key: value}"
    if key in keys:
        return f"{key} should be indented under {name}", f"indent it two more: it belongs to {name}"
    return f"a second {noun} in one line", "start it with “- ” on its own line"


def split_at_comma(key: str, words: Iterable[str]) -> Slip:
    """The slip of words in braces that commas split into a value and keys without one."""
    whole = ", ".join(words).strip("“”‘’")
    return f"the comma splits the words of {key} in two", f'put all of them in quotes: {key}: "{whole}"'


def spaceless(key: str) -> Slip:
    """The slip of ``KEY:VALUE`` in braces."""
    name, _, value = key.partition(":")
    return f"“{key}” has no space after its colon", f"write {name}: {value}"
