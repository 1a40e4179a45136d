"""The head and the foot of a road map: everything has its fixed place. Lengths in points."""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256

from charts.played import song_seconds
from charts.song import Song
from charts.wording import clock, figure, key_in_signs, many, many_beats
from render.page.feel_notes import feel_notes
from render.page.fonts import BOLD, width_of
from render.page.model import Laid, Page, Pen
from render.page.plan import Sizes
from render.page.sheet import Sheet, spoken_count, tempo_text
from render.page.text import (
    BASELINE,
    Piece,
    Placed,
    flow,
    height_of,
    line_width,
    natural_width,
    paint_lines,
    sign,
    tied,
    unbroken,
    words,
)  # fmt: skip
from render.page.theme import INK, SOFT

TITLE_MOST, TITLE_TIGHT = 1.3, 1.12  # of its least size: where there is room, and on a full page
APART, LABEL_GAP = 1.0, 0.28  # between items of a line, from a label to its value, in ems
HEAD_RULE, FOOT_RULE, RULE_ROOM = 2.2, 0.9, 5.0  # the rules and the room beside them, units
NOTES_OVER = 0.2  # room over the feel's notes, in ems
BACKBEATS = {"half-time": "backbeat on 3", "double-time": "backbeat on every &"}  # what is not 2 and 4
MARK_LENGTH = 5  # characters of the mark of a printing
MARK_SAMPLE = "0" * MARK_LENGTH  # no mark is wider


def lay_head(sheet: Sheet, width: float, sizes: Sizes) -> Laid:
    """Title and tempo; feel, meter and count-in, the key at the right; notes; a rule."""
    tempo = _tempo(sheet, sizes)
    tempo_width = natural_width(tempo)
    title = _title(sheet, width - tempo_width - sizes.prime, sizes)
    key = _key(sheet, sizes)
    key_width = natural_width(key) + 0.8 * sizes.essential if key else 0.0
    told = flow(list(_told(sheet, sizes)), width - key_width)
    notes = flow(_notes(sheet, sizes), width)
    unit = sizes.unit
    high = max(height_of(title), height_of(flow(tempo, width))) + NOTES_OVER * sizes.essential
    total = high + height_of(told) + height_of(notes) + (2 * RULE_ROOM + HEAD_RULE) * unit

    def paint(pen: Pen, x: float, y: float) -> None:
        paint_lines(pen, x, y, title)
        drop = BASELINE * (title[0][0][1].size - title_size(sizes)) if title else 0.0
        paint_lines(pen, x + width - tempo_width, y + max(0.0, drop), flow(tempo, width))
        paint_lines(pen, x + width - natural_width(key), y + high, flow(key, width))
        under = paint_lines(pen, x, y + high, told)
        under = paint_lines(pen, x, under, notes)
        pen.rect(x, under + RULE_ROOM * unit, width, HEAD_RULE * unit, INK)
        if sheet.gig.home:
            pen.link(x, y, width, high, sheet.gig.home)

    return Laid(total, paint)


def title_size(sizes: Sizes) -> float:
    """The most that title and tempo take."""
    return sizes.prime * (TITLE_MOST + (TITLE_TIGHT - TITLE_MOST) * sizes.tight)


def _tempo(sheet: Sheet, sizes: Sizes) -> list[Piece]:
    """Tonight's tempo as a sign where the chart has another."""
    song, chart = sheet.song, sheet.gig.chart
    size = title_size(sizes)
    text = tempo_text(song.meter, song.tempo)
    found = [unbroken(text, "tempo", BOLD, size)]
    if chart and chart.tempo != song.tempo:
        found = sign([unbroken(text, "tempo", BOLD, sizes.prime)])
        found.append(
            unbroken(
                f"else {figure(chart.tempo)}", "tonight", size=sizes.least, role=SOFT, space=0.5 * sizes.least
            )
        )
    return found


def _title(sheet: Sheet, width: float, sizes: Sizes) -> list[list[Placed]]:
    """On one line as large as fits there, else at its least size on as many as it needs; then the writer."""
    title, least = sheet.song.title, sizes.prime
    natural = natural_width(words(title, "title", BOLD))
    size = max(least, min(title_size(sizes), (width - 1e-6) / natural)) if natural else least
    writer = words(sheet.song.by, "by", size=sizes.near, role=SOFT, space=0.8 * sizes.near)
    lines = flow(words(title, "title", BOLD, size=size), width)
    if writer and lines and line_width(lines[-1]) + writer[0].space + natural_width(writer) <= width:
        return [*lines[:-1], flow([piece for _, piece in lines[-1]] + writer, width)[0]]
    return [*lines, *flow(writer, width)]


