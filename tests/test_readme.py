"""The README's tour, run as it stands there."""

from __future__ import annotations

from pathlib import Path

import readme


def test_the_tour_prints_what_the_readme_shows(tmp_path: Path) -> None:
    """Every command of every console block, in order, in one folder."""
    tour = readme.Tour(tmp_path)
    for block in readme._BLOCK.findall(readme.README.read_text(encoding="utf-8")):
        for command, shown in readme.commands(block):
            printed = tour.answer(command)
            assert readme.matches(shown, printed), f"$ {command}\n" + "\n".join(printed)
