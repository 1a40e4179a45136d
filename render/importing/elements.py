"""Walking through the elements of a MusicXML part: every child of a measure with its place in quarters."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement

from charts.source import FeelmapError

Placed = tuple[Fraction, Element]
START = Fraction(0)


def partwise(root: Element) -> Element:
    """The score part by part, whichever way round it is written.

    :raises FeelmapError: XML that is no score.
    """
    if root.tag == "score-partwise":
        return root
    if root.tag != "score-timewise":
        raise FeelmapError(f"<{root.tag[:40]}> is no score", "give a MusicXML, MIDI or ABC file")
    turned = Element("score-partwise")
    parts: dict[str, Element] = {}
    for child in root:
        if child.tag != "measure":
            turned.append(child)
            continue
        for part in child.iterfind("part"):
            name = part.get("id", "")
            if name not in parts:
                parts[name] = Element("part", id=name)
            measure = SubElement(parts[name], "measure", dict(child.attrib))
            measure.extend(list(part))
    turned.extend(parts.values())
    return turned


def number_of(text: str | None) -> Fraction | None:
    """A number as MusicXML writes it; None for anything else."""
    try:
        found = Fraction((text or "").strip())
    except (ValueError, ZeroDivisionError):
        return None
    return found if abs(found) < 10**9 and found.denominator < 10**9 else None


class Walk:
    """Gives the children of measures with their places; remembers the divisions in force."""

    def __init__(self) -> None:
        self.divisions = Fraction(1)
        self.now = START  # where the next child of the measure stands

    def measure(self, measure: Element) -> Iterator[Placed]:
        """Each child with its place in quarters from the barline; a chord's notes share theirs."""
        self.now = last = START
        for child in measure:
            if child.tag == "attributes":
                found = number_of(child.findtext("divisions"))
                self.divisions = found if found and found > 0 else self.divisions
                yield self.now, child
            elif child.tag in ("backup", "forward"):
                length = self._length(child)
                self.now = max(START, self.now - length if child.tag == "backup" else self.now + length)
                yield self.now, child
            elif child.tag == "note":
                if child.find("chord") is None:
                    last = self.now
                    self.now += self._length(child)
                yield last, child
            else:
                yield max(START, self.now + self._offset(child)), child

    def _length(self, element: Element) -> Fraction:
        if element.find("grace") is not None:
            return START
        return max(START, number_of(element.findtext("duration")) or START) / self.divisions

    def _offset(self, element: Element) -> Fraction:
        return (number_of(element.findtext("offset")) or START) / self.divisions
