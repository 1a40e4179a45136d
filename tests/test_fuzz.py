"""Short runs of the fuzzers; long ones are run by hand."""

from __future__ import annotations

import fuzz
import fuzz_commands

from render.cli.app import COMMANDS


def test_no_file_brings_a_reader_down() -> None:
    """Hostile and mutated files get a message, never a traceback, and soon."""
    assert not fuzz.run(600, seed=7).failures


def test_no_file_brings_a_command_down() -> None:
    """Every command over mutated books: our own words, soon, and nothing written where it fails."""
    done = fuzz_commands.run(120, seed=7)
    assert not done.failures, done.failures[0]
    assert set(COMMANDS) == set(fuzz_commands.LINES) == set(done.statuses)
    assert all(0 in done.statuses[command] for command in ("fills", "find", "fit", "show"))
