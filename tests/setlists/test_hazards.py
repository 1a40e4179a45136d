"""The rules between songs, each at its edges."""

from __future__ import annotations

from pathlib import Path

import pytest
from band import band, gig, told
from support import write_book

from charts.book import Book
from setlists.check.run import check_setlist


def tmp_book(tmp_path: Path) -> Book:
    """A book without a chart."""
    return write_book(tmp_path)


def song(name: str, tempo: float, feel: str = "shuffle", more: str = "") -> str:
    """A song without a chart."""
    return f"{name}: {{length: 3:00, tempo: {tempo}, feel: {feel}{more}}}"


@pytest.mark.parametrize(
    ("first", "second", "hits"),
    [(100, 100, True), (100, 105, True), (100, 95, True), (100, 105.1, False), (100, 94.9, False)],
)
def test_near_tempo_within_a_twentieth(tmp_path: Path, first: float, second: float, hits: bool) -> None:
    """Another feel within 5 % either way."""
    found = told(tmp_book(tmp_path), "near-tempo", song("A", first), song("B", second, "straight eighths"))
    assert hits == bool(found)


@pytest.mark.parametrize(
    ("key", "hint"), [("Hb", "write Bb"), ("Dminor", "write D minor"), ("capo 3", "write it like Bb")]
)
def test_a_key_of_the_night_is_one_that_a_musician_writes(tmp_path: Path, key: str, hint: str) -> None:
    """At its place in the set list, with a chart and without; the chart's own key is the chart's check."""
    book = band(tmp_path)
    for name in ("Tin Roof", "Raffle"):
        (found,) = told(book, "key", f"{name}: {{key: {key}, length: 3:00}}")
        assert (found.level, found.message) == ("note", f"“{key}” is not a key")
        assert found.hint.startswith(hint)
        assert found.span is not None
        assert found.span.source.lines[found.span.line - 1][found.span.column - 1 :].startswith(key)
    assert not told(book, "key", "Tin Roof: {key: F# minor}", "Long Meadow")


def test_near_tempo_needs_another_feel(tmp_path: Path) -> None:
    """Another spelling of the same feel is the same feel."""
    book = tmp_book(tmp_path)
    assert not told(book, "near-tempo", song("A", 100, "straight 8ths"), song("B", 100, "Straight Eighths"))
    (found,) = told(book, "near-tempo", song("A", 92), song("B", 94, "swing"))
    assert "nearly the same tempo as A (92, then 94), another feel: shuffle, then swing" == found.message
    assert ("warning", "B") == (found.level, found.where.song)


@pytest.mark.parametrize(
    ("feel", "first", "second", "ratio", "words"),
    [
        ("shuffle", 92, 138, "3:2", "their triplet eighth is your eighth"),
        ("straight eighths", 120, 240, "2:1", "their eighth is your quarter"),
        ("train beat", 120, 160, "4:3", "their sixteenth is your triplet eighth"),
        ("straight eighths", 120, 80, "2:3", "their eighth is your triplet eighth"),
        ("sixteenth shuffle", 120, 80, "2:3", "their eighth is your triplet eighth"),
        ("shuffle", 120, 60, "1:2", "their quarter is your eighth"),
        ("shuffle", 120, 90, "3:4", "their triplet eighth is your sixteenth"),
        ("shuffle", 100, 154.5, "3:2", "their triplet eighth is your eighth"),
        ("shuffle", 100, 145.5, "3:2", "their triplet eighth is your eighth"),
    ],
)
def test_count_off_says_which_note_is_which(
    tmp_path: Path, feel: str, first: float, second: float, ratio: str, words: str
) -> None:
    """Both ways round, within 3 %, after a segue."""
    (found,) = told(
        tmp_book(tmp_path), "count-off", song("A", first, feel, ", segue: yes"), song("B", second)
    )
    how = "count every second one of theirs" if ratio == "1:2" else "count from that, not from their beat"
    assert found.message.endswith(f" is {ratio}: {words}; {how}")
    assert "note" == found.level


