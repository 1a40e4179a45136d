"""The road map in the terminal, one section larger, and ``show --json``."""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys

import pytest
from shell import feelmap
from support import form, song, write_book

from charts.reading.settings import Settings
from charts.source import FeelmapError
from charts.verdict import TOLERANCE_MS
from render.cli.short_way import plainly
from render.show_answer import show_json
from render.terminal.ink import Ink, cells, escaped, folded_words, height, write
from render.terminal.roadmap import roadmap_lines
from render.terminal.section_view import section_lines
from setlists.demo import demo_files

HARBOUR = dict(demo_files())["charts/harbour-lights.yaml"].decode()  # test_demo has it to the letter


def drawn(found, width=80, ink=Ink()):  # noqa: B008  # it holds nothing
    return list(roadmap_lines(found, width, ink, TOLERANCE_MS))


def larger(found, name, width=80):
    return list(section_lines(found, name, width, Ink(), Settings()))


def test_the_whole_road_map_at_80_columns():
    """Head, a row a section as played with what is new in it, fills numbered, foot and signs."""
    assert (
        "\n".join(line.rstrip() for line in drawn(song(HARBOUR)))
        == """\
Harbour Lights                                            by The Quay Street Six
♩ = 92   half-time shuffle   4/4   key A   count-in 1 bar   pickup 1 beat
groove: ghosted half-time
note: watch the singer before the bridge

   1  Intro (4)          |....|....|....|....|   p
                         1: guitar alone
   5  Verse 1 (8)        |....|....|....|....|....|....|....|....|
                         1: hats closed; 5: open up
  13  Chorus (4+4) x2    |:....|....|....|....|  |....|....|....|1111:|   ♩ = 96
                         fill 1 sixteenths round the kit, last time
  29  Verse 2 (8)        |....|....|....|....|....|....|....|....|   ♩ = 92
                         1: bass drops out; 5: open up
  37  Chorus (4+4) x2    |:....|....|....|....|  |....|....|....|1111:|   ♩ = 96
                         fill 1 sixteenths round the kit, last time
  53  Bridge (7)         |..|..|>&|>2|.3|33|3|
                         meter 6/8   ♩. = 92   7 bars!   bar 7 in 3/8!
                         fill 2 short pickup; fill 3 big turn, sets up the next
  60  Solo (12) x2 open  |:....|....|....|....|....|....|....|....|
                         |....|....|....|....:|
                         open until the nod   meter 4/4   ♩ = 92
                         (dotted quarter = quarter)
  84  Chorus (4+4) x2    |:....|....|....|....|  |....|....|....|1111:|
                         ♩ = 96   ff
                         fill 1 sixteenths round the kit, last time
 100  Tag (2) x3         |:....|....:|   ♩ = 96 to 72

ends: cold on 1
105 bars, 4:21, counting Solo x2
fill 1 sixteenths round the kit clashes with half-time shuffle; feelmap check
  says what fits
> hit   & hit on the upbeat"""
    )


def test_equal_neighbours_are_folded():
    """The same section again, unchanged, is told once with how often; a changed one is not."""
    rows = [line.split() for line in drawn(form("A (4)", "A", "A", "A: {dynamics: f}")) if "A (4)" in line]
    assert rows[0] == ["1", "A", "(4)", "x3", "|:....|....|....|....:|"]
    assert rows[1][:4] == ["13", "A", "(4)", "|....|....|....|....|"]
    (row,) = [line.split() for line in drawn(form("A (4) x2", "A")) if "A (4)" in line]
    assert row[3] == "x4"
    for own in ("A (4) x2: {fill: big turn}", "A (4): {tempo: 90 to 99}"):  # one time is not like another
        assert len([line for line in drawn(form(own, "A")) if " A (4)" in line]) == 2


def test_hits_stops_and_holds_stand_in_their_beat():
    """A sign a beat: the hit's own letter, several together, a stop through its end, a hold on top."""
    line = "A (4): {hits: 1.1 1.2& 1.3e 1.3a 1.4+1/3 2.1, stops: 2.3-3.2, holds: 4.4}"
    found = drawn(form(line, head="meter: 4/4\n"))
    assert any("|>&*+|>.--|--..|...^|" in row for row in found)
    assert found[-2].startswith("> hit   & hit on the upbeat   + hit elsewhere")
    assert found[-1] == "- stop   ^ hold"


