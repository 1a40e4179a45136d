"""The documents: read back with another program, the same bytes every time, linked, bookmarked, and the commands."""

from __future__ import annotations

import io
import json
import re

import pytest
from cli_run import feelmap
from pypdf import PdfReader
from support import form, song, write_book

from charts.book import Book
from render.page import signs
from render.page.canvas import FIXED_DATE, document_date, draw
from render.page.documents import road_map
from render.page.folder import ATTACHED, facts_in, folder_of
from render.page.model import Page, Pen
from render.page.sheet import Options
from render.page.theme import DARK, LIGHT
from setlists.book import gig_named
from setlists.demo import ROOT
from setlists.facts import facts_of, mark_of, read_facts

TIDE = """
    title: Slack Tide
    by: Us
    tempo: 92
    feel: half-time shuffle
    key: Bb
    ending: cold on 1
    form:
      - Intro (4): {cue: "guitar — alone", dynamics: p}
      - Verse (8): {fill: stairs in threes}
      - Chorus (7) x2: {hits: 3.1 3.2&}
"""
KETTLE = "title: Kettle\ntempo: 120\nfeel: swing\nform:\n  - Head (32)\n"
GIG = """
    gig: Boat shed
    date: 2026-06-20
    start: 15:00
    sets:
      - name: First
        songs:
          - Slack Tide: {segue: yes}
          - Raffle: {length: 3:00}
          - Kettle: {tempo: 100, notes: brushes}
      - break: 20 min
      - name: Second
        songs: [Slack Tide]
"""


@pytest.fixture
def book(tmp_path):
    return write_book(tmp_path, charts__tide=TIDE, charts__kettle=KETTLE, setlists__shed=GIG)


def read(printed):
    return PdfReader(io.BytesIO(printed.data if hasattr(printed, "data") else printed))


def text_of(page):
    return re.sub(r"\s+", " ", page.extract_text())


def test_a_page_reads_back():
    """Another program finds the words, one page a song, in order."""
    pdf = read(road_map([song(TIDE), song(KETTLE)], Options()))
    assert len(pdf.pages) == 2
    first = text_of(pdf.pages[0])
    for words in (
        "Slack Tide",
        "half-time shuffle",
        "guitar — alone",
        "Intro",
        "cold on 1",
        "stairs in threes",
    ):
        assert words in first
    assert "Kettle" in text_of(pdf.pages[1])


def varied(number):
    """One of dozens of charts: one section to twenty, long and short words, everything that hangs on a bar."""
    feel = ("straight eighths", "shuffle", "swing", "sixteenth shuffle")[number % 4]
    lines = "".join(
        f"  - Part {n} ({(4, 8, 7, 12, 16)[(n + number) % 5]}) x{1 + n % 3}: "
        f"{{cues: {{1: cue {n} {'on and on ' * (number % 4)}, 3: in}}, hits: 2.1 2.2&, dynamics: mf}}\n"
        for n in range(1 + number * 7 % 20)
    )
    title = f"Tune {number} {'long ' * (number % 9)}"
    return song(f"title: {title}\ntempo: {70 + number}\nfeel: {feel}\nform:\n{lines}")


@pytest.mark.parametrize("options", [Options(), Options("Letter", landscape=True, distance=1.5)])
def test_dozens_of_pages_read_back_whole(options):
    """Every section and cue is found on its page, every text begins inside the margins."""
    songs = [varied(number) for number in range(30)]
    pdf = read(road_map(songs, options))
    assert len(pdf.pages) == len(songs)
    for page, found in zip(pdf.pages, songs, strict=True):
        places = []

        def note(text, _cm, tm, *_, places=places):
            if text.strip():
                places.append((tm[4], tm[5]))

        printed = "".join(page.extract_text(visitor_text=note).split())
        for section in found.form:
            for words in (section.name, *(cue.text for cue in section.cues)):
                assert "".join(words.split()) in printed
        width, height = (float(edge) for edge in page.mediabox[2:])
        assert places
        assert all(20 < x < width - 20 and 20 < y < height - 20 for x, y in places)


@pytest.mark.parametrize(
    "options", [Options(), Options("Letter", landscape=True), Options(dark=True), Options(plain=True)]
)
def test_the_same_chart_gives_the_same_bytes(options):
    """In every theme and on every paper."""
    assert road_map([song(TIDE)], options).data == road_map([song(TIDE)], options).data


