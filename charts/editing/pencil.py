"""The pencil: exactly one value of a chart changed or added, all else kept to the letter."""

from __future__ import annotations

import contextlib
import re
from dataclasses import dataclass, replace

import yaml

from charts.appearances import one_named
from charts.book import Book
from charts.editing.layout import Edit, Layout, Route, pair, tree_of
from charts.editing.readback import as_wished, heirs_of
from charts.editing.removing import number_at, removals, standing, told
from charts.editing.wish import AT_A_BAR, BARS, FILL_KEY, Wish
from charts.reading.chart import read_chart
from charts.reading.nodes import compose
from charts.reading.values import place
from charts.song import Song
from charts.source import FeelmapError, Source, unreadable

_BARS_IN_LINE = re.compile(r"\(\s*(\d[\d+ \t]*?)\s*(?:bars?)?\s*\)")


@dataclass(frozen=True)
class Pencilled:
    """The text with the mark made: the line it is in, what stood there before, and for how many places.

    ``before`` is None where the value is new; ``section`` is empty for the song's own key; ``removed`` tells
    that the entry was taken out, key and all.
    """

    text: str
    line: int
    before: str | None
    section: str = ""
    places: int = 1
    removed: bool = False


def pencil(source: Source, mark: Wish, book: Book) -> Pencilled:
    """Make one mark in a chart's text.

    :raises FeelmapError: the chart cannot be read, has no such section, or would not read back as wished.
    """
    old = _read(source, book)
    index = None if mark.section is None else one_named(old, mark.section)
    if mark.removes and index is not None:
        done = _without(source, old, mark, index, book)
        if done is not None:
            return done
    try:
        return _made(source, old, mark, index, book)
    except FeelmapError:
        other = None if index is None else _other_way(mark, old.form[index].bars)
        with contextlib.suppress(FeelmapError):
            if other is not None:
                return _made(source, old, other, index, book)
        raise


def _other_way(mark: Wish, bars: int) -> Wish | None:
    """A fill to the last barline may be under ``fill``, or under ``fills`` at the last bar."""
    if mark.key != FILL_KEY or mark.bar not in (None, bars):
        return None
    return replace(mark, bar=bars if mark.bar is None else None)


def _made(source: Source, old: Song, mark: Wish, index: int | None, book: Book) -> Pencilled:
    edit, before = _edit(source, old, mark, index)
    text = _read_back(source, old, mark, index, book, edit)
    line = _line_at(text, edit.start + len(edit.written))
    if index is None:
        return Pencilled(text, line, before)
    return Pencilled(text, line, before, old.form[index].name, heirs_of(old, index))


def _without(source: Source, old: Song, mark: Wish, index: int, book: Book) -> Pencilled | None:
    """The entry that is in the line itself taken out; None where only ``none`` over it would do."""
    layout = _layout(source)
    line = (pair(layout.root, "form"), 1, index)
    name, places = old.form[index].name, heirs_of(old, index)
    if as_wished(old, old, mark, index):
        start = layout.node(line).start_mark.index
        return Pencilled(source.text, _line_at(source.text, start), None, name, places)
    for way in (mark, _other_way(mark, old.form[index].bars)):
        route = None if way is None else standing(layout, _keys(layout, line), way)
        if way is None or route is None:
            continue
        for edit in removals(layout, route):
            with contextlib.suppress(FeelmapError):
                text = _read_back(source, old, way, index, book, edit)
                before = told(layout.node(route))
                return Pencilled(text, _line_at(text, edit.start), before, name, places, removed=True)
    return None


def _read_back(source: Source, old: Song, mark: Wish, index: int | None, book: Book, edit: Edit) -> str:
    """The text with the edit made; refused where it would not read as wished."""
    text = edit.of(source.text)
    changed = Source(source.name, text)
    document = compose(changed)
    if document.root is None or tree_of(document.root) != edit.tree:
        raise _refused("the file as it is leaves no safe place for it")
    read = read_chart(changed, book)
    if read.song is None:
        first = next(finding for finding in read.findings if finding.is_error)
        raise FeelmapError(f"the chart would no longer read: {first.message}", first.hint)
    if not as_wished(old, read.song, mark, index):
        raise _refused("another key there says otherwise")
    return text


def _line_at(text: str, index: int) -> int:
    return len(re.findall(r"\r\n|\r|\n", text[:index])) + 1


def _refused(why: str) -> FeelmapError:
    return FeelmapError(f"the change would not read back as meant: {why}", "change it in the file")


def _read(source: Source, book: Book) -> Song:
    read = read_chart(source, book)
    if read.song is None:
        raise unreadable(source.name, read.findings)
    return read.song


