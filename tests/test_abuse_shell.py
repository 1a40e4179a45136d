"""What a shell can do to a command: wrong words, closed streams, odd surroundings."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from cli_run import demo_book, feelmap, is_in_our_voice, tree, wrong

from render.cli.app import COMMANDS

MAIN = [sys.executable, "-c", "from render.cli import main; main()"]
DEMO = str(Path(__file__).parent.parent / "setlists" / "demo")

# command -> what is wrong with its words -> what the message says
WRONG = {
    "demo": {"demo a b": "unexpected extra argument(s) (b)", "demo --nosuch": "no such option: --nosuch"},
    "start": {
        "start": "missing argument 'DIR",
        "start a b": "unexpected extra argument(s) (b)",
        "start .": "is a book already",
    },
    "new": {
        "new": "missing argument 'TITLE",
        "new Tar": "missing option '--feel'",
        "new Tar --feel swing": "missing option '--tempo'",
        "new Tar --feel swing --tempo 90": "missing option '--form'",
        "new Tar --feel swong --tempo 90 --form A(4)": "no feel is called “swong”",
        "new Tar --feel swing --tempo fast --form A(4)": "“fast” is not a tempo",
        "new Tar --feel swing --tempo 900 --form A(4)": "900",
        "new Tar --feel swing --tempo 90 --form A": "A",
        "new Tar --feel swing --tempo 90 --form A(4 --meter 4/5": "4/5",
        "new Harbour_Lights --feel swing --tempo 90 --form A(4)": "is already there",
    },
    "check": {
        "check nosuch": "no chart or set list is called “nosuch”",
        "check --explain nosuch": "no rule is called “nosuch”",
        "check --explain": "'--explain' requires an argument",
    },
    "why": {
        "why": "missing argument 'RULE",
        "why nosuch": "no rule is called “nosuch”",
        "why grid more": "unexpected extra argument(s) (more)",
    },
    "show": {
        "show": "missing argument 'NAME",
        "show a b c": "unexpected extra argument(s) (c)",
        "show nosuch": "no chart is called “nosuch”",
        "show quay chorus": "Quay Street Social Club is a set list: feelmap gig quay",
        "show chorus harbour": "the song comes first, then its section",
        "show harbour nosuch": "has no section “nosuch”",
        "show harbour chorus#9": "9",
        "show harbour --jsn": "no such option: --jsn",
        "show harbour --json=yes": "'--json' does not take a value",
        "show harbour --book": "'--book' requires an argument",
        "show harbour --book /nosuch": "no folder is called /nosuch",
        "show o": "could be several charts",
    },
    "find": {
        "find --feel nosuch": "no feel is called “nosuch”",
        "find --tempo fast": "fast",
        "find --tempo 110-90": "110",
        "find --key": "'--key' requires an argument",
    },
    "pencil": {
        "pencil": "missing argument 'NAME",
        "pencil harbour tempo 92": "unexpected extra argument(s) (92)",
        "pencil harbour chorus -cue hats": "no such option: -c",
        "pencil harbour": "name what to write",
        "pencil harbour --tempo 90 --feel swing": "name one thing to write, not 2",
        "pencil harbour --tempo fast": "fast",
        "pencil harbour --feel nosuch": "no feel is called “nosuch”",
        "pencil harbour nosuch --cue x": "nosuch",
        "pencil chorus harbour --cue x": "the song comes first, then its section",
        "pencil harbour chorus --cue x --bar 99": "99",
        "pencil harbour chorus --cue x --bar x": "invalid value for '--bar'",
        "pencil harbour chorus --fill nosuch": "nosuch",
        "pencil harbour chorus --bars 0": "0",
        "pencil harbour chorus --dynamics loud": "loud",
    },
    "feels": {"feels nosuch": "no feel is called “nosuch”", "feels a b": "unexpected extra argument(s) (b)"},
    "fills": {
        "fills nosuch": "no pattern is called “nosuch”",
        "fills --feel nosuch": "no feel is called “nosuch”",
        "fills --beats x": "invalid value for '--beats'",
        "fills --beats 0": "invalid value for '--beats': 0 is not in the range",
        "fills --voices SD,XX": "“XX” is not a voice",
        "fills --size huge": "“huge” is not a size",
        "fills --kind song": "“song” is not a kind of pattern",
        "fills --tempo 19": "19",
        "fills --tempo fast": "write beats per minute, 20 to 400: 92, or 66.5",
        "fills --tempo 92bpm": "write 92",
    },
    "fit": {
        "fit": "missing argument 'PATTERN",
        "fit big-turn": "missing option '--feel'",
        "fit big-turn --feel swing": "missing option '--tempo'",
        "fit nosuch --feel swing --tempo 90": "no pattern is called “nosuch”",
        "fit big-turn --feel nosuch --tempo 90": "no feel is called “nosuch”",
        "fit big-turn --feel swing --tempo 401": "401",
        "fit - --feel swing --tempo 90": "standard input",
    },
    "suggest": {
        "suggest harbour": "missing argument 'SECTION'",
        "suggest chorus harbour": "the song comes first, then its section",
        "suggest harbour nosuch": "has no section “nosuch”",
        "suggest harbour chorus --bar 99": "write --bar 1 to 8",
        "suggest harbour chorus --count 0": "invalid value for '--count': 0 is not in the range",
    },
    "regrid": {
        "regrid big-turn": "missing option '--feel'",
        "regrid big-turn --feel swing --grid coarse": "“coarse” is not a grid",
        "regrid big-turn --feel swing --tempo 0": "0",
    },
    "vary": {
        "vary": "missing argument 'PATTERN",
        "vary big-turn --count 101": "invalid value for '--count': 101 is not in the range",
    },
    "page": {
        "page": "missing argument 'NAME",
        "page nosuch": "no chart is called “nosuch”",
        "page harbour --paper A3": "A3",
        "page harbour -o": "'-o' requires an argument",
        "page harbour -o out.png": "out.png is not a PDF by its ending",
        "page harbour -o /nosuch/out.pdf": "no folder is called /nosuch",
    },
    "folder": {
        "folder": "missing argument 'SETLIST",
        "folder nosuch": "no set list is called “nosuch”",
        "folder quay -o out": "name it out.pdf",
        "folder quay friday.pdf": "like this: feelmap folder quay -o friday.pdf",
    },
    "gig": {"gig": "missing argument 'SETLIST", "gig nosuch": "no set list is called “nosuch”"},
    "count": {
        "count": "missing argument 'NAME",
        "count harbour --bars -1": "invalid value for '--bars': -1 is not in the range",
    },
    "tap": {"tap": "needs a terminal", "tap x": "unexpected extra argument(s) (x)"},
    "click": {
        "click": "missing argument 'NAME",
        "click harbour -o out.mp3": "out.mp3 is not a WAV or MIDI file by its ending",
        "click harbour --level loud": "invalid value for '--level'",
        "click harbour --level 6": "6",
        "click harbour --level nan": "nan is not a level",
        "click harbour --warn some": "“some” is not a number of bars",
    },
    "practice": {
        "practice": "missing argument 'PATTERN or NAME'",
        "practice nosuch": "nosuch",
        "practice harbour": "which section",
        "practice chorus harbour": "the song comes first, then its section",
        "practice big-turn shuffle": 'write --feel "shuffle"',
        "practice big-turn chorus": "leave “chorus” out",
        "practice big-turn --tempo fast": "“fast” is not a tempo",
        "practice big-turn --times 65": "invalid value for '--times': 65 is not in the range",
        "practice harbour chorus --feel swing": "a section has its feel in the chart",
    },
    "export": {
        "export": "missing argument 'NAME",
        "export harbour -o out.doc": "name it out.musicxml or out.mxl",
        "export harbour -o out.mid": "feelmap click writes",
        "export harbour out.musicxml": "like this: feelmap export harbour -o harbour.musicxml",
    },
    "import": {"import": "missing argument 'SCORE", "import /nosuch.mid": "no file is called /nosuch.mid"},
    "schema": {"schema nosuch": "“nosuch”", "schema chart more": "unexpected extra argument(s) (more)"},
    "": {
        "nosuch": "no command is called “nosuch”",
        "help": "feelmap COMMAND --help",
        "chek": "no command is called “chek”",
        "--nosuch": "no such option: --nosuch",
        "--book . show harbour": "options come after the command",
    },
}


def test_every_command_is_asked_wrongly() -> None:
    """A command that is added is added here."""
    assert {*COMMANDS, ""} == set(WRONG)


@pytest.mark.parametrize("command", WRONG)
def test_wrong_words_are_told(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Status 2, nothing on standard output, nothing written; what is wrong, and what to write instead."""
    monkeypatch.chdir(demo_book(tmp_path))
    before = tree(tmp_path)
    for line, words in WRONG[command].items():
        done = feelmap(*(word.replace("_", " ") for word in line.split()))
        assert (2, "") == (done.status, done.out), line
        assert is_in_our_voice(done.err), (line, done.err)
        assert words in done.err, line
        assert before == tree(tmp_path), line


