"""Running music21 so that nothing of it shows: no warnings, no prints, and its errors in our words."""

from __future__ import annotations

import contextlib
import io
import warnings
from collections.abc import Iterator

from charts.source import FeelmapError


@contextlib.contextmanager
def quietly(kind: str) -> Iterator[None]:
    """What music21 prints or warns of is dropped; what it raises becomes a message.

    :raises FeelmapError: the score cannot be read.
    """
    with (
        warnings.catch_warnings(),
        contextlib.redirect_stdout(io.StringIO()),
        contextlib.redirect_stderr(io.StringIO()),
    ):
        warnings.simplefilter("ignore")
        try:
            yield
        except (FeelmapError, KeyboardInterrupt):
            raise
        except (MemoryError, RecursionError):
            raise FeelmapError(f"this {kind} file is too large to take in", "export one part alone") from None
        except Exception:  # music21 raises whatever it meets, in words about itself
            raise FeelmapError(
                f"this {kind} file is broken, or cut short", "export the score again, or open it to see"
            ) from None
