"""What a command says, and how that is printed: to readers who stop early, on full disks, in any encoding."""

from __future__ import annotations

import codecs
import io
import os
import sys
from collections.abc import Iterable
from contextlib import suppress
from typing import NamedTuple, TextIO

# What the views and cost tables write beyond ASCII, as a typewriter would have it.
_SPELLED = {"×": "x", "…": "...", "µ": "u", "±": "+-", "→": "->", "²": "^2", "³": "^3", "–": "-", "·": "."}
_HANDLER = "softfloat_py.spelled"


class Answer(NamedTuple):
    """What a command says: a text for standard output, one sentence for standard error, the exit status."""

    text: str = ""
    complaint: str = ""
    status: int = 0


def prepare_streams() -> None:
    """From here on, print what the encoding of a stream lacks in other characters, rather than fail; where
    a stream is closed, print nowhere.
    """
    sys.stdout, sys.stderr = sys.stdout or _nowhere(), sys.stderr or _nowhere()
    codecs.register_error(_HANDLER, _spelled)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=_HANDLER)


def _spelled(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    missing = error.object[error.start : error.end]
    return "".join(_SPELLED.get(character, "?") for character in missing), error.end


def deliver(answer: Answer) -> int:
    """Print an answer; gives its exit status, or 2 where standard output takes no more."""
    try:
        if answer.text:
            print(answer.text)
        sys.stdout.flush()
        if answer.complaint:
            print(answer.complaint, file=sys.stderr, flush=True)
    except BrokenPipeError:  # whoever read the output has seen enough
        _let_go((sys.stdout, sys.stderr))
        return 0
    except OSError as error:
        _let_go((sys.stdout,))
        with suppress(OSError):  # standard error may lead to the same place
            print(f"standard output must take all that is printed, but: {error.strerror}", file=sys.stderr)
        return 2
    return answer.status


def _nowhere() -> TextIO:
    return os.fdopen(os.open(os.devnull, os.O_WRONLY), "w")


def _let_go(streams: Iterable[TextIO]) -> None:
    """Have nothing more written to streams, of which Python would complain when it closes them."""
    for stream in streams:
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
