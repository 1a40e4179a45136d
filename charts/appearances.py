"""A section asked for by its name: how the name is compared, and what to say where it is not there."""

from __future__ import annotations

from collections.abc import Iterable

from charts.book import folded
from charts.source import FeelmapError
from charts.spelling import nearest


def plain_section(name: str) -> str:
    """A section's name without case, accents and hyphens.

    >>> plain_section("Pre-Chorus  2")
    'pre chorus 2'
    """
    return folded(" ".join(name.replace("-", " ").split()))


def no_such_appearance(name: str, count: str, times: int, title: str) -> FeelmapError:
    """The section is there, but not that often."""
    often, last = (f"{times} times", f" to {name}#{times}") if times > 1 else ("once", "")
    return FeelmapError(f"{name} appears {often} in {title}, there is no #{count}", f"write {name}#1{last}")


def no_such_section(text: str, base: str, names: Iterable[str], title: str) -> FeelmapError:
    """No section is called that; ``base`` is what was asked for without its number."""
    known = {plain_section(name): name for name in names}
    like = nearest(plain_section(base), known)
    hint = f"did you mean {known[like]}?" if like else f"it has {', '.join(known.values())}"
    return FeelmapError(f"{title} has no section “{text}”", hint)
