"""The direct engine: a routine as Python itself runs it, no reader involved. The yardstick of the others."""

from __future__ import annotations

from collections.abc import Mapping
from functools import reduce
from operator import or_
from typing import Any

from softfloat_py.environment import Flags
from softfloat_py.routines.language import Bits, Routine, signals


def run(
    routine: Routine, operands: Mapping[str, tuple[int, int]], fixed: Mapping[str, Any]
) -> tuple[int, Flags]:
    """The result and the flags raised; `operands` gives value and width by parameter name.

    Raises WidthError where a step's side condition fails.
    """
    with signals() as raised:
        result = routine(**{name: Bits(*operand) for name, operand in operands.items()}, **fixed)
    return result.value, reduce(or_, raised, Flags.NONE)
