"""JSON as every command prints it."""

from __future__ import annotations

import json
from typing import Any, TextIO

from charts.wording import OBEYED
from render.terminal.printable import prints


def json_text(value: Any, stream: TextIO) -> str:
    """JSON for a stream; what its encoding lacks or a terminal would obey is escaped, so nothing is lost."""
    text = json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False)
    if not prints(stream, text):
        return json.dumps(value, indent=2, allow_nan=False)
    return OBEYED.sub(lambda found: f"\\u{ord(found[0]):04x}", text)
