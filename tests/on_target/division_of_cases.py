"""Which measured cases cost models may be fitted to, and which are held out: `looked_at.toml`."""

from __future__ import annotations

import tomllib
from pathlib import Path

PATH = Path(__file__).with_name("looked_at.toml")
_LOOKED_AT = tomllib.loads(PATH.read_text(encoding="utf-8"))
FORMATS, OPERATIONS, KERNELS = (tuple(_LOOKED_AT[key]) for key in ("formats", "operations", "kernels"))
HELD_OUT = "held out"  # what reports say of them


def is_held_out(case: str, fmt: str) -> bool:
    """Whether an operation, or a kernel, in a format is held out."""
    return fmt not in FORMATS or case not in (*OPERATIONS, *KERNELS)
