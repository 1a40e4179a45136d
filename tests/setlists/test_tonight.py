"""A song with a gig's changes made."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from band import band, played
from hypothesis import given
from hypothesis import strategies as st
from support import feel, song

from charts.appearances import one_named
from charts.played import song_seconds
from charts.song import CountIn
from setlists.setlist import Changes
from setlists.tonight import places_of, tonight

CHART = """
    title: Test
    tempo: 100
    key: A
    feel: straight eighths
    groove: plain rock
    form:
      - Verse (8)
      - Chorus (8): {tempo: 110}
      - Bridge (4): {feel: shuffle}
      - Vamp (4): {groove: two-step}
      - Chorus
      - End (4) x2: {tempo: 100 to 50, tempos: {3: 80, 4: {tempo: 60 to 40, pass: each}}}
"""


def test_a_gig_tempo_scales_every_tempo() -> None:
    """By new/old: of sections, of even changes, of marks inside a section."""
    found = tonight(song(CHART), Changes(tempo=Fraction(120)))
    assert 120 == found.tempo
    assert [120, 132, 120, 120, 132, 120] == [section.tempo for section in found.form]
    end = found.form[-1]
    assert (60, [96, 72], [None, 48]) == (
        end.tempo_to,
        [mark.tempo for mark in end.tempos],
        [mark.to for mark in end.tempos],
    )


@given(st.fractions(20, 400, max_denominator=10))
def test_a_song_lasts_as_much_longer_as_it_is_slower(tempo: Fraction) -> None:
    """Even changes of tempo included, since all are scaled."""
    chart = song(CHART)
    found = song_seconds(tonight(chart, Changes(tempo=tempo)))
    assert song_seconds(chart) * 100 / float(tempo) == pytest.approx(found, rel=1e-9)


def test_a_gig_feel_replaces_the_songs_own_only() -> None:
    """A section that was given a feel keeps it."""
    found = tonight(song(CHART), Changes(feel=feel("swing")))
    assert "swing" == found.feel.name
    assert ["swing", "swing", "shuffle", "swing", "swing", "swing"] == [s.feel.name for s in found.form]


def test_the_songs_groove_goes_with_its_feel() -> None:
    """A straight groove is no groove for a shuffle; a section's own groove is its own business."""
    found = tonight(song(CHART), Changes(feel=feel("shuffle")))
    assert ("", None) == (found.groove, found.groove_pattern)
    assert ["", "", "", "two-step", "", ""] == [section.groove for section in found.form]
    assert [False] * 3 + [True] + [False] * 2 == [
        section.groove_pattern is not None for section in found.form
    ]
    same = tonight(song(CHART), Changes(feel=feel("straight eighths")))
    assert "plain rock" == same.groove


def test_a_section_is_skipped_wherever_it_stands() -> None:
    """All of its appearances, or the one that is numbered; in small letters too."""
    names = [section.name for section in tonight(song(CHART), Changes(skip=("chorus", "End"))).form]
    assert ["Verse", "Bridge", "Vamp"] == names
    names = [section.name for section in tonight(song(CHART), Changes(skip=("Chorus#2",))).form]
    assert ["Verse", "Chorus", "Bridge", "Vamp", "End"] == names


@pytest.mark.parametrize("skip", ["pre chorus", "Pre-chorus", "PRÉ-CHORUS", "pre", "Pre Chorus#1"])
def test_a_section_to_skip_is_found_as_everywhere(skip: str) -> None:
    """Without case, accents and hyphens, by a clear part of its name: as show and pencil find it."""
    chart = song(CHART.replace("Bridge", "Pre-Chorus"))
    assert [2] == places_of(chart, skip)
    assert 2 == one_named(chart, skip)


def test_a_part_of_two_names_skips_neither() -> None:
    """Ve and Va are clear, V is not; a whole name is clear though it is part of another."""
    chart = song(CHART.replace("Bridge", "Chorus End"))
    assert [[0], [3], [], [1, 4], [5], [2]] == [
        places_of(chart, name) for name in ("ve", "va", "v", "chorus", "end", "chorus e")
    ]


def test_a_section_that_is_not_there_has_no_place() -> None:
    """Neither by name nor by number."""
    chart = song(CHART)
    for name in ("Outro", "Chorus#3", "Chorus#0", "Chorus#x", "#1"):
        assert [] == places_of(chart, name)


def test_key_and_count_in_are_tonights() -> None:
    """Where the set list says nothing the chart's own hold."""
    chart = song(CHART)
    found = tonight(chart, Changes(key="Bb", count_in=CountIn()))
    assert ("Bb", CountIn()) == (found.key, found.count_in)
    assert chart == tonight(chart, Changes())


def test_a_gig_song_knows_both_chart_and_tonight(tmp_path: Path) -> None:
    """The page prints tonight's song; what changed is told from the chart."""
    (found,) = played(band(tmp_path), "Tin Roof: {tempo: 60, key: E}")
    assert found.song is not None
    assert found.chart is not None
    assert (60, 120, "E", "G") == (found.tempo, found.chart.tempo, found.key, found.chart.key)
    assert 2 * 66 == found.seconds


def test_what_has_no_chart_has_no_meter(tmp_path: Path) -> None:
    """Its tempo, feel, key and count-in are what the set list gives."""
    meadow, raffle = played(
        band(tmp_path), "Long Meadow", "Raffle: {length: 3:00, tempo: 90, key: E, feel: swing}"
    )
    assert ("3/4", None) == (str(meadow.meter), raffle.meter)
    assert (90, "swing", "E", None) == (
        raffle.tempo,
        raffle.feel and raffle.feel.name,
        raffle.key,
        raffle.count_in,
    )
