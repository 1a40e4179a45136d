"""The command line: one module for each group of commands, nothing heavy imported at start."""

from __future__ import annotations

import gc
import os
import sys

# That many objects may come before the first search for rings of them: a command makes hardly a ring, and
# searching took a tenth of the time of most, and a third of a check's.
UNSEARCHED = 1_000_000


def main() -> None:
    """Run ``feelmap``; what cannot be done is told on standard error with exit status 2."""
    gc.set_threshold(UNSEARCHED)
    _ready_streams()
    try:
        sys.exit(_run(sys.argv[1:]))
    except KeyboardInterrupt:  # before the command had begun
        sys.exit(130)
    except RuntimeError as error:
        if isinstance(error.__cause__, KeyboardInterrupt):  # it came while a class was made
            sys.exit(130)
        raise
    except OSError:  # there is not even a place to say what is wrong
        sys.exit(2)


def _ready_streams() -> None:
    """A closed stream becomes one that nobody reads; a letter that a stream lacks becomes a question mark."""
    for name in ("stdin", "stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, "r" if name == "stdin" else "w"))  # noqa: SIM115  # for good
    sys.stdout.reconfigure(errors="replace")  # type: ignore[union-attr]  # the interpreter's own stream


def _run(arguments: list[str]) -> int:
    from render.cli.short_way import answered

    try:
        if answered(arguments):
            return 0
    except OSError as error:  # standard output takes no more
        from render.cli.app import undone

        return undone(error)
    from render.cli.app import run

    return run(arguments)
