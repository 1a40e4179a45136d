"""A short run of the fuzzer; long ones are run by hand."""

from __future__ import annotations

import fuzz


def test_no_file_brings_a_reader_down() -> None:
    """Hostile and mutated files get a message, never a traceback, and soon."""
    assert not fuzz.run(600, seed=7).failures
