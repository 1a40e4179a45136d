"""Words that YAML, or a reader of YAML, takes for something else."""

from __future__ import annotations

_LINES = """\
yes|no|12|3:45|~|null|*x|&x|!x|[x|{x|x: y|x #y|x, y|'til cue|"q" r|- x|x:|#|%x|@x|`x|? x|> x|---|... x|=|<<
None|é—ü|x}|x]|\\n|1e3|0x1F|2026-12-04|🥁 in|a\u200db|\ufeffx|x\u00a0y|nan|y|0b1|0o7|C#|a:b|'|"|don't
''|true|Off|.inf|+1|1_000
12 bars|{x: y}|[x, y]|'x'|"x"|\\|x\\|"\\"|& then|one & two|* * *|!|?|x ?|:|: x|,|x,|-|--
"""
TRICKY = [*_LINES.strip().replace("\n", "|").split("|"), "|", "| x"]