def _edit(source: Source, song: Song, mark: Wish, index: int | None) -> tuple[Edit, str | None]:
    """The edit, and the text that it replaces."""
    layout = _layout(source)
    if index is None:
        return _replaced(layout, (pair(layout.root, mark.key), 1), mark)
    line = (pair(layout.root, "form"), 1, index)
    if mark.key == BARS:
        return _bars(layout, line, mark, song, index)
    if mark.key in AT_A_BAR and (mark.bar is not None or mark.key != FILL_KEY):
        return _at_bar(layout, line, mark)
    return _own_key(layout, line, mark.key, mark)


def _layout(source: Source) -> Layout:
    root = compose(source).root
    assert root is not None  # the chart was read
    return Layout(source.text, root)


def _keys(layout: Layout, line: Route) -> Route | None:
    """The route of a form line's keys; None where the line is alone."""
    return (*line, 0, 1) if isinstance(layout.node(line), yaml.MappingNode) else None


def _own_key(layout: Layout, line: Route, key: str, mark: Wish) -> tuple[Edit, str | None]:
    """A key of the section itself: changed where it is, else added first."""
    keys = _keys(layout, line)
    if keys is None:
        return layout.open_up(line, key, mark.value, typed=mark.typed), None
    at = pair(layout.node(keys), key)
    if at >= 0:
        return _replaced(layout, (*keys, at, 1), mark)
    return layout.add(keys, key, mark.value, typed=mark.typed), None


def _replaced(layout: Layout, route: Route, mark: Wish) -> tuple[Edit, str | None]:
    node = layout.node(route)
    if isinstance(node, yaml.MappingNode) and mark.key == FILL_KEY and not mark.removes:
        at = pair(node, "use")
        if at >= 0:
            route = (*route, at, 1)
            node = layout.node(route)
    if not isinstance(node, yaml.ScalarNode):
        raise FeelmapError(f"the {mark.key} there is written out in place", "change it in the file")
    edit = layout.replace(route, mark.value, typed=mark.typed, bare=mark.removes)
    return edit, str(node.value)


def _at_bar(layout: Layout, line: Route, mark: Wish) -> tuple[Edit, str | None]:
    """A cue or a fill at a bar: where it is, else in its place among the others."""
    bar, many = mark.bar or 1, AT_A_BAR[mark.key]
    on_one = mark.key != FILL_KEY and bar == 1  # the key for bar 1 is the single one
    keys = _keys(layout, line)
    if keys is not None:
        section = layout.node(keys)
        if on_one and pair(section, mark.key) >= 0:
            return _own_key(layout, line, mark.key, mark)
        at = pair(section, many)
        entries = (*keys, at, 1)
        if at >= 0 and not (on_one and isinstance(layout.node(entries), yaml.ScalarNode)):
            return _among(layout, entries, bar, on_one, mark)
    if on_one:
        return _own_key(layout, line, mark.key, mark)
    new = ((str(bar), mark.value),)
    if keys is None:
        return layout.open_up(line, many, new, typed=mark.typed), None
    return layout.add(keys, many, new, typed=mark.typed), None


def _among(layout: Layout, route: Route, bar: int, on_one: bool, mark: Wish) -> tuple[Edit, str | None]:
    """In the mapping ``cues`` or ``fills``."""
    node = layout.node(route)
    if not isinstance(node, yaml.MappingNode):
        many = AT_A_BAR[mark.key]
        raise FeelmapError(f"this section says {many}: {node.value}", "take that out of the file first")
    number = number_at(node, bar, mark.key)
    if number is not None:
        return _replaced(layout, (*route, number, 1), mark)
    if on_one:
        return layout.add(route[:-2], mark.key, mark.value, typed=mark.typed), None
    bars = [place(key.value).bar for key, _ in node.value]
    before = next((number for number, at in enumerate(bars) if at >= bar), len(bars))
    return layout.add(route, str(bar), mark.value, typed=mark.typed, at=before), None


def _bars(layout: Layout, line: Route, mark: Wish, song: Song, index: int) -> tuple[Edit, str | None]:
    """The number in the form line, or the key ``bars``; added where the section only says ``like``."""
    keys = _keys(layout, line)
    name: Route = line if keys is None else (*line, 0, 0)
    in_line = _BARS_IN_LINE.search(layout.node(name).value)
    at = -1 if keys is None else pair(layout.node(keys), BARS)
    if in_line and at >= 0:
        raise FeelmapError("the bars are in the line and under bars", "take one of them out of the file")
    if in_line:
        return layout.replace_in(name, _BARS_IN_LINE, mark.value), in_line[1]
    if at >= 0:
        return _own_key(layout, line, BARS, mark)
    section = song.form[index]
    if section.like:
        return _own_key(layout, line, BARS, mark)
    raise FeelmapError(
        f"this {section.name} repeats the bars of the line that defined it",
        f"change {section.name} itself, or give this one a name of its own in the file",
    )