def test_the_date_is_fixed_or_the_environment_s(monkeypatch):
    """SOURCE_DATE_EPOCH, as reproducible builds have it; nonsense in it is passed over."""
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert FIXED_DATE == document_date()
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    assert document_date().year == 2023
    assert read(road_map([form("A (8)")], Options())).metadata.creation_date == document_date()
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "tomorrow")
    assert FIXED_DATE == document_date()


def test_title_and_language_are_set():
    """For readers and for lists of files."""
    pdf = read(road_map([song(TIDE)], Options()))
    assert "Slack Tide" == pdf.metadata.title
    assert "en" in pdf.root_object["/Lang"]


def test_fonts_are_embedded_and_subset():
    """Every font of every page; a subset's name begins with six capitals."""
    pdf = read(
        road_map([song(TIDE), song("title: Ж\ntempo: 90\nfeel: shuffle\nform:\n  - A (4)\n")], Options())
    )
    fonts = [font.get_object() for page in pdf.pages for font in page["/Resources"]["/Font"].values()]
    assert fonts
    for font in fonts:
        inner = font["/DescendantFonts"][0].get_object()
        assert "/FontFile2" in inner["/FontDescriptor"]
        assert re.match(r"/[A-Z]{6}\+", inner["/BaseFont"])


def test_a_missing_character_is_drawn_as_a_box():
    """More is drawn than without it, and the warning names the song."""
    plain, boxed = (road_map([form("A (8): {cue: " + cue + "}")], Options()) for cue in ("in", "in 🥁"))
    assert [] == plain.warnings
    assert [
        "Test: no font has U+1F941 drum with drumsticks (in the cue at A, bar 1); a box stands for it"
    ] == boxed.warnings


def test_braces_and_parentheses_in_a_title_are_only_letters():
    """Neither the page count nor an escape of the file format."""
    pdf = read(
        road_map([song("title: 'So {nb} (live\\)'\ntempo: 90\nfeel: shuffle\nform:\n  - A (4)\n")], Options())
    )
    assert "So {nb} (live\\)" in text_of(pdf.pages[0])


def test_dark_pages_are_filled_and_drawn_in_light():
    """White on black, for a screen on stage."""
    page = Page("p", "p", 100, 100)
    Pen(page, 1, 0, 0).words(10, 50, "in", 20)
    for theme, first in ((LIGHT, False), (DARK, True)):
        content = read(draw([page], theme, "t")).pages[0].get_contents().get_data().decode("latin-1")
        assert first == ("0 0 100.00 100.00 re f" in content)


def test_a_folder_holds_the_set_sheet_and_every_road_map_in_order(book):
    """A song without a chart is on the sheet only; one played twice has two pages."""
    pdf = read(folder_of(gig_named(book, "boat"), Options()))
    assert "Boat shed" == pdf.metadata.title
    assert ["Boat shed", "Slack Tide", "Kettle", "Slack Tide"] == [mark.title for mark in pdf.outline]
    assert [0, 1, 2, 3] == [pdf.get_destination_page_number(mark) for mark in pdf.outline]
    sheet = text_of(pdf.pages[0])
    for words in ("Boat shed", "First", "Raffle", "100", "break 20 min", "20 June 2026"):
        assert words in sheet


def test_a_folder_is_linked_both_ways(book):
    """From the sheet to each page, from each page back, and on to the next."""
    pdf = read(folder_of(gig_named(book, "boat"), Options()))
    numbers = {page.indirect_reference.idnum: place for place, page in enumerate(pdf.pages)}

    def leads(page):
        return [numbers[a.get_object()["/Dest"][0].idnum] for a in page.get("/Annots", [])]

    assert [1, 2, 3] == leads(pdf.pages[0])
    assert {0} == set(leads(pdf.pages[1]))  # next comes a song without a chart
    assert {0, 3} == set(leads(pdf.pages[2]))
    assert {0} == set(leads(pdf.pages[3]))


def test_a_page_in_a_folder_tells_what_follows(book):
    """The next song with its tempo of the night; straight into it where the set says so; tonight's notes."""
    printed = folder_of(gig_named(book, "boat"), Options())
    first, kettle, last = (text_of(page) for page in read(printed).pages[1:])
    assert "segue Raffle" in first
    assert "song 1 of 4" in first
    assert "next Slack Tide ♩ = 92" in kettle
    assert "count" in kettle
    assert "brushes" in kettle
    assert "= 100" in kettle
    assert "next" not in last
    assert ["Boat shed", "Slack Tide", "Kettle", "Slack Tide"] == [page["title"] for page in printed.pages]


