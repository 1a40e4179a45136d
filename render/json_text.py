"""JSON as every command prints it."""

from __future__ import annotations

import json
from typing import Any, TextIO

from render.terminal.words import prints


def json_text(value: Any, stream: TextIO) -> str:
    """JSON for a stream; what its encoding lacks is escaped, so that nothing is lost."""
    text = json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False)
    return text if prints(stream, text) else json.dumps(value, indent=2, allow_nan=False)