def _told(sheet: Sheet, sizes: Sizes) -> Iterator[Piece]:
    """Feel with its notes, backbeat, meter, count-in, pickup, groove."""
    song, gig, size = sheet.song, sheet.gig, sizes.essential
    meter = song.form[0].meter_of(1) if song.form[0].meter == song.meter else song.meter
    feel = words(song.feel.name, "feel", BOLD, size)
    if gig.chart and gig.chart.feel != song.feel:
        feel = sign(feel)
        feel.append(
            unbroken(f"else {gig.chart.feel.name}", "tonight", size=sizes.least, role=SOFT, space=0.4 * size)
        )
    notes = feel_notes(song.feel, meter.beats[0], size)
    yield from tied([*feel, notes._replace(space=0.45 * size)])
    if (back := BACKBEATS.get(song.feel.pulse)) and len(meter.beats) == 4:
        yield unbroken(back, "feel", size=size, space=0.6 * size)
    yield unbroken(str(song.meter), "meter", BOLD, size, space=APART * size)
    if gig.entered:
        yield from labelled("segue from", gig.entered, "count-in", size)
    elif spoken_count(song) == "none":
        yield unbroken("no count", "count-in", BOLD, size, space=APART * size)
    else:
        yield from labelled("count", spoken_count(song), "count-in", size)
    if gig.chart and gig.chart.count_in != song.count_in and not gig.entered:
        yield unbroken("tonight", "tonight", size=sizes.least, role=SOFT, space=0.4 * size)
    if song.pickup:
        yield from labelled("pickup", many_beats(song.pickup), "count-in", size)
    if song.groove and song.groove != song.feel.name:
        yield from words(song.groove, "groove", size=sizes.cue, role=SOFT, space=APART * size)


def _key(sheet: Sheet, sizes: Sizes) -> list[Piece]:
    song, chart, size = sheet.song, sheet.gig.chart, sizes.essential
    if not song.key:
        return []
    key = key_in_signs(song.key)
    if chart and chart.key != song.key:
        found = sign([unbroken(f"key {key}", "key", BOLD, size)])
        return (
            [
                *found,
                unbroken(
                    f"tonight, else {key_in_signs(chart.key)}",
                    "tonight",
                    size=sizes.least,
                    role=SOFT,
                    space=0.4 * size,
                ),
            ]
            if chart.key
            else found
        )
    return [
        unbroken("key", "key", size=size, role=SOFT),
        unbroken(key, "key", BOLD, size, space=LABEL_GAP * size),
    ]


def _notes(sheet: Sheet, sizes: Sizes) -> list[Piece]:
    """What to keep in mind, this gig's words first."""
    size = sizes.cue
    return [
        *words(sheet.gig.notes, "notes", BOLD, size),
        *words(sheet.song.notes, "notes", size=size, space=APART * size),
    ]


def labelled(label: str, text: str, kind: str, size: float) -> list[Piece]:
    """A small word and its value, kept together."""
    value = words(text, kind, BOLD, size, space=LABEL_GAP * size)
    return tied([unbroken(label, kind, size=size, role=SOFT, space=APART * size), *value])


def lay_foot(sheet: Sheet, width: float, sizes: Sizes) -> Laid:
    """What follows at the left; at the right bars, length and the mark of this printing."""
    unit, small = sizes.unit, sizes.near
    totals = _totals(sheet.song, sheet.gig.place)
    following = list(_following(sheet, sizes))
    mark = width_of(MARK_SAMPLE, BOLD) * small
    right = width_of(totals, "regular") * small + mark + 0.8 * small
    lines = flow(following, width - right - sizes.essential)
    high = max(height_of(lines), 1.18 * small)

    def paint(pen: Pen, x: float, y: float) -> None:
        pen.rect(x, y, width, FOOT_RULE * unit, INK)
        top = y + (FOOT_RULE + RULE_ROOM * 0.6) * unit
        paint_lines(pen, x, top, lines)
        base = top + BASELINE * (lines[0][0][1].size if lines else small)
        pen.words(x + width - right, base, totals, small, role=SOFT, kind="totals")
        pen.words(x + width - mark, base, MARK_SAMPLE, small, BOLD, SOFT, "mark")
        gig = sheet.gig
        if gig.following and gig.following.page and lines:
            pen.link(x, top, max(map(line_width, lines)), height_of(lines), gig.following.page)
        if gig.home:
            pen.link(x + width - right, top, right, high, gig.home)

    return Laid((FOOT_RULE + RULE_ROOM * 0.6) * unit + high, paint)


def _totals(song: Song, place: str) -> str:
    return " · ".join(part for part in (many(song.bars, "bar"), clock(song_seconds(song)), place) if part)


def _following(sheet: Sheet, sizes: Sizes) -> Iterator[Piece]:
    following, size = sheet.gig.following, sizes.essential
    if following is None:
        return
    yield unbroken(
        "segue" if following.segue else "next",
        "next",
        BOLD if following.segue else "regular",
        size,
        INK if following.segue else SOFT,
    )
    yield from tied(words(following.title, "next", BOLD, size, space=LABEL_GAP * size))
    if following.tempo:
        yield unbroken(following.tempo, "next", BOLD, size, space=APART * size)
    if following.count:
        yield from (
            labelled("count", following.count, "next", size)
            if following.count != "none"
            else [unbroken("no count", "next", BOLD, size, space=APART * size)]
        )


def stamp(page: Page) -> None:
    """Put the mark of this printing on a page: equal pages have equal marks."""
    told = "\n".join(map(str, page.items))
    mark = sha256(told.encode()).hexdigest()[:MARK_LENGTH]
    for item in page.words:
        if item.kind == "mark":
            right = item.x + item.width
            item.text = mark
            item.x = right - item.width