@pytest.mark.parametrize("second", [100, 120, 140, 145.4, 154.6, 175, 206.1, 250])
def test_count_off_is_silent_elsewhere(tmp_path: Path, second: float) -> None:
    """Between the three relations there is nothing to pull."""
    segue = song("A", 100, more=", segue: yes")
    assert not told(tmp_book(tmp_path), "count-off", segue, song("B", second))


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (song("A", 92), 138),
        (song("A", 92, "straight eighths", ", segue: yes"), 138),
        (song("A", 92, "sixteenth shuffle", ", segue: yes"), 138),
        (song("A", 180, "swing", ", segue: yes"), 270),
        (song("A", 120, "shuffle", ", segue: yes"), 240),
        (song("A", 120, "straight eighths", ", segue: yes"), 160),
        ("A: {length: 3:00, tempo: 92, segue: yes}", 138),
    ],
)
def test_count_off_needs_a_segue_and_a_subdivision_that_sounds(
    tmp_path: Path, first: str, second: float
) -> None:
    """With a gap nothing is left in the ear; nobody counts from triplets that the last song never played."""
    assert not told(tmp_book(tmp_path), "count-off", first, song("B", second))


@pytest.mark.parametrize(
    ("last", "words"),
    [
        ("{tempo: 118}", "118 at the end"),
        ("{tempo: 118 to 80}", "118 before its ritard"),
        ("{tempo: 110, tempos: {2: 118, 4: 118 to 80}}", "118 before its ritard"),
        ("{tempo: 118 to 130}", "118 before its last change of tempo"),
        ("{tempo: 92 to 80}", "92"),
    ],
)
def test_count_off_says_where_the_tempo_is(tmp_path: Path, last: str, words: str) -> None:
    """A closing ritard is left out of the ear, so its tempo is not called the end."""
    form = f"form: [Verse (8), {{Tag (4): {last}}}]"
    book = write_book(tmp_path, charts__tin=f"title: Tin\ntempo: 92\nfeel: shuffle\n{form}\n")
    second = 177 if "118" in words else 138
    (found,) = told(book, "count-off", "Tin: {segue: yes}", song("B", second))
    assert f" after {words} is " in found.message


def test_count_off_names_the_notes_of_the_meter(tmp_path: Path) -> None:
    """A dotted quarter of 60 holds three eighths: at 90 they are triplets for nobody."""
    (found,) = told(band(tmp_path), "count-off", "cafe: {segue: yes}", song("B", 90))
    assert "their eighth is your eighth" in found.message


def test_swing_change_both_ways(tmp_path: Path) -> None:
    """Straight, swung, straight: two changes."""
    found = told(
        tmp_book(tmp_path),
        "swing-change",
        song("A", 100, "straight eighths"),
        song("B", 140, "swing"),
        song("C", 80, "train beat"),
    )
    assert [
        "straight to swung after A: straight eighths, then swing",
        "swung to straight after B: swing, then train beat",
    ] == [each.message for each in found]
    assert {"note"} == {each.level for each in found}


def test_swing_change_leaves_threes_alone(tmp_path: Path) -> None:
    """A shuffle after 12/8 stays in three; straight after 12/8 is no swing."""
    assert not told(band(tmp_path), "swing-change", "cafe", song("B", 120), "cafe", "Tin Roof")


def test_meter_change(tmp_path: Path) -> None:
    """Told with both meters; a song without a chart has none to compare."""
    (found,) = told(band(tmp_path), "meter-change", "Tin Roof", "Long Meadow", song("B", 90), "Tin Roof")
    assert ("from 4/4 to 3/4 after Tin Roof", "note") == (found.message, found.level)


