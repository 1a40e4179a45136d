"""What holds for all tests."""

from __future__ import annotations

import os
import signal

# A fault of the program shows whole in a test, and in the programs that a test starts.
os.environ["FEELMAP_TRACEBACK"] = "1"

# A shell that starts the tests in the background has interrupts ignored, and so would every program that a
# test starts and interrupts.
signal.signal(signal.SIGINT, signal.default_int_handler)
