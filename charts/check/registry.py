"""Rules found by their files: a module of a package that registers itself with a decorator.

A rule's module docstring is what ``feelmap why`` prints: its name and one line, then the headings
Listens for, Why it matters, Wrong and Right; the last two are whole charts, and a test runs them.
"""

from __future__ import annotations

import importlib
import pkgutil
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Generic, TypeVar

from charts.source import Finding

Subject = TypeVar("Subject")


@dataclass(frozen=True)
class Rule(Generic[Subject]):
    """One rule: what it is called, what it says of itself, and how it looks."""

    name: str
    doc: str
    check: Callable[[Subject], Iterable[Finding]]


class Registry(Generic[Subject]):
    """The rules of one package; its modules are imported when the rules are first asked for."""

    def __init__(self, package: str) -> None:
        self._package = package
        self._rules: dict[str, Rule[Subject]] = {}

    def rule(
        self, name: str
    ) -> Callable[[Callable[[Subject], Iterable[Finding]]], Callable[[Subject], Iterable[Finding]]]:
        """Register a function as the rule of that name."""

        def register(check: Callable[[Subject], Iterable[Finding]]) -> Callable[[Subject], Iterable[Finding]]:
            self._rules[name] = Rule(name, (sys.modules[check.__module__].__doc__ or "").strip(), check)
            return check

        return register

    @cached_property
    def rules(self) -> dict[str, Rule[Subject]]:
        """Every rule by name, in order of name."""
        package = importlib.import_module(self._package)
        for module in pkgutil.iter_modules(package.__path__):
            importlib.import_module(f"{self._package}.{module.name}")
        return dict(sorted(self._rules.items()))