def test_segue_into_another_tempo_needs_a_count(tmp_path: Path) -> None:
    """Short Cut has no count-in; what counts is the tempo that the song before has reached."""
    book = band(tmp_path)
    (found,) = told(book, "segue", "Tin Roof: {segue: yes}", "Short Cut")
    assert "Tin Roof segues into this from 120 to 100 with no count-in" == found.message
    assert "warning" == found.level
    (slow,) = told(book, "segue", "Short Cut: {segue: yes}", "Short Cut")
    assert "from 50 to 100" in slow.message


@pytest.mark.parametrize(
    "songs",
    [
        ("Tin Roof", "Short Cut"),
        ("Tin Roof: {segue: yes}", "Short Cut: {count-in: 2 beats}"),
        ("Tin Roof: {segue: yes, tempo: 100}", "Short Cut"),
        ("Tin Roof: {segue: yes, tempo: 102}", "Short Cut"),
        ("Tin Roof: {segue: yes}", "B: {length: 3:00, tempo: 80}"),
    ],
)
def test_segue_is_silent(tmp_path: Path, songs: tuple[str, str]) -> None:
    """With a gap, a count, the same tempo or nearly, or nothing known about the count."""
    assert not told(band(tmp_path), "segue", *songs)


@pytest.mark.parametrize(("changes", "count"), [("", "1 bar"), (", count-in: 3 beats", "3 beats")])
def test_segue_at_the_same_tempo_into_a_count(tmp_path: Path, changes: str, count: str) -> None:
    """Nobody can tell whether it is counted over the end; the note says what to write."""
    (found,) = told(band(tmp_path), "segue", "Short Cut: {segue: yes}", f"Tin Roof: {{tempo: 50{changes}}}")
    assert (
        f"segue, and Tin Roof is counted in for {count}: say count-in: none if nobody counts" == found.message
    )
    assert ("note", "Tin Roof") == (found.level, found.where.song)


def test_a_song_twice(tmp_path: Path) -> None:
    """By its chart or, without one, by its name; over the whole gig; a medley of others is left alone."""
    text = f"sets: [{{songs: [Tin Roof, {{{song('Up', 90)}}}]}}, {{songs: [tin roof, {{{song('up', 90)}}}, cafe]}}]"
    found = [each for each in gig(text, band(tmp_path)).findings if each.rule == "twice"]
    assert ["Tin Roof is number 1 of this gig already", "up is number 2 of this gig already"] == [
        each.message for each in found
    ]
    assert {"note"} == {each.level for each in found}


def test_feel_run_is_told_once_at_the_third(tmp_path: Path) -> None:
    """Four in a row are one run; a break ends it."""
    book = tmp_book(tmp_path)
    songs = [song(name, tempo) for name, tempo in zip("ABCD", (80, 100, 125, 160), strict=True)]
    (found,) = told(book, "feel-run", *songs)
    assert ("4 in a row of shuffle, with A, B, D", "C") == (found.message, found.where.song)
    text = (
        f"sets: [{{songs: [{{{songs[0]}}}, {{{songs[1]}}}]}}, {{break: 5 min}}, {{songs: [{{{songs[2]}}}]}}]"
    )
    assert not [each for each in gig(text, book).findings if each.rule == "feel-run"]


def test_a_set_runs_over_its_slot(tmp_path: Path) -> None:
    """By how much, and what would bring it in; at the slot's place, and with the song that runs past."""
    text = """
        gig: Hall
        sets:
          - name: One
            length: 6 min
            songs: [A: {length: 3:00}, B: {length: 2:30}, C: {length: 2:00}]
    """
    (found,) = [each for each in gig(text, band(tmp_path)).findings if each.rule == "overrun"]
    assert found.message == (
        "One runs 2 min 10 s over its 6 min; dropping C (2:00), B (2:30) or A (3:00) would bring it in"
    )
    assert found.span is not None
    assert ((4, 13), "C") == ((found.span.line, found.span.column), found.where.song)