def test_a_fill_is_marked_where_it_is_played():
    """Laid back from its barline or its landing, over the bars before where it reaches."""
    assert any("|....|...1|" in row for row in drawn(form("A (2): {fill: four on the snare}")))
    assert any("|11..|....|" in row for row in drawn(form("A (2): {fills: {1.3: two-drum turn}}")))
    # where hits or stops stand in all of its beats, its bar is told
    hidden = drawn(form("A (2) x2: {hits: 2.1 2.2 2.3 2.4, fills: {2: {use: two-drum turn, pass: 1}}}"))
    assert any("|:....|>>>>:|" in row for row in hidden)
    assert any("fill 1 two-drum turn in bar 2, 1st time" == row.strip() for row in hidden)
    assert any(
        "fill 1 two-drum turn" == row.strip()
        for row in drawn(form("A (2): {hits: 2.4, fill: two-drum turn}"))
    )
    clash = drawn(form("A (2): {fills: {2: stairs in threes}}"), 100)
    assert "fill 1 stairs in threes is in threes over straight eighths; feelmap check says what fits" in clash
    kept = drawn(form("A (2): {fill: {use: stairs in threes, on-purpose: the band wants it}}"), 100)
    assert "fill 1 stairs in threes is in threes over straight eighths on purpose: the band wants it" in kept


def test_a_fill_in_the_feel_of_the_next_section_is_no_clash():
    """What sets up the next section is judged by it."""
    lines = ("A (4): {fill: {use: stairs in threes, sets-up: next}}", "B (4): {feel: shuffle}")
    assert not any("clashes" in row for row in drawn(form(*lines)))


def test_changes_are_told_once_and_changes_back_too():
    """Feel, meter, tempo and groove are told where they change, not where they stay."""
    found = drawn(
        form("A (4)", "B (4): {feel: shuffle, tempo: 120}", "C (4): {feel: shuffle, tempo: 120}", "D (4)")
    )
    rows = {line[6]: line for line in found if re.match(r" +\d+  [A-D] ", line)}
    assert "feel" not in rows["A"]
    assert rows["B"].endswith("feel: shuffle   ♩ = 120")
    assert rows["C"].endswith("|")
    assert rows["D"].endswith("feel: straight eighths   ♩ = 100")


@pytest.mark.parametrize("width", [40, 60, 80, 120])
def test_nothing_is_wider_than_the_terminal(width):
    """Every line fits, whatever the words and the meters."""
    awkward = song(f"""
        title: {"A very long title with many words in it " * 4}
        by: {"Somebody " * 15}
        tempo: 100
        feel: swing
        meter: 12/4
        notes: {"words " * 40}
        form:
          - {"A long name for a part of a song " * 3}(8): {{cue: {"say so " * 30}, hits: 1.1 2.12&}}
          - B (3+4+5) x4 open: {{until: {"someone nods " * 8}, dynamics: ppp to fff, tempo: 100 to 140}}
          - C (9): {{meter: 7/8 (2+2+3), feel: shuffle, odd-bars: {{2: 5/8 (3+2), 4: 2/4}}}}
    """)
    for text in (drawn(awkward, width), larger(awkward, "B", width), larger(awkward, "C", width)):
        assert max(map(cells, text)) <= width


def test_plain_output_has_no_escape_and_no_sign_that_cannot_be_printed():
    """Where nothing but Latin-1 can be printed the note sign becomes a word and no error comes."""
    stream = io.TextIOWrapper(io.BytesIO(), encoding="latin-1")
    write(drawn(song(HARBOUR.replace("Harbour", "Ž 七")), ink=Ink(signs=False)), stream)
    stream.flush()
    text = stream.buffer.getvalue().decode("latin-1")
    assert "quarter = 92" in text
    assert "dotted quarter = 92" in text
    assert text.startswith("Z \\u4e03 Lights")
    assert "\x1b" not in text
    assert "\x1b[1m" in escaped("".join(drawn(song(HARBOUR), ink=Ink(colour=True))))


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("height", "again"), [(24, True), (60, False), (None, False)])
def test_the_head_stands_at_the_end_too_where_it_has_scrolled_away(tmp_path, monkeypatch, height, again):
    """On a terminal that is lower than the road map; not where all of it is seen, not in a pipe."""
    from render import lookups

    book = write_book(tmp_path, charts__harbour=HARBOUR)
    monkeypatch.setattr("render.terminal.ink.height", lambda stream: height)
    lines = lookups.show("harbour", None, False, book.root, io.StringIO())
    head = "Harbour Lights: quarter = 92, half-time shuffle, 4/4, count-in 1 bar"
    assert (lines[-1] == head) is again
    assert lines[0].startswith("Harbour Lights")


