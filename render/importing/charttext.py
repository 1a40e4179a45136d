"""A chart's text from drafted sections: names given once and repeated, differences alone, rows in place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from charts.pattern import Pattern
from charts.quoting import scalar
from charts.rows import write_rows
from charts.song import CountIn
from charts.timing import COMMON
from charts.wording import figure
from render.importing.passes import NONE, Draft, Values, spelled
from render.importing.score import Score
from render.importing.sections import Drafts, Offer

MERGED = ("cues", "fills")  # place by place, so that one that is gone must be removed
PLACED = frozenset(("holds", "tempos", "odd-bars", "cues", "fill", "fills"))  # of bars by their number
MOST_PICKUP = 32  # beats
MOST_NAMES = 3_000


def chart_text(score: Score, drafts: Drafts, title: str, pickup: Fraction) -> str:
    """The whole chart."""
    form = _Form(drafts)
    head = {
        "title": spelled(title),
        "by": spelled(score.by),
        "key": spelled(score.key),
        **{key: value for key, value in form.song.items() if value != str(COMMON)},
        "count-in": _count_in(score, drafts),
        "pickup": _pickup(score, pickup / drafts.beat),
    }
    lines = [f"{key}: {value}" for key, value in head.items() if value]
    lines += ["form:", *form.lines()]
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
        first = drafts.lines[0].values
        self.song = {key: str(first[key]).partition(" to ")[0] for key in ("meter", "tempo", "feel")}

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
    """What is different in an appearance from the first line of its name."""
    found: Values = {}
    for key in dict.fromkeys((*own, *known)):
        mine, theirs = own.get(key, NONE), known.get(key, NONE)
        if mine == theirs:
            continue
        if key in MERGED:
            now, before = (each if isinstance(each, dict) else {} for each in (mine, theirs))
            changed = {place: value for place, value in now.items() if before.get(place) != value}
            mine = {**changed, **{place: NONE for place in before if place not in now}}
        found[key] = mine
    return found


def _entry(head: str, values: Values) -> Iterator[str]:
    """A form line with its keys below it."""
    yield f"  - {scalar(head, flow=False)}" + ":" * bool(values)
    yield from _lines(values, "      ")


def _lines(values: Values, indent: str) -> Iterator[str]:
    for key, value in values.items():
        if isinstance(value, str):
            yield f"{indent}{key}: {value}"
            continue
        yield f"{indent}{key}:" + " |" * isinstance(value, Pattern)
        if isinstance(value, Pattern):
            yield from (f"{indent}  {row}" for row in write_rows(value).splitlines())
        else:
            yield from _lines(value, indent + "  ")


def _offered(offer: Offer) -> Iterator[str]:
    """A groove as a comment: a chart names a groove, a file in fills/ holds its rows."""
    yield f"# the groove of {offer.section}; to keep it, put it below grooves: in a file in fills/"
    yield f"#   {spelled(f'{offer.section.casefold()} groove')}:"
    if str(offer.meter) != "4/4":
        yield f"#     meter: {offer.meter}"
    yield "#     rows: |"
    yield from (f"#       {row}" for row in write_rows(offer.pattern).splitlines())
