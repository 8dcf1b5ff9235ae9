"""The direct engine: a routine as Python itself runs it, no reader involved. The yardstick of the others."""

from __future__ import annotations

from collections.abc import Mapping
from functools import reduce
from operator import or_
from types import MappingProxyType
from typing import Any

from softfloat_py.environment import Flags
from softfloat_py.routines.language import Bits, Door, Routine, signals


def run(
    routine: Routine,
    operands: Mapping[str, tuple[int, int]],
    fixed: Mapping[str, Any],
    *,
    entering: Mapping[str, Door] = MappingProxyType({}),
    leaving: Door | None = None,
) -> tuple[tuple[int, ...], Flags]:
    """The results and the flags raised; `operands` gives value and width by parameter name.

    An operand goes through its door of `entering` first, each result through `leaving`. Raises WidthError
    where a step's side condition fails.
    """
    with signals() as raised:
        values: dict[str, Any] = {name: Bits(*operand) for name, operand in operands.items()}
        for name, door in entering.items():
            values[name] = door.routine(**door.arguments(values[name]))
        delivered = routine(**values, **fixed)
        results = delivered if isinstance(delivered, tuple) else (delivered,)
        if leaving is not None:
            results = tuple(leaving.routine(**leaving.arguments(result)) for result in results)
    return tuple(result.value for result in results), reduce(or_, raised, Flags.NONE)