@pytest.mark.parametrize(
    ("after", "said", "unsaid"),
    [
        ("Kettle", "segue from Slack Tide", "count"),
        ("Kettle: {count-in: 1 bar}", "count 1 2 3 4", "segue from"),
    ],
)
def test_a_song_entered_by_segue_says_what_it_comes_out_of(tmp_path, after, said, unsaid):
    """Nobody counts it in, unless the set list says how."""
    gig = (
        f"gig: Shed\nsets:\n  - name: One\n    songs:\n      - Slack Tide: {{segue: yes}}\n      - {after}\n"
    )
    book = write_book(tmp_path, charts__tide=TIDE, charts__kettle=KETTLE, setlists__shed=gig)
    kettle = text_of(read(folder_of(gig_named(book, "shed"), Options())).pages[2])
    assert said in kettle
    assert unsaid not in kettle


def test_a_folder_gives_the_same_bytes(book):
    """Twice from the same book."""
    gig = gig_named(book, "boat")
    assert folder_of(gig, Options()).data == folder_of(gig, Options()).data


def test_a_folder_carries_what_it_says_and_its_mark(book):
    """As a file inside it that any reader lists; the mark on the sheet is the one of those facts."""
    gig = gig_named(book, "boat")
    printed = folder_of(gig, Options())
    pdf = read(printed)
    assert [ATTACHED] == list(pdf.attachments)
    facts = read_facts(pdf.attachments[ATTACHED][0])
    assert facts_of(gig) == facts == facts_in(printed.data)
    assert f"mark {mark_of(facts)}" in text_of(pdf.pages[0])
    assert facts_in(road_map([song(TIDE)], Options()).data) is None
    for data in (
        b"",
        b"%PDF-1.4 /EmbeddedFile stream\nnothing\nendstream",
        printed.data[: len(printed.data) // 9],
    ):
        assert facts_in(data) is None


def test_what_has_changed_since_is_on_the_sheet_and_on_its_pages(tmp_path):
    """Planted changes: in words on the sheet, at the song, and on its own page; nothing on the others."""
    charts = {"charts__tide": TIDE, "charts__kettle": KETTLE}
    (tmp_path / "old").mkdir()
    (tmp_path / "new").mkdir()
    old = folder_of(gig_named(write_book(tmp_path / "old", **charts, setlists__shed=GIG), "boat"), Options())
    kettle = KETTLE.replace("(32)", "(24)")
    newer = {**charts, "charts__kettle": kettle, "setlists__shed": GIG.replace("tempo: 100", "tempo: 104")}
    gig = gig_named(write_book(tmp_path / "new", **newer), "boat")
    facts = facts_in(old.data)
    pdf = read(folder_of(gig, Options(), since=facts))
    whole = " ".join(map(text_of, pdf.pages))
    assert f"changes since {mark_of(facts)}" in whole
    assert "3 Kettle tempo 104, was 100; Head: bars 24, was 32" in whole
    pages = {mark.title: text_of(pdf.pages[pdf.get_destination_page_number(mark)]) for mark in pdf.outline}
    assert f"changed since {mark_of(facts)}: tempo 104, was 100, Head: bars 24, was 32" in pages["Kettle"]
    assert "changed" not in pages["Slack Tide"]
    assert folder_of(gig, Options(), since=facts).data == folder_of(gig, Options(), since=facts).data
    same = folder_of(gig, Options(), since=facts_of(gig))
    assert "nothing has changed" in " ".join(map(text_of, read(same).pages))


def test_since_takes_a_folder_a_set_list_or_an_older_book(book, tmp_path, monkeypatch):
    """All three compare alike; what is none of them is refused in words, and nothing is written."""
    old, out = tmp_path / "old.pdf", tmp_path / "out.pdf"
    assert 0 == run(book, "folder", "boat", "-o", str(old)).status
    for since in (str(old), "boat", str(book.root)):
        assert 0 == run(book, "folder", "boat", "-o", str(out), "--since", since).status
        assert "nothing has changed" in " ".join(map(text_of, PdfReader(out).pages))
        out.unlink()
    other = tmp_path / "other.pdf"
    assert 0 == run(book, "page", "tide", "-o", str(other)).status
    for since, words in (
        (str(other), "is not a gig folder"),
        (str(tmp_path / "none.pdf"), "cannot be read"),
        ("nobody", "no set list is called"),
    ):
        done = run(book, "folder", "boat", "-o", str(out), "--since", since)
        assert (2, "") == (done.status, done.out)
        assert words in done.err
        assert not out.exists()


def run(book, *arguments):
    return feelmap(*arguments, "--book", str(book.root))


def test_page_writes_what_it_is_told_to(book, tmp_path):
    """The file is named on standard error, nothing is on standard output."""
    out = tmp_path / "out.pdf"
    done = run(book, "page", "slack", "tide", "kettle", "-o", str(out))  # a title's two words: one page
    assert (0, "") == (done.status, done.out)
    assert f"wrote {out}" in done.err
    assert len(PdfReader(out).pages) == 2


def test_page_answers_as_json(book, tmp_path):
    """Under one key, a row a song."""
    done = run(
        book, "page", "tide", "-o", str(tmp_path / "out.pdf"), "--json", "--landscape", "--paper", "letter"
    )
    (row,) = json.loads(done.out)["page"]
    assert ("Slack Tide", "charts/tide.yaml", "Letter", True) == (
        row["title"], row["file"], row["paper"], row["landscape"],
    )  # fmt: skip
    assert row["sizes"]["section"]["reads_at_m"] >= 1


def test_without_a_name_nothing_of_anyone_elses_is_overwritten(book, tmp_path, monkeypatch):
    """The name comes from the title; a file that is there is refused."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "slack-tide.pdf").write_bytes(b"mine")
    again = run(book, "page", "tide")
    assert 2 == again.status
    assert "already there" in again.err
    assert b"mine" == (tmp_path / "slack-tide.pdf").read_bytes()


@pytest.mark.parametrize(
    ("command", "name"),
    [
        (["page", "tide"], "slack-tide.pdf"),
        (["page", "tide", "kettle"], "road-maps.pdf"),
        (["folder", "shed"], "boat-shed.pdf"),
        (["export", "tide"], "slack-tide.musicxml"),
    ],
)
def test_a_second_time_overwrites_the_own_file(book, tmp_path, monkeypatch, command, name):
    """What Feelmap wrote for the same song, songs or gig is renewed after the chart has changed."""
    monkeypatch.chdir(tmp_path)
    assert 0 == run(book, *command).status
    old = (tmp_path / name).read_bytes()
    chart = book.root / "charts" / "tide.yaml"
    chart.write_text(chart.read_text().replace("tempo: 92", "tempo: 104"))
    assert 0 == run(book, *command).status
    assert old != (tmp_path / name).read_bytes()
    assert 0 == run(book, *command, "-o", f"again-{name}").status
    assert (tmp_path / f"again-{name}").read_bytes() == (tmp_path / name).read_bytes()


@pytest.mark.parametrize(
    ("command", "other", "name"),
    [
        (["page", "tide"], ["page", "kettle"], "slack-tide.pdf"),
        (["page", "tide"], ["folder", "shed"], "slack-tide.pdf"),
        (["page", "tide", "kettle"], ["page", "kettle"], "road-maps.pdf"),
        (["export", "tide"], ["export", "kettle"], "slack-tide.musicxml"),
    ],
)
def test_a_file_for_another_song_is_kept(book, tmp_path, monkeypatch, command, other, name):
    """Feelmap's own file under that name is refused as well where it is for something else."""
    monkeypatch.chdir(tmp_path)
    assert 0 == run(book, *other, "-o", name).status
    old = (tmp_path / name).read_bytes()
    done = run(book, *command)
    assert 2 == done.status
    assert "already there" in done.err
    assert old == (tmp_path / name).read_bytes()


def test_road_maps_of_other_songs_are_kept(book, tmp_path, monkeypatch):
    """They have the same name, and are another file."""
    monkeypatch.chdir(tmp_path)
    (book.root / "charts" / "pot.yaml").write_text(KETTLE.replace("Kettle", "Pot"))
    assert 0 == run(book, "page", "tide", "kettle").status
    assert 2 == run(book, "page", "tide", "pot").status


def test_a_page_with_notes_of_another_program_is_kept(book, tmp_path, monkeypatch):
    """A viewer adds its notes after the end, with an end of its own."""
    monkeypatch.chdir(tmp_path)
    assert 0 == run(book, "page", "tide").status
    page = tmp_path / "slack-tide.pdf"
    page.write_bytes(page.read_bytes() + b"\n38 0 obj\n<<>>\nendobj\nstartxref\n9\n%%EOF\n")
    assert 2 == run(book, "page", "tide").status


def test_a_link_to_an_own_file_is_kept(book, tmp_path, monkeypatch):
    """What is written without a name does not go through a link."""
    monkeypatch.chdir(tmp_path)
    assert 0 == run(book, "page", "tide", "-o", "kept.pdf").status
    (tmp_path / "slack-tide.pdf").symlink_to("kept.pdf")
    assert 2 == run(book, "page", "tide").status


def test_folder_is_a_command(book, tmp_path):
    """The whole gig in one file."""
    out = tmp_path / "gig.pdf"
    assert 0 == run(book, "folder", "boat", "-o", str(out), "--dark", "--plain").status
    assert len(PdfReader(out).pages) == 4


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["page", "nothing"], "no chart is called"),
        (["page", "tide", "--paper", "A3"], "write A4 or Letter"),
        (["folder", "nothing"], "no set list is called"),
    ],
)
def test_what_cannot_be_done_is_said(book, tmp_path, monkeypatch, arguments, words):
    """Status 2, and nothing written."""
    monkeypatch.chdir(tmp_path)
    done = run(book, *arguments)
    assert (2, "") == (done.status, done.out)
    assert words in done.err
    assert [] == list(tmp_path.glob("*.pdf"))


