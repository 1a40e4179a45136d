"""The quick dataclass does what the standard one does."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from dataclasses import FrozenInstanceError, field, fields, replace
from functools import cached_property

import pytest

from charts.record import dataclass


@dataclass(frozen=True, slots=True)
class Slim:
    """A record with slots."""

    name: str
    bars: int = 4
    words: tuple[str, ...] = field(default=(), compare=False, repr=False)


@dataclass(frozen=True)
class Kept:
    """A record that keeps what it worked out."""

    name: str
    odd: dict[int, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.name:
            raise ValueError("no name")

    @cached_property
    def loud(self) -> str:
        return self.name.upper()


@dataclass
class Loose:
    found: list[int] = field(default_factory=list)


@dataclass(frozen=True, eq=False)
class Itself:
    name: str


@dataclass(frozen=True)
class Hashed:
    name: str

    def __hash__(self) -> int:
        return 7


@pytest.mark.parametrize("kind", [Slim, Kept])
def test_equal_records_hash_alike_and_others_differ(kind):
    """Records are compared by their fields and their class, but for the fields left out."""
    assert kind("a") == kind("a")
    assert kind("a") != kind("b")
    assert Slim("a", 4, ("x",)) == Slim("a", 4, ("y",))
    assert Slim("a") != ("a", 4, ())
    assert hash(Slim("a")) == hash(Slim("a", 4, ("z",)))
    assert hash(Hashed("a")) == 7


def test_frozen_records_refuse_change_and_keep_what_they_worked_out():
    """Nothing is set or deleted, a cached value apart."""
    for change in (lambda: setattr(Slim("a"), "bars", 5), lambda: delattr(Kept("a"), "name")):
        with pytest.raises(FrozenInstanceError, match="cannot"):
            change()
    assert Kept("a").loud == "A"
    assert not hasattr(Slim("a"), "__dict__")


def test_the_standard_tools_work_on_them():
    """fields, replace, repr, copies and pickles; a factory makes its own each time."""
    assert [each.name for each in fields(Slim)] == ["name", "bars", "words"]
    assert replace(Slim("a"), bars=8) == Slim("a", 8)
    assert repr(Slim("a", words=("x",))) == "Slim(name='a', bars=4)"
    for record in (Slim("a", 2), Kept("a", {7: "3/8"})):
        assert pickle.loads(pickle.dumps(record)) == record
        assert copy.deepcopy(record) == record
    Loose().found.append(1)
    assert Loose().found == []
    assert dataclasses.is_dataclass(Loose)


def test_what_a_class_says_itself_stays():
    """A class without eq is equal to itself only; one not frozen has no hash; a check after init runs."""
    one = Itself("a")
    assert one == one
    assert one != Itself("a")
    assert hash(one) == object.__hash__(one)
    with pytest.raises(TypeError, match="unhashable"):
        hash(Loose())
    with pytest.raises(ValueError, match="no name"):
        Kept("")
    with pytest.raises(TypeError, match="argument"):
        Slim()
