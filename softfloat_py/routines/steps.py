"""The steps that routines are made of: one row a kind, with its width rule and its meaning.

Running a routine directly, folding constants, the stepwise engine and the documentation all read these
rows; generated code has its own spelling for each, and a test demands that no spelling is missing.

A step takes operands (unsigned numbers of known widths) and, for some kinds, one *immediate*, fixed before
anything runs: a number, such as the distance of a constant shift, or a table. Values never exceed their
width.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any

Ints = Sequence[int]
Immediate = Any  # a number, or a `tables.Table`: each row knows its own


class Measured(Enum):
    """Which width a step is counted under."""

    RESULT = "width of the result"
    OPERAND = "width of the widest operand"


class Feature(Enum):
    """What a step's cost depends on, on some CPUs, besides its kind and width."""

    NONE = "nothing else"
    IMMEDIATE = "the constant distance of the shift"
    DISTANCE = "the distance of the shift"
    SET_BITS = "the set bits of the multiplier, the second operand"
    RESULT = "the result"


@dataclass(frozen=True, slots=True)
class StepKind:
    """One kind of step.

    `width(widths, immediate)` is the result's width; `meaning(values, widths, immediate)` its value;
    `condition(values, widths, immediate)` must hold for the meaning to. `counted_as` is the name the step
    is counted under, None for a step that costs nothing (it only says where bits already are).
    """

    name: str
    arity: int
    counted_as: str | None
    width: Callable[[Ints, Immediate], int]
    meaning: Callable[[Ints, Ints, Immediate], int]
    measured: Measured = Measured.RESULT
    feature: Feature = Feature.NONE
    condition: Callable[[Ints, Ints, Immediate], bool] = lambda values, widths, immediate: True
    condition_text: str = ""

    def __reduce__(self) -> tuple[Callable[[str], StepKind], tuple[str]]:
        """A copy, or what another process reads, is again the row of this name."""
        return step_kind, (self.name,)

    def counted_width(self, widths: Ints, result_width: int) -> int:
        """The width in bits that the step is counted under."""
        return result_width if self.measured is Measured.RESULT else max(widths)

    def feature_of(self, values: Ints, immediate: Immediate, result: int) -> int | None:
        """The value of the step's feature in one execution."""
        match self.feature:
            case Feature.NONE:
                return None
            case Feature.IMMEDIATE:
                return int(immediate)
            case Feature.DISTANCE:
                return values[1]
            case Feature.SET_BITS:
                return values[1].bit_count()
            case Feature.RESULT:
                return result


def _mask(width: int) -> int:
    return (1 << width) - 1


def _widest(widths: Ints, immediate: Immediate) -> int:
    return max(widths)


def _one_bit(widths: Ints, immediate: Immediate) -> int:
    return 1


def _as_given(widths: Ints, immediate: Immediate) -> int:
    return int(immediate)


def _of_entry(widths: Ints, immediate: Immediate) -> int:
    return int(immediate.width)


def _comparison(name: str, holds: Callable[[int, int], bool]) -> StepKind:
    return StepKind(name, 2, "compare", _one_bit, lambda v, w, n: int(holds(v[0], v[1])), Measured.OPERAND)


