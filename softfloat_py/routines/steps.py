"""The steps that routines are made of: one row a kind, with its width rule and its meaning.

Whoever runs steps, folds constants or generates code reads these rows: what a kind means is said in words of
an algebra (`algebra`), of which numbers, and the text of Python and of numpy, are instances.

A step takes operands (unsigned numbers of known widths) and, for some kinds, one *immediate*, fixed before
anything runs: a number, such as the distance of a constant shift, or a table. Values never exceed their
width.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any, NamedTuple

from softfloat_py.routines.algebra import NUMBERS, Algebra, ones

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


class Computed(Enum):
    """In which width a step is computed, so that neither operands nor result lose anything."""

    RESULT = "width of the result"
    FIRST = "width of the first operand"
    WIDEST = "width of the widest operand"
    OWN = "each operand in its own width"


class Said(NamedTuple):
    """A kind in the guide to the language: how it is written, how wide its result is, and what must hold."""

    written: str
    width: str
    must_hold: str = ""

    @property
    def line(self) -> str:
        """The line of the guide's table."""
        return f"| {self.written} | {self.width} | {self.must_hold + ' ' if self.must_hold else ''}|"


def _no_zeros(zeros: Ints, immediate: Immediate) -> int:
    return 0


@dataclass(frozen=True, slots=True)
class StepKind:
    """One kind of step.

    `width(widths, immediate)` is the result's width; `meaning(algebra, operands, widths, immediate)` its
    value in the words of `algebra.Algebra`; `condition(values, widths, immediate)` must hold for it to.
    `counted_as` is the name the step is counted under, None for a step that costs nothing (it only says where
    bits already are).

    What is known of the result: `known_zeros(zeros, immediate)` of its lowest bits are zero where so many of
    the operands' are; it is at most `largest(values, immediate)` where the operands are at most these values,
    all ones where there is no such rule; `kept_beside_zeros` are the operands that it is where all others are
    zero. Its bits come from those of the operands in `continues`, all of them where that is None; those in
    `conditions` are one bit wide and only decide.

    A kind is `commutative` if its two operands may change places, `bitwise` if each bit of the result comes
    from bits in the same place, `modular` if its lowest bits come from as many lowest bits of the operands,
    and it `renames` if the result is the operand. `said` stands in the guide, which leaves out what only the
    lowering uses.
    """

    name: str
    arity: int
    counted_as: str | None
    width: Callable[[Ints, Immediate], int]
    meaning: Callable[[Algebra[Any], Sequence[Any], Ints, Immediate], Any]
    measured: Measured = Measured.RESULT
    feature: Feature = Feature.NONE
    condition: Callable[[Ints, Ints, Immediate], bool] = lambda values, widths, immediate: True
    condition_text: str = ""
    computed_in: Computed = Computed.RESULT
    known_zeros: Callable[[Ints, Immediate], int] = _no_zeros
    largest: Callable[[Ints, Immediate], int] | None = None
    kept_beside_zeros: tuple[int, ...] = ()
    continues: tuple[int, ...] | None = None
    conditions: tuple[int, ...] = ()
    commutative: bool = False
    bitwise: bool = False
    modular: bool = False
    renames: bool = False
    said: Said | None = None

    def value(self, values: Ints, widths: Ints, immediate: Immediate) -> int:
        """The meaning of whole numbers."""
        result: int = self.meaning(NUMBERS, values, widths, immediate)
        return result

    @property
    def is_shift(self) -> bool:
        """Whether a distance, fixed or in a register, is all that the cost depends on."""
        return self.feature in (Feature.IMMEDIATE, Feature.DISTANCE)

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


def _widest(widths: Ints, immediate: Immediate) -> int:
    return max(widths)


def _one_bit(widths: Ints, immediate: Immediate) -> int:
    return 1


def _as_given(widths: Ints, immediate: Immediate) -> int:
    return int(immediate)


