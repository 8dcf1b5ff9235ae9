"""Files that come to be whole or not at all.

What is written goes into a file beside the one asked for and takes its name at the end. So a full disk, or an
error half way, leaves an old file as it was, and nothing else.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from secrets import token_hex
from typing import BinaryIO


@contextmanager
def whole_file(path: str | os.PathLike[str]) -> Iterator[BinaryIO]:
    """A file to write to; it replaces the one at `path` once the block has ended without an error.

    A link stays one: what it leads to is replaced. What is no plain file (a device, a pipe) is written to
    itself. Raises OSError, which names `path`, where it cannot be written.
    """
    target = Path(os.path.realpath(path))
    if target.exists() and not target.is_file():
        with target.open("wb") as file:
            yield file
        return
    beside = target.with_name(f".{token_hex(8)}.unfinished")
    try:
        with beside.open("xb") as file:
            yield file
        if target.exists():
            beside.chmod(target.stat().st_mode)
        beside.replace(target)
    except OSError as error:
        error.filename, error.filename2 = os.fspath(path), None
        raise
    finally:
        beside.unlink(missing_ok=True)


def write_text(path: str | os.PathLike[str], text: str, encoding: str = "utf-8") -> None:
    """A text as a whole file."""
    content = text.encode(encoding)
    with whole_file(path) as file:
        file.write(content)
