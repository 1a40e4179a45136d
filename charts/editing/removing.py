"""An entry taken out of a chart's text, key and all, with every comment kept."""

from __future__ import annotations

import re
from collections.abc import Iterator

import yaml

from charts.editing.layout import BLOCK, REST_OF_LINE, Edit, Layout, Route, Tree, pair, tree_of
from charts.editing.wish import AT_A_BAR, FILL_KEY, Wish
from charts.reading.values import place
from charts.source import FeelmapError

_COLON = re.compile(r"[ \t]*:")
_COMMA = re.compile(r"[ \t]*,")
_GAP = re.compile(r"[ \t]*(?:\r\n|\n|\r)?[ \t]*(?!#)")
_SECTION = 5  # places in the route to a form line's keys: form, its value, the line, its pair, the value
_LINES = re.compile(r"[^\r\n]*(?:\r\n|\n|\r)|[^\r\n]+")
_BREAK = re.compile(r"\r\n|\n|\r")


def number_at(entries: yaml.MappingNode, bar: int, key: str) -> int | None:
    """The number of the cue or fill that is at a bar under ``cues`` or ``fills``."""
    for number, (name, _) in enumerate(entries.value):
        at = place(name.value)
        same = at.bar == bar and at.beat == 1 and not at.offset
        if same and not ("." in name.value and key == FILL_KEY):  # BAR.BEAT is where a fill lands
            return number
    return None


def standing(layout: Layout, keys: Route | None, mark: Wish) -> Route | None:
    """The value that a mark means, where it is among a form line's own keys."""
    if keys is None:
        return None
    section = layout.node(keys)
    at = pair(section, mark.key)
    if at >= 0 and (mark.bar is None or (mark.bar == 1 and mark.key != FILL_KEY)):
        return (*keys, at, 1)
    if mark.key not in AT_A_BAR or (mark.bar is None and mark.key == FILL_KEY):
        return None
    many = pair(section, AT_A_BAR[mark.key])
    entries = layout.node((*keys, many, 1)) if many >= 0 else None
    number = number_at(entries, mark.bar or 1, mark.key) if isinstance(entries, yaml.MappingNode) else None
    return None if number is None else (*keys, many, 1, number, 1)


def told(node: yaml.Node) -> str:
    """A value as a message names it: a fill by its pattern."""
    use = pair(node, "use") if isinstance(node, yaml.MappingNode) else -1
    return str(node.value[use][1].value if use >= 0 else node.value)


def removals(layout: Layout, route: Route) -> Iterator[Edit]:
    """The ways to take out the entry whose value a route leads to; the mapping that it empties goes first."""
    node = layout.node(route)
    if isinstance(node, yaml.MappingNode) and pair(node, "use") < 0:
        raise FeelmapError("the fill there is written out in place", "take it out in the file")
    top = route
    while len(top) > _SECTION and len(layout.node(top[:-2]).value) == 1:
        top = top[:-2]
    for way in dict.fromkeys((top, route)):
        edit = _line_alone(layout, way) if len(way) == _SECTION else _entry_out(layout, way)
        if edit is not None:
            yield edit


def _line_alone(layout: Layout, route: Route) -> Edit | None:
    """``- Intro (4): {cue: x}`` becomes ``- Intro (4)``."""
    key, node = layout.node((*route[:-1], 0)), layout.node(route)
    start, end = layout.end(key), layout.end(node)
    if not _COLON.match(layout.text, start):
        return None
    tree = layout.changed(route[:-2], lambda _: tree_of(key))
    if getattr(node, "flow_style", False):
        hidden = _comment(layout.text, start, end, _words_in(layout, node))
        return Edit(start, end, "", tree) if hidden is None else None
    return _lines_out(layout, start, node, tree)


def _entry_out(layout: Layout, route: Route) -> Edit | None:
    mapping, at = layout.node(route[:-2]), route[-2]
    key, value = mapping.value[at]
    tree = layout.changed(route[:-2], lambda pairs: (*pairs[:at], *pairs[at + 1 :]))
    start, end = key.start_mark.index, layout.end(value)
    if not getattr(mapping, "flow_style", False):
        if not layout.text[layout.line_start(start) : start].strip(" \t"):
            return _lines_out(layout, layout.line_start(start), value, tree)
        after = mapping.value[at + 1][0].start_mark.index if at + 1 < len(mapping.value) else start
        return None if "#" in layout.text[end:after] or after <= start else Edit(start, after, "", tree)
    if _comment(layout.text, start, end, _words_in(layout, value)) is not None:
        return None
    before = layout.end(mapping.value[at - 1][1]) if at else start
    if at and "#" not in layout.text[before:start]:
        return Edit(before, end, "", tree)
    comma = _COMMA.match(layout.text, end)
    if comma:
        gap = _GAP.match(layout.text, comma.end())
        end = gap.end() if gap else comma.end()
    return Edit(start, end, "", tree)


def _lines_out(layout: Layout, start: int, value: yaml.Node, tree: Tree) -> Edit | None:
    """From a place to the end of the line where a block's value ends, but for the comments between."""
    text, words = layout.text, _words_in(layout, value)
    rest = REST_OF_LINE.match(text, layout.end(value))
    if rest is None:
        return None
    ending = _BREAK.match(text, rest.end())
    end = ending.end() if ending else rest.end()
    kept, inside = "", start != layout.line_start(start)
    for line in _LINES.finditer(text, start, end):
        body = line[0].rstrip("\r\n")
        at = _comment(text, line.start(), line.start() + len(body), words)
        lead = body[: len(body) - len(body.lstrip(" \t"))]
        if inside and line.start() == start:
            upto = text[start : start + len(body) if at is None else at]
            lead = upto[len(upto.rstrip(" \t")) :]
        elif at is None:
            continue
        kept += lead + ("" if at is None else text[at : line.start() + len(body)]) + line[0][len(body) :]
    if not ending:  # the file's last line: it ends as it did
        kept = _BREAK.sub("", kept) if kept.count("\n") + kept.count("\r") < 2 else kept.rstrip("\r\n")
        start = start if kept or inside else _before_break(text, start)
    return Edit(start, end, kept, tree)


def _before_break(text: str, index: int) -> int:
    return index - (2 if text[:index].endswith("\r\n") else 1 if index else 0)


def _comment(text: str, start: int, end: int, words: list[tuple[int, int]]) -> int | None:
    """Where the first comment in a stretch of text begins; signs inside values are none."""
    for found in re.finditer(r"(?<![^\s{\[,])#", text[start:end]):
        at = start + found.start()
        if not any(first <= at < last for first, last in words):
            return at
    return None


def _words_in(layout: Layout, node: yaml.Node) -> list[tuple[int, int]]:
    """Where the scalars of a value stand; refused where a comment could hide in one."""
    if not isinstance(node, yaml.ScalarNode):
        parts = [part for item in node.value for part in (item if isinstance(item, tuple) else (item,))]
        return [span for part in parts for span in _words_in(layout, part)]
    start, end = node.start_mark.index, node.end_mark.index
    if node.style in BLOCK and "#" in layout.text[start:].splitlines()[0]:
        raise FeelmapError("the value there begins with a comment of its own", "take it out in the file")
    return [(start, end)]
