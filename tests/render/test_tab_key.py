"""The Tab key in real shells: a name from a chart is data, whatever is in it."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pexpect
import pytest

SHELLS = {"bash": ["--noprofile", "-i"], "zsh": ["-i"], "fish": ["-i"]}
HOME_KEY, END_KEY, TAB, ENTER, STOP = "\x01", "\x05", "\t", "\r", "\x03"
FEELMAP = """#!/bin/sh
exec {python} -c 'from render.cli import main; main()' "$@"
"""
CAPTURE = """#!/bin/sh
printf '%s\\0' "$@" >"{out}.new" && mv "{out}.new" "{out}"
"""

# What every shell can take as data is offered, quoted where a sign needs it.
SECTIONS = {
    "sec1": 'Don\'t "stop"; touch canary',
    "sec2": "a & touch canary | <touch canary > canary",
    "sec3": "*",
    "sec4": "=ls n?tes.[t]xt {a,b} ~root",
    "sec5": "#1 ^a^b + @ %1",
    "sec6": "!touch! !",
    "sec7": "'; touch canary; '",
    "sec8": '"; touch canary; "',
    "sec9": "Überleitung",
}
TITLES = {
    "tit1": "))' ; (touch canary) ; : '((",
    "tit2": "<(touch canary) *(e:'touch canary':)",
    "tit3": "R&B: (touch canary)!",
}
# What would be a command in some place, an option, a folder, or a mess on the screen is not.
NO_SECTIONS = [
    "Verse \\`sh<notes.txt\\`",
    "`touch canary`",
    "`./notes.txt`",
    "$'touch canary'",
    "${x:=touch canary}",
    "'\"`touch canary`\"'",
    "a\\",
    "-rf",
    "--book=x",
    "~root",
    "\x1b]0;title",
    "a\u202eb",
]
NO_TITLES = [
    "$(touch canary)",
    "'\"$(touch canary)\"'",
    "\\$(touch canary)",
    "\\\\$(touch canary)",
    "${(e):-\\$(touch canary)}",
    "a\ntouch canary\n",
    "a\r\ttouch canary",
]


def chart(title: str, *sections: str) -> str:
    """A chart with any signs in its names."""
    form = [f"{section} (4)" for section in sections]
    return f"title: {json.dumps(title)}\ntempo: 100\nfeel: shuffle\nform: {json.dumps(form)}\n"


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home with the commands that the tests type, and a book with charts that somebody sent."""
    place = tmp_path_factory.mktemp("tab")
    charts, commands = place / "book" / "charts", place / "bin"
    charts.mkdir(parents=True)
    commands.mkdir()
    for name, text in {
        "feelmap": FEELMAP.format(python=sys.executable),
        "capture": CAPTURE.format(out=place / "captured"),
    }.items():
        (commands / name).write_text(text)
        (commands / name).chmod(0o755)
    for script in ("notes.txt", "touch canary"):
        (place / "book" / script).write_text("#!/bin/sh\ntouch canary\n")
        (place / "book" / script).chmod(0o755)
    songs = {stem: chart("Other", section) for stem, section in SECTIONS.items()}
    songs |= {f"x{stem}": chart(f"{stem} {title}", "Verse") for stem, title in TITLES.items()}
    songs |= {f"y{number}": chart(f"nix {title}", "Verse") for number, title in enumerate(NO_TITLES)}
    songs |= {"other": chart("Other", NO_SECTIONS[0]), "out": chart("Other", *NO_SECTIONS)}
    songs |= {"all": chart("Other", *SECTIONS.values(), *NO_SECTIONS)}
    for stem, text in songs.items():
        (charts / f"{stem}.yaml").write_text(text, encoding="utf-8")
    return place


class Typist:
    """Somebody at a shell's keyboard."""

    def __init__(self, shell: str, place: Path) -> None:
        self.place, self.shell = place, shell
        home = place / shell
        home.mkdir(exist_ok=True)
        (home / ".zshrc").touch()  # without it zsh asks a new user questions
        (home / ".bashrc").touch()
        self.around = {
            "HOME": str(home),
            "PATH": f"{place / 'bin'}:{os.environ['PATH']}",
            "PYTHONPATH": os.getcwd(),
            "TERM": "xterm",
            "LANG": "C.UTF-8",
        }
        subprocess.run(
            [shell, "-c", "feelmap --install-completion; true"],
            env=self.around, cwd=place / "book", check=True, capture_output=True,
        )  # fmt: skip
        self.keys = pexpect.spawn(
            shell, SHELLS[shell], cwd=str(place / "book"), env=self.around, encoding="utf-8",
            codec_errors="replace", dimensions=(200, 200), timeout=20,
        )  # fmt: skip
        self.keys.delaybeforesend = None
        assert ["ready"] == self.run("capture ready")

    def run(self, typed: str, seconds: float = 20) -> list[str]:
        """The words that ``capture`` was given by a line; what a Tab put into it is among them."""
        out = self.place / "captured"
        out.unlink(missing_ok=True)
        self.keys.send(typed + ENTER)
        until = time.monotonic() + seconds
        while not out.exists() and time.monotonic() < until:
            self.keys.expect([r".+", pexpect.TIMEOUT], timeout=0.05)
        return out.read_text().split("\0")[:-1] if out.exists() else []

    def accepted(self, line: str, *, tabs: int = 1, behind: str = "") -> list[str]:
        """The words of a line after Tab and what is typed after it."""
        words = self.run(line + TAB * tabs + behind + HOME_KEY + "capture " + END_KEY)
        if not words:
            self.keys.send(STOP)
        return words

    def offers_in(self, quote: str, name: str) -> bool:
        """Whether a name is offered where a quote is open: bash puts it there as it is."""
        return self.shell != "bash" or not quote or not {quote, "!" if quote == '"' else quote} & set(name)

    def canary(self) -> bool:
        """Whether something from a chart was run; it is taken away for the next time."""
        time.sleep(0.05)
        found = self.place / "book" / "canary"
        was = found.exists()
        found.unlink(missing_ok=True)
        return was


