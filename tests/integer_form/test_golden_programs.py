"""Operations as programs in binary32: a step more or less anywhere is a line in the diff of a file.

Elementary functions have a thousand lines and other constants with each change of a plan. Nobody reads that:
of those, the shortest form of the shortest one stands here. What they cost is held by the outputs that the
guides show, and that they are right by tests/routines/elementary and by the campaigns.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import count
from typing import Any

import pytest

from softfloat_py.formats import IntegerFormat
from softfloat_py.integer_form.printing import printed
from softfloat_py.numbers.formats import binary16, binary32, binary64
from softfloat_py.operations import ELEMENTARY, OPERATIONS
from softfloat_py.options import COMPLETE, LEAN, ElementaryRounding
from softfloat_py.uses import use_of

# What a use of an operation fixes, by the name of the parameter: both ways of a conversion between formats.
PARAMETERS: dict[str, tuple[Any, ...]] = {"target": (binary16, binary64), "integer": (IntegerFormat(32),)}


def programs(name: str) -> Iterator[str]:
    """The program of an operation lean and complete, with each parameter, under a heading."""
    operation = OPERATIONS[name]
    for parameter in PARAMETERS[operation.parameters[0]] if operation.parameters else (None,):
        for options in (LEAN, COMPLETE):
            heading = f"# {options.name}" + (f", {parameter.name}" if parameter else "")
            program = printed(use_of(operation, binary32, options, parameter).program)
            yield f"{heading}\n\n{counted_by_section(program)}"


def counted_by_section(text: str) -> str:
    """A printed program whose variables are numbered anew, so that one step more changes few lines: those
    without a name from 1 after each heading of a phase, as t.heading.number, others name by name.
    """
    headings = 0
    numbers: dict[str, Iterator[int]] = {}
    known: dict[str, str] = {}

    def renumbered(variable: re.Match[str]) -> str:
        if variable[0] not in known:
            name = f"t.{headings}" if variable["name"] == "t" else variable["name"]
            known[variable[0]] = f"{name}.{next(numbers.setdefault(name, count(1)))}"
        return known[variable[0]]

    lines = []
    for line in text.splitlines():
        headings += line.endswith(":")
        lines.append(re.sub(r"\b(?P<name>[a-z_]\w*)\.\d+", renumbered, line))
    return "\n".join(lines)


@pytest.mark.parametrize("name", [name for name in OPERATIONS if name not in ELEMENTARY])
def test_program(name: str, golden: Callable[[str], None]) -> None:
    """An operation has the steps that it had, lean and complete."""
    golden("\n\n".join(programs(name)))


def test_elementary_program(golden: Callable[[str], None]) -> None:
    """The exponential function in binary16, rounded faithfully, has the steps that it had."""
    options = replace(LEAN, elementary_rounding=ElementaryRounding.FAITHFUL)
    golden(counted_by_section(printed(use_of(OPERATIONS["exp"], binary16, options).program)))
