"""The command line: one module for each group of commands, nothing heavy imported at start."""

from __future__ import annotations

import sys


def main() -> None:
    """Run ``feelmap``; what cannot be done is told on standard error with exit status 2."""
    from render.cli.short_way import answered

    if answered(sys.argv[1:]):
        return
    from render.cli.app import run

    sys.exit(run(sys.argv[1:]))
