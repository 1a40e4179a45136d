"""The set sheet: up to twenty songs read standing, more with a warning, nothing on top of anything; its back."""

from __future__ import annotations

import os
import tempfile
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from page_rules import words_on_ink, words_on_words
from support import write_book

from charts.book import Book
from render.page.arc import PATTERN_LINE
from render.page.folder import SET_SHEET, folder_of
from render.page.model import Line, Rect
from render.page.packing import PAPERS
from render.page.setback import sheet_pages
from render.page.setsheet import DISTANCE, MARGIN, MINUTES
from render.page.setwords import songs_of
from render.page.sheet import Options
from render.page.theme import ON_SIGN, SIGN, SOFT
from setlists.book import gig_named
from setlists.demo import ROOT
from setlists.facts import Difference

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
    return sheets(gig_named(book, "boat"), Options(**options))[0]


def sheets(gig, options, news=None):
    """The pages of the set sheet."""
    lines = songs_of(gig, {}, frozenset(new.number for new in news or ()))
    return [page for page, _ in sheet_pages(gig, lines, "mark 0a1b2c", news, options, SET_SHEET)]


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
    return sheets(gig, Options(**options))[0], folder_of(gig, Options(**options)).pages[0]


@pytest.mark.parametrize("count", [1, 5, 12, 20])
def test_up_to_twenty_songs_read_standing(tmp_path, count):
    """Title, tempo and key at 14 minutes of arc from 1.7 m, feel and count-in at 9 or 8, without a warning."""
    page, told = sheet_for(tmp_path, [f"A Song of the Sea {n}" for n in range(count)])
    assert [] == told["warnings"]
    assert told["distance_m"] == DISTANCE == 1.7
    for kind in ("title", "tempo", "key"):
        assert told["sizes"][kind]["arc_minutes"] >= MINUTES == 14
    for kind in ("feel", "count_in"):
        assert told["sizes"][kind]["arc_minutes"] >= (9 if count < 20 else 8)
    assert [] == [*words_on_words(page), *words_on_ink(page)]


@pytest.mark.parametrize("options", [{}, {"landscape": True}, {"paper": "Letter"}])
def test_fifteen_songs_of_a_real_night_nearly_read_standing(options):
    """The demo's evening, changes and hazards and all, upright and across; what is missing is told."""
    told = folder_of(gig_named(Book(ROOT), "quay"), Options(**options)).pages[0]
    for kind in ("title", "tempo", "key"):
        assert told["sizes"][kind]["reads_at_m"] >= 1.5
    for kind in ("feel", "count_in", "meter"):
        assert told["sizes"][kind]["arc_minutes"] >= 7
    assert all("m, not at 1.7 m" in warning for warning in told["warnings"])


@pytest.mark.parametrize("landscape", [False, True])
def test_every_song_is_as_high_as_the_others(landscape):
    """Their rules are at even distances within a set where nothing is too long for its line."""
    titles = ["Rope", "A Long Way Round the Harbor", "Kettle"] * 3
    gig = {
        f"charts__c{n}": f"title: {t} {n}\ntempo: {90 + n}\nfeel: swing\nform:\n  - A (8)\n"
        for n, t in enumerate(titles)
    }
    songs = "".join(f"      - {t} {n}\n" for n, t in enumerate(titles))
    with tempfile.TemporaryDirectory() as folder:
        book = write_book(
            Path(folder), setlists__all=f"gig: All\nsets:\n  - name: One\n    songs:\n{songs}", **gig
        )
        page = sheets(gig_named(book, "all"), Options(landscape=landscape))[0]
    tempos = sorted((item.x > page.width / 2, item.y) for item in page.words if item.kind == "tempo")
    steps = [round(two[1] - one[1], 1) for one, two in pairwise(tempos) if one[0] == two[0]]
    assert 1 == len(set(steps))
    titles = {
        round(item.size, 3)
        for item in page.words
        if item.kind == "title" and item.text[:4] in ("Rope", "Kett")
    }
    assert 1 == len(titles)


def test_more_songs_than_can_be_read_are_told(tmp_path):
    """Still one page, with a warning."""
    page, told = sheet_for(tmp_path, [f"A Song of the Sea {n}" for n in range(45)])
    assert told["scale"] < 1
    assert "not at 1.7 m" in told["warnings"][0]
    assert len([item for item in page.words if item.kind == "tempo"]) == 45


def test_a_segue_is_said_and_nothing_leaves_the_page(tmp_path):
    """At the song that leads on, with no rule before the next; the last song of a column may have one too."""
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
        page = sheets(gig_named(book, "all"), Options(landscape=landscape))[0]
        assert 14 == texts(page).count("segue ↓")
        assert 13 == texts(page, "count-in").count("no count")
        for item in page.items:
            left, top, right, bottom = item.area
            assert MARGIN - 4 < left
            assert MARGIN - 4 < top
            assert right < page.width - MARGIN + 4
            assert bottom < page.height - MARGIN + 4