def test_how_far_a_folder_is_can_be_watched() -> None:
    """Each song goes by once, in its order."""
    evening = gig_named(Book(ROOT), "quay")
    seen = []
    folder_of(evening, Options(), lambda pairs: (seen.append(song) or (song, after) for song, after in pairs))
    assert list(evening.songs) == seen


def test_drawings_copy_as_nothing():
    """All that is drawn, signs of the music font too, comes before the words and is marked as without text."""
    page = Page("p", "p", 100, 100)
    pen = Pen(page, 1.0, 10, 50)
    pen.words(0, 0, "B♭", 10)
    pen.sign(0, 0, signs.CLEF, 4)
    content = PdfReader(io.BytesIO(draw([page], LIGHT, "t"))).pages[0].get_contents().get_data()
    _, _, marked = content.partition(b"/Span <</ActualText <FEFF>>> BDC")
    drawn, _, words = marked.partition(b"EMC")
    assert (1, 2) == (drawn.count(b" Tj"), words.count(b" Tj"))  # the clef; the letter and its flat


@pytest.mark.parametrize("name", ["shed", "Boat shed", "setlists/shed.yaml"])
def test_page_prints_the_folder_of_a_set_list(book, tmp_path, name):
    """By part of its name, its name or its file: the same file as ``folder`` writes."""
    one, other = tmp_path / "one.pdf", tmp_path / "other.pdf"
    paged = run(book, "page", name, "-o", str(one), "--json")
    foldered = run(book, "folder", "shed", "-o", str(other), "--json")
    assert (0, foldered.out) == (paged.status, paged.out)
    assert other.read_bytes() == one.read_bytes()


