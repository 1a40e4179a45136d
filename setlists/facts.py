"""What a gig says on paper, as plain facts, and what differs between two of them in musical words.

Facts are what JSON can hold, so that a folder can carry its own and a later one can be compared with it.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from difflib import SequenceMatcher
from typing import Any, NamedTuple

from charts.rows import write_rows
from charts.song import FillUse, Section, Song, which_time
from charts.wording import day_words, figure, length, ordinal, short_key, tempo_change, time_words
from setlists.gig import Gig, GigBreak, GigSong

Facts = dict[str, Any]
FORMAT = 1  # of the facts; others are not compared


class Difference(NamedTuple):
    """What is new about a song, in words; about the evening where ``title`` is empty."""

    number: int  # the song's tonight; 0 for the evening, or for a song that is no longer played
    title: str
    words: str


def facts_of(gig: Gig) -> Facts:
    """Everything that the gig's folder says."""
    return {
        "feelmap": FORMAT,
        "gig": gig.setlist.gig,
        "evening": dict(_evening(gig)),
        "songs": [song_facts(song) for song in gig.songs],
    }


def written(facts: Facts) -> bytes:
    """The facts as a file: equal facts give equal bytes."""
    return json.dumps(facts, ensure_ascii=True, separators=(",", ":")).encode()


def read_facts(data: bytes) -> Facts | None:
    """The facts in a file; None for what ``written`` did not write."""
    try:
        found = json.loads(data)
    except ValueError:
        return None
    return found if isinstance(found, dict) and found.get("feelmap") == FORMAT else None


def mark_of(facts: Facts) -> str:
    """Six letters and digits that tell two printings of different content apart.

    >>> mark_of({"gig": "Mill Street"}) == mark_of({"gig": "Mill Lane"})
    False
    """
    return hashlib.sha256(written(facts)).hexdigest()[:6]


def _evening(gig: Gig) -> Iterator[tuple[str, str]]:
    setlist = gig.setlist
    if setlist.date:
        yield "date", day_words(setlist.date)
    if gig.curfew:
        yield "curfew", time_words(gig.curfew)
    for part, before in zip(gig.parts, (None, *gig.parts), strict=False):
        if isinstance(part, GigBreak):
            continue
        if part.starts_at:
            yield f"start of {part.name or 'the set'}", time_words(part.starts_at)
        if isinstance(before, GigBreak):
            yield f"break before {part.name or 'the set'}", length(before.shown)


def song_facts(song: GigSong) -> Facts:
    """A song's facts: its own by their names, and those of its sections by section."""
    own = {
        "tempo": figure(song.tempo) if song.tempo else "",
        "key": short_key(song.key),
        "feel": song.feel.name if song.feel else "",
        "meter": str(song.meter or ""),
        "count-in": str(song.count_in) if song.count_in is not None else "",
        "note": song.note,
        "segue": "yes" if song.segue else "",
    }
    if song.song is None:
        own["length"] = length(song.seconds) if song.seconds else ""
        return {"title": song.title, "own": _given(own), "form": [], "sections": {}}
    own |= {name: getattr(song.song, name) for name in ("by", "groove", "ending", "notes")}
    own["pickup"] = figure(song.song.pickup) if song.song.pickup else ""
    form = [section.name for section in song.song.form]
    sections = {name: _together([s for s in song.song.form if s.name == name], song.song) for name in form}
    return {"title": song.title, "own": _given(own), "form": form, "sections": sections}


def _given(facts: Mapping[str, str]) -> dict[str, str]:
    return {name: value for name, value in facts.items() if value}


def _together(appearances: Sequence[Section], song: Song) -> dict[str, str]:
    """One value for all appearances of a section; where they differ, each with its number."""
    each = [_given(dict(_section(section, song))) for section in appearances]
    found = {}
    for name in dict.fromkeys(name for facts in each for name in facts):
        values = [facts.get(name, "none") for facts in each]
        numbered = (f"{value} ({ordinal(n)})" for n, value in enumerate(values, start=1))
        found[name] = values[0] if len(set(values)) == 1 else ", ".join(numbered)
    return found


