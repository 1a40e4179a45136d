"""Small helpers to build elements; text that XML cannot hold is left out."""

from __future__ import annotations

import re
from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement

from charts.wording import figure

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def add(parent: Element, tag: str, text: object = None, **attributes: str) -> Element:
    """A child element; ``_`` in an attribute's name stands for ``-``."""
    named = {key.rstrip("_").replace("_", "-"): clean(value) for key, value in attributes.items()}
    child = SubElement(parent, tag, named)
    if text is not None:
        child.text = clean(str(text))
    return child


def clean(text: str) -> str:
    r"""The text without characters that XML 1.0 has no place for.

    >>> clean("one\x00two")
    'onetwo'
    """
    return text if text.isascii() and text.isprintable() else _NOT_XML.sub("", text)


def decimal(value: Fraction) -> str:
    """A number to three places, as short as it can be written.

    >>> decimal(Fraction(133, 2)), decimal(Fraction(200, 3))
    ('66.5', '66.667')
    """
    return figure(value, 3)
