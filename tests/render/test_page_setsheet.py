"""The set sheet: up to twenty songs read standing, more with a warning, nothing on top of anything."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from page_rules import words_on_ink, words_on_words
from support import write_book

from render.page.folder import SET_SHEET, folder_of
from render.page.model import Rect
from render.page.packing import PAPERS
from render.page.setsheet import DISTANCE, MARGIN, set_sheet
from render.page.sheet import Options
from render.page.theme import ON_SIGN, SIGN
from setlists.book import gig_named

NIGHT = """
    gig: Boat shed
    date: 2026-06-20
    start: 20:30
    ends: 23:00
    sets:
      - name: First
        length: 10 min
        songs:
          - Rain: {key: A, notes: mallets, skip: Solo}
          - Kettle: {tempo: 100, segue: yes}
          - Bus: {count-in: 2 bars}
          - Raffle: {length: 3:00}
      - break: 20 min
      - name: Second
        start: 21:15
        length: 3 min
        songs: [Kettle: {segue: yes}, Bus]
"""
CHARTS = {
    "charts__rain": "title: Rain\nmeter: 6/8\ntempo: 50\nkey: Bb\nfeel: 6/8 ballad\nform:\n  - A (8)\n  - Solo (8)\n",
    "charts__kettle": "title: Kettle\ntempo: 120\nkey: G\nfeel: shuffle\nform:\n  - A (32)\n",
    "charts__bus": "title: Bus\ntempo: 112\nfeel: train beat\nform:\n  - A (64)\n",
}


def night(tmp_path, text=NIGHT, **options):
    book = write_book(tmp_path, setlists__night=text, **CHARTS)
    page, _ = set_sheet(gig_named(book, "boat"), {}, Options(**options), SET_SHEET)
    return page


def texts(page, kind=None):
    return [item.text for item in page.words if kind in (None, item.kind)]


def sheet_for(tmp_path, titles, **options):
    tmp_path.mkdir(exist_ok=True)
    charts = {
        f"charts__c{n:02}": f"title: {title}\ntempo: {100 + n}\nfeel: shuffle\nkey: A\nform:\n  - A (8)\n"
        for n, title in enumerate(titles)
    }
    songs = "\n".join(f"      - {title}" for title in titles)
    book = write_book(
        tmp_path, setlists__all=f"gig: All\nsets:\n  - name: One\n    songs:\n{songs}\n", **charts
    )
    gig = gig_named(book, "all")
    page, _ = set_sheet(gig, {}, Options(**options), SET_SHEET)
    return page, folder_of(gig, Options(**options)).pages[0]


@pytest.mark.parametrize("count", [1, 5, 12, 20])
def test_up_to_twenty_songs_read_standing(tmp_path, count):
    """Titles and tempi at 16 minutes of arc from 1.7 m, on one page, without a warning."""
    page, told = sheet_for(tmp_path, [f"A Song of the Sea {n}" for n in range(count)])
    assert [] == told["warnings"]
    assert told["distance_m"] == DISTANCE == 1.7
    for kind in ("title", "tempo"):
        assert told["sizes"][kind]["arc_minutes"] >= 16
    assert [] == [*words_on_words(page), *words_on_ink(page)]


def test_more_songs_than_can_be_read_are_told(tmp_path):
    """Still one page, with a warning."""
    page, told = sheet_for(tmp_path, [f"A Song of the Sea {n}" for n in range(45)])
    assert told["scale"] < 1
    assert "not at 1.7 m" in told["warnings"][0]
    assert len([item for item in page.words if item.kind == "tempo"]) == 45


def test_a_segue_is_an_arrow_and_nothing_leaves_the_page(tmp_path):
    """The last song of a column may have one too."""
    titles = [f"Song {n}" for n in range(14)]
    charts = {
        f"charts__c{n:02}": f"title: {t}\ntempo: 90\nfeel: swing\nform:\n  - A (8)\n"
        for n, t in enumerate(titles)
    }
    songs = "\n".join(f"      - {title}: {{segue: yes}}" for title in titles)
    book = write_book(
        tmp_path, setlists__all=f"gig: All\nsets:\n  - name: One\n    songs:\n{songs}\n", **charts
    )
    for landscape in (False, True):
        page, _ = set_sheet(gig_named(book, "all"), {}, Options(landscape=landscape), SET_SHEET)
        assert sum(len(getattr(item, "outline", ())) == 3 for item in page.items) == 14
        for item in page.items:
            left, top, right, bottom = item.area
            assert MARGIN - 4 < left
            assert MARGIN - 4 < top
            assert right < page.width - MARGIN + 4
            assert bottom < page.height - MARGIN + 4


def test_key_and_count_in_are_as_large_as_the_rest_allows(tmp_path):
    """A few songs leave room for all at reading size; twenty do not, and the report says what is left."""
    reach = {}
    for count in (2, 8, 15, 20):
        _, told = sheet_for(tmp_path / str(count), [f"Songs of the Sea {n}" for n in range(count)])
        assert [] == told["warnings"]
        reach[count] = [told["sizes"][kind]["reads_at_m"] for kind in ("key", "count_in")]
    assert min(reach[2] + reach[8]) >= 1.4
    assert min(reach[15]) >= 0.95
    assert min(reach[20]) >= 0.75


def test_a_full_night_of_twenty_songs_reads_standing(tmp_path):
    """Two sets, slots, a break, notes and changes beside them."""
    titles = [
        ("Harbour Lights", "Rope", "Long Way Round", "Paint on a Porch")[n % 4] + f" {n}" for n in range(20)
    ]
    charts = {
        f"charts__c{n:02}": f"title: {title}\ntempo: {100 + n}\nfeel: shuffle\nkey: Bb\nform:\n  - A (8)\n"
        for n, title in enumerate(titles)
    }
    lines = [
        f"      - {t}" + (": {key: G, notes: capo 3}" if n in (3, 12) else "") for n, t in enumerate(titles)
    ]
    sets = ["  - name: S\n    length: 45 min\n    songs:\n" + "\n".join(lines[n : n + 10]) for n in (0, 10)]
    text = "gig: All\nstart: 20:30\nsets:\n" + "\n  - break: 20 min\n".join(sets) + "\n"
    told = folder_of(gig_named(write_book(tmp_path, setlists__all=text, **charts), "all"), Options()).pages[0]
    assert [] == told["warnings"]
    assert told["sizes"]["title"]["reads_at_m"] >= DISTANCE - 0.01


def test_a_tempo_says_what_it_counts_where_that_is_no_quarter(tmp_path):
    """A dotted quarter's sign before it; a quarter needs none."""
    page = night(tmp_path)
    (sign,) = (item for item in page.words if item.text == "♩\U0001d16d =")
    (fifty,) = (item for item in page.words if item.text == "50")
    assert fifty.y == sign.y
    assert 0 < fifty.x - sign.x - sign.width < fifty.size / 2
    assert texts(page, "tempo") == ["50", "100", "112", "120", "112"]