def test_the_key_is_as_large_as_the_tempo(tmp_path):
    """The guitarist reads it from where the drummer reads the tempo."""
    for count in (2, 8, 15, 20):
        _, told = sheet_for(tmp_path / str(count), [f"Songs of the Sea {n}" for n in range(count)])
        assert told["sizes"]["tempo"]["points"] == told["sizes"]["key"]["points"]
        assert told["sizes"]["title"]["points"] >= 0.6 * told["sizes"]["tempo"]["points"]


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


def test_a_tempo_has_the_note_that_it_counts(tmp_path):
    """Before it, on its line."""
    page = night(tmp_path)
    notes, tempos = ([item for item in page.words if item.kind == kind] for kind in ("tempo note", "tempo"))
    assert ["♩.", "♩", "♩", "♩", "♩"] == [item.text for item in notes]
    assert ["50", "100", "112", "120", "112"] == [item.text for item in tempos]
    for note, tempo in zip(notes, tempos, strict=True):
        assert note.y == tempo.y
        assert 0 < tempo.x - note.x - note.width < tempo.size / 2


def test_feel_meter_and_count_in_are_words(tmp_path):
    """The meter only where it is not 4/4, and then as loud as what is not counted."""
    page = night(tmp_path)
    assert ["6/8 ballad", "shuffle", "train beat", "shuffle", "train beat"] == texts(page, "feel")
    assert ["6/8"] == texts(page, "meter")
    assert ["1 2", "1 2 3 4", "2 bars", "1 2 3 4", "no count"] == texts(page, "count-in")
    loud = [item.text for item in page.words if item.role == SIGN and item.kind in ("meter", "count-in")]
    assert ["6/8", "no count"] == loud


@pytest.mark.parametrize("plain", [False, True])
def test_what_the_set_list_changes_stands_on_a_ground_of_its_own(tmp_path, plain):
    """Key, tempo and count-in, light on dark, with what they replace; what is as in the chart does not."""
    page = night(tmp_path, plain=plain)
    grounds = [item.area for item in page.items if isinstance(item, Rect) and item.role == SIGN]
    changed = {item.text for item in page.words if item.role == ON_SIGN}
    assert {"A", "100", "2 bars"} == changed - {"1 min too long"}
    said = " ".join(texts(page, "notes"))
    for words in (
        "A tonight, else B♭",
        "100 tonight, else 120",
        "without Solo",
        "count-in 2 bars tonight, else 1 bar",
    ):
        assert words in said
    for words in (item for item in page.words if item.role == ON_SIGN):
        left, top, right, bottom = words.core
        assert any(g[0] <= left and g[1] <= top and g[2] >= right and g[3] >= bottom for g in grounds)
    assert [] == [*words_on_words(page), *words_on_ink(page)]


def test_a_change_to_what_the_chart_says_anyway_is_none(tmp_path):
    """The set list may repeat the chart's key and tempo."""
    page = night(tmp_path, NIGHT.replace("{tempo: 100, segue: yes}", "{tempo: 120, key: G}"))
    assert "120" not in {item.text for item in page.words if item.role == ON_SIGN}


def test_notes_and_lengths_without_a_chart_stand_at_their_song(tmp_path):
    """Below the title or after it, in words."""
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
    assert 2 == texts(page, "notes").count("segue ↓")
    (uncounted,) = (item for item in page.words if item.text == "no count")
    assert uncounted.y >= buses[1]  # the first one has a count of its own tonight


def test_hazards_are_short_lines_at_their_song(tmp_path):
    """What the running order prints at length; warnings as loud as a meter, notes soft."""
    page = night(tmp_path, NIGHT.replace("Bus: {count-in: 2 bars}", "Bus: {count-in: none}"))
    found = {item.text: item for item in page.words if item.kind == "notes"}
    assert SOFT == found["6/8 to 4/4"].role
    assert SIGN == found["100 to 112, no count"].role


def test_the_arc_of_a_short_night_is_at_the_foot_that_of_a_long_one_on_the_back(tmp_path):
    """Both with every start, tempo and number; the back leads to the front, and the front to the back."""
    (short,) = sheets(
        gig_named(
            write_book(tmp_path, setlists__night=NIGHT.split("      - break", maxsplit=1)[0], **CHARTS),
            "boat",
        ),
        Options(),
    )
    assert {"20:30", "50", "Kettle"} <= set(" ".join(texts(short, "arc")).split())
    front, back = sheets(gig_named(Book(ROOT), "quay"), Options())
    assert not texts(front, "arc")
    said = " ".join(texts(back, "arc"))
    for words in ("20:30", "after a break of 20 min", "curfew 23:00", "Raffle", "swung: long and short"):
        assert words in said
    assert [front.name] == [link.target for link in back.links]
    assert back.name in {link.target for link in front.links}


