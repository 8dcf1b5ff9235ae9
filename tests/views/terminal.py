"""A terminal to write on."""

from __future__ import annotations

import io
from threading import Event


class Terminal(io.StringIO):
    """A terminal that tells when something was written to it."""

    def __init__(self) -> None:
        super().__init__()
        self.written = Event()

    def isatty(self) -> bool:
        """It is one."""
        return True

    def write(self, text: str) -> int:
        """Take a text."""
        self.written.set()
        return super().write(text)