def test_the_height_of_a_terminal_is_asked_for(monkeypatch):
    """Of the stream itself; a pipe has none."""
    stream = Terminal()
    monkeypatch.setattr(stream, "fileno", lambda: 1)
    monkeypatch.setattr("os.get_terminal_size", lambda number: os.terminal_size((80, 24)))
    assert height(stream) == 24
    assert height(io.StringIO()) is None


def test_a_section_is_enlarged_with_its_fill():
    """The bars in which something happens are counted; the fill has count, accents and sticking."""
    found = larger(song(HARBOUR), "bridge")
    text = "\n".join(found)
    assert "Bridge\n  7 bars, from bar 53, 0:08\n  ♩. = 92, half-time shuffle, 6/8\n" in text
    assert (
        "    count  1 . . . & . . . a . . . | 2 . . . & . . . a . . .\n"
        "    band   >                       |         >"
    ) in text
    start = next(place for place, line in enumerate(found) if line.startswith("  fill 2 short pickup"))
    assert found[start + 1 : start + 3] == [
        "    fits half-time shuffle",
        "    from bar 4, beat 2, ends with bar 4",
    ]
    assert [line.split()[0] for line in found[start + 4 : start + 8]] == ["the", "accent", "SD", "stick"]


def test_each_different_appearance_of_a_section_is_told_once():
    """Equal appearances share one drawing with the bars where they start; #2 picks one."""
    text = "\n".join(larger(song(HARBOUR), "Chorus"))
    assert text.count("Chorus x2\n") == 2
    assert "from bars 13, 37" in text
    assert text.endswith("Chorus x2\n  8 bars, from bar 84, 0:40\n  as above, ff")
    assert "from bar 37" in "\n".join(larger(song(HARBOUR), "chorus#2"))
    assert "as above" not in "\n".join(larger(song(HARBOUR), "chorus#3"))
    changed = larger(form("A (4): {cue: go}", "A: {hits: 1.1}", "A: {cue: none, dynamics: p}"), "A")
    assert changed[-1] == "  as from bar 1, p, no cues"
    assert sum("|....|....|....|" in line for line in changed) == 2  # another hit is another drawing
    assert "the groove counts   1 . . . trip  . let . ." in text


def test_stops_and_holds_stand_where_they_sound():
    """A stop over a barline on every beat that it covers, a hold at its place, in the bars and in the count."""
    found = [line.rstrip() for line in larger(form("A (4): {stops: 2.2-3.1 4.4, holds: 4.2}"), "A")]
    assert "  |....|.---|-...|.^.-|" in found
    assert [line for line in found if line.startswith("    band")] == [
        "    band               | -           | -           | -",
        "    band   -           |             |             |",
        "    band               | ^           |             | -",
    ]


def test_a_fill_that_nobody_has_is_told_below_the_road_map():
    """With its number, which the bars do not show."""
    assert "fill 1 nonesuch: no such pattern" in drawn(form("A (4): {fill: nonesuch}"))


@pytest.mark.parametrize(
    ("first", "second", "said"),
    [
        ("A (4): {groove: plain rock}", "A: {groove: whispering}", "groove: whispering"),
        ("A (4): {groove: plain rock}", "A: {groove: none}", "no groove"),
        ("A (4): {dynamics: p}", "A: {dynamics: none}", "no dynamics"),
        ("A (4): {dynamics: p}", "A: {dynamics: p to f}", "p to f"),
        ("A (4) x2 open: {until: the nod}", "A: {until: two looks}", "open until two looks"),
        ("A (4) x2 open: {until: the nod}", "A: {until: none}", "open"),
    ],
)
def test_what_is_played_otherwise_and_drawn_alike_is_said_in_a_line(first, second, said):
    """The drawing is not repeated."""
    found = larger(form(first, second), "A")
    assert f"  as above, {said}" == found[-1]
    assert sum("|....|....|....|" in line.replace(":", "") for line in found) == 1


def test_a_section_told_larger_says_all_of_its_tempi_and_of_its_fills():
    """A tempo from a bar on, for each pass or for the last; a fill kept on purpose, one that nobody has."""
    keys = "tempos: {2: 90 to 80, 3: {tempo: 95, pass: 1}}, fills: {1: nonesuch, 2: {use: big turn, on-purpose: loud}}"
    found = [line.strip() for line in larger(form(f"A (4) x2: {{{keys}}}"), "A")]
    for line in (
        "bar 2: tempo 90 to 80, last time",
        "bar 3: tempo 95, 1st time",
        "fill 1 nonesuch: no such pattern",
        "on purpose: loud",
    ):
        assert line in found


