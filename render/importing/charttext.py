"""A chart's text from drafted sections: names given once and repeated, differences alone, rows in place."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from charts.pattern import Pattern
from charts.quoting import scalar
from charts.reading.values import Bad, count_in
from charts.rows import write_rows
from charts.song import CountIn
from render.importing.draft import LAST_BARLINE, Draft, Maps
from render.importing.facts import clean
from render.importing.score import Score
from render.importing.sections import Drafts, Offer
from render.importing.tempos import number

NONE = "none"
GONE = "\0"  # what an appearance takes away; words can never be this
TYPED = ("tempo", "meter", "open", "hits", "stops", "holds", "dynamics", "tempos", "odd-bars", "pass")
MOST_PICKUP = 32  # beats
PLACED = frozenset(("hits", "stops", "holds"))
MERGED = ("cues", "fills")  # place by place, so that one that is gone must be removed


def chart_text(sheet: Score, drafts: Drafts, title: str, pickup: Fraction) -> str:
    """The whole chart."""
    lines = [f"title: {_words(title)}"]
    lines += [f"{key}: {_words(text)}" for key, text in (("by", sheet.by), ("key", sheet.key)) if clean(text)]
    if str(drafts.meter) != "4/4":
        lines.append(f"meter: {drafts.meter}")
    lines += [f"tempo: {number(drafts.tempo)}", f"feel: {_words(drafts.feel.name)}"]
    counted = _count_in(sheet, drafts)
    if counted:
        lines.append(f"count-in: {counted}")
    beats = pickup / drafts.beat
    if beats > MOST_PICKUP:
        sheet.lose(f"a pickup of {beats} beats: a chart takes {MOST_PICKUP}")
    elif beats:
        lines.append(f"pickup: {beats} {'beat' if beats <= 1 else 'beats'}")
    groove = _song_groove(drafts)
    if groove:
        lines.append(f"groove: {_words(groove)}")
    lines += [
        f"{key}: {_words(text)}" for key, text in (("ending", drafts.ending), ("notes", sheet.notes)) if text
    ]
    lines.append("form:")
    lines += _Form(drafts).lines()
    return "\n".join([*lines, *_offered(drafts.offers)]) + "\n"


def _song_groove(drafts: Drafts) -> str:
    """The first section's groove, where every section in the song's feel has one."""
    alike = [line for line in drafts.lines if line.values.get("feel") == drafts.feel.name]
    return drafts.lines[0].values.get("groove", "") if all("groove" in line.values for line in alike) else ""


def _count_in(sheet: Score, drafts: Drafts) -> str:
    """The count-in as a chart reads it; empty where the score has none that a chart can say."""
    text = drafts.count_in
    if sheet.count_in is not None:
        bars, rest = divmod(sheet.count_in, drafts.meter.quarters)
        beats, left = divmod(rest, drafts.meter.unit_quarters)
        text = str(CountIn(int(bars), int(beats)))
        if left:
            sheet.lose(f"a count-in of {float(sheet.count_in):g} quarters: a chart counts whole beats")
            text = "none"
    try:
        return str(count_in(text)) if text else ""
    except Bad as bad:
        sheet.lose(f"count-in {clean(text)}: {bad.message}")
        return ""


class _Form:
    """Writes the lines; remembers what each name said when it got its bars."""

    def __init__(self, drafts: Drafts) -> None:
        self.drafts = drafts
        self.defined: dict[str, Draft] = {}
        self.song = {
            "feel": drafts.feel.name,
            "meter": str(drafts.meter),
            "tempo": number(drafts.tempo),
            "groove": _song_groove(drafts),
        }

    def lines(self) -> Iterator[str]:
        for draft in self.drafts.lines:
            yield from self._line(draft)

    def _line(self, draft: Draft) -> Iterator[str]:
        known = self.defined.get(draft.name.casefold())
        if known is not None and known.bars != draft.bars:
            _as_passes(draft, known)
        if known is not None and known.bars != draft.bars:
            draft.name = self._other_name(draft)
            known = self.defined.get(draft.name.casefold())
        values, maps = self._said(draft)
        if known is None:
            self.defined[draft.name.casefold()] = draft
            head = f"{draft.name} ({'+'.join(map(str, draft.phrases))})"
            many = f" x{draft.times}" if draft.times > 1 else ""
            yield from _entry(head + many + (" open" if draft.open else ""), values, maps)
            return
        values, maps = _differences((values, maps), self._said(known))
        if draft.open != known.open:
            values["open"] = "yes" if draft.open else "no"
        yield from _entry(
            known.name + (f" x{draft.times}" if draft.times != known.times else ""), values, maps
        )

    def _said(self, draft: Draft) -> tuple[dict[str, str], dict[str, Maps]]:
        """Its keys without what the song says for all; the song's groove goes with the song's feel."""
        song = dict(self.song)
        if draft.values.get("feel") != song["feel"]:
            song["groove"] = ""
        values = {key: value for key, value in draft.values.items() if song.get(key) != value}
        return values, dict(draft.maps)

    def _other_name(self, draft: Draft) -> str:
        """A name of its own for a section that comes back with other bars."""
        for count in range(2, 3000):
            name = f"{draft.name} {count}"
            known = self.defined.get(name.casefold())
            if known is None or known.bars == draft.bars:
                return name
        return draft.name


def _as_passes(draft: Draft, known: Draft) -> None:
    """Twice the bars that its name stands for are two passes, where nothing is said at a place."""
    times, rest = divmod(draft.bars * draft.times, known.bars)
    if not rest and not draft.maps and not PLACED.intersection(draft.values):
        draft.phrases, draft.times = known.phrases, times


def _differences(
    own: tuple[dict[str, str], dict[str, Maps]], known: tuple[dict[str, str], dict[str, Maps]]
) -> tuple[dict[str, str], dict[str, Maps]]:
    """What an appearance says otherwise than the line that its name stands for."""
    values = {key: value for key, value in own[0].items() if known[0].get(key) != value}
    values |= {key: GONE for key in known[0] if key not in own[0]}
    maps: dict[str, Maps] = {}
    for key in dict.fromkeys((*own[1], *known[1])):
        mine, theirs = own[1].get(key, {}), known[1].get(key, {})
        if mine == theirs:
            continue
        if key in MERGED:
            changed: Maps = {place: value for place, value in mine.items() if theirs.get(place) != value}
            maps[key] = changed | {place: GONE for place in theirs if place not in mine}
        elif mine:
            maps[key] = mine
        else:
            values[key] = GONE
    return values, maps


def _entry(head: str, values: dict[str, str], maps: dict[str, Maps]) -> Iterator[str]:
    """A form line with its keys below it."""
    if not values and not maps:
        yield f"  - {scalar(head, flow=False)}"
        return
    yield f"  - {scalar(head, flow=False)}:"
    for key, value in values.items():
        yield f"      {key}: {_value(key, value)}"
    for key, places in maps.items():
        if LAST_BARLINE in places:
            yield from _place(key, LAST_BARLINE, places[LAST_BARLINE], "      ")
        if set(places) - {LAST_BARLINE}:
            yield f"      {key}:"
        for place, said in places.items():
            if place != LAST_BARLINE:
                yield from _place(key, place, said, "        ")


def _place(key: str, place: str, said: str | dict[str, str | Pattern], indent: str) -> Iterator[str]:
    if isinstance(said, str):
        yield f"{indent}{place}: {_value(key, said)}"
        return
    yield f"{indent}{place}:"
    for name, value in said.items():
        if isinstance(value, Pattern):
            yield f"{indent}  {name}: |"
            yield from (f"{indent}    {row}" for row in write_rows(value).splitlines())
        else:
            yield f"{indent}  {name}: {_value(name, value)}"


def _value(key: str, text: str) -> str:
    """A value as YAML has it."""
    if text == GONE:
        return NONE
    return scalar(text, flow=False, typed=True) if key in TYPED else _words(text)


def _words(text: str) -> str:
    plain = clean(text)
    return f'"{plain}"' if plain.casefold() == NONE else scalar(plain, flow=False)


def _offered(offers: list[Offer]) -> Iterator[str]:
    """Grooves that the score plays, as comments: a chart names a groove, a file in fills/ holds its rows."""
    for offer in offers:
        yield ""
        yield f"# the groove of {clean(offer.section)}; to keep it, put it below grooves: in a file in fills/"
        yield f"#   {scalar(clean(offer.section).casefold() + ' groove', flow=False)}:"
        if str(offer.meter) != "4/4":
            yield f"#     meter: {offer.meter}"
        yield "#     rows: |"
        yield from (f"#       {row}" for row in write_rows(offer.pattern).splitlines())
