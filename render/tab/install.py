"""The completion scripts shown and put in place, for the shell that the command runs in."""

from __future__ import annotations

from pathlib import Path

import shellingham

from charts.source import FeelmapError
from charts.writing import write_together
from render.tab.answer import SHELLS

# shell -> where its script goes, its start file, and the lines that start file needs; all under the home
_PLACES = {
    "bash": (".bash_completions/feelmap.sh", ".bashrc", ["source '{script}'"]),
    "zsh": (".zfunc/_feelmap", ".zshrc", ["fpath+=~/.zfunc; autoload -Uz compinit; compinit"]),
    "fish": (".config/fish/completions/feelmap.fish", None, []),
}


def this_shell() -> str:
    """The shell that the command was typed in.

    :raises FeelmapError: it is not one that completion is made for.
    """
    try:
        name, _ = shellingham.detect_shell()
    except shellingham.ShellDetectionFailure:
        name = "not found"
    if name not in SHELLS:
        raise FeelmapError(
            f"Tab completion is for {', '.join(SHELLS)}; the shell here is {name}", "run this in one of them"
        )
    return str(name)


def script(shell: str) -> str:
    """The completion script for a shell."""
    return (Path(__file__).parent / f"feelmap.{shell}").read_text(encoding="utf-8")


def install(shell: str, home: Path) -> Path:
    """Put the script in its place and name it in the shell's start file once; the script's path."""
    name, start, lines = _PLACES[shell]
    files = {home / name: script(shell).encode()}
    if start is not None:
        path = home / start
        old = path.read_bytes() if path.exists() else b""
        wanted = [line.format(script=home / name).encode() for line in lines]
        missing = [line for line in wanted if line not in old]
        if missing:
            gap = b"" if not old or old.endswith(b"\n") else b"\n"
            files[path] = old + gap + b"\n".join(missing) + b"\n"
    write_together(files, folders=True)
    return home / name