def _section(section: Section, song: Song) -> Iterator[tuple[str, str]]:
    """What is played in one appearance; tempo, feel and meter only where they are not the song's."""
    yield "bars", "+".join(map(str, section.phrases))
    yield "repeat", "open" if section.open else f"x{section.times}" if section.times > 1 else ""
    if section.tempo != song.tempo or section.tempo_to:
        yield "tempo", tempo_change(section.tempo, section.tempo_to)
    for name in ("feel", "meter", "groove"):
        if getattr(section, name) != getattr(song, name):
            value = getattr(section, name)
            yield name, value.name if name == "feel" else str(value)
    yield "until", section.until
    yield "dynamics", " to ".join(section.dynamics)
    for bar, meter in sorted(section.odd_bars.items()):
        yield f"bar {bar}", str(meter)
    for mark in section.tempos:
        yield f"tempo at bar {mark.bar}", tempo_change(mark.tempo, mark.to)
    for cue in section.cues:
        yield f"cue at {cue.place}", cue.text
    yield "hits", " ".join(hit.in_full for hit in section.hits)
    yield "stops", " ".join("-".join(p.in_full for p in stop if p) for stop in section.stops)
    yield "holds", " ".join(hold.place.in_full for hold in section.holds)
    for use in section.fills:
        yield f"fill in bar {use.bar}", _fill(use, section)
    if section.groove_pattern is not None:
        yield f"the notes of {section.groove}", _digest(write_rows(section.groove_pattern))


def _fill(use: FillUse, section: Section) -> str:
    when = which_time(use.pass_, section.times)
    landing = f"lands {use.landing}" if use.landing else ""
    told = ", ".join(part for part in (use.title, when, landing) if part)
    return told + (_digest(write_rows(use.pattern)) if use.pattern else "")


def _digest(text: str) -> str:
    """Stands for notes: compared, never shown."""
    return f" #{hashlib.sha256(text.encode()).hexdigest()[:8]}"


def differences(old: Facts, new: Facts) -> list[Difference]:
    """What is new in the second: of the evening, then song by song, then songs that are gone."""
    found = [Difference(0, "", words) for words in _changes(old["evening"], new["evening"])]
    before, after = _keyed(old["songs"]), _keyed(new["songs"])
    both = [key for key in after if key in before]
    blocks = SequenceMatcher(None, [key for key in before if key in after], both, autojunk=False)
    still = {both[n] for block in blocks.get_matching_blocks() for n in range(block.b, block.b + block.size)}
    places = {key: place for place, key in enumerate(before, start=1)}
    for number, (key, song) in enumerate(after.items(), start=1):
        if key not in before:
            found.append(Difference(number, song["title"], "new on the list"))
            continue
        words = [] if key in still else [f"now song {number}, was {places[key]}"]
        found += [Difference(number, song["title"], text) for text in (*words, *_song(before[key], song))]
    gone = [song["title"] for key, song in before.items() if key not in after]
    return [*found, Difference(0, "no longer on the list", ", ".join(gone))] if gone else found


def _keyed(songs: Iterable[Facts]) -> dict[tuple[str, int], Facts]:
    """Songs by title, and which time it is played."""
    seen: Counter[str] = Counter()
    found = {}
    for song in songs:
        seen[song["title"]] += 1
        found[song["title"], seen[song["title"]]] = song
    return found


def _song(old: Facts, new: Facts) -> Iterator[str]:
    yield from _changes(old["own"], new["own"])
    left: Counter[str] = Counter(old["form"])
    played: Counter[str] = Counter(new["form"])
    for name in dict.fromkeys((*new["form"], *old["form"])):
        if left[name] and played[name]:
            if left[name] != played[name]:
                yield f"{name}: {played[name]} times in the form, was {left[name]}"
            for words in _changes(old["sections"][name], new["sections"][name]):
                yield f"{name}: {words}"
        else:
            bars = new["sections"][name]["bars"] if played[name] else ""
            yield f"{name}: new, {bars} bars" if bars else f"{name}: left out"
    if left == played and old["form"] != new["form"]:
        yield "sections in another order"


def _changes(old: Mapping[str, str], new: Mapping[str, str]) -> Iterator[str]:
    for name in dict.fromkeys((*new, *old)):
        now, was = (facts.get(name, "").split(" #")[0] for facts in (new, old))
        if new.get(name) == old.get(name):
            continue
        if now == was:
            yield f"{name}: other notes in {now}" if now else f"{name} are others"
        elif not now:
            yield f"{name} gone, was {was}"
        else:
            yield f"{name} {now}" + (f", was {was}" if was else " (new)")