def test_a_gig_runs_past_its_curfew(tmp_path: Path) -> None:
    """Songs of all sets count, and several are offered together."""
    text = """
        start: 23:50
        ends: 0:00
        sets:
          - songs: [A: {length: 5:00}, B: {length: 4:00}]
          - songs: [C: {length: 3:00}, D: {length: 6:00}]
    """
    (found,) = [each for each in gig(text, band(tmp_path)).findings if each.rule == "overrun"]
    assert "the gig runs 9 min past 00:00; dropping C (3:00) and D (6:00) would bring it in" == found.message


def test_a_set_that_waits_keeps_songs_before_it_out_of_the_count(tmp_path: Path) -> None:
    """Dropping a song before a fixed start ends nothing earlier."""
    text = """
        start: 20:00
        ends: 22:05
        sets:
          - songs: [A: {length: 9:00}]
          - {start: 22:00, songs: [B: {length: 4:00}, C: {length: 3:00}]}
    """
    (found,) = [each for each in gig(text, band(tmp_path)).findings if each.rule == "overrun"]
    assert "A (" not in found.message
    assert "dropping C (3:00) or B (4:00)" in found.message


def test_a_set_that_cannot_start_in_time(tmp_path: Path) -> None:
    """Told at its start, with what comes before."""
    text = """
        start: 20:00
        sets:
          - songs: [A: {length: 9:00}, B: {length: 2:00}]
          - break: 20 min
          - {name: Late, start: 20:30, songs: [C: {length: 4:00}]}
    """
    (found,) = [each for each in gig(text, band(tmp_path)).findings if each.rule == "overrun"]
    assert found.message == (
        "Late cannot start at 20:30: what comes before runs 1 min 20 s past it; "
        "dropping B (2:00) or A (9:00) would bring it in"
    )


def test_a_song_too_long_alone_is_told_without_an_offer(tmp_path: Path) -> None:
    """And how else it could be brought in."""
    text = "sets: [{length: 2 min, songs: [A: {length: 3:00}]}]"
    (found,) = gig(text, band(tmp_path)).findings
    assert "Set 1 runs 1 min over its 2 min" == found.message
    assert "skip" in found.hint


@pytest.mark.parametrize(
    ("line", "level", "message", "hint"),
    [
        ("Tin Rooof", "error", "no song is called “Tin Rooof”", "did you mean Tin Roof?"),
        ("Tin Roof (segue)", "error", "no song is called “Tin Roof (segue)”", "write Tin Roof: {segue: yes}"),
        (
            '"tin roof (capo 3, low)"',
            "error",
            "no song is called “tin roof (capo 3, low)”",
            'write tin roof: {notes: "capo 3, low"}',
        ),
        ("Meadow", "warning", "“Meadow” is only part of a title", "write Long Meadow"),
        (
            "Broken Bell",
            "error",
            "the chart of Broken Bell cannot be read",
            "feelmap check charts/broken_bell.yaml says why",
        ),
        (
            "Tin Roof: {skip: Brigde}",
            "error",
            "Tin Roof has no section “Brigde”",
            "it has Verse, Chorus",
        ),
        (
            "Tin Roof: {skip: yes}",
            "error",
            "Tin Roof has no section “yes”",
            "to leave the whole song out, put # before its line",
        ),
        ("Tin Roof: {skip: Chorsu}", "error", "Tin Roof has no section “Chorsu”", "did you mean Chorus?"),
        (
            "Tin Roof: {skip: Chorus#2}",
            "error",
            "Chorus appears once in Tin Roof, there is no #2",
            "write Chorus#1",
        ),
        ("Tin Roof: {skip: r}", "error", "“r” could be Verse, Chorus", "write more of the name"),
        (
            "Tin Roof: {skip: [Verse, Chorus]}",
            "error",
            "skip leaves nothing of Tin Roof",
            "leave the song out instead",
        ),
        (
            "Raffle: {length: 3:00, skip: Verse}",
            "error",
            "Raffle has no chart to skip a section of",
            "leave skip out",
        ),
    ],
)
def test_unknown(tmp_path: Path, line: str, level: str, message: str, hint: str) -> None:
    """Songs, charts and sections that are not there."""
    (found,) = told(band(tmp_path), "unknown", line)
    assert (level, message, hint) == (found.level, found.message, found.hint)


