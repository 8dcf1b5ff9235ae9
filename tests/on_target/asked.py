"""Operations by the names that they have in C: convert_to_integer_int32 is one that a parameter fixes."""

from __future__ import annotations

import re

from softfloat_py.numbers.formats import KNOWN_FORMATS, Format
from softfloat_py.operations import OPERATIONS, Result
from softfloat_py.options import LEAN, Options
from softfloat_py.uses import Use

INTEGERS = ("int32", "uint32", "int64")
# Those that take numbers, or one integer, and give one result.
NAMES = [
    name if not row.parameters else f"{name}_{parameter}"
    for name, row in OPERATIONS.items()
    if row.result is not Result.PAIR and (row.parameters or not row.integer_operands)
    for parameter in (KNOWN_FORMATS if "target" in row.parameters else INTEGERS if row.parameters else [""])
]


def use_asked_for(name: str, fmt: Format, options: Options = LEAN) -> Use:
    """The use of this name in a format."""
    if name in OPERATIONS:
        return Use.named(name, fmt, options)
    operation, _, parameter = name.rpartition("_")
    if integer := re.fullmatch(r"(u?)int(\d+)", parameter):
        return Use.named(operation, fmt, options, width=int(integer[2]), signed=not integer[1])
    (target,) = (known for known in KNOWN_FORMATS if name == f"convert_format_{known}")
    return Use.named("convert_format", fmt, options, target=KNOWN_FORMATS[target])