_ROWS = (
    # -- arithmetic: as wide as the result can become
    StepKind("add", 2, "add", lambda w, n: max(w) + 1, lambda v, w, n: v[0] + v[1]),
    StepKind(
        "subtract", 2, "subtract", _widest, lambda v, w, n: v[0] - v[1],
        condition=lambda v, w, n: v[0] >= v[1], condition_text="a difference must not be negative",
    ),
    StepKind("add_modulo", 2, "add", _as_given, lambda v, w, n: (v[0] + v[1]) & _mask(n)),
    StepKind("subtract_modulo", 2, "subtract", _as_given, lambda v, w, n: (v[0] - v[1]) & _mask(n)),
    StepKind(
        "multiply", 2, "multiply", lambda w, n: w[0] + w[1], lambda v, w, n: v[0] * v[1],
        Measured.OPERAND, Feature.SET_BITS,
    ),
    # -- logic
    StepKind("and", 2, "and", lambda w, n: min(w), lambda v, w, n: v[0] & v[1]),
    StepKind("or", 2, "or", _widest, lambda v, w, n: v[0] | v[1]),
    StepKind("xor", 2, "xor", _widest, lambda v, w, n: v[0] ^ v[1]),
    StepKind("not", 1, "not", _widest, lambda v, w, n: v[0] ^ _mask(w[0])),
    # -- shifts
    StepKind(
        "shift_left", 1, "shift_left", lambda w, n: w[0] + n, lambda v, w, n: v[0] << n,
        feature=Feature.IMMEDIATE,
    ),
    StepKind(
        "shift_right", 1, "shift_right", lambda w, n: max(w[0] - n, 1), lambda v, w, n: v[0] >> n,
        Measured.OPERAND, Feature.IMMEDIATE,
    ),
    StepKind(
        "shift_left_variable", 2, "shift_left_variable", _as_given, lambda v, w, n: v[0] << v[1],
        feature=Feature.DISTANCE,
        condition=lambda v, w, n: v[1] < n and v[0] << v[1] <= _mask(n),
        condition_text="a value shifted left must fit the stated width, the distance be less than it",
    ),
    StepKind(
        "shift_right_variable", 2, "shift_right_variable", lambda w, n: w[0], lambda v, w, n: v[0] >> v[1],
        feature=Feature.DISTANCE,
        condition=lambda v, w, n: v[1] < w[0],
        condition_text="a distance must be less than the width of what is shifted",
    ),
    # -- decisions
    _comparison("equal", lambda a, b: a == b),
    _comparison("not_equal", lambda a, b: a != b),
    _comparison("less", lambda a, b: a < b),
    _comparison("less_or_equal", lambda a, b: a <= b),
    StepKind(
        "select", 3, "select", lambda w, n: max(w[1:]), lambda v, w, n: v[1] if v[0] else v[2],
        condition=lambda v, w, n: w[0] == 1, condition_text="a condition must be one bit wide",
    ),
    # -- the rest
    StepKind(
        "count_leading_zeros", 1, "count_leading_zeros", lambda w, n: w[0].bit_length(),
        lambda v, w, n: w[0] - v[0].bit_length(), Measured.OPERAND, Feature.RESULT,
    ),
    StepKind("move", 1, "move", _widest, lambda v, w, n: v[0]),
    StepKind("load", 1, "load", _widest, lambda v, w, n: v[0]),
    StepKind("store", 1, "store", _widest, lambda v, w, n: v[0]),
    StepKind(
        "look_up", 1, "load", _of_entry, lambda v, w, n: n.entries[v[0]],
        condition=lambda v, w, n: v[0] < len(n.entries),
        condition_text="an index must be less than the number of entries",
    ),
    StepKind(
        "resize", 1, None, _as_given, lambda v, w, n: v[0],
        condition=lambda v, w, n: v[0] <= _mask(n),
        condition_text="a value must fit the stated width",
    ),
    # -- what only the lowering uses: words of a CPU, and its carry flag as the bit above the word
    StepKind("low_word", 1, None, lambda w, n: min(w[0], n), lambda v, w, n: v[0] & _mask(n)),
    StepKind("high_word", 1, None, lambda w, n: max(w[0] - n, 1), lambda v, w, n: v[0] >> n),
    StepKind("join_words", 2, None, lambda w, n: w[0] + w[1], lambda v, w, n: v[0] | v[1] << w[0]),
    StepKind(
        "load_at", 1, "load", _of_entry, lambda v, w, n: n.entries[n.index_at(v[0], w[0])],
        condition=lambda v, w, n: n.index_at(v[0], w[0]) is not None,
        condition_text="an address must be that of an entry",
    ),
    StepKind("add_with_carry", 3, "add_with_carry", lambda w, n: max(w) + 1, lambda v, w, n: sum(v)),
    StepKind(
        "subtract_with_borrow", 3, "subtract_with_borrow", lambda w, n: max(w) + 1,
        lambda v, w, n: (v[0] - v[1] - v[2]) & _mask(max(w) + 1),
    ),
    StepKind(
        "shift_left_through_carry", 2, "shift_left_through_carry", lambda w, n: w[0] + 1,
        lambda v, w, n: v[0] << 1 | v[1],
    ),
    StepKind(
        "shift_right_through_carry", 2, "shift_right_through_carry", lambda w, n: w[0] + 1,
        lambda v, w, n: (v[0] & 1) << w[0] | v[1] << (w[0] - 1) | v[0] >> 1,
    ),
)  # fmt: skip

STEPS: dict[str, StepKind] = {row.name: row for row in _ROWS}


def step_kind(name: str) -> StepKind:
    """The row of a name."""
    return STEPS[name]


# What a tally may hold, in the order of reports: the rows' own kinds and those that belong to no row.
COUNTED_KINDS: tuple[str, ...] = (
    *dict.fromkeys(row.counted_as for row in _ROWS if row.counted_as is not None),
    "branch_taken",
    "branch_not_taken",
    "load_constant",
    "call",
    "return",
)


def constant_width(value: int) -> int:
    """Bits of a constant written without a width: as few as hold it, and at least one."""
    return max(value.bit_length(), 1)