@pytest.mark.parametrize("plain", [False, True])
def test_what_the_set_list_changes_stands_on_a_ground_of_its_own(tmp_path, plain):
    """Key, tempo, count-in and skips, light on dark; what is as in the chart does not."""
    page = night(tmp_path, plain=plain)
    grounds = [item.area for item in page.items if isinstance(item, Rect) and item.role == SIGN]
    changed = {item.text for item in page.words if item.role == ON_SIGN}
    assert {"A", "100", "2 bars", "without Solo"} <= changed
    assert not {"50", "112", "120", "G", "1 bar"} & changed
    for words in (item for item in page.words if item.role == ON_SIGN):
        left, top, right, bottom = words.core
        assert any(g[0] <= left and g[1] <= top and g[2] >= right and g[3] >= bottom for g in grounds)
    assert [] == [*words_on_words(page), *words_on_ink(page)]


def test_a_change_to_what_the_chart_says_anyway_is_none(tmp_path):
    """The set list may repeat the chart's key and tempo."""
    page = night(tmp_path, NIGHT.replace("{tempo: 100, segue: yes}", "{tempo: 120, key: G}"))
    assert "120" not in {item.text for item in page.words if item.role == ON_SIGN}


def test_notes_and_lengths_without_a_chart_stand_at_their_song(tmp_path):
    """Below the title or behind it, in words."""
    page = night(tmp_path)
    rain, kettle = (next(item for item in page.words if item.text == title) for title in ("Rain", "Kettle"))
    (mallets,) = (item for item in page.words if item.text == "mallets")
    assert rain.y <= mallets.y < kettle.y
    assert "lasts 3 min" in texts(page)


def test_times_of_day_and_lengths_are_told_apart_in_words(tmp_path):
    """“at” for the clock, “lasts” for a length with its slot, and whether it fits."""
    said = " ".join(texts(night(tmp_path)))
    assert "First at 20:30 lasts 8 min of 10 min fits, 2 min to spare" in said
    assert "Second at 21:15 lasts 4 min of 3 min" in said
    assert "1 min too long" in said
    assert "curfew 23:00" in said
    assert " · " not in said


