"""A chart's text from drafted sections: names given once and repeated, differences alone, rows in place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from charts.pattern import Pattern
from charts.quoting import scalar
from charts.rows import write_rows
from charts.song import CountIn
from charts.wording import figure
from render.importing.passes import LAST_BARLINE, Draft, Value
from render.importing.score import Score, plain
from render.importing.sections import Drafts, Offer
from render.importing.tempos import tempo_text

NONE = "none"
GONE = "\0"  # what an appearance takes away; words can never be this
TYPED = ("tempo", "meter", "open", "holds", "dynamics", "tempos", "odd-bars", "pass")  # no words
MERGED = ("cues", "fills")  # place by place, so that one that is gone must be removed
PLACED = frozenset(("holds", "tempos", "odd-bars", "cues", "fills"))  # said of bars by their number
MOST_PICKUP = 32  # beats
MOST_NAMES = 3_000
Values = dict[str, Value]


def chart_text(score: Score, drafts: Drafts, title: str, pickup: Fraction) -> str:
    """The whole chart."""
    head = {
        "title": _words(title),
        "by": _words(score.by) if plain(score.by) else "",
        "key": _words(score.key) if plain(score.key) else "",
        "meter": str(drafts.meter).removeprefix("4/4"),
        "tempo": tempo_text(drafts.tempo),
        "feel": _words(drafts.feel.name),
        "count-in": _count_in(score, drafts),
        "pickup": _pickup(score, pickup / drafts.beat),
    }
    lines = [f"{key}: {value}" for key, value in head.items() if value]
    lines += ["form:", *_Form(drafts).lines()]
    for offer in drafts.offers:
        lines += ["", *_offered(offer)]
    return "\n".join(lines) + "\n"


def _count_in(score: Score, drafts: Drafts) -> str:
    bars, rest = divmod(score.count_in, drafts.meter.quarters)
    beats, left = divmod(rest, drafts.meter.unit_quarters)
    if left:
        score.lose(f"a count-in of {figure(score.count_in, 5)} quarters: a chart counts whole beats")
        return NONE
    return str(CountIn(int(bars), int(beats))) if score.count_in else ""


def _pickup(score: Score, beats: Fraction) -> str:
    if beats > MOST_PICKUP:
        score.lose(f"a pickup of {beats} beats: a chart takes {MOST_PICKUP}")
        return ""
    return f"{beats} {'beat' if beats <= 1 else 'beats'}" if beats else ""


class _Form:
    """Writes the lines; keeps what each name said when it got its bars."""

    def __init__(self, drafts: Drafts) -> None:
        self.drafts = drafts
        self.defined: dict[str, Draft] = {}
        self.song = {"feel": drafts.feel.name, "meter": str(drafts.meter), "tempo": tempo_text(drafts.tempo)}

    def lines(self) -> Iterator[str]:
        for draft in self.drafts.lines:
            draft.values = {key: value for key, value in draft.values.items() if self.song.get(key) != value}
            yield from self._line(draft)

    def _line(self, draft: Draft) -> Iterator[str]:
        known = self.defined.get(draft.name.casefold())
        if known is not None and known.bars != draft.bars:
            draft = self._as_passes(draft, known)
            known = self.defined.get(draft.name.casefold())
        if known is None:
            self.defined[draft.name.casefold()] = draft
            times = f" x{draft.times}" if draft.times > 1 else ""
            head = f"{draft.name} ({'+'.join(map(str, draft.phrases))}){times}" + " open" * draft.open
            yield from _entry(head, draft.values)
            return
        values = _differences(draft.values, known.values)
        if draft.open != known.open:
            values["open"] = "yes" if draft.open else "no"
        yield from _entry(known.name + (f" x{draft.times}" if draft.times != known.times else ""), values)

    def _as_passes(self, draft: Draft, known: Draft) -> Draft:
        """Twice the bars of its name are two passes, where nothing is said of a bar; else it needs a name."""
        times, rest = divmod(draft.bars * draft.times, known.bars)
        if not rest and PLACED.isdisjoint(draft.values):
            return replace(draft, phrases=known.phrases, times=times)
        for count in range(2, MOST_NAMES):
            name = f"{draft.name} {count}"
            other = self.defined.get(name.casefold())
            if other is None or other.bars == draft.bars:
                break
        return replace(draft, name=name)


def _differences(own: Values, known: Values) -> Values:
    """What an appearance says otherwise than the line that its name stands for."""
    found: Values = {}
    for key in dict.fromkeys((*own, *known)):
        mine, theirs = own.get(key, GONE), known.get(key, GONE)
        if mine == theirs:
            continue
        if key in MERGED:
            before, now = ({} if isinstance(each, str) else each for each in (theirs, mine))
            changed = {place: value for place, value in now.items() if before.get(place) != value}
            found[key] = {**changed, **{place: GONE for place in before if place not in now}}
        else:
            found[key] = mine
    return found


def _entry(head: str, values: Values) -> Iterator[str]:
    """A form line with its keys below it."""
    yield f"  - {scalar(head, flow=False)}" + ":" * bool(values)
    for key, value in values.items():
        if isinstance(value, str):
            yield f"      {key}: {_value(key, value)}"
            continue
        places = dict(value)
        if LAST_BARLINE in places:
            yield from _place(key, LAST_BARLINE, places.pop(LAST_BARLINE), "      ")
        if places:
            yield f"      {key}:"
        for place, said in places.items():
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
    shown = plain(text)
    return f'"{shown}"' if shown.casefold() == NONE else scalar(shown, flow=False)


def _offered(offer: Offer) -> Iterator[str]:
    """A groove as a comment: a chart names a groove, a file in fills/ holds its rows."""
    yield f"# the groove of {plain(offer.section)}; to keep it, put it below grooves: in a file in fills/"
    yield f"#   {scalar(plain(offer.section).casefold() + ' groove', flow=False)}:"
    if str(offer.meter) != "4/4":
        yield f"#     meter: {offer.meter}"
    yield "#     rows: |"
    yield from (f"#       {row}" for row in write_rows(offer.pattern).splitlines())
