"""A reader that stops early, as `head` does, ends an example quietly.

Python would show a BrokenPipeError, once for the line that nobody reads and once more at its exit.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable


def run(main: Callable[[], None]) -> None:
    """Run an example to its end, or until nobody reads on."""
    try:
        main()
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
