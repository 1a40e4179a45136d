"""The README's tour, run as it is written there."""

from __future__ import annotations

from pathlib import Path

import readme

from charts.kit import VOICES

TEXT = readme.README.read_text(encoding="utf-8")


def test_the_tour_prints_what_the_readme_shows(tmp_path: Path) -> None:
    """Every file typed and every command run, in order, in one folder."""
    tour = readme.Tour(tmp_path)
    for kind, block in readme.BLOCK.findall(TEXT):
        if kind == "yaml":
            tour.type_file(block)
            continue
        for command, shown in readme.commands(block):
            printed = tour.answer(command)
            assert readme.matches(shown, printed), f"$ {command}\n" + "\n".join(printed)


def test_the_readme_is_short() -> None:
    """Fewer than 1,500 words beside commands, files and output."""
    assert readme.words(TEXT) < 1500


def test_the_readme_names_every_drum() -> None:
    """The table of drum codes has each code of the kit with its name."""
    for code, voice in VOICES.items():
        assert f"{code} | {voice.name} |" in TEXT


def test_the_demo_folder_is_small() -> None:
    """The finished gig folder is there to open, and under 400 KB."""
    assert 0 < (readme.PICTURES / "quay-street-social-club.pdf").stat().st_size < 400_000
