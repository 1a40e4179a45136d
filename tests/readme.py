"""The README's commands and what they print: ``python tests/readme.py`` runs the tour and writes it down.

In a block marked ``console`` a line that starts with ``$ `` is a command, what follows is its answer; a line
``...`` is for any lines left out. A block marked ``yaml`` is a file that the reader types; its first line is
``# `` and the file's name. The test types the same files, runs the same commands and compares.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import pexpect

README = Path(__file__).parent.parent / "README.md"
PICTURES = README.parent / ".pictures"
BLOCK = re.compile(r"(?<=^```)(console|yaml)\n(.*?)(?=^```$)", re.MULTILINE | re.DOTALL)
FENCED = re.compile(r"^```.*?^```$", re.MULTILINE | re.DOTALL)
CUT = "..."


def commands(block: str) -> list[tuple[str, list[str]]]:
    """The commands of a block with the lines that follow each."""
    found: list[tuple[str, list[str]]] = []
    for line in block.splitlines():
        if line.startswith("$ "):
            found.append((line[2:], []))
        elif found:
            found[-1][1].append(line)
    return found


def answer(command: str, folder: Path) -> list[str]:
    """What a command prints in a terminal of 96 columns that knows no codes, in a folder."""
    env = {
        key: value for key, value in os.environ.items() if key not in ("FEELMAP_BOOK", "COLUMNS", "NO_COLOR")
    }
    env |= {
        "PATH": f"{Path(sys.executable).parent}{os.pathsep}{env['PATH']}",
        "COLUMNS": "96",
        "PYTHONIOENCODING": "utf-8",
        "TERM": "dumb",
    }
    printed = pexpect.spawn(
        "/bin/sh",
        ["-c", command],
        cwd=str(folder),
        env=env,
        encoding="utf-8",
        timeout=120,
        dimensions=(200, 96),
    )
    return [line.rstrip() for line in printed.read().splitlines()]


def matches(shown: list[str], printed: list[str]) -> bool:
    """True where the lines shown are the lines printed, but for what ``...`` leaves out."""
    pattern = "".join("(?:.*\n)*?" if line == CUT else re.escape(line) + "\n" for line in shown)
    return re.fullmatch(pattern, "".join(line + "\n" for line in printed)) is not None


def cut_again(shown: list[str], printed: list[str]) -> list[str]:
    """What a command prints now, cut as before: so many lines from the start and from the end.

    >>> cut_again(["one", "...", "nine"], ["1", "2", "3", "9"])
    ['1', '...', '9']
    """
    if CUT not in shown or matches(shown, printed):
        return shown if CUT in shown else printed
    head, tail = shown.index(CUT), shown[::-1].index(CUT)
    if head + tail >= len(printed):
        return printed
    return [*printed[:head], CUT, *printed[len(printed) - tail :]]


def words(text: str) -> int:
    """The words outside the fenced blocks; a mark without a letter or digit is not a word.

    >>> words("Two words |\\n```console\\n$ ls\\n```\\n")
    2
    """
    return sum(any(map(str.isalnum, word)) for word in FENCED.sub("", text).split())


class Tour:
    """One walk through the README: ``cd`` holds for the commands after it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def answer(self, command: str) -> list[str]:
        """What a command prints where the walk has got to."""
        if command.startswith("cd ") and "&" not in command:
            self.folder /= command.removeprefix("cd ")
            return []
        return answer(command, self.folder)

    def type_file(self, block: str) -> None:
        """Write the file that a block shows, as its reader does in an editor."""
        name = block.partition("\n")[0].removeprefix("# ")
        (self.folder / name).write_text(block, encoding="utf-8")


def rewritten(text: str, folder: Path) -> str:
    """The README with every answer as it is now; an answer that was cut is cut again."""
    tour = Tour(folder)

    def block(found: re.Match[str]) -> str:
        if found[1] == "yaml":
            tour.type_file(found[2])
            return found[0]
        lines = []
        for command, shown in commands(found[2]):
            lines += [f"$ {command}", *cut_again(shown, tour.answer(command))]
        return "\n".join([found[1], *lines]) + "\n"

    return BLOCK.sub(block, text)


def draw_folder(pdf: Path) -> None:
    """The demo's gig folder, for those who only want to look."""
    with tempfile.TemporaryDirectory() as name:
        answer("feelmap demo book", Path(name))
        shutil.copyfile(Path(name) / "book" / pdf.name, pdf)


def draw_page(picture: Path) -> None:
    """The picture of a page that the README shows; needs pdftoppm."""
    with tempfile.TemporaryDirectory() as name:
        answer("feelmap demo book && feelmap page harbour --book book -o page.pdf", Path(name))
        picture.parent.mkdir(exist_ok=True)
        subprocess.run(
            [
                "pdftoppm",
                "-r",
                "72",
                "-png",
                "-singlefile",
                f"{name}/page.pdf",
                picture.with_suffix(""),
            ],
            check=True,
        )


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as name:
        README.write_text(rewritten(README.read_text(encoding="utf-8"), Path(name)), encoding="utf-8")
    draw_page(PICTURES / "harbour-lights.png")
    draw_folder(PICTURES / "quay-street-social-club.pdf")
