"""One change to a YAML text, made where the values are, and what the text must read as afterwards.

Nodes are reached by a route of places: an item's number in a list, a pair's number and 0 or 1 (key or value)
in a mapping.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import yaml

from charts.quoting import scalar
from charts.source import FeelmapError

Tree: TypeAlias = "str | tuple[Tree, ...] | list[Tree]"  # a scalar, a mapping's pairs, a list
Route: TypeAlias = tuple[int, ...]

BLOCK = ("|", ">")
REST_OF_LINE = re.compile(r"[ \t]*(?:#[^\n\r]*)?(?=[\n\r]|\Z)")
_HEADER = re.compile(r"[ \t]*:[ \t]*(?:#[^\n\r]*)?(?=[\n\r]|\Z)")
_BREAK = re.compile(r"\r\n|\n|\r")


def tree_of(node: yaml.Node) -> Tree:
    """What a node says, without style and place."""
    if isinstance(node, yaml.MappingNode):
        return tuple((tree_of(key), tree_of(value)) for key, value in node.value)
    if isinstance(node, yaml.SequenceNode):
        return [tree_of(item) for item in node.value]
    return str(node.value)


def pair(mapping: yaml.Node, key: str) -> int:
    """The number of the pair with that key; -1 where there is none."""
    return next((i for i, (name, _) in enumerate(mapping.value) if name.value == key), -1)


@dataclass(frozen=True)
class Edit:
    """Replace ``text[start:end]`` by ``written``; the whole must then read as ``tree``."""

    start: int
    end: int
    written: str
    tree: Tree

    def of(self, text: str) -> str:
        """The text with the edit made."""
        return text[: self.start] + self.written + text[self.end :]


@dataclass(frozen=True)
class Layout:
    """A text with its nodes."""

    text: str
    root: yaml.Node

    def node(self, route: Route) -> yaml.Node:
        """The node at the end of a route."""
        return self._way(route)[-1]

    def _way(self, route: Route) -> list[yaml.Node]:
        nodes, current = [self.root], self.root.value
        for place in route:
            step = current[place]
            if isinstance(step, yaml.Node):
                nodes.append(step)
                step = step.value
            current = step
        return nodes

    def _scalar(self, route: Route) -> yaml.ScalarNode:
        node = self.node(route)
        assert isinstance(node, yaml.ScalarNode)  # callers look before they ask
        return node

    def _in_flow(self, route: Route, *, inside: bool = False) -> bool:
        """True where the node (or, ``inside``, what is put into it) is between braces or brackets."""
        way = self._way(route)
        return any(getattr(node, "flow_style", False) for node in (way if inside else way[:-1]))

    def changed(self, route: Route, make: Callable[[Tree], Tree]) -> Tree:
        """What the whole says with one node's tree made another."""

        def change(tree: Tree, rest: Route) -> Tree:
            if not rest:
                return make(tree)
            items = list(tree)
            items[rest[0]] = change(items[rest[0]], rest[1:])
            return items if isinstance(tree, list) else tuple(items)

        return change(tree_of(self.root), route)

    def replace(self, route: Route, value: str, *, typed: bool, bare: bool = False) -> Edit:
        """Another value for a scalar, in the quotes that it has (none at all with ``bare``)."""
        node = self._scalar(route)
        start, end = node.start_mark.index, self.end(node)
        if node.style in BLOCK and "#" in self.text[start:].partition("\n")[0]:
            raise FeelmapError("the value there begins with a comment of its own", "change it in the file")
        written = scalar(
            value, flow=self._in_flow(route), style=None if bare else node.style, typed=typed or bare
        )
        return Edit(start, end, written, self.changed(route, lambda _: value))

    def replace_in(self, route: Route, pattern: re.Pattern[str], value: str) -> Edit:
        """Another text for group 1 of a pattern, inside a scalar whose text is there as it reads."""
        node = self._scalar(route)
        start, end = node.start_mark.index, self.end(node)
        found, read = pattern.search(self.text, start, end), pattern.search(node.value)
        if found is None or read is None or found[1] != read[1]:
            raise FeelmapError("the number cannot be told from its text there", "change it in the file")
        text = node.value[: read.start(1)] + value + node.value[read.end(1) :]
        return Edit(found.start(1), found.end(1), value, self.changed(route, lambda _: text))

    def open_up(self, route: Route, key: str, value: Tree, *, typed: bool) -> Edit:
        """A plain form line gets its first key after it: ``- Chorus`` becomes ``- Chorus: {cue: in}``."""
        end = self.end(self.node(route))
        written = f": {{{_entry(key, value, flow=True, typed=typed)}}}"
        return Edit(end, end, written, self.changed(route, lambda line: ((line, ((key, value),)),)))

    def add(self, route: Route, key: str, value: Tree, *, typed: bool, at: int = 0) -> Edit:
        """A new pair in a mapping, before the pair number ``at``."""
        node = self.node(route)
        assert isinstance(node, yaml.MappingNode)  # callers look before they ask
        entry = _entry(key, value, flow=self._in_flow(route, inside=True), typed=typed)
        place = self._add_to_flow if node.flow_style else self._add_to_block
        start, written = place(route, node, entry, at)
        new: Tree = (key, value)
        tree = self.changed(route, lambda pairs: (*pairs[:at], new, *pairs[at:]))
        return Edit(start, start, written, tree)

    def _add_to_flow(self, route: Route, node: yaml.MappingNode, entry: str, at: int) -> tuple[int, str]:
        opened = node.start_mark.index + 1
        if not node.value:
            return opened, entry
        if at:
            return self.end(node.value[at - 1][1]), f", {entry}"
        first = node.value[0][0].start_mark.index
        return (opened if "?" in self.text[opened:first] else first), f"{entry}, "

    def _add_to_block(self, route: Route, node: yaml.MappingNode, entry: str, at: int) -> tuple[int, str]:
        """On a line of its own after what is before it, so that comments stay with what follows them."""
        first = node.value[0][0].start_mark.index
        indent = " " * (first - self.line_start(first))
        before = node.value[at - 1][1] if at else self._key_of(route)
        rest = REST_OF_LINE if at else _HEADER
        found = rest.match(self.text, self.end(before)) if before is not None else None
        if found:
            return found.end(), self._break(found.end()) + indent + entry
        if at == len(node.value):
            raise FeelmapError("there is no room for it after the last key", "write it into the file")
        here = node.value[at][0].start_mark.index
        return here, entry + self._break(here) + indent

    def _key_of(self, route: Route) -> yaml.Node | None:
        """The key whose value the route leads to."""
        return self.node((*route[:-1], 0)) if route and route[-1] == 1 else None

    def end(self, node: yaml.Node) -> int:
        """Where a node's own text ends; a block's mark runs on over empty lines."""
        if isinstance(node, yaml.CollectionNode) and not node.flow_style and node.value:
            last = node.value[-1]
            return self.end(last[1] if isinstance(last, tuple) else last)
        end: int = node.end_mark.index
        if getattr(node, "style", None) in BLOCK:
            start = node.start_mark.index
            last = start + len(self.text[start:end].rstrip())
            found = _BREAK.search(self.text, last)
            return found.start() if found else end
        return end

    def line_start(self, index: int) -> int:
        """Where the line of a place begins."""
        return max(self.text.rfind("\n", 0, index), self.text.rfind("\r", 0, index)) + 1

    def _break(self, index: int) -> str:
        """The line end from a place on, or the file's first where none follows."""
        found = _BREAK.search(self.text, index) or _BREAK.search(self.text)
        return found[0] if found else "\n"


def _entry(key: str, value: Tree, *, flow: bool, typed: bool) -> str:
    if isinstance(value, str):
        return f"{key}: {scalar(value, flow=flow, typed=typed)}"
    pairs = ", ".join(_entry(str(name), inner, flow=True, typed=typed) for name, inner in _pairs(value))
    return f"{key}: {{{pairs}}}"


def _pairs(value: Tree) -> list[tuple[Tree, Tree]]:
    return [(pair[0], pair[1]) for pair in value]
