"""Keys: what a musician would write, and what is offered for the rest."""

from __future__ import annotations

import pytest
from support import findings, of_rule

from charts.check.key import is_key

CHART = "title: T\nkey: '{}'\ntempo: 90\nfeel: shuffle\nform: [A (4)]\n"


@pytest.mark.parametrize("letter", "ABCDEFG")
@pytest.mark.parametrize("sign", ["", "b", "#", "♭", "♯", " flat", " sharp", "-flat"])
@pytest.mark.parametrize(
    "mode", ["", "m", " m", " min", " minor", " maj", " major", " dorian", " Mixolydian", " blues"]
)
def test_keys(letter: str, sign: str, mode: str) -> None:
    """Every letter with every sign and mode, in large and small letters."""
    text = letter + sign + (" m" if mode == "m" and len(sign) > 1 else mode)
    assert is_key(text)
    assert is_key(text.lower())


@pytest.mark.parametrize("text", ["A to B", "Bb / C", "Am, C", "E to F# to G", "G minor/Bb"])
def test_several_keys(text: str) -> None:
    """A song that goes from one key to another has none to mend."""
    assert not of_rule(findings(CHART.format(text)), "key")


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("Hb", "write Bb"),
        ("H", "write B"),
        ("Hm", "write Bm"),
        ("A to Hb", "write A to Bb"),
        ("Hb / C", "write Bb / C"),
        ("C minro", "write C minor"),
        ("G mixolidian", "write G mixolydian"),
        ("Dminor", "write D minor"),
        ("Dbminor", "write Db minor"),
        ("X", "write it like Bb, F# minor or D dorian"),
        ("12", "write it like Bb, F# minor or D dorian"),
        ("no idea", "write it like Bb, F# minor or D dorian"),
        ("A,", "write it like Bb, F# minor or D dorian"),
    ],
)
def test_no_keys(text: str, hint: str) -> None:
    """A note at the key, with the nearest where there is one."""
    (found,) = of_rule(findings(CHART.format(text)), "key")
    assert (found.level, found.hint) == ("note", hint)
    assert found.span is not None
    assert found.span.line == 2


def test_a_chart_without_a_key_is_left_alone() -> None:
    """Nobody has to name one."""
    assert not of_rule(findings(CHART.replace("key: '{}'\n", "")), "key")
