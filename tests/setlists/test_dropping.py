"""Which songs, dropped, would bring a set in."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from charts.source import Source, Span
from setlists.clock import timed, without
from setlists.dropping import MOST_DROPPED, MOST_OFFERS, _least, _saved, offers
from setlists.gig import Gig, GigSet, GigSong
from setlists.setlist import Changes, SetList, SongItem, SongSet

HERE = Span(Source("test", ""), 1, 1, 2)


def of_lengths(*lengths: float) -> Gig:
    """A gig of one set; 20 s pass between two songs."""
    items = tuple(SongItem(f"song {n}", HERE) for n in range(1, len(lengths) + 1))
    songs = tuple(
        GigSong(n, item, item.name, None, seconds)
        for n, (item, seconds) in enumerate(zip(items, lengths, strict=True), start=1)
    )
    song_set = SongSet("x", items, HERE)
    return timed(Gig(SetList("x", (song_set,), HERE), (GigSet("x", song_set, songs),)))


def over(slot: float, gig: Gig) -> float:
    """Seconds over a slot."""
    return gig.seconds - slot


def numbers(gig: Gig, slot: float) -> list[tuple[int, ...]]:
    """The offers for a slot, as song numbers."""
    found = offers(gig, gig.songs, over(slot, gig), partial(over, slot))
    return [tuple(song.number for song in offer) for offer in found]


def test_one_song_is_offered_the_shortest_first() -> None:
    """200 + 20 + 180 + 20 + 300 + 20 + 60 s are 800; the last song takes the talk before it along."""
    assert [(4,), (2,), (1,)] == numbers(of_lengths(200, 180, 300, 60), 720)
    assert [(2,), (1,), (3,)] == numbers(of_lengths(200, 180, 300, 60), 700)


def test_the_gap_that_goes_with_a_song_counts() -> None:
    """A set of two that is 5 s over: either song takes 20 s of talk along."""
    assert [(2,), (1,)] == numbers(of_lengths(100, 50), 165)


def test_several_are_offered_where_one_is_not_enough() -> None:
    """As few as will do, and of those the ones with the least time."""
    assert [(1, 5)] == numbers(of_lengths(300, 200, 220, 100, 90), 600)
    assert [(2, 3, 4)] == numbers(of_lengths(100, 100, 100, 100), 140)


def test_nothing_is_offered_where_nothing_helps() -> None:
    """One song too long for its slot, or a set with no room for any of its songs."""
    assert [] == numbers(of_lengths(300), 200)
    assert [] == numbers(of_lengths(300, 250), 200)


def test_more_than_six_songs_are_no_offer() -> None:
    """That is another gig; a list of a hundred titles helps nobody."""
    assert [tuple(range(3, 9))] == numbers(of_lengths(*[100.0] * 8), 220)
    assert [] == numbers(of_lengths(*[100.0] * 9), 220)


@settings(max_examples=80, deadline=None)
@given(st.lists(st.integers(10, 600), min_size=1, max_size=9), st.integers(1, 3000))
def test_every_offer_brings_it_in(lengths: list[int], slot: int) -> None:
    """Each one is run; where none is made no single song is left that would fit."""
    gig = of_lengths(*map(float, lengths))
    if over(slot, gig) <= 0:
        return
    found = numbers(gig, slot)
    for offer in found:
        assert over(slot, without(gig, frozenset(offer))) <= 0
        assert len(offer) < len(lengths)
    assert len(found) <= (MOST_OFFERS if found and len(found[0]) == 1 else 1)
    if not found and len(lengths) <= MOST_DROPPED + 1:
        assert len(lengths) == 1 or min(lengths) > slot


@pytest.mark.parametrize(
    ("savings", "count", "over", "least"),
    [
        ([10, 20, 30, 40], 2, 45, (1, 4)),
        ([10, 20, 30, 40], 2, 50, (1, 4)),  # just enough
        ([10, 20, 31, 40], 2, 60, (2, 4)),
        ([10, 20, 31, 40, 50], 2, 50, (1, 4)),
        ([10, 40, 50], 2, 75, (2, 3)),  # a song cannot go twice
        ([10, 20, 30, 40], 2, 70, (3, 4)),
        ([10, 20, 30, 40], 2, 71, None),
        ([10, 20, 30, 40], 3, 75, (1, 3, 4)),  # the longest, and of the rest the pair that is just enough
        ([10, 20, 30, 40], 3, 90, (2, 3, 4)),
        ([10, 20, 30, 40], 3, 91, None),
        ([10, 20, 30, 40, 50], 4, 121, (1, 3, 4, 5)),
    ],
)
def test_the_least_that_is_enough(
    savings: list[float], count: int, over: float, least: tuple[int, ...] | None
) -> None:
    """So many songs, with as little to spare as can be; none where the longest together are not enough."""
    songs = of_lengths(*savings).songs
    found = _least(list(zip(savings, songs, strict=True)), count, over)
    assert least == (None if found is None else tuple(song.number for song in found))


def test_a_song_saves_the_gap_that_goes_with_it() -> None:
    """Its own; the last one that of the song before; one that segues none, unless it is the last."""
    gig = of_lengths(100, 90, 80)
    segue = Changes(segue=True)
    first, second, third = (
        replace(song, item=replace(song.item, changes=segue)) if n == 1 else song
        for n, song in enumerate(gig.songs)
    )
    songs = timed(replace(gig, parts=(replace(gig.sets[0], songs=(first, second, third)),))).songs
    assert [120, 90, 80] == [_saved(songs, place) for place in range(3)]
    assert [120, 110, 100] == [_saved(gig.songs, place) for place in range(3)]
    assert [100] == [_saved(of_lengths(100).songs, 0)]


@pytest.mark.parametrize(("left", "offered"), [(-1.0, True), (0.0, True), (0.1, False)])
def test_an_offer_leaves_nothing_over(left: float, offered: bool) -> None:
    """Each is run; what still runs over by anything is no offer."""
    gig = of_lengths(100, 90)
    assert offered == bool(offers(gig, gig.songs, 50, lambda _: left))


@pytest.mark.parametrize(
    ("over", "singles"), [(110.0, [(2,), (1,)]), (110.1, [(1,)]), (120.0, [(1,)]), (120.1, [])]
)
def test_a_single_song_has_to_save_as_much(over: float, singles: list[tuple[int, ...]]) -> None:
    """100 and 90 s with 20 s of talk each."""
    gig = of_lengths(100, 90)
    assert singles == [
        tuple(song.number for song in offer) for offer in offers(gig, gig.songs, over, lambda _: 0.0)
    ]