def test_a_break_is_as_long_as_the_next_set_makes_it(tmp_path):
    """The set after it has a start of its own; in the minutes between the two times on the sheet."""
    said = " ".join(texts(night(tmp_path)))
    assert "Second at 21:15" in said
    assert "break 38 min at 20:37" in said


def test_a_set_that_starts_late_or_ends_past_the_end_says_so(tmp_path):
    """On signs, since somebody has to act on it."""
    text = NIGHT.replace("start: 21:15", "start: 20:55").replace("23:00", "21:01")
    page = night(tmp_path, text)
    signs = {item.text for item in page.words if item.role == ON_SIGN}
    assert {"3 min late", "1 min past the end"} <= signs


def test_every_song_has_its_start_where_that_can_be_read(tmp_path):
    """On a short sheet, not on a full one."""
    _, few = sheet_for(tmp_path / "few", ["Low Sun", "Rope"])
    assert "at" not in texts(sheet_for(tmp_path / "no", ["Low Sun", "Rope"])[0], "aside")  # no start given
    assert few["warnings"] == []
    page = night(tmp_path / "night" if (tmp_path / "night").mkdir() is None else tmp_path)
    assert {"20:30", "21:15"} <= set(texts(page, "aside"))


def test_a_song_out_of_the_one_before_is_not_counted_in(tmp_path):
    """Unless the set list says how."""
    page = night(tmp_path)
    buses = [item.y for item in page.words if item.text == "Bus"]
    assert ["segue"] == [item.text for item in page.words if item.text == "segue"]
    (segue,) = (item for item in page.words if item.text == "segue")
    assert segue.y >= buses[1]  # the first one has a count of its own tonight


WORDS = [
    "sea",
    "of",
    "lights",
    "and",
    "a",
    "very",
    "long",
    "way",
    "Ωmega",
    "тихий",
    "Incomprehensibilities",
    "round",
]
CHANGES = [
    "key: Ab",
    "tempo: 99",
    "segue: yes",
    "count-in: 2 bars 2 beats",
    "skip: Solo",
    "feel: swing",
    "notes: ",
]
some_words = st.lists(st.sampled_from(WORDS), min_size=1, max_size=9).map(" ".join)
a_song = st.tuples(
    some_words, st.sampled_from(["4/4", "6/8", "2/2"]), st.sets(st.sampled_from(CHANGES)), some_words
)


@settings(max_examples=int(os.environ.get("PAGE_EXAMPLES", "12")), deadline=None)
@given(
    st.lists(a_song, min_size=1, max_size=24),
    st.integers(0, 24),
    st.booleans(),
    st.sampled_from(sorted(PAPERS)),
)
def test_any_set_sheet_lies_whole_on_one_page(songs, cut, landscape, paper):
    """Nothing overlaps and nothing leaves it, whatever titles, notes and changes there are."""
    charts, lines = {}, []
    for n, (title, meter, changes, note) in enumerate(songs):
        feel = "6/8 ballad" if meter == "6/8" else "shuffle"
        head = f"title: {title} {n}\nmeter: {meter}\ntempo: 66.5\nfeel: {feel}\nkey: F# minor\n"
        charts[f"charts__c{n:02}"] = head + "form:\n  - A (8)\n  - Solo (8)\n"
        told = ", ".join(each + note if each == "notes: " else each for each in sorted(changes))
        lines.append(f"      - {title} {n}: {{{told}}}\n")
    parts = ["".join(part) for part in (lines[:cut], lines[cut:]) if part]
    sets = "  - break: 20 min\n".join(
        f"  - name: A set\n    length: 20 min\n    songs:\n{part}" for part in parts
    )
    text = f"gig: Town hall\nstart: 20:30\nends: 21:00\nsets:\n{sets}"
    with tempfile.TemporaryDirectory() as folder:
        gig = gig_named(write_book(Path(folder), setlists__all=text, **charts), "town")
        page, _ = set_sheet(gig, {}, Options(paper, landscape), SET_SHEET)
    assert [] == [*words_on_words(page), *words_on_ink(page)]
    for item in page.items:
        left, top, right, bottom = item.area
        assert min(left, top, page.width - right, page.height - bottom) > MARGIN - 5
    printed = "".join(texts(page)).replace(" ", "")
    assert all(title.replace(" ", "") in printed for title, *_ in songs)
