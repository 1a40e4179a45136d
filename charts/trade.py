"""What the trade's words mean here, where they are not keys or names of Feelmap's own: a row each."""

from __future__ import annotations

import re
from collections.abc import Iterable

from charts.spelling import nearest

_NO_CHORDS = "charts have no chords or lyrics; what you listen for goes in a cue"
AS_PLAYED = "charts are written out as played: name each section again where it comes back"
_IN_FORM = "a section is a line under form: - Intro (4)"


def _words(*rows: tuple[str, str]) -> dict[str, str]:
    """Each word of the rows, with what it means."""
    return {word: meaning for words, meaning in rows for word in words.split(", ")}


# what reads the key -> the key -> what to do
KEYS = {
    "a section": _words(
        ("chords, changes, lyrics", _NO_CHORDS),
        ("letter, section, name, title", "the section's name comes first on its line: - A (8)"),
        ("count, count-in, count in, countoff, count-off", "count-in is the song's, beside its tempo"),
        ("ritard, rit, rit., rall, ritardando, accel, accelerando", "a change of tempo: tempo: 100 to 72"),
        ("stop time, stop-time", "write the band's strokes as hits and the silences as stops"),
        ("vamp, ad lib", "write - Vamp (4) x2 open, with until: and what ends it"),
        ("trade, trading, trading fours, fours", "stops: 5.1-8.4 and cue: drums alone, for your four bars"),
        ("coda, segno, ds, d.s., dc, d.c., first ending, second ending, endings", AS_PLAYED),
        ("key", "a song has one key, beside its tempo; put the new one in a cue"),
    ),
    "a chart": _words(
        ("chords, changes, lyrics", _NO_CHORDS),
        ("intro, verse, chorus, bridge, solo, outro", _IN_FORM),
        ("coda, segno, ds, d.s., dc, d.c., repeats", AS_PLAYED),
        ("capo, tuning, patch, sound", "put it in notes"),
        ("hits, cue, cues, fill, fills, stops, dynamics", "it belongs under a section of the form"),
    ),
}  # fmt: skip

DRUMS = {
    "tom": "T1,FT",
    "floor": "FT",
    "snare": "SD",
    "kick": "BD",
    "bass": "BD",
    "cymbal": "C1",
    "crash": "C1",
    "hat": "HH",
    "ride": "RD",
    "cowbell": "CB",
}
_ROAD_SIGN = re.compile(
    r"(d\.? ?[sc]\.?|dal segno|da capo)( al (coda|fine))?|(to |al )coda|(al )?fine|segno"
    r"|(1st|2nd|3rd|first|second|third|[123]\.) (ending|time)",
    re.IGNORECASE,
)

FEELS = _words(
    ("blues", "a blues is a shuffle or a slow 12/8: choose one"),
    ("ballad", "choose one: 6/8 ballad, slow 12/8, country ballad, straight eighths"),
    ("chicago shuffle", "write shuffle"),
    ("songo", "did you mean samba?"),
)


def feel_hint(name: str, feels: Iterable[str]) -> str:
    """What to write instead of a feel that is not there.

    >>> feel_hint("4/4", ["3/4"]), feel_hint("shufle", ["shuffle"])
    ('4/4 is a meter; a feel is straight eighths, shuffle and the like', 'did you mean shuffle?')
    """
    like = nearest(name, feels)
    return feel_meant(name) or (f"did you mean {like}?" if like else "feelmap feels lists them all")


def feel_meant(name: str) -> str | None:
    """What the trade means by a word that is not a feel's name; None for a word that it does not have.

    >>> feel_meant("Chicago-Shuffle"), feel_meant("half")
    ('write shuffle', None)
    """
    if re.fullmatch(r"\d{1,2}/\d{1,2}", name):
        return f"{name} is a meter; a feel is straight eighths, shuffle and the like"
    return FEELS.get(" ".join(re.split(r"[\s-]+", name.casefold())))


def fill_hint(name: str) -> str:
    """Where to look for a fill of that description.

    >>> fill_hint("big tom fill"), fill_hint("turn")
    ('feelmap fills --voices T1,FT lists fills on these drums', 'feelmap fills lists them all')
    """
    words = re.findall(r"[a-z]+", name.casefold())
    drums = next((codes for word in words for codes in [DRUMS.get(word.removesuffix("s"))] if codes), None)
    return (
        f"feelmap fills --voices {drums} lists fills on these drums"
        if drums
        else "feelmap fills lists them all"
    )


def road_sign(name: str) -> str | None:
    """What to do for a line of the form that is a sign of the road, not a section; None for any other.

    >>> road_sign("D.S. al Coda") == road_sign("1st ending") == AS_PLAYED, road_sign("Coda")
    (True, None)
    """
    return AS_PLAYED if _ROAD_SIGN.fullmatch(name) else None