def test_a_misspelt_word_gets_the_nearest() -> None:
    """Commands, options, names."""
    for line, like in {
        "chek": "did you mean check?",
        "show harbour --jsn": "did you mean --json?",
        "fit big-turn --feel swing --temp 92": "did you mean --tempo?",
        "fills --beats 99": "1<=x<=64",
        "count harbour --bars 999999": "0<=x<=10000",
        "show nigt-ferry": "did you mean Night Ferry?",
        "feels shufle": "did you mean shuffle?",
        "check --explain gird": "did you mean grid?",
    }.items():
        words = line.split()
        done = feelmap(*words, *(["--book", DEMO] if words[0] in ("show", "gig") else []))
        assert like in done.err, (line, done.err)


@pytest.mark.parametrize(
    ("called", "here"),
    [
        ("take-in", "import"),
        ("set", "gig"),
        ("open", "show"),
        ("map", "show or page"),
        ("convert", "regrid"),
        ("chart", "show or new"),
        ("drill", "practice"),
        ("quantize", "regrid"),
        ("Setlist", "gig"),
    ],
)
def test_what_people_call_a_command_leads_to_it(called: str, here: str) -> None:
    """Before any guess by spelling."""
    assert f"did you mean {here}?" in feelmap(called).err


def test_nothing_at_all_gets_the_help() -> None:
    """On standard error: no data was asked for."""
    done = feelmap()
    assert (2, "") == (done.status, done.out)
    assert "Look up:" in done.err