@pytest.fixture(params=SHELLS, scope="module")
def typist(request: pytest.FixtureRequest, place: Path) -> Iterator[Typist]:
    """One at each shell, with our completion installed as the README has it."""
    if shutil.which(request.param) is None:
        pytest.skip(f"no {request.param} here")
    typist = Typist(request.param, place)
    yield typist
    typist.keys.close(force=True)


@pytest.mark.parametrize("chart", ["other", "out"])
def test_a_section_that_is_not_data_is_not_offered(typist: Typist, chart: str) -> None:
    """Nothing runs at Tab, at a second Tab, or with the line; the shell may offer its files instead."""
    words = typist.accepted(f"feelmap show {chart} ", tabs=2)
    assert not typist.canary()
    assert ["feelmap", "show", chart] == [word for word in words if word.rstrip("/") != "charts"]


@pytest.mark.parametrize("quote", ["", "'", '"'])
def test_a_title_that_is_not_data_is_not_offered(typist: Typist, quote: str) -> None:
    """Nor where a quote is open."""
    words = typist.accepted(f"feelmap show {quote}nix", tabs=2, behind=quote)
    assert not typist.canary()
    assert ["feelmap", "show", "nix"] == words


def test_a_list_to_choose_from_is_data(typist: Typist) -> None:
    """Many names at once, gone through with Tab, and one run: nothing else runs."""
    typist.keys.send("feelmap show all " + TAB * 4 + ENTER * 2)
    assert ["done"] == typist.run("capture done")
    assert not typist.canary()


@pytest.mark.parametrize("quote", ["", "'", '"'])
@pytest.mark.parametrize("stem", SECTIONS)
def test_a_section_that_is_data_comes_whole(typist: Typist, stem: str, quote: str) -> None:
    """Plain, and inside either quote: one word, with a hyphen for each space, and nothing runs."""
    name = SECTIONS[stem].replace(" ", "-")
    whole = typist.offers_in(quote, name)
    words = typist.accepted(f"feelmap show {stem} {quote}", behind="" if whole else quote)
    assert not typist.canary()
    assert ["feelmap", "show", stem, name if whole else ""] == words


@pytest.mark.parametrize("quote", ["", '"'])
@pytest.mark.parametrize("stem", TITLES)
def test_a_title_that_is_data_comes_whole(typist: Typist, stem: str, quote: str) -> None:
    """One word, spaces and all, and nothing runs."""
    name = f"{stem} {TITLES[stem]}"
    whole = typist.offers_in(quote, name)
    words = typist.accepted(f"feelmap show {quote}{stem}", behind="" if whole else quote)
    assert not typist.canary()
    assert ["feelmap", "show", name if whole else stem] == words


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("feelmap penc", ["feelmap", "pencil"]),
        ("feelmap find --fee", ["feelmap", "find", "--feel"]),
        ("feelmap find --feel=half-time-sh", ["feelmap", "find", "--feel=half-time-shuffle"]),
        ("feelmap show sec2 a-\\&-tou", ["feelmap", "show", "sec2", SECTIONS["sec2"].replace(" ", "-")]),
        ("feelmap show tit3\\ R\\&B:", ["feelmap", "show", f"tit3 {TITLES['tit3']}"]),
        ("feelmap check --book=cha", ["feelmap", "check", "--book=charts"]),
        ("feelmap check --book cha", ["feelmap", "check", "--book", "charts"]),
    ],
)
def test_what_only_fits_comes_whole(typist: Typist, line: str, words: list[str]) -> None:
    """Commands, options, values behind ``=``, names partly typed, and the shell's own files."""
    assert words == [word.rstrip("/") for word in typist.accepted(line)]  # zsh takes a folder's slash away
    assert not typist.canary()
