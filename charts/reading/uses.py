"""Reading a fill where a section uses it: by name, with more to say, or with its rows in place."""

from __future__ import annotations

from typing import Protocol

import yaml

from charts.feel import Feel
from charts.kit import SPELLINGS
from charts.pattern import FILL, Pattern
from charts.reading.patterns import PATTERN_KEYS, pattern_of
from charts.reading.reader import Entry, Reader
from charts.reading.values import Bad, pass_of, words
from charts.song import CRASH, EACH, NO_LANDING, FillUse

USE_KEYS = {
    "use": "the fill's name",
    "pass": "each, last, or a pass's number",
    "sets-up": "next: the fill is in the feel of the next section",
    "on-purpose": "the reason why a mismatch is wanted",
    "land": "crash, none, or a voice: what lands where the fill ends",
}
FILL_KEYS = {**USE_KEYS, **PATTERN_KEYS}


class Names(Protocol):
    """What a chart may name: feels and patterns."""

    def feel(self, name: str) -> Feel | None: ...

    def feel_names(self) -> list[str]: ...

    def pattern(self, name: str) -> Pattern | None: ...


def read_use(reader: Reader, names: Names, use: FillUse, node: yaml.Node) -> FillUse | None:
    """The use with all that the node says of it; None where it cannot be read."""
    if not isinstance(node, yaml.MappingNode):
        return _named(reader, names, use, node, "a fill")
    entries = reader.known(node, FILL_KEYS, "a fill")
    if entries is None:
        return None
    _how(reader, use, entries)
    if "use" in entries:
        return _named(reader, names, use, entries["use"].value, "use")
    return _in_place(reader, names, use, entries, node)


def _named(reader: Reader, names: Names, use: FillUse, node: yaml.Node, what: str) -> FillUse | None:
    name = reader.value(node, words, what)
    if name is None:
        return None
    use.name, use.pattern, use.span = name, names.pattern(name), reader.span(node)
    return use


def _in_place(
    reader: Reader, names: Names, use: FillUse, entries: dict[str, Entry], node: yaml.Node
) -> FillUse | None:
    own = {key: entry for key, entry in entries.items() if key in PATTERN_KEYS}
    if "rows" not in own and "like" not in own:
        reader.say(
            node, "this fill has neither a name nor rows", "write use: NAME, or rows: | with rows below"
        )
        return None
    at = entries["rows"].key if "rows" in own else entries["like"].value
    use.span = reader.span(at)
    use.pattern = pattern_of(reader, "", FILL, own, names.pattern, "chart", use.span)
    return use if use.pattern else None


def _how(reader: Reader, use: FillUse, entries: dict[str, Entry]) -> None:
    if "pass" in entries:
        use.pass_ = reader.value(entries["pass"].value, pass_of, "pass") or EACH
    if "sets-up" in entries:
        use.sets_up_next = bool(reader.value(entries["sets-up"].value, _next, "sets-up"))
    if "on-purpose" in entries:
        use.on_purpose = reader.value(entries["on-purpose"].value, words, "on-purpose")
    if "land" in entries:
        use.land = reader.value(entries["land"].value, landing, "land") or CRASH
        use.land_given = True


def landing(text: str) -> str:
    """crash, none or a voice."""
    plain = words(text)
    if plain.casefold() in (CRASH, NO_LANDING):
        return plain.casefold()
    code = SPELLINGS.get(plain.upper())
    if code is None:
        raise Bad(f"nothing lands on “{plain}”", "write crash, none, or a voice like RD")
    return code


def _next(text: str) -> str:
    if words(text).casefold() != "next":
        raise Bad(f"a fill sets up the next section, not “{text}”", "write sets-up: next")
    return "next"