@pytest.mark.parametrize("name", ["tide", "Slack Tide", "charts/tide.yaml"])
def test_folder_prints_the_page_of_a_chart(book, tmp_path, name):
    """By part of its title, its title or its file: the same file as ``page`` writes."""
    one, other = tmp_path / "one.pdf", tmp_path / "other.pdf"
    assert 0 == run(book, "folder", name, "-o", str(one)).status
    assert 0 == run(book, "page", "tide", "-o", str(other)).status
    assert other.read_bytes() == one.read_bytes()


def test_a_set_list_among_charts_is_refused(book, tmp_path):
    """One PDF holds a gig or road maps; the error has the command for the gig."""
    done = run(book, "page", "tide", "shed", "-o", str(tmp_path / "out.pdf"))
    assert 2 == done.status
    assert "setlists/shed.yaml is a set list" in done.err
    assert "feelmap folder setlists/shed.yaml" in done.err
    assert not (tmp_path / "out.pdf").exists()


def test_since_needs_a_set_list(book, tmp_path):
    """A road map has no older folder to be compared with."""
    done = run(book, "folder", "tide", "--since", "shed", "-o", str(tmp_path / "out.pdf"))
    assert 2 == done.status
    assert "charts/tide.yaml is a chart" in done.err
    assert not (tmp_path / "out.pdf").exists()


def test_neither_a_chart_nor_a_set_list(book):
    """The error is that of what the command is for."""
    assert "no chart is called “nonesuch”" in run(book, "page", "nonesuch").err
    assert "no set list is called “nonesuch”" in run(book, "folder", "nonesuch").err
