"""Reading a fill where a section uses it: by name, with more to say, or with its rows in place."""

from __future__ import annotations

from dataclasses import replace

import yaml

from charts.kit import SPELLINGS
from charts.pattern import FILL
from charts.reading.given import EVERY_PLACE, LAST_BARLINE, Laid
from charts.reading.keys import PASS, TEXT, read_fields, row, single, table
from charts.reading.marks import entries_at, has_beat, is_none, laid
from charts.reading.patterns import PATTERN, pattern_of
from charts.reading.reader import Entry, Reader
from charts.reading.shapes import a, any_case, by_place, written
from charts.reading.values import Bad, words
from charts.song import CRASH, LAST, NO_LANDING, FillUse


def landing(text: str) -> str:
    """crash, none or a voice."""
    plain = words(text)
    if plain.casefold() in (CRASH, NO_LANDING):
        return plain.casefold()
    code = SPELLINGS.get(plain.upper())
    if code is None:
        raise Bad(f"nothing lands on “{plain}”", "write crash, none, or a voice like RD")
    return code


def _next(text: str) -> bool:
    if words(text).casefold() != "next":
        raise Bad(f"a fill sets up the next section, not “{text}”", "write sets-up: next")
    return True


LANDING = single(landing, written(any_case(CRASH, NO_LANDING, *sorted(SPELLINGS))))


class UseKeys(FillUse):
    """The keys of a fill that say how a section uses it."""

    name = row(TEXT, "the fill's name", name="use")
    pass_ = row(PASS, "each, last, or a pass's number", name="pass")
    sets_up_next = row(
        single(_next, written(any_case("next"))),
        "next: the fill is in the feel of the next section",
        name="sets-up",
    )
    on_purpose = row(TEXT, "the reason why a mismatch is wanted")
    land = row(LANDING, "crash, none, or a voice: what lands where the fill ends")


USE = table(UseKeys)
FILL_USE = {**USE, **PATTERN}


def read_use(reader: Reader, use: FillUse, node: yaml.Node) -> FillUse | None:
    """The use with all that the node says of it; None where it cannot be read."""
    if not isinstance(node, yaml.MappingNode):
        return _named(reader, use, reader.value(node, words, "a fill"), node)
    entries = reader.known(node, FILL_USE, "a fill")
    if entries is None:
        return None
    use = replace(use, land_given="land" in entries, **read_fields(reader, USE, entries))
    if "use" in entries:
        return _named(reader, use, use.name, entries["use"].value)
    return _in_place(reader, use, entries, node)


def _named(reader: Reader, use: FillUse, name: str | None, node: yaml.Node) -> FillUse | None:
    if not name:
        return None
    return replace(use, name=name, pattern=reader.names.pattern(name), span=reader.span(node))


def _in_place(reader: Reader, use: FillUse, entries: dict[str, Entry], node: yaml.Node) -> FillUse | None:
    own = {key: entry for key, entry in entries.items() if key in PATTERN}
    if "rows" not in own and "like" not in own:
        reader.say(
            node, "this fill has neither a name nor rows", "write use: NAME, or rows: | with rows below"
        )
        return None
    span = reader.span(entries["rows"].key if "rows" in own else entries["like"].value)
    pattern = pattern_of(reader, "", FILL, own, reader.names.pattern, "chart", span)
    return replace(use, pattern=pattern, span=span) if pattern else None


def _fill(reader: Reader, node: yaml.Node, _what: str) -> Laid[FillUse]:
    return _fill_at(reader, LAST_BARLINE, FillUse(0, "", pass_=LAST), node)


def _fills(reader: Reader, node: yaml.Node, what: str) -> Laid[FillUse]:
    if is_none(node):
        return [(EVERY_PLACE, None)]
    found: Laid[FillUse] = []
    for at, entry in entries_at(reader, node, what):
        lands = has_beat(entry)
        use = FillUse(at.bar, "", landing=at if lands else None)
        found += _fill_at(reader, at if lands else at.bar, use, entry.value)
    return found


def _fill_at(reader: Reader, at: object, use: FillUse, node: yaml.Node) -> Laid[FillUse]:
    if is_none(node):
        return [(at, None)]
    found = read_use(reader, use, node)
    return [] if found is None else [(at, found)]


FILL_AT_END = laid(a("fill-use"), _fill)
FILLS = laid(by_place(a("fill-use")), _fills)
