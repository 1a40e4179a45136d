"""The form: lines taken apart, names and repeats resolved, each appearance made whole."""

from __future__ import annotations

import yaml

from charts.reading.doctor import OTHER_DASHES, after_colon, second_key, unbraced
from charts.reading.given import NOTHING, Given
from charts.reading.lines import FormLine, form_line, with_bars
from charts.reading.nodes import kind_of
from charts.reading.places import check_places
from charts.reading.reader import Reader
from charts.reading.section import SECTION, groove_pattern, read_section
from charts.reading.values import MOST_BARS, Bad, TempoChange
from charts.song import Section, Song
from charts.source import ERROR, WARNING
from charts.spelling import nearest
from charts.trade import road_sign

MOST_SECTIONS = 2_000
Named = tuple[str, Given]  # a section's name as it was first written, and what it gives


class FormReader:
    """Reads the list under ``form``."""

    def __init__(self, reader: Reader, song: Song, meter_known: bool = True) -> None:
        self.reader, self.song, self.meter_known = reader, song, meter_known
        self.defined: dict[str, Named] = {}
        self.broken: set[str] = set()  # names whose own line could not be read: told once

    def read(self, node: yaml.Node) -> tuple[Section, ...]:
        """Every appearance in order; what is wrong is noted on the reader."""
        if not isinstance(node, yaml.SequenceNode) or not node.value:
            bare = isinstance(node, yaml.ScalarNode) and not node.value
            what = "has no line" if bare or isinstance(node, yaml.SequenceNode) else f"is {kind_of(node)}"
            first = node.value[:1] if isinstance(node, yaml.ScalarNode) else ""
            hint = OTHER_DASHES.get(first, "write a line a section, each after “- ”")
            self._say(node, f"the form {what}", hint)
            return ()
        if len(node.value) > MOST_SECTIONS:
            self._say(
                node.value[MOST_SECTIONS],
                f"more than {MOST_SECTIONS} sections",
                "one song a file",
            )
            return ()
        found = [section for item in node.value if (section := self._line(item))]
        if sum(section.bars * section.times for section in found) > MOST_BARS:
            self._say(node, f"more than {MOST_BARS} bars", "one song a file")
        return tuple(found)

    def _say(self, at: yaml.Node, message: str, hint: str, level: str = ERROR) -> None:
        self.reader.say(at, message, hint, "form", level)

    def _line(self, item: yaml.Node) -> Section | None:
        key, value = self._key_and_value(item)
        if key is None:
            return None
        line = self._form_line(key)
        if line is None:
            return None
        given = Given() if value is None else read_section(self.reader, line.name, value)
        return None if given is None else self._appearance(line, given, key)

    def _key_and_value(self, item: yaml.Node) -> tuple[yaml.ScalarNode | None, yaml.Node | None]:
        if isinstance(item, yaml.ScalarNode):
            return item, None
        if (
            not isinstance(item, yaml.MappingNode)
            or not item.value
            or not isinstance(item.value[0][0], yaml.ScalarNode)
        ):
            self._say(item, f"a form line is {kind_of(item)}", "write - NAME (BARS): {key: value}")
            return None, None
        key, value = item.value[0]
        if len(item.value) > 1:
            second = item.value[1][0]
            name = second.value if isinstance(second, yaml.ScalarNode) else ""
            slip = second_key("section", key.value, name, SECTION, bool(item.flow_style))
            self._say(second, *slip)
            return None, None
        if isinstance(value, yaml.ScalarNode):
            self._colon_in_line(key, value)
            return None, None
        return key, value

    def _colon_in_line(self, key: yaml.ScalarNode, value: yaml.ScalarNode) -> None:
        meant = unbraced(key.value, value.value, SECTION)
        text = value.value
        if not meant and text.strip():
            known, is_fill = key.value.casefold() in self.defined, self.reader.names.pattern(text) is not None
            message = f"“{key.value}: {text}” has a colon, so it reads as a key and a value"
            meant = (message, after_colon(key.value, text, known, is_fill))
        nothing = (f"nothing is after {key.value}:", "leave the colon out, or indent its keys below")
        self._say(key, *(meant or nothing))

    def _form_line(self, key: yaml.ScalarNode) -> FormLine | None:
        try:
            return form_line(key.value)
        except Bad as bad:
            self._say(key, bad.message, bad.hint)
            self.broken.add(key.value.partition("(")[0].strip().casefold())
            return None

    def _appearance(self, line: FormLine, given: Given, key: yaml.ScalarNode) -> Section | None:
        self._take_over(line, given)
        has_bars, has_like = "phrases" in given.values, "like" in given.values
        known = self.defined.get(line.name.casefold())
        name = self._same_name(line.name, known, key, has_bars)
        base = self._base(name, known, given, key)
        if base is None:
            return None
        whole = given.over(base)
        like = whole.values.pop("like", "")  # not for those that inherit from this line
        if has_bars or has_like:
            self._define(name, known, whole, key, has_bars)
        return self._whole(name, whole, like, key)

    def _take_over(self, line: FormLine, given: Given) -> None:
        """Bars and times may be in the line or under a key; both must say the same."""
        if line.bars is not None:
            self._agree("bars", "phrases", line.bars, given)
        if line.times is not None:
            self._agree("times", "times", line.times, given)
        if line.open:
            given.values["open"] = True

    def _agree(self, key: str, field: str, in_line: object, given: Given) -> None:
        if given.values.get(field) not in (None, in_line):
            message = f"the line and the key {key} disagree"
            self._say(given.entries[key].value, message, "keep one of the two")
        given.values[field] = in_line

    def _same_name(self, name: str, known: Named | None, key: yaml.ScalarNode, defining: bool) -> str:
        """The name as it was first written; a section is the same in small and large letters."""
        if known is None or known[0] == name:
            return name
        if not defining:
            self._say(
                key,
                f"{name} and {known[0]} are the same section",
                f"write {known[0]}",
                WARNING,
            )
        return known[0]

    def _base(self, name: str, known: Named | None, given: Given, key: yaml.ScalarNode) -> Given | None:
        """What this line inherits: from ``like``, or from the line that gave its name the bars."""
        wanted = given.values.get("like")  # none takes it away
        if wanted is not None:
            found = self.defined.get(wanted.casefold())
            if found is None:
                self._unknown_section(wanted, given.entries["like"].value)
                return None
            return found[1]
        if "phrases" in given.values:
            return NOTHING
        if known is None:
            self._no_bars(name, key)
            return None
        return known[1]

    def _unknown_section(self, name: str, node: yaml.Node) -> None:
        like = nearest(name, [known for known, _ in self.defined.values()])
        self._say(
            node,
            f"no section before this one is called {name}",
            f"did you mean {like}?" if like else "name a section above this one",
        )

    def _no_bars(self, name: str, key: yaml.ScalarNode) -> None:
        if name.casefold() in self.broken:
            return
        like = nearest(name, [known for known, _ in self.defined.values()])
        other = f", or {like} if you mean that" if like else ""
        sign = road_sign(name)
        message = f"“{name}” is not a section" if sign else f"“{name}” has no bar count"
        self._say(key, message, sign or f"write {with_bars(name)}{other}")

    def _define(
        self, name: str, known: Named | None, whole: Given, key: yaml.ScalarNode, again: bool
    ) -> None:
        if known is None:
            self.defined[name.casefold()] = (name, whole)
        elif again:
            self._say(
                key,
                f"{name} gets its bars a second time",
                f"write {name} alone to repeat it, or give this one a name of its own",
            )

    def _whole(self, name: str, whole: Given, like: str, key: yaml.ScalarNode) -> Section | None:
        song, own = self.song, dict(whole.values)
        change: TempoChange | None = own.pop("change", None)
        tempo = change or TempoChange(song.tempo)
        groove: str = own.pop("groove", "" if "feel" in own else song.groove)
        section = Section(
            **{"feel": song.feel, "meter": song.meter, **own},
            name=name,
            tempo=tempo.tempo,
            tempo_to=tempo.to,
            tempo_given=change is not None,
            feel_given="feel" in own,
            groove=groove,
            groove_pattern=groove_pattern(self.reader.names, groove),
            cues=whole.cues_in_order(),
            fills=whole.fills_in_order(sum(own["phrases"])),
            like=like,
            span=self.reader.span(key),
            span_of=self.reader.spans_of(whole.entries),
        )
        return section if check_places(self.reader, section, self.meter_known) else None
