"""Which songs, dropped, would bring a gig in: as few as possible, and as little time as possible."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from setlists.clock import without
from setlists.gig import Gig, GigSong

MOST_OFFERS = 3
MOST_DROPPED = 6  # songs in one offer; more is another gig
Offer = tuple[GigSong, ...]


def offers(
    gig: Gig, songs: Sequence[GigSong], over: float, still_over: Callable[[Gig], float]
) -> list[Offer]:
    """Up to three single songs that would do, the shortest first; else one way of dropping several.

    ``over`` is in seconds; ``still_over`` says what is left of it in a gig run without some songs, and every
    offer was run that way. Empty where six songs, or all but one, would not do.
    """

    def does(offer: Offer) -> bool:
        return still_over(without(gig, frozenset(song.number for song in offer))) <= 0

    saving = sorted(
        ((_saved(songs, place), song) for place, song in enumerate(songs)), key=lambda pair: pair[0]
    )
    if len(songs) < 2:
        return []
    singles: list[Offer] = []
    for saved, song in saving:
        if saved >= over and len(singles) < MOST_OFFERS and does((song,)):
            singles.append((song,))
    if singles:
        return singles
    for count in range(2, min(len(songs), MOST_DROPPED + 1)):
        offer = _least(saving, count, over)
        if offer and does(offer):
            return [offer]
    return []


def _saved(songs: Sequence[GigSong], place: int) -> float:
    """Seconds that a song takes with the gap that would go with it."""
    gap = songs[place].gap
    if place + 1 == len(songs):
        gap = gap or songs[place - 1].gap
    return songs[place].seconds + gap


def _least(saving: Sequence[tuple[float, GigSong]], count: int, over: float) -> Offer | None:
    """That many songs whose savings reach ``over`` with little to spare, in the order of the gig.

    The longest ones, and for the last two of them the pair that is just long enough.
    """
    longest = list(saving[-count:])
    if sum(saved for saved, _ in longest) < over:
        return None
    kept = longest[2:]
    need = over - sum(saved for saved, _ in kept)
    free = saving[: len(saving) - len(kept)]
    low, high, best = 0, len(free) - 1, (longest[0], longest[1])
    while low < high:
        total = free[low][0] + free[high][0]
        if total < need:
            low += 1
            continue
        if total < best[0][0] + best[1][0]:
            best = (free[low], free[high])
        high -= 1
    return tuple(sorted((song for _, song in [*best, *kept]), key=lambda song: song.number))
