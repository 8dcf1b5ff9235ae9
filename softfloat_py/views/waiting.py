"""A sign of life on a terminal while something takes long: how long it has run, or how far it has come."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event, Thread
from time import monotonic

from softfloat_py.views.layout import grouped

_PATIENCE = 3.0  # s before anything is said
_INTERVAL = 1.0  # s between two signs
_ERASE_LINE = "\r\x1b[K"  # ECMA-48: back to the first column, then erase in line


@contextmanager
def sign_of_life(what: str) -> Iterator[None]:
    """Say on standard error, once a second, how long the block has been running; only on a terminal.

    The thread that says it sleeps in between and looks at nothing, so that it does not slow the block.
    """
    if not sys.stderr.isatty():
        yield
        return
    done = Event()
    thread = Thread(target=_say, args=(what, done), daemon=True)
    thread.start()
    try:
        yield
    finally:
        done.set()
        thread.join()


class Progress:
    """A line that says how many samples are done, shown by whoever does them; only on a terminal."""

    def __init__(self, name: str) -> None:
        self._name, self._started, self._shown = name, monotonic(), False

    def show(self, done: int) -> None:
        """Say how many are done, once it takes long."""
        if sys.stderr.isatty() and monotonic() - self._started > _PATIENCE:
            _write(f"\r{self._name}: {grouped(done)} samples")
            self._shown = True

    def clear(self) -> None:
        """End the line, if there is one."""
        if self._shown:
            _write("\n")


def _say(what: str, done: Event) -> None:
    started = monotonic()
    if done.wait(_PATIENCE):
        return
    while not done.is_set():
        _write(f"{_ERASE_LINE}{what} … {monotonic() - started:.0f} s")
        done.wait(_INTERVAL)
    _write(_ERASE_LINE)


def _write(text: str) -> None:
    sys.stderr.write(text)
    sys.stderr.flush()
