"""Outlines as points: ellipses, curves, strokes of a pen. Pure geometry; y grows downwards."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, hypot, pi, radians, sin

Point = tuple[float, float]
Outline = tuple[Point, ...]


def box(x: float, y: float, width: float, height: float) -> Outline:
    """An upright rectangle from its upper left corner."""
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def ellipse(x: float, y: float, rx: float, ry: float, tilt: float = 0.0, points: int = 16) -> Outline:
    """An ellipse round a centre, turned by ``tilt`` degrees.

    >>> [round(c, 6) for c in ellipse(0, 0, 2, 1)[0]]
    [2.0, 0.0]
    """
    c, s = cos(radians(tilt)), sin(radians(tilt))
    around = [(rx * cos(2 * pi * n / points), ry * sin(2 * pi * n / points)) for n in range(points)]
    return tuple((x + a * c - b * s, y + a * s + b * c) for a, b in around)


def ring(outer: Outline, inner: Outline) -> Outline:
    """An outline with a hole, as one path: out round, in by a seam, back round the other way."""
    return (*outer, outer[0], inner[0], *inner[:0:-1], inner[0])


def frame(x: float, y: float, width: float, height: float, line: float) -> Outline:
    """A rectangle's border as one filled path."""
    return ring(box(x, y, width, height), box(x + line, y + line, width - 2 * line, height - 2 * line))


def curve(start: Point, one: Point, two: Point, end: Point, steps: int = 6) -> list[Point]:
    """Points along a cubic curve, its end included, its start not."""
    found = []
    for n in range(1, steps + 1):
        t = n / steps
        a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
        found.append(
            (
                a * start[0] + b * one[0] + c * two[0] + d * end[0],
                a * start[1] + b * one[1] + c * two[1] + d * end[1],
            )
        )
    return found


def path(start: Point, *parts: Sequence[Point]) -> Outline:
    """A closed outline of lines (one point) and curves (three points)."""
    points = [start]
    for part in parts:
        points += [part[0]] if len(part) == 1 else curve(points[-1], part[0], part[1], part[2])
    return tuple(points)


def pen_line(start: Point, end: Point, width: float) -> Outline:
    """A straight stroke of a pen of that width, square at its ends."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = hypot(dx, dy) or 1.0
    nx, ny = -dy / length * width / 2, dx / length * width / 2
    return (
        (start[0] + nx, start[1] + ny), (end[0] + nx, end[1] + ny),
        (end[0] - nx, end[1] - ny), (start[0] - nx, start[1] - ny),
    )  # fmt: skip


def moved(outline: Outline, dx: float, dy: float, scale: float = 1.0) -> Outline:
    """The same outline scaled and then moved."""
    return tuple((dx + x * scale, dy + y * scale) for x, y in outline)


def mirrored(outline: Outline) -> Outline:
    """The same outline upside down."""
    return tuple((x, -y) for x, y in outline)
