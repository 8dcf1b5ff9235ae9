"""Files in TOML: read as a whole, or refused in one sentence."""

from __future__ import annotations

import os
import tomllib
from pathlib import Path
from typing import Any

from softfloat_py.errors import CostModelError


def read_toml(path: str | os.PathLike[str], error: type[CostModelError]) -> dict[str, Any]:
    """The table in a file of the user's; an `error` that says why where it cannot be read."""
    source = Path(path)
    try:
        content = source.read_bytes()
    except OSError as reason:
        raise error(str(source), [f"the file must be readable, not: {reason.strerror}"]) from None
    return parsed(content, str(source), error)


def parsed(content: bytes, source: str, error: type[CostModelError] = CostModelError) -> dict[str, Any]:
    """The table in a file, with or without the mark that some editors put at the beginning of UTF-8."""
    try:
        return tomllib.loads(content.decode("utf-8-sig"))
    except (ValueError, RecursionError) as fault:  # of tomllib; of the text's encoding, of integers, of depth
        reason = str(fault)[:1].lower() + str(fault)[1:]
        raise error(source, [f"the file must be TOML in UTF-8; {reason}"]) from None
