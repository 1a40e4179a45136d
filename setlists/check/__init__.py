"""The rules between songs, one a file, and what checks a set list by them."""

from __future__ import annotations

from setlists.check.run import check_setlist
from setlists.check.subject import RULES

__all__ = ["RULES", "check_setlist"]
