"""The road map on the screen: head, a row a section as played, fills, foot."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from charts.fills import Fills, played_fills
from charts.outline import FEEL, GROOVE, METER, TEMPO, Row, outline
from charts.played import PlayedSection, played, song_seconds
from charts.song import FillUse, Section, Song, TempoMark, which_time
from charts.source import ERROR, NOTE, WARNING
from charts.verdict import CLASHES, CROSSES
from charts.wording import clock, figure, many, many_beats, tempo_change
from render.terminal.boxes import SIGNS, UNNAMED, box_lines, boxes, fill_beats, sign_of
from render.terminal.ink import BOLD, CYAN, DIM, RED, YELLOW, Ink, cells, folded_words, padded
from render.terminal.printable import tempo_words

WIDEST_LABEL = 26
NUMBER = 4  # columns of a bar number
NARROW_BOXES = 38  # eight bars of 3/4 and a little: with less room the boxes go below the name


def label_of(row: Row) -> str:
    """The name with its bars as a chart writes them."""
    section = row.section
    times = f" x{row.times}" if row.times > 1 else ""
    return f"{section.name} ({'+'.join(map(str, section.phrases))}){times}{' open' if section.open else ''}"


def roadmap_lines(song: Song, width: int, ink: Ink, tolerance: Fraction) -> Iterator[str]:
    """The whole road map within ``width`` columns."""
    yield from head_lines(song, width, ink)
    yield ""
    parts, fills = played(song), Fills(song)
    rows = outline(song, parts)
    label = max((size for row in rows if (size := cells(label_of(row))) <= WIDEST_LABEL), default=0)
    indent = NUMBER + 2 + label + 2
    if width - indent < NARROW_BOXES:
        indent = NUMBER + 2
    used = ""
    for row in rows:
        drawn = boxes(row.part, fills)
        used += "".join(drawn)
        yield from _row_lines(row, drawn, fills, indent, width, ink)
    yield ""
    yield from foot_lines(song, width)
    yield from _fill_lines(parts, fills, width, ink, tolerance)
    yield from _sign_lines(used, width, ink)


def head_lines(song: Song, width: int, ink: Ink) -> Iterator[str]:
    """Title and writer; tempo, feel, meter, key, count-in; groove and notes."""
    by = f"by {song.by}" if song.by else ""
    gap = max(3, width - cells(song.title) - cells(by))
    if by and cells(song.title) + 3 + cells(by) > width:
        yield from (ink(line, BOLD) for line in folded_words(song.title, width, "  "))
        yield from folded_words(by, width, "  ")
    else:
        lines = folded_words(song.title, width, "  ")
        yield ink(lines[0], BOLD) + (" " * gap + by if by else "")
        yield from (ink(line, BOLD) for line in lines[1:])
    facts = [tempo_words(song.meter, song.tempo, ink.signs), song.feel.name, str(song.meter)]
    facts += [f"key {song.key}"] if song.key else []
    facts.append(f"count-in {song.count_in}")
    facts += [f"pickup {many_beats(song.pickup)}"] if song.pickup else []
    yield from _joined(facts, width)
    for label, text in (("groove", song.groove), ("note", song.notes)):
        if text:
            yield from folded_words(f"{label}: {text}", width, "  ")


def head_again(song: Song, width: int, ink: Ink) -> Iterator[str]:
    """Title, tempo, feel and count-in once more, for where the head has scrolled away."""
    tempo = tempo_words(song.meter, song.tempo, ink.signs)
    text = f"{song.title}: {tempo}, {song.feel.name}, {song.meter}, count-in {song.count_in}"
    yield from (ink(line, BOLD) for line in folded_words(text, width, "  "))


def _joined(facts: Sequence[str], width: int) -> Iterator[str]:
    """Facts side by side, separated by spaces, folded between them."""
    line = ""
    folded = [
        part
        for fact in facts
        for part in (folded_words(fact, width, "  ") if cells(fact) > width else [fact])
    ]
    for fact in folded:
        if line and cells(line) + 3 + cells(fact) > width:
            yield line
            line = fact
        else:
            line = f"{line}   {fact}" if line else fact
    if line:
        yield line


def _row_lines(row: Row, drawn: list[str], fills: Fills, indent: int, width: int, ink: Ink) -> Iterator[str]:
    section, named = row.section, label_of(row)
    below = indent == NUMBER + 2
    lines = box_lines(section, drawn, width - indent, row.times)
    head = f"{row.part.first_bar:>{NUMBER}}  "
    label = padded(named, indent - len(head))
    if below or cells(named) > indent - len(head) - 2:
        name = folded_words(named, width - len(head), "  ")
        yield head + ink(name[0], BOLD)
        yield from (" " * len(head) + ink(line, BOLD) for line in name[1:])
        lead = " " * indent
    else:
        lead = head + ink(label, BOLD)
    notes = list(_notes(row, ink))
    last = len(lines) - 1
    for place, line in enumerate(lines):
        beside = "   ".join(text for text, _ in notes)
        if place == last and notes and indent + len(line) + 3 + cells(beside) <= width:
            yield f"{lead}{line}   {'   '.join(ink(text, *codes) for text, codes in notes)}"
            notes = []
        else:
            yield lead + line
        lead = " " * indent
    yield from _notes_below(notes, indent, width, ink)
    for text in _words_below(row.part, drawn, fills):
        yield from (" " * indent + line for line in folded_words(text, width - indent, "  "))


def _notes_below(
    notes: Sequence[tuple[str, tuple[str, ...]]], indent: int, width: int, ink: Ink
) -> Iterator[str]:
    codes = dict(notes)
    for line in _joined([text for text, _ in notes], width - indent):
        shown = line
        for text, style in codes.items():
            shown = shown.replace(text, ink(text, *style), 1) if text in line else shown
        yield " " * indent + shown


def _notes(row: Row, ink: Ink) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What is new in a row, each with its emphasis: feel, meter, tempo, dynamics, odd lengths."""
    section = row.section
    if section.open:
        yield (f"open until {section.until}" if section.until else "open"), (BOLD, YELLOW)
    if FEEL in row.changes:
        yield f"feel: {section.feel.name}", (BOLD, CYAN)
    if METER in row.changes:
        yield f"meter {section.meter}", (BOLD, CYAN)
    if TEMPO in row.changes:
        yield tempo_words(section.meter, section.tempo, ink.signs, section.tempo_to), (BOLD, CYAN)
    if row.equation:
        yield f"({row.equation})", (CYAN,)
    yield from ((_mark_words(mark, section.times), (CYAN,)) for mark in section.tempos)
    if GROOVE in row.changes:
        yield f"groove: {section.groove}", ()
    if section.dynamics:
        yield " to ".join(section.dynamics), (BOLD,)
    if section.bars % 2 and section.bars > 1:
        yield f"{many(section.bars, 'bar')}!", (BOLD, RED)
    yield from ((f"bar {bar} in {meter}!", (BOLD, RED)) for bar, meter in section.odd_bars.items())