# streams


def shell(line: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """A line of shell in which feelmap is this very program."""
    clean = {key: value for key, value in os.environ.items() if key not in ("TERM", "HOME", "COLUMNS")}
    script = f"set -o pipefail; feelmap() {{ {sys.executable} -c 'from render.cli import main; main()' \"$@\"; }}; {line}"
    return subprocess.run(
        ["bash", "-c", script],
        capture_output=True,
        timeout=60,
        env={**clean, "FEELMAP_BOOK": DEMO, **environment},
    )


@pytest.mark.parametrize(
    ("line", "status"),
    [
        ("feelmap fills --json | head -1", (0, 141)),  # which of the two is quicker is left open
        ("feelmap show harbour --json | head -1", (0, 141)),
        ("feelmap check --json | true", (0, 1, 141)),
        ("feelmap fills >&-", (0,)),
        ("feelmap show harbour >&- 2>&-", (0,)),
        ("feelmap show nosuch 2>&-", (2,)),
        ("feelmap fit - --feel swing --tempo 90 <&-", (2,)),
        ("yes | feelmap fit - --feel swing --tempo 90", (2, 141)),
        ("printf 'SD o\\xff' | feelmap fit - --feel swing --tempo 90", (2,)),
        ("feelmap show harbour > /dev/full", (2,)),
        ("feelmap fills --json > /dev/full", (2,)),
        ("feelmap --help > /dev/full", (2,)),
        ("feelmap show nosuch 2> /dev/full", (2,)),
        ("cd $(mktemp -d) && rmdir $PWD && FEELMAP_BOOK= feelmap check", (2,)),
        ("cd $(mktemp -d) && rmdir $PWD && feelmap show harbour", (0,)),
        ("cd $(mktemp -d) && rmdir $PWD && feelmap export harbour", (2,)),
    ],
)
def test_streams_that_are_closed_or_full(line: str, status: tuple[int, ...]) -> None:
    """No traceback and no grumbling of the interpreter at its end."""
    done = shell(line)
    assert done.returncode in status, done
    for word in (b"Traceback", b"Exception ignored", b"Error"):
        assert word not in done.stderr, done.stderr


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252", "utf-16"])
def test_any_encoding(encoding: str) -> None:
    """What an encoding lacks becomes a plain sign."""
    for line in (
        "show porch",
        "show porch chorus",
        "gig quay",
        "show “nosuch”",
        "count porch",
        "feels shuffle",
    ):
        done = feelmap(*line.split(), "--book", DEMO, encoding=encoding)
        assert wrong(done, line.split()) is None, (line, done)
    assert "Paint on the Porch" in feelmap("show", "porch", "--book", DEMO, encoding=encoding).out


def test_an_encoding_from_the_surroundings() -> None:
    """As a user sets it."""
    done = shell("feelmap schema chart && feelmap show porch && feelmap --help", PYTHONIOENCODING="ascii")
    assert (0, True) == (done.returncode, done.stdout.isascii()), done.stderr
    assert b"quarter = " in done.stdout


def test_accents_are_spelled_where_they_cannot_be_printed(tmp_path: Path) -> None:
    """In charts, findings and messages, on both streams; what has no spelling is an escape, not a riddle."""
    (tmp_path / "charts").mkdir()
    song = "title: Café Żółw 鼓\ntempo: 100\nfeel: shuffle\nform:\n  - Refrén (8): {fill: ñandú}\n"
    (tmp_path / "charts" / "cafe.yaml").write_text(song, encoding="utf-8")
    shown = feelmap("show", "cafe", "--book", str(tmp_path), encoding="ascii")
    assert shown.out.startswith("Cafe Zolw \\u9f13\n")
    checked = feelmap("check", "cafe", "--book", str(tmp_path), encoding="ascii")
    assert 'no fill is called "nandu"' in checked.out
    refused = feelmap("show", "Żó", "refrénx", "--book", str(tmp_path), encoding="ascii")
    assert 'Cafe Zolw \\u9f13 has no section "refrenx"' in refused.err
    assert "?" not in shown.out + checked.out + refused.err.replace("did you mean Refren?", "")


def test_the_demo_in_a_folder_with_an_accent(tmp_path: Path) -> None:
    """It is named, as far as can be."""
    done = shell(f"cd {tmp_path} && feelmap demo Café", PYTHONIOENCODING="ascii")
    assert done.returncode == 0, done.stderr
    assert b"wrote the demo book into Cafe" in done.stdout


@pytest.mark.parametrize("command", ["show harbour", "find", "gig quay", "check harbour", "feels", "schema"])
def test_json_in_any_encoding_says_the_same(command: str) -> None:
    """Nothing is lost where it cannot be printed."""
    said = [
        feelmap(*command.split(), *_json(command), encoding=encoding).out for encoding in ("utf-8", "ascii")
    ]
    assert json.loads(said[0]) == json.loads(said[1])
    assert said[1].isascii()


def _json(command: str) -> list[str]:
    return [] if command == "schema" else ["--json", "--book", DEMO]


@pytest.mark.parametrize(
    "columns", ["", "0", "1", "20", "-5", "²", "x", "99999999999999999999", "0" * 5000 + "60", "1e3"]
)
def test_any_width(columns: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is no sensible width is not taken for one; lines stay within bounds."""
    monkeypatch.setenv("COLUMNS", columns)
    for line in (["show", "porch"], ["show", "porch", "chorus"], ["check", "harbour"], ["find"]):
        done = feelmap(*line, "--book", DEMO)
        assert wrong(done, line) is None
        assert max(len(each) for each in done.out.splitlines()) <= 500


def test_odd_surroundings() -> None:
    """No TERM, no HOME, the C locale."""
    done = shell(
        "feelmap show harbour && feelmap check harbour >/dev/null; feelmap count harbour", LC_ALL="C", LANG=""
    )
    assert (0, True) == (done.returncode, b"Traceback" not in done.stderr), done.stderr


@pytest.mark.parametrize("book", ["/nosuch", "/dev/null", "/", "caf\udce9", "x" * 5000, "~"])
def test_a_book_that_is_named_wrongly(book: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """In the surroundings or on the line."""
    monkeypatch.setenv("FEELMAP_BOOK", book)
    for line in (["show", "harbour"], ["check"], ["find"], ["gig", "quay"], ["fills", "big turn"]):
        done = feelmap(*line)
        assert (2, None) == (done.status, wrong(done, line)), (line, done)


@pytest.mark.parametrize(("term", "plain"), [("dumb", True), ("xterm", False)])
def test_a_terminal_that_can_do_nothing(term: str, plain: bool) -> None:
    """Gets plain text, in the narrowest of windows too."""
    pexpect = pytest.importorskip("pexpect")
    environment = {**os.environ, "TERM": term, "FEELMAP_BOOK": DEMO}
    environment.pop("NO_COLOR", None)
    child = pexpect.spawn(
        MAIN[0], [*MAIN[1:], "show", "harbour"], env=environment, dimensions=(5, 20), timeout=30
    )
    child.expect(pexpect.EOF)
    child.close()
    assert (0, plain) == (child.exitstatus, b"\x1b" not in child.before)
    assert b"Harbour Lights" in child.before
