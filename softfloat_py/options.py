"""What a routine is asked to provide, fixed before it runs.

Each option is something real run-time code leaves out or chooses, so that its cost can be seen by
estimating a kernel with and without it.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import Enum

from softfloat_py.errors import ConventionError


class Method(Enum):
    """How division and square root find the digits of their result; both are correctly rounded."""

    DIGIT_BY_DIGIT = "digit by digit, by shift and subtract"
    RECIPROCAL = "from a reciprocal seed, by multiplications"


@dataclass(frozen=True, slots=True)
class Options:
    """Fixed properties of the arithmetic; the defaults are the complete one.

    `all_directions`: the rounding direction is chosen at run time (otherwise ties to even only).
    `flags`: the five exceptions are recorded.
    `gradual`: subnormal numbers are computed with (otherwise subnormal operands and results become zeros
    of their sign).
    `special`: infinities and NaNs are expected as operands (otherwise the caller promises there are none).
    `division`, `square_root`: the algorithm.

    Raises ConventionError with a line for each field that is neither a bool nor a Method, whichever it takes.
    """

    all_directions: bool = True
    flags: bool = True
    gradual: bool = True
    special: bool = True
    division: Method = Method.DIGIT_BY_DIGIT
    square_root: Method = Method.DIGIT_BY_DIGIT

    def __post_init__(self) -> None:
        faults = []
        for field in fields(self):
            value, kind = getattr(self, field.name), type(field.default)
            if type(value) is not kind:
                faults.append(f"{field.name} must be {_LEGAL[kind]}, not {value!r}")
        if faults:
            raise ConventionError("\n".join(faults))

    @property
    def name(self) -> str:
        """'complete', 'lean', or the differences from complete."""
        for name, options in NAMED_OPTIONS.items():
            if self == options:
                return name
        differences = []
        for option, said in _SAID.items():
            if getattr(self, option) != getattr(COMPLETE, option):
                differences.append(said)
        return "complete, " + ", ".join(differences)


# What a field may be, by the kind of its default.
_LEGAL: dict[type, str] = {bool: "True or False", Method: "a member of Method"}

# How each departure from the complete set is worded in reports.
_SAID = {
    "all_directions": "ties to even only",
    "flags": "no flags",
    "gradual": "subnormals flushed",
    "special": "no special operands",
    "division": "division by reciprocal",
    "square_root": "square root by reciprocal",
}

COMPLETE = Options()
LEAN = Options(all_directions=False, flags=False)
NAMED_OPTIONS = {"complete": COMPLETE, "lean": LEAN}