def test_a_title_with_a_comma_in_brackets_is_one_message(tmp_path: Path) -> None:
    """Brackets parted it in two songs that do not exist."""
    found = gig("sets: [{songs: [Café au Coin, dernière, Tin Roof]}]", band(tmp_path)).findings
    assert ['put the title in quotes: "Café au Coin, dernière"'] == [
        each.hint for each in found if each.rule == "unknown"
    ]


def test_tonight_tells_fills_that_the_nights_feel_breaks(tmp_path: Path) -> None:
    """Tin Roof's straight fill over a shuffle; its chart is clean, and so is tonight at another tempo."""
    book = band(tmp_path)
    (found,) = told(book, "tonight", "Tin Roof: {feel: shuffle}")
    assert "error" == found.level
    assert "in shuffle, 1 thing does not hold that the chart has right: in Chorus" == found.message
    assert found.lines[0][1].startswith("plain sixteenths: ")
    assert not told(book, "tonight", "Tin Roof: {tempo: 100}", "Tin Roof: {skip: Verse}", "Tin Roof")


def test_tonight_tells_the_first_six_and_counts_the_rest(tmp_path: Path) -> None:
    """A chart full of straight fills, played as a shuffle."""
    fills = "{fills: {1: plain sixteenths, 2: plain sixteenths, 3: plain sixteenths, 4: plain sixteenths}}"
    text = f"title: Full\ntempo: 100\nfeel: straight eighths\nform:\n  - A (4): {fills}\n  - B (4): {fills}\n"
    (found,) = told(write_book(tmp_path, charts__full=text), "tonight", "Full: {feel: shuffle}")
    assert "in shuffle, 8 things do not hold that the chart has right: in A, B" == found.message
    assert (7, ("", "and 2 more")) == (len(found.lines), found.lines[-1])


def test_check_reads_a_file_and_tells_all(tmp_path: Path) -> None:
    """Findings in order of lines, each with its set list."""
    book = band(tmp_path)
    path = tmp_path / "setlists" / "hall.yaml"
    path.parent.mkdir()
    path.write_text("gig: Hall\nsets:\n  - songs: [Tin Rooof, Tin Roof, Long Meadow]\n    length: 1 min\n")
    found = check_setlist(path, book)
    assert ["unknown", "meter-change", "overrun"] == [each.rule for each in found]
    assert {"Hall"} == {each.where.setlist for each in found}
    assert {"setlists/hall.yaml"} == {each.span.source.name for each in found if each.span}


def test_check_tells_a_file_that_is_not_there(tmp_path: Path) -> None:
    """As a finding, not a failure."""
    (found,) = check_setlist(tmp_path / "setlists" / "gone.yaml", band(tmp_path))
    assert ("file", "error") == (found.rule, found.level)


OVER_SLOT = "sets: [{{length: 3 min, songs: [A: {{length: 1:00}}, B: {{length: 2:00}}]}}]\nbetween: {} s\n"
OVER_CURFEW = "start: 20:00\nends: 20:03\nsets: [{{songs: [A: {{length: 1:00}}, B: {{length: 2:00}}]}}]\nbetween: {} s\n"
LATE = """
    start: 20:00
    between: {} s
    sets:
      - songs: [A: {{length: 1:00}}, B: {{length: 1:00}}]
      - break: 1 min
      - {{start: 20:03, songs: [C: {{length: 1:00}}]}}
"""


