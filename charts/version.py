"""The version of Feelmap, as in pyproject.toml: asking the installed package for it takes 30 ms."""

VERSION = "0.1.0"