def _mark_words(mark: TempoMark, times: int) -> str:
    return f"tempo {tempo_change(mark.tempo, mark.to)} from bar {mark.bar}{when(mark.pass_, times)}"


def when(pass_: str | int, times: int) -> str:
    """Which time through, to go on a line; nothing where it is every one."""
    words = which_time(pass_, times)
    return f", {words}" if words else ""


def _words_below(part: PlayedSection, drawn: Sequence[str], fills: Fills) -> Iterator[str]:
    """Cues at their bars, holds that last, fills with their numbers."""
    section = part.section
    cues = [f"{cue.place}: {cue.text}" for cue in section.cues]
    if cues:
        yield "; ".join(cues)
    lasting = [f"{hold.place} for {figure(hold.seconds)} s" for hold in section.holds if hold.seconds]
    if lasting:
        yield f"hold {', '.join(lasting)}"
    told = [
        f"{fills[use].numbered}{_hidden(part, use, drawn, sign_of(fills[use]))}{_fill_words(section, use)}"
        for use in section.fills
    ]
    if told:
        yield "; ".join(told)


def _hidden(part: PlayedSection, use: FillUse, drawn: Sequence[str], sign: str) -> str:
    """The bars of a fill whose number is nowhere in them: past 9, or under hits and stops on every beat."""
    beats = list(fill_beats(part, use))
    seen = sign != UNNAMED and any(drawn[bar - 1][beat - 1] == sign for bar, beat in beats)
    if not beats or seen:
        return ""
    first, last = beats[0][0], beats[-1][0]
    return f" in bar {first}" if first == last else f" in bars {first} to {last}"


def _fill_words(section: Section, use: FillUse) -> str:
    passes = when(use.pass_, section.times)
    return passes + (", sets up the next" if use.sets_up_next else "")


def foot_lines(song: Song, width: int) -> Iterator[str]:
    """The ending, total bars and time."""
    if song.ending:
        yield from folded_words(f"ends: {song.ending}", width, "  ")
    opened = [f"{section.name} x{section.times}" for section in song.form if section.open]
    counted = f", counting {', '.join(dict.fromkeys(opened))}" if opened else ""
    yield from folded_words(f"{many(song.bars, 'bar')}, {clock(song_seconds(song))}{counted}", width, "  ")


def _fill_lines(
    parts: Sequence[PlayedSection], fills: Fills, width: int, ink: Ink, tolerance: Fraction
) -> Iterator[str]:
    """Only the fills off the grid of the feel that they are played in, once for each, and unknown ones."""
    told: dict[str, tuple[str, ...]] = {}
    for index, part in enumerate(parts):
        for use in part.section.fills:
            named = fills[use].numbered
            if use.pattern is None:
                told[f"{named}: no such pattern"] = ()
            for fill in played_fills(parts, index, use):
                heard = fill.heard(tolerance)
                level = heard.level(use.on_purpose)
                what = "clashes with" if level == ERROR else f"is {heard.words} over"
                why = f" on purpose: {use.on_purpose}" if use.on_purpose else ""
                why = why if level == NOTE else "; feelmap check says what fits"
                if heard.verdict in (CLASHES, CROSSES):
                    colors = {ERROR: (RED,), WARNING: (YELLOW,)}.get(level, ())
                    told[f"{named} {what} {heard.feel.name}{why}"] = colors
    for text, codes in told.items():
        yield from (ink(line, *codes) for line in folded_words(text, width, "  "))


def _sign_lines(used: str, width: int, ink: Ink) -> Iterator[str]:
    """What the signs in the boxes mean, as far as there are any."""
    meanings = [f"{sign} {meaning}" for sign, meaning in SIGNS.items() if sign in used]
    yield from (ink(line, DIM) for line in _joined(meanings, width))
