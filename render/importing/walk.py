"""The walk through a MusicXML part: every child of a measure with its place."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement

from charts.source import FeelmapError
from render.importing.limits import BAR_LENGTH, number, on_grid
from render.importing.score import START


def partwise(root: Element) -> Element:
    """The score part by part, whichever way round it is written.

    :raises FeelmapError: XML that is not a score.
    """
    if root.tag == "score-partwise":
        return root
    if root.tag != "score-timewise":
        raise FeelmapError(f"<{root.tag[:40]}> is not a score", "give a MusicXML, MIDI or ABC file")
    turned = Element("score-partwise")
    turned.extend([child for child in root if child.tag != "measure"])
    parts: dict[str, Element] = {}
    for child in root.iterfind("measure"):
        for part in child.iterfind("part"):
            name = part.get("id", "")
            if name not in parts:
                parts[name] = SubElement(turned, "part", id=name)
            SubElement(parts[name], "measure", child.attrib).extend(part)
    return turned


class Walk:
    """Gives the children of measures with their places; keeps the divisions in force."""

    def __init__(self) -> None:
        self.divisions = Fraction(1)
        self.now = self.length = START  # quarters from the barline: here, and as far as the measure goes

    def measure(self, measure: Element) -> Iterator[tuple[Fraction, Element]]:
        """Each child with its place in quarters from the barline; a chord's notes share theirs."""
        self.now = self.length = last = START
        for child in measure:
            if child.tag == "attributes":
                found = number(child.findtext("divisions"))
                self.divisions = found if found and found > 0 else self.divisions
                self.now = on_grid(self.now)  # the places before it may be on another grid
                yield self.now, child
            elif child.tag in ("backup", "forward"):
                self._go(self._quarters(child, "duration") * (-1 if child.tag == "backup" else 1), measure)
            elif child.tag == "note":
                if child.find("chord") is None:
                    last = self.now
                    self._go(max(START, self._quarters(child, "duration")), measure)
                yield on_grid(last), child
            else:
                yield on_grid(max(START, self.now + self._quarters(child, "offset"))), child
        self.length = on_grid(self.length)

    def _go(self, quarters: Fraction, measure: Element) -> None:
        self.now = max(START, self.now + quarters)
        BAR_LENGTH.hold(self.now, measure.get("number", "")[:20])
        self.length = max(self.length, self.now)

    def _quarters(self, element: Element, tag: str) -> Fraction:
        if element.find("grace") is not None:
            return START
        return (number(element.findtext(tag)) or START) / self.divisions
