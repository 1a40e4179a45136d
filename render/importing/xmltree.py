"""XML as elements, parsed with care: its size and depth are held, and it may declare nothing of its own."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree.ElementTree import Element, TreeBuilder
from xml.parsers import expat

from charts.source import FeelmapError
from render.importing.limits import DEPTH, ELEMENTS, TAG

MOST_TEXT = 4_000  # characters of an element that are looked at


def elements(data: bytes, path: Path) -> Element:
    """Parse XML; an outside DTD is never fetched.

    :raises FeelmapError: broken, too large, or with entities of its own.
    """
    endless = re.search(rb"<[^<>]{%d}" % TAG.most, data)
    TAG.hold(TAG.most + 1 if endless else 0, path)
    screen = _Screen(path)
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler = screen.start
    parser.EndElementHandler = screen.end
    parser.CharacterDataHandler = screen.builder.data
    parser.EntityDeclHandler = screen.refuse
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        raise FeelmapError(
            f"{path}:{error.lineno}:{error.offset + 1}: the XML is broken here", "export the score again"
        ) from None
    except (ValueError, LookupError):
        raise FeelmapError(f"{path} is in an encoding that cannot be read", "export it as UTF-8") from None
    return screen.builder.close()


def text_of(element: Element | None, path: str = "") -> str:
    """The words of an element, or of the first one at a path in it; empty where there are none."""
    found = element.find(path) if element is not None and path else element
    return " ".join(((found.text if found is not None else None) or "")[:MOST_TEXT].split())


class _Screen:
    """Builds the tree, and stops where it is too deep or too much."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.builder = TreeBuilder()
        self.depth = self.count = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self.depth += 1
        self.count += 1 + len(attributes)
        DEPTH.hold(self.depth, self.path)
        ELEMENTS.hold(self.count, self.path)
        self.builder.start(tag, attributes)

    def end(self, tag: str) -> None:
        self.depth -= 1
        self.builder.end(tag)

    def refuse(self, *_declared: object) -> None:
        raise FeelmapError(f"{self.path} declares entities of its own", "a score needs none: export it again")
