"""What holds for all tests."""

from __future__ import annotations

import signal

# A shell that starts the tests in the background has interrupts ignored, and so would every program that a
# test starts and interrupts.
signal.signal(signal.SIGINT, signal.default_int_handler)
