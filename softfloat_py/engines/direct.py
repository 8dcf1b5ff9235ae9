"""The direct engine: a routine as Python itself runs it, no reader involved. The yardstick of the others."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import reduce
from operator import or_
from types import MappingProxyType
from typing import Any

from softfloat_py.engines.registry import Delivered, Row, Task
from softfloat_py.environment import Flags
from softfloat_py.routines.doors import Door
from softfloat_py.routines.language import Bits, Routine, signals


def run(
    routine: Routine,
    operands: Mapping[str, tuple[int, int]],
    fixed: Mapping[str, Any],
    *,
    entering: Mapping[str, Sequence[Door]] = MappingProxyType({}),
    leaving: Sequence[Door] = (),
) -> tuple[tuple[int, ...], Flags]:
    """The results and the flags raised; `operands` gives value and width by parameter name.

    An operand goes through its doors of `entering` first, each result through those of `leaving`. Raises
    WidthError where a step's side condition fails.
    """
    with signals() as raised:
        values: dict[str, Any] = {name: Bits(*operand) for name, operand in operands.items()}
        for name, doors in entering.items():
            values[name] = _through(doors, values[name])
        delivered = routine(**values, **fixed)
        results = delivered if isinstance(delivered, tuple) else (delivered,)
        results = tuple(_through(leaving, result) for result in results)
    return tuple(result.value for result in results), reduce(or_, raised, Flags.NONE)


def deliver(task: Task, rows: Sequence[Row]) -> Delivered:
    """Rows of results; flags that the program does not keep are left out."""
    return Delivered([_delivered(task, row) for row in rows])


def _delivered(task: Task, row: Row) -> Row:
    named = {name: (value, width) for (name, width), value in zip(task.widths.items(), row, strict=True)}
    results, flags = run(task.routine, named, task.fixed, entering=task.entering, leaving=task.leaving)
    return (*results, int(flags)) if task.program.keeps_flags else results


def _through(doors: Sequence[Door], value: Bits) -> Bits:
    for door in doors:
        value = door.routine(**door.arguments(value))
    return value
