"""Typed values out of YAML nodes; every problem on the way is collected with its place."""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping
from typing import NamedTuple, Protocol, TypeVar

import yaml

from charts.feel import Feel
from charts.pattern import Pattern
from charts.reading.doctor import colonless, spaceless, split_at_comma
from charts.reading.nodes import is_plain, kind_of, span_of
from charts.reading.values import Bad, yes_no
from charts.source import ERROR, Finding, Source, Span
from charts.spelling import nearest
from charts.trade import KEYS

Value = TypeVar("Value")


class Entry(NamedTuple):
    """One key of a mapping with its value."""

    key: yaml.ScalarNode
    value: yaml.Node


KEYED = "write key: value, a line each"


class Names(Protocol):
    """What a file may name: feels and patterns."""

    def feel(self, name: str) -> Feel | None: ...

    def feel_hint(self, name: str) -> str: ...

    def pattern(self, name: str) -> Pattern | None: ...


class NoNames:
    """For files that name neither a feel nor a pattern."""

    def feel(self, name: str) -> Feel | None:
        return None

    def feel_hint(self, name: str) -> str:
        return ""

    def pattern(self, name: str) -> Pattern | None:
        return None


class Known(Protocol):
    """A key of a table, as far as a misnamed one is found by it: ``meant`` is what people write for it."""

    @property
    def meant(self) -> tuple[str, ...]: ...


class Reader:
    """Hands out typed values of nodes and collects every problem on the way."""

    def __init__(self, source: Source, names: Names | None = None) -> None:
        self.source, self.names = source, names or NoNames()
        self.findings: list[Finding] = []
        self.meant: set[str] = set()  # keys that are there under another name

    @property
    def failed(self) -> bool:
        """True where something was wrong that leaves no whole value."""
        return any(finding.is_error for finding in self.findings)

    def span(self, node: yaml.Node) -> Span:
        return span_of(self.source, node)

    def spans_of(self, entries: Mapping[str, Entry]) -> Callable[[str], Span | None]:
        """Tells by its key where a value is."""

        def span_of(key: str) -> Span | None:
            return self.span(entries[key].value) if key in entries else None

        return span_of

    def say(
        self, at: yaml.Node | Span, message: str, hint: str = "", rule: str = "file", level: str = ERROR
    ) -> None:
        """Note a problem at a node or a span."""
        span = at if isinstance(at, Span) else self.span(at)
        self.findings.append(Finding(rule, level, message, span, hint=hint))

    def entries(
        self, node: yaml.Node, what: str, hint: str = KEYED, keys: Container[str] = ()
    ) -> dict[str, Entry] | None:
        """A mapping's entries by key text; duplicates are told, None where it is not a mapping.

        Words that begin with one of ``keys`` do not go on with the words before a comma.
        """
        if not isinstance(node, yaml.MappingNode):
            self.say(node, f"{what} is {kind_of(node)}, not keys with values", hint)
            return None
        found: dict[str, Entry] = {}
        before: Entry | None = None
        fallen: list[yaml.ScalarNode] = []  # words that commas in braces made keys of
        for key, value in node.value:
            if not isinstance(key, yaml.ScalarNode):
                self.say(key, "a key is one or a few words", "write key: value")
                continue
            name = key.value
            if name in found:
                self.say(key, f"{name} is given twice", "keep one of the two")
            elif (
                not value.value
                and node.flow_style
                and is_plain(value)
                and (":" in name or (_holds_words(before) and not colonless(name, keys)))
            ):
                fallen.append(key)
            else:
                if fallen:
                    self._fell_apart(fallen, before)
                    fallen = []
                found[name] = before = Entry(key, value)
        if fallen:
            self._fell_apart(fallen, before)
        return found

    def _fell_apart(self, keys: list[yaml.ScalarNode], before: Entry | None) -> None:
        """Report the slips in braces: a key written without its space, commas in plain words."""
        for key in keys:
            if ":" in key.value:
                self.say(key, *spaceless(key.value))
        parts = [key for key in keys if ":" not in key.value]
        if parts and before is not None:
            words = [before.value.value, *(key.value for key in parts)]
            self.say(parts[0], *split_at_comma(before.key.value, words))

    def known(self, node: yaml.Node, keys: Mapping[str, Known], what: str) -> dict[str, Entry] | None:
        """Entries of a mapping whose keys must be among ``keys``; others are told with the nearest."""
        found = self.entries(node, what, keys=keys)
        if found is None or found.keys() <= keys.keys():
            return found
        for name in [name for name in found if name not in keys]:
            self.say(found.pop(name).key, f"{what} has no key “{name}”", self._key_hint(name, keys, what))
        return found

    def _key_hint(self, name: str, keys: Mapping[str, Known], what: str) -> str:
        """What to write for a key that is not known: the trade's other words first, then a likely slip."""
        plain = name.casefold()
        known = colonless(name, keys)
        synonym = known or next((key for key, row in keys.items() if plain in (key, *row.meant)), None)
        like = synonym or nearest(name, keys)
        if plain in KEYS.get(what, {}):
            return KEYS[what][plain]
        self.meant |= {like} if like and not known else set()
        if synonym:
            return f"write {synonym}"
        return f"did you mean {like}?" if like else f"keys allowed in {what}: {', '.join(keys)}"

    def text(self, node: yaml.Node, what: str, empty: str = "write a value") -> str | None:
        """A scalar's text; None, told, for anything else or nothing: ``empty`` says what to write then."""
        if not isinstance(node, yaml.ScalarNode):
            sign = self.source.text[node.start_mark.index : node.start_mark.index + 1]
            hint = f"leave the brackets out, or quote words that begin with {sign}"
            self.say(
                node,
                f"{what} is {kind_of(node)}, not a value",
                hint if sign and sign in "[{" else "write one value after the colon",
            )
            return None
        if not node.value.strip():
            self.say(node, f"{what} has no value", self._empty_hint(node, empty))
            return None
        self._warn_comment(node, what)
        return str(node.value)

    def _empty_hint(self, node: yaml.ScalarNode, empty: str) -> str:
        line = self.source.lines[min(node.start_mark.line, len(self.source.lines) - 1)]
        if "#" in line[node.start_mark.column :] or " #" in line:
            return "what follows # is a comment: put the words in quotes"
        return f"{empty}, or leave the key out"

    def _warn_comment(self, node: yaml.ScalarNode, what: str) -> None:
        """Words cut by a # that was meant as a sign."""
        if not is_plain(node):
            return
        line = self.source.lines[min(node.end_mark.line, len(self.source.lines) - 1)]
        rest = line[node.end_mark.column :].lstrip()
        if len(rest) > 1 and rest[0] == "#" and rest[1].isalnum():
            self.say(
                node,
                f"{what} ends before “{rest[:20]}”: # starts a comment",
                "quote words that contain #, or put a space after it",
                level="warning",
            )

    def value(self, node: yaml.Node, parse: Callable[[str], Value], what: str) -> Value | None:
        """A scalar read by ``parse``, whose Bad becomes a finding at the node."""
        text = self.text(node, what, f"write {what}: yes" if parse is yes_no else "write a value")
        if text is None:
            return None
        try:
            return parse(text)
        except Bad as bad:
            self.say(node, bad.message, bad.hint, rule=bad.rule)
            return None

    def key_value(self, key: yaml.ScalarNode, parse: Callable[[str], Value]) -> Value | None:
        """A key's own text read by ``parse``."""
        return self.value(key, parse, "a key")


def _holds_words(entry: Entry | None) -> bool:
    """True for a key with plain words, which a comma may have cut."""
    return entry is not None and is_plain(entry.value) and bool(entry.value.value)
