"""Running a function of a test on emulated numbers, and what it counted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import softfloat_py as sf
from softfloat_py.kernels.calls import emulated


def run(function: Callable[..., Any], *arguments: Any) -> tuple[Any, dict[str, int]]:
    """What a function returns in lean binary32, and the calls it took by operation."""
    with sf.environment(options=sf.LEAN), sf.counting() as tally:
        result = emulated(function, sf.binary32)(*arguments)
    return result, {operation: times for (operation, _), times in tally.calls.items()}


def calls(function: Callable[..., Any], *arguments: Any) -> dict[str, int]:
    """The calls that a function takes, by operation."""
    return run(function, *arguments)[1]
