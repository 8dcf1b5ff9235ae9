"""Which C is compared with the plain engine, and on which operands.

Elementary functions are long, most of all in short words: a few, of each way in which they are computed, are
compared here; `python -m tests.engines.every_c --elementary` compares the others, and
`python -m tests.campaigns functions` all of them in words of 64 bits.
"""

from __future__ import annotations

import itertools
import random
from typing import NamedTuple

from softfloat_py.commands.words import wanted
from softfloat_py.numbers.formats import (
    Format,
    binary16,
    binary32,
    binary64,
    binary128,
    extended80,
    ofp8_e4m3,
)
from softfloat_py.operations import OPERATIONS, Operation
from softfloat_py.options import COMPLETE, LEAN, Division, LeadingZeros, Options, Product, SquareRoot
from softfloat_py.uses import Use

CONVERSIONS = (
    "convert_format:binary16", "convert_format:binary64", "convert_to_integer:int32",
    "convert_to_integer:uint8", "convert_to_integer:int64", "convert_to_integer_toward_zero:int16",
    "convert_from_integer:int16", "convert_from_integer:uint64",
)  # fmt: skip
NOT_ELEMENTARY = [name for name, row in OPERATIONS.items() if not row.elementary and not row.parameters]
# By tables, quotients, roots and whole numbers; of two numbers, of a number and an integer.
SOME_ELEMENTARY = ("exp", "log", "tan", "pown", "r_sqrt", "hypot")
BY_MULTIPLICATION = Options(division=Division.RECIPROCAL, square_root=SquareRoot.RECIPROCAL)
BY_DIVIDER = Options(division=Division.BY_DIVIDER)
OTHER_ALGORITHMS = Options(
    leading_zeros=LeadingZeros.HALVING, product=Product.PARTIAL, division=Division.RADIX_4
)
BARE = Options(
    all_directions=False, flags=False, subnormal_operands=False, subnormal_results=False, special=False
)


class Case(NamedTuple):
    """A format, a word, a multiplier (None for the usual one), options, and operations; if none, all but
    elementary functions, of which it has those that are named.
    """

    fmt: Format
    word: int
    options: Options = COMPLETE
    multiplier: int | None = None
    operations: tuple[str, ...] = ()
    elementary: tuple[str, ...] = ("exp",)

    @property
    def name(self) -> str:
        """For the list of tests."""
        multiplier = "" if self.multiplier is None else f"-multiplier{self.multiplier}"
        return f"{self.fmt.name}-word{self.word}{multiplier}-{self.options.name}".replace(" ", "_")

    def wanted(self) -> list[Use]:
        """The operations."""
        names = self.operations or (*NOT_ELEMENTARY, *self.elementary, *CONVERSIONS)
        return [wanted(name, self.fmt, self.options) for name in names]


ROUNDED = (
    "addition", "subtraction", "multiplication", "division", "square_root", "fused_multiply_add",
    "r_sqrt", "hypot",
)  # fmt: skip
WITH_ELEMENTARY = ((binary16, 8), (binary16, 64), (binary32, 32), (binary64, 64))
EVERYTHING = [
    Case(fmt, word, elementary=SOME_ELEMENTARY if (fmt, word) in WITH_ELEMENTARY else ("r_sqrt", "hypot"))
    for fmt in (binary16, binary32, binary64)
    for word in (8, 16, 32, 64)
]
OTHERS = [
    Case(binary32, 8, LEAN),
    Case(binary32, 32, LEAN),
    Case(binary64, 32, LEAN, operations=ROUNDED),
    Case(binary16, 16, BARE, 0, ROUNDED),
    Case(binary32, 8, BARE, 0, ROUNDED),
    Case(binary32, 32, BARE, 0, ROUNDED),
    Case(binary32, 32, BY_MULTIPLICATION, 32, ROUNDED),
    Case(binary64, 32, BY_MULTIPLICATION, 32, ("division", "square_root", "r_sqrt", "hypot")),
    *(Case(binary32, word, BY_DIVIDER, operations=("division",)) for word in (8, 16, 32, 64)),
    Case(binary64, 32, BY_DIVIDER, operations=("division", "tan")),
    Case(binary32, 16, OTHER_ALGORITHMS, 8, ROUNDED),
    Case(binary64, 64, OTHER_ALGORITHMS, 8, ROUNDED),
    Case(ofp8_e4m3, 8, operations=ROUNDED),
    Case(extended80, 32, LEAN),
    Case(extended80, 8, LEAN, operations=("addition", "multiplication", "is_subnormal")),
    Case(binary128, 64, operations=("addition", "multiplication", "division", "convert_to_integer:int64")),
    Case(binary128, 16, operations=("addition", "negate", "convert_format:binary32")),
]


def operand_rows(
    operation: Operation, fmt: Format, widths: list[int], special: bool
) -> list[tuple[int, ...]]:
    """Operands of calls: corner ones in combinations, near ones that cancel and round, and any bits."""
    draw = random.Random(operation.name)
    columns = [
        integer_corners(width) if name in operation.integer_operands else corners(fmt)
        for name, width in zip(operation.operands, widths, strict=True)
    ]
    rows = list(itertools.product(*columns))
    rows = draw.sample(rows, 250) if len(rows) > 250 else rows
    rows += [tuple(near(draw, fmt, width) for width in widths) for _ in range(150)]
    rows += [tuple(draw.getrandbits(width) for width in widths) for _ in range(100)]
    if special:
        return rows
    numbers = [name not in operation.integer_operands for name in operation.operands]
    return [
        row
        for row in rows
        if all(fmt.is_finite(bits) for bits, number in zip(row, numbers, strict=True) if number)
    ]


def corners(fmt: Format) -> list[int]:
    """Encodings at which something changes, of both signs."""
    one = fmt.one
    positive = {
        0, 1, 2, fmt.smallest_normal - 1, fmt.smallest_normal, fmt.smallest_normal + 1, fmt.largest_finite,
        fmt.first_special, fmt.first_special + 1, fmt.quiet_nan, one - 1, one, one + 1, 2 * one - one // 2,
    }  # fmt: skip
    known = sorted(bits for bits in positive if bits < fmt.sign_bit)
    return known + [bits | fmt.sign_bit for bits in known]


def integer_corners(width: int) -> list[int]:
    """Two's complement numbers at the ends and around zero."""
    top = 1 << (width - 1)
    return [0, 1, 2, top - 1, top, top + 1, 2 * top - 2, 2 * top - 1]


def near(draw: random.Random, fmt: Format, width: int) -> int:
    """A number of about the size of 1, or an integer of any size."""
    if width != fmt.width:
        return draw.getrandbits(draw.randint(1, width))
    exponent = fmt.bias + draw.randint(-2, 2)
    sign = draw.getrandbits(1) << (fmt.width - 1)
    return sign | exponent << fmt.trailing_bits | draw.getrandbits(fmt.trailing_bits)
