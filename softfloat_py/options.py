"""What a routine is asked to provide, fixed before it runs.

Each option is something real run-time code leaves out or chooses, so that its cost can be seen by
estimating a kernel with and without it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


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
    """

    all_directions: bool = True
    flags: bool = True
    gradual: bool = True
    special: bool = True
    division: Method = Method.DIGIT_BY_DIGIT
    square_root: Method = Method.DIGIT_BY_DIGIT

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
