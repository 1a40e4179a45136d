"""What a chart says, and whether it holds together."""

__version__ = "0.1.0"