def test_the_road_map_says_tempi_at_bars_and_holds_that_last():
    """Below the bars, with the passes they are for."""
    keys = "tempos: {2: 90 to 80, 3: {tempo: 95, pass: 1}}, holds: {3.1: 2.5, 4.2: 0}, groove: plain rock"
    found = "\n".join(drawn(form(f"A (4) x2: {{{keys}}}"), 100))
    for words in (
        "tempo 90 to 80 from bar 2, last time",
        "tempo 95 from bar 3, 1st time",
        "hold 3 for 2.5 s",
    ):
        assert words in found


@pytest.mark.parametrize(
    ("name", "message", "hint"),
    [
        ("Chorsu", "has no section “Chorsu”", "did you mean Chorus?"),
        ("chorus 2", "has no section “chorus 2”", "did you mean Chorus#2?"),
        ("Chorus2", "has no section “Chorus2”", "did you mean Chorus#2?"),
        ("Chorus#9", "Chorus appears 3 times", "write Chorus#1 to Chorus#3"),
        ("", "has no section", "it has"),
    ],
)
def test_a_section_that_is_not_there_is_refused(name, message, hint):
    """The nearest name, the several that match, or the count of appearances is told."""
    with pytest.raises(FeelmapError) as refused:
        larger(song(HARBOUR), name)
    assert message in refused.value.message
    assert refused.value.hint.startswith(hint)


def test_a_part_of_several_names_means_the_first(tmp_path):
    """It is drawn, and the others are named on standard error, in JSON too; a whole name has no others."""
    write_book(tmp_path, charts__harbour=HARBOUR)
    found = feelmap("show", "harbour", "verse", cwd=tmp_path)
    assert found.err == "“verse” could also be Verse 2\n"
    assert found.out == feelmap("show", "harbour", "verse 1", cwd=tmp_path).out
    in_json = feelmap("show", "harbour", "verse", "--json", cwd=tmp_path)
    assert [row["section"] for row in json.loads(in_json.out)["form"]] == ["Verse 1"]
    assert in_json.err == found.err
    assert feelmap("show", "harbour", "chorus", cwd=tmp_path).err == ""
    assert feelmap("show", "harbour", "verse#1", cwd=tmp_path).err == found.err.replace("verse", "verse#1")


def test_a_title_without_its_quotes_is_recognised(tmp_path):
    """Where the second word is no section but both together are part of a title, the quotes are offered."""
    write_book(tmp_path, charts__harbour=HARBOUR)
    found = feelmap("show", "harbour", "lights", cwd=tmp_path)
    assert (found.status, found.err.splitlines()[-1]) == (2, '  did you mean show "harbour lights"?')
    assert "did you mean Chorus?" in feelmap("show", "harbour", "chorsu", cwd=tmp_path).err


def test_a_title_in_the_place_of_a_command_is_recognised(tmp_path):
    """In a book, what is part of a title is offered to show; elsewhere, or where it is none, it is not."""
    hint = "  did you mean feelmap show harbour?"
    assert feelmap("harbour", cwd=tmp_path).err.splitlines()[-1] == "  feelmap --help lists them"
    write_book(tmp_path, charts__harbour=HARBOUR)
    assert feelmap("harbour", cwd=tmp_path).err.splitlines() == [
        "feelmap: no command is called “harbour”", hint
    ]  # fmt: skip
    assert feelmap("Harbour Lights", cwd=tmp_path).err.splitlines()[-1].endswith('show "Harbour Lights"?')
    assert feelmap("harbou", cwd=tmp_path).err.splitlines()[-1] == "  feelmap --help lists them"
    assert feelmap("shwo", cwd=tmp_path).err.splitlines()[-1] == "  did you mean show?"
    assert feelmap("zzz", cwd=tmp_path).err.splitlines()[-1] == "  feelmap --help lists them"


KEYS = "title by key meter tempo feel count_in pickup ending bars seconds form"
ROW = "section times open bars meter tempo tempo_to equation feel first_bar seconds cues hits stops holds fills dynamics"