def _of_entry(widths: Ints, immediate: Immediate) -> int:
    return int(immediate.width)


def _fewest(zeros: Ints, immediate: Immediate) -> int:
    return min(zeros)


def _of_first(values: Ints, immediate: Immediate) -> int:
    return values[0]


def _all_ones(values: Ints, immediate: Immediate) -> int:
    return ones(max(value.bit_length() for value in values))


def _comparison(name: str, commutative: bool) -> StepKind:
    return StepKind(
        name, 2, "compare", _one_bit, lambda a, v, w, n: getattr(a, name)(v[0], v[1]), Measured.OPERAND,
        computed_in=Computed.WIDEST, commutative=commutative,
        said=Said("`x == y`, `<`, `>=` and so on", "1"),
    )  # fmt: skip


def _renaming(name: str, counted_as: str | None, width: Callable[[Ints, Immediate], int]) -> dict[str, Any]:
    return {
        "name": name, "arity": 1, "counted_as": counted_as, "width": width,
        "meaning": lambda a, v, w, n: v[0], "known_zeros": _of_first, "largest": _of_first,
        "bitwise": True, "renames": True,
    }  # fmt: skip


_ROWS = (
    # -- arithmetic: as wide as the result can become
    StepKind(
        "add", 2, "add", lambda w, n: max(w) + 1, lambda a, v, w, n: a.add(v[0], v[1]),
        known_zeros=_fewest, largest=lambda v, n: v[0] + v[1], kept_beside_zeros=(0, 1), commutative=True,
        said=Said("`x + y`", "the wider one, and one bit more"),
    ),
    StepKind(
        "subtract", 2, "subtract", _widest, lambda a, v, w, n: a.subtract(v[0], v[1]),
        condition=lambda v, w, n: v[0] >= v[1], condition_text="a difference must not be negative",
        known_zeros=_fewest, largest=_of_first, kept_beside_zeros=(0,),
        said=Said("`x - y`", "the wider one", "not negative"),
    ),
    StepKind(
        "add_modulo", 2, "add", _as_given, lambda a, v, w, n: a.add_wrapping(v[0], v[1], n),
        known_zeros=_fewest, kept_beside_zeros=(0, 1), commutative=True, modular=True,
        said=Said("`add_modulo(x, y, width)`, `subtract_modulo`", "as stated, what does not fit is lost"),
    ),
    StepKind(
        "subtract_modulo", 2, "subtract", _as_given, lambda a, v, w, n: a.subtract_wrapping(v[0], v[1], n),
        known_zeros=_fewest, kept_beside_zeros=(0,), modular=True,
        said=Said("`add_modulo(x, y, width)`, `subtract_modulo`", "as stated, what does not fit is lost"),
    ),
    StepKind(
        "multiply", 2, "multiply", lambda w, n: w[0] + w[1], lambda a, v, w, n: a.multiply(v[0], v[1]),
        Measured.OPERAND, Feature.SET_BITS,
        known_zeros=lambda z, n: sum(z), largest=lambda v, n: v[0] * v[1], commutative=True,
        said=Said("`x * y`", "both widths together"),
    ),
    StepKind(
        "divide", 2, "divide", _as_given, lambda a, v, w, n: a.quotient(v[0], v[1]), Measured.OPERAND,
        condition=lambda v, w, n: v[1] != 0 and v[0] // v[1] <= ones(n),
        condition_text="a divisor must not be zero, and a quotient fit the stated width",
        computed_in=Computed.WIDEST, largest=lambda v, n: min(v[0], ones(n)),
        said=Said("`divide(x, y, width)`, rounded down", "as stated", "y not 0; the result fits"),
    ),
    # -- logic
    StepKind(
        "and", 2, "and", lambda w, n: min(w), lambda a, v, w, n: a.conjunction(v[0], v[1]),
        computed_in=Computed.WIDEST, known_zeros=lambda z, n: max(z), largest=lambda v, n: min(v),
        commutative=True, bitwise=True, modular=True,
        said=Said("`x & y`", "the narrower one"),
    ),
    StepKind(
        "or", 2, "or", _widest, lambda a, v, w, n: a.disjunction(v[0], v[1]),
        known_zeros=_fewest, largest=_all_ones, kept_beside_zeros=(0, 1), commutative=True, bitwise=True,
        said=Said("`x \\| y`, `x ^ y`", "the wider one"),
    ),
    StepKind(
        "xor", 2, "xor", _widest, lambda a, v, w, n: a.difference(v[0], v[1]),
        known_zeros=_fewest, largest=_all_ones, kept_beside_zeros=(0, 1), commutative=True, bitwise=True,
        said=Said("`x \\| y`, `x ^ y`", "the wider one"),
    ),
    StepKind(
        "not", 1, "not", _widest, lambda a, v, w, n: a.complement(v[0], w[0]), bitwise=True,
        said=Said("`~x`", "the same"),
    ),
    # -- shifts
    StepKind(
        "shift_left", 1, "shift_left", lambda w, n: w[0] + n, lambda a, v, w, n: a.raise_by(v[0], w[0], n),
        feature=Feature.IMMEDIATE,
        known_zeros=lambda z, n: z[0] + int(n), largest=lambda v, n: v[0] << int(n),
        said=Said("`x << 3`", "3 bits more"),
    ),
    StepKind(
        "shift_right", 1, "shift_right", lambda w, n: max(w[0] - n, 1),
        lambda a, v, w, n: a.lower_by(v[0], w[0], n), Measured.OPERAND, Feature.IMMEDIATE,
        computed_in=Computed.FIRST,
        known_zeros=lambda z, n: max(z[0] - int(n), 0), largest=lambda v, n: v[0] >> int(n),
        said=Said("`x >> 3`", "3 bits less, at least one"),
    ),
    StepKind(
        "shift_left_variable", 2, "shift_left_variable", _as_given,
        lambda a, v, w, n: a.shift_left(v[0], v[1], n), feature=Feature.DISTANCE,
        condition=lambda v, w, n: v[1] < n and v[0] << v[1] <= ones(n),
        condition_text="a value shifted left must fit the stated width, the distance be less than it",
        continues=(0,),
        said=Said("`shift_left(x, n, width)`", "as stated", "the result fits; n less than `width`"),
    ),
    StepKind(
        "shift_right_variable", 2, "shift_right_variable", lambda w, n: w[0],
        lambda a, v, w, n: a.shift_right(v[0], v[1]), feature=Feature.DISTANCE,
        condition=lambda v, w, n: v[1] < w[0],
        condition_text="a distance must be less than the width of what is shifted",
        computed_in=Computed.FIRST, largest=_of_first, continues=(0,),
        said=Said("`x >> n`, n of bits", "the same", "n less than the width of x"),
    ),
    # -- decisions
    _comparison("equal", True),
    _comparison("not_equal", True),
    _comparison("less", False),
    _comparison("less_or_equal", False),
    StepKind(
        "select", 3, "select", lambda w, n: max(w[1:]),
        lambda a, v, w, n: a.choose(v[0], v[1], v[2], max(w[1:])),
        condition=lambda v, w, n: w[0] == 1, condition_text="a condition must be one bit wide",
        known_zeros=lambda z, n: min(z[1:]), largest=lambda v, n: max(v[1:]),
        continues=(1, 2), conditions=(0,), bitwise=True,
        said=Said("`select(c, x, y)`", "the wider of x and y", "c one bit wide; both are computed"),
    ),
    # -- the rest
    StepKind(
        "count_leading_zeros", 1, "count_leading_zeros", lambda w, n: w[0].bit_length(),
        lambda a, v, w, n: a.leading_zeros(v[0], w[0]), Measured.OPERAND, Feature.RESULT,
        computed_in=Computed.FIRST,
        said=Said("`count_leading_zeros(x)`", "as many bits as hold 0 to the width of x"),
    ),
    StepKind(
        **_renaming("move", "move", _widest),
        said=Said("`move(x)`, `y = x`", "the same: a move between registers"),
    ),
    StepKind(
        **_renaming("load", "load", _widest),
        said=Said("`load(x)`, `store(x)`", "the same: a value brought from memory, or put there"),
    ),
    StepKind(
        **_renaming("store", "store", _widest),
        said=Said("`load(x)`, `store(x)`", "the same: a value brought from memory, or put there"),
    ),
    StepKind(
        "look_up", 1, "load", _of_entry, lambda a, v, w, n: a.entry(n, v[0]),
        condition=lambda v, w, n: v[0] < len(n.entries),
        condition_text="an index must be less than the number of entries",
        computed_in=Computed.FIRST, known_zeros=lambda z, n: int(n.known_zeros),
        largest=lambda v, n: max(n.entries), continues=(),
        said=Said(
            "`look_up(table, n)`, n of bits", "that of the entries, as the widest needs or as stated",
            "n less than their number",
        ),
    ),
    StepKind(
        **_renaming("resize", None, _as_given),
        condition=lambda v, w, n: v[0] <= ones(n), condition_text="a value must fit the stated width",
        said=Said("`resize(x, width)`", "as stated; costs nothing", "x fits"),
    ),
    # -- what only the lowering uses: words of a CPU, and its carry flag as the bit above the word
    StepKind(
        "low_word", 1, None, lambda w, n: min(w[0], n),
        lambda a, v, w, n: v[0] if w[0] <= n else a.lowest(v[0], n),
        computed_in=Computed.FIRST, known_zeros=_of_first, largest=_of_first,
    ),
    StepKind(
        "high_word", 1, None, lambda w, n: max(w[0] - n, 1), lambda a, v, w, n: a.lower_by(v[0], w[0], n),
        computed_in=Computed.FIRST, largest=lambda v, n: v[0] >> int(n),
    ),
    StepKind(
        "join_words", 2, None, lambda w, n: w[0] + w[1],
        lambda a, v, w, n: a.disjunction(v[0], a.raise_by(v[1], w[1], w[0])), computed_in=Computed.OWN,
    ),
    StepKind(
        "load_at", 1, "load_from_table", _of_entry, lambda a, v, w, n: a.entry_at(n, v[0], w[0]),
        condition=lambda v, w, n: n.index_at(v[0], w[0]) is not None,
        condition_text="an address must be that of an entry",
        computed_in=Computed.FIRST, continues=(),
    ),
    StepKind(
        "add_with_carry", 3, "add_with_carry", lambda w, n: max(w) + 1,
        lambda a, v, w, n: a.add(a.add(v[0], v[1]), v[2]),
        computed_in=Computed.OWN, kept_beside_zeros=(0, 1, 2),
    ),
    StepKind(
        "subtract_with_borrow", 3, "subtract_with_borrow", lambda w, n: max(w) + 1,
        lambda a, v, w, n: a.subtract_wrapping(v[0], a.add(v[1], v[2]), max(w) + 1),
        computed_in=Computed.OWN,
    ),
    StepKind(
        "shift_left_through_carry", 2, "shift_left_through_carry", lambda w, n: w[0] + 1,
        lambda a, v, w, n: a.disjunction(a.raise_by(v[0], w[0], 1), v[1]), computed_in=Computed.OWN,
    ),
    StepKind(
        "shift_right_through_carry", 2, "shift_right_through_carry", lambda w, n: w[0] + 1,
        lambda a, v, w, n: a.disjunction(
            a.raise_by(a.lowest(v[0], 1), 1, w[0]),
            a.disjunction(a.raise_by(v[1], w[1], w[0] - 1), a.lower_by(v[0], w[0], 1)),
        ),
        computed_in=Computed.OWN,
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