@pytest.mark.parametrize("text", [OVER_SLOT, OVER_CURFEW, LATE], ids=["slot", "curfew", "late"])
@pytest.mark.parametrize(("between", "hits"), [("0", False), ("0.499", False), ("0.5", True), ("1", True)])
def test_half_a_second_is_over(tmp_path: Path, text: str, between: str, hits: bool) -> None:
    """Less is rounding, on a slot, a set's own start and a curfew alike."""
    assert hits == ("overrun" in {each.rule for each in gig(text.format(between), band(tmp_path)).findings})


def test_the_song_that_is_cut_is_the_one_still_running(tmp_path: Path) -> None:
    """A song that ends on the limit is inside it."""
    text = "between: 0 s\nsets: [{length: 3 min, songs: [A: {length: 1:00}, B: {length: 2:00}, C: {length: 1:00}]}]"
    (found,) = gig(text, band(tmp_path)).findings
    assert "C" == found.where.song
    text = "start: 20:00\nends: 20:03\n" + text.replace("length: 3 min, ", "")
    (found,) = gig(text, band(tmp_path)).findings
    assert "C" == found.where.song


def test_a_set_over_its_slot_after_a_first_one_counts_from_its_own_start(tmp_path: Path) -> None:
    """The first song past it is looked for in this set, with the time before it counted."""
    text = """
        sets:
          - songs: [A: {length: 9:00}]
          - break: 10 min
          - {length: 3 min, songs: [B: {length: 2:00}, C: {length: 2:00}]}
    """
    (found,) = gig(text, band(tmp_path)).findings
    assert ("C", True) == (found.where.song, found.message.startswith("Set 2 runs 1 min 20 s over its 3 min"))


@pytest.mark.parametrize(
    ("song_name", "left"),
    [
        ("Tin Roof: {segue: yes, tempo: 97.5}", True),
        ("Tin Roof: {segue: yes, tempo: 97.6}", False),
        ("Tin Roof: {segue: yes, tempo: 102.5}", False),
        ("Tin Roof: {segue: yes, tempo: 102.6}", True),
    ],
)
def test_a_segue_hides_a_fortieth(tmp_path: Path, song_name: str, left: bool) -> None:
    """The new tempo over the old, 100 after it, within 2.5 % either way."""
    assert left == bool(told(band(tmp_path), "segue", song_name, "Short Cut"))


def test_two_of_one_feel_are_no_run(tmp_path: Path) -> None:
    """Three are; and songs whose feel nobody wrote are none."""
    book = tmp_book(tmp_path)
    songs = [song(name, tempo) for name, tempo in zip("ABC", (80, 100, 125), strict=True)]
    assert [0, 1] == [len(told(book, "feel-run", *songs[:count])) for count in (2, 3)]
    assert not told(book, "feel-run", *(f"{name}: {{length: 3:00}}" for name in "ABCD"))


def test_only_songs_since_the_last_start_kept_help(tmp_path: Path) -> None:
    """Two sets began at their own times: what was played before the second moves nothing after it."""
    text = """
        start: 20:00
        ends: 21:05
        sets:
          - songs: [A: {length: 3:00}]
          - {start: 20:30, songs: [B: {length: 3:00}]}
          - {start: 21:00, songs: [C: {length: 3:00}, D: {length: 4:00}]}
    """
    (found,) = gig(text, band(tmp_path)).findings
    assert found.message.endswith("dropping C (3:00) or D (4:00) would bring it in")


@pytest.mark.parametrize(
    ("songs", "hint"),
    [
        ("[A: {length: 4:00}, B: {length: 2:00}]", ""),
        ("[A: {length: 6:00}]", "shorten the break, or start the set later"),
    ],
)
def test_a_late_start_has_an_offer_or_a_hint(tmp_path: Path, songs: str, hint: str) -> None:
    """Where dropping helps it is in the message; else the hint says what does."""
    text = f"start: 20:00\nsets: [{{songs: {songs}}}, {{start: 20:05, songs: [C: {{length: 1:00}}]}}]"
    (found,) = gig(text, band(tmp_path)).findings
    assert (hint, not hint) == (found.hint, "dropping" in found.message)