def test_tempo_is_steps_and_feels_are_patterns(tmp_path):
    """A ramp is one slanted line; straight is open, swung has upright lines, threes level ones."""
    (page,) = sheets(
        gig_named(
            write_book(tmp_path, setlists__night=NIGHT.split("      - break", maxsplit=1)[0], **CHARTS),
            "boat",
        ),
        Options(),
    )
    numbers = {item.text: item.x for item in page.words if item.kind == "arc"}
    thin = [item for item in page.items if isinstance(item, Line) and item.width == PATTERN_LINE]
    legend = min(item.y for item in page.words if item.text == "loudness")
    drawn = [item for item in thin if item.y1 < legend - 20]
    level = [item for item in drawn if item.y1 == item.y2]
    upright = [item for item in drawn if item.x1 == item.x2]
    kettle, bus, raffle = (numbers[number] for number in "234")
    assert level
    assert all(item.x2 < kettle for item in level)  # the 6/8 ballad
    assert upright
    assert all(kettle - 2 < item.x1 < bus for item in upright)  # the shuffle
    gaps = [round(two.x1 - one.x1, 2) for one, two in pairwise(upright)]
    assert gaps[0] > gaps[1] * 1.9  # long and short
    assert bus < raffle


def test_what_has_changed_is_listed_and_marked(tmp_path):
    """In words, at the foot or on the back, and at each song."""
    gig = gig_named(write_book(tmp_path, setlists__night=NIGHT, **CHARTS), "boat")
    news = [Difference(0, "", "curfew 23:00, was 22:00"), Difference(2, "Kettle", "tempo 100, was 96")]
    pages = sheets(gig, Options(), news)
    said = " ".join(text for page in pages for text in texts(page, "changes"))
    assert "the night curfew 23:00, was 22:00 2 Kettle tempo 100, was 96" == said
    (mark,) = (item for item in pages[0].words if item.text == "changed")
    kettle = next(item for item in pages[0].words if item.text == "Kettle")
    assert kettle.y <= mark.y < kettle.y + 2 * kettle.size
    assert "nothing has changed" in [t for page in sheets(gig, Options(), []) for t in texts(page, "changes")]


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
    st.lists(a_song, min_size=1, max_size=40),
    st.lists(st.integers(0, 40), max_size=3),
    st.booleans(),
    st.sampled_from(sorted(PAPERS)),
    st.booleans(),
)
def test_any_set_sheet_lies_whole_on_its_pages(songs, cuts, landscape, paper, compared):
    """Nothing overlaps and nothing leaves them, whatever titles, notes, changes, breaks and hazards there are."""
    charts, lines = {}, []
    for n, (title, meter, changes, note) in enumerate(songs):
        feel = "6/8 ballad" if meter == "6/8" else "shuffle" if n % 3 else "straight sixteenths"
        head = f"title: {title} {n}\nmeter: {meter}\ntempo: 66.5\nfeel: {feel}\nkey: F# minor\n"
        charts[f"charts__c{n:02}"] = (
            head + "form:\n  - A (8): {dynamics: p to ff}\n  - Solo (8): {tempo: 66.5 to 90}\n"
        )
        told = ", ".join(each + note if each == "notes: " else each for each in sorted(changes))
        lines.append(f"      - {title} {n}: {{{told}}}\n")
    edges = [0, *sorted(cuts), len(lines)]
    parts = ["".join(lines[one:two]) for one, two in pairwise(edges)]
    sets = "  - break: 20 min\n".join(
        f"  - name: A set\n    length: 20 min\n    songs:\n{part}" for part in parts if part
    )
    text = f"gig: Town hall\nstart: 20:30\nends: 21:00\nsets:\n{sets}"
    news = [Difference(n, "Tune", "key A, was B; " * n) for n in range(1, len(songs))] if compared else None
    with tempfile.TemporaryDirectory() as folder:
        gig = gig_named(write_book(Path(folder), setlists__all=text, **charts), "town")
        pages = sheets(gig, Options(paper, landscape), news)
    for page in pages:
        assert [] == [*words_on_words(page), *words_on_ink(page)]
        for item in page.items:
            left, top, right, bottom = item.area
            assert min(left, top, page.width - right, page.height - bottom) > MARGIN - 5
    printed = "".join(texts(pages[0])).replace(" ", "")
    assert all(title.replace(" ", "") in printed for title, *_ in songs)