def test_json_has_every_key_and_the_sounding_places():
    """Design 4: all keys always, seconds to 0.001, a place where it sounds."""
    found = show_json(song(HARBOUR))
    assert " ".join(found) == KEYS
    assert all(" ".join(row) == ROW for row in found["form"])
    assert (found["bars"], found["pickup"], found["count_in"]) == (105, 1.0, "1 bar")
    assert found["seconds"] == pytest.approx(
        sum(row["seconds"] for row in found["form"]) + 60 / 92, abs=0.005
    )
    bridge = found["form"][5]
    assert (bridge["first_bar"], bridge["bars"], bridge["times"], bridge["seconds"]) == (53, 7, 1, 8.478)
    assert bridge["hits"][1] == {"bar": 3, "beat": 2, "at": "1/3", "seconds": 136.304}
    assert bridge["fills"][1]["name"] == "big turn"
    assert bridge["fills"][1]["sets_up_next"]
    assert (found["form"][8]["tempo"], found["form"][8]["tempo_to"]) == (96.0, 72.0)
    assert found["form"][0]["cues"][0]["text"] == "guitar alone"
    assert found["form"][0]["dynamics"] == "p"
    assert [row["section"] for row in show_json(song(HARBOUR), "chorus")["form"]] == ["Chorus"] * 3
    json.dumps(found, allow_nan=False)


def test_json_tells_swung_hits_and_spans_and_holds():
    """An upbeat swings with the feel and its tempo; a stop has its end, a hold how long it lasts."""
    head = "title: T\ntempo: 240\nfeel: swing\ncount-in: none\nform:\n"
    row = show_json(song(head + "  - A (4): {hits: 1.2&, stops: 2.1-2.3, holds: {3: 2}}\n"))["form"][0]
    assert row["hits"] == [{"bar": 1, "beat": 2, "at": "404/679", "seconds": 0.399}]
    assert row["stops"][0]["to"] == {"bar": 2, "beat": 3, "at": "0", "seconds": 1.5}
    assert row["holds"] == [{"bar": 3, "beat": 1, "at": "0", "seconds": 2.0, "lasts": 2.0}]
    assert row["seconds"] == 6.0


def test_the_command_answers_from_inside_the_book(tmp_path):
    """By part of the title; plain when piped; what is no match or bad usage is exit 2 with empty output."""
    write_book(tmp_path, charts__harbour=HARBOUR)
    shown = feelmap("show", "HARB", cwd=tmp_path)
    assert shown.out.splitlines()[0].startswith("Harbour Lights")
    assert "\x1b" not in shown.out
    for wrong in (
        ("show", "nothing"),
        ("show", "harbour", "nowhere"),
        ("show",),
        ("show", "harbour", "--jsn"),
    ):
        found = feelmap(*wrong, cwd=tmp_path)
        assert (found.status, found.out) == (2, ""), wrong
        assert found.err
        assert "Traceback" not in found.err


def test_the_short_way_in_answers_as_the_parser_does(tmp_path):
    """The quick answer to a plain look-up is what the full command line gives."""
    write_book(tmp_path, charts__harbour=HARBOUR)
    for more in ([], ["--json"], ["--json", "--book", str(tmp_path)]):
        quick = feelmap("show", "harbour", *more, cwd=tmp_path)
        usual = feelmap("show", *more, "--", "harbour", cwd=tmp_path)
        assert quick.status == usual.status == 0
        assert quick.out == usual.out
    found = feelmap("find", "harb", "--feel", "shuffle", "--tempo=80-100", cwd=tmp_path)
    assert (
        found.out == feelmap("find", "--feel", "shuffle", "--tempo", "80-100", "--", "harb", cwd=tmp_path).out
    )
    assert plainly(["--help"], ()) is None
    assert plainly(["a", "--feel=swing", "b"], ("--feel",)) == (["a", "b"], {"--feel": "swing"})
    assert plainly(["--feel", "x", "--feel", "y"], ("--feel",)) is None


def test_nothing_heavy_is_imported(tmp_path):
    """A look-up brings in neither the option parser nor anything of pages, scores and sound."""
    write_book(tmp_path, charts__harbour=HARBOUR)
    code = (
        "import sys; sys.argv = ['feelmap', 'show', 'harbour']\nfrom render.cli import main; main()\n"
        "sys.stderr.write(' '.join(set(sys.modules) & {'typer', 'rich', 'fpdf', 'music21', 'numpy', 'PIL'}))"
    )
    found = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONPATH": os.getcwd(), "PYTHONIOENCODING": "utf-8"},
    )  # fmt: skip
    assert found.stderr == ""


def test_folding_keeps_every_word():
    """Words are kept in order, only later lines are indented, and a word wider than a line is broken."""
    text = "one two three incomprehensibilities four"
    lines = folded_words(text, 12, "  ")
    assert "".join(line.strip() for line in lines).replace(" ", "") == text.replace(" ", "")
    assert max(map(len, lines)) <= 12
    assert not lines[0].startswith(" ")
    assert all(line.startswith("  ") for line in lines[1:])
