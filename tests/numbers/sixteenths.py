"""A small number system of the tests' own: battery voltages in sixteenths, as a signed byte counts them.

It is here to show what a number system has to say, and that nothing else needs to know of it: two operations
and three comparisons, one class.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from fractions import Fraction
from random import Random
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from softfloat_py.environment import Flags, Rounding
from softfloat_py.errors import FormatError, NotEmulatedError, OperandError
from softfloat_py.numbers.making import MakesValues
from softfloat_py.numbers.systems import KIND, add_kind
from softfloat_py.operations import Operation, Result
from softfloat_py.options import Options
from softfloat_py.routines.language import Bits, add_modulo, concatenate, constant, field, select

WIDTH, ONE = 8, 16


# -- routines ------------------------------------------------------------------------------------------


def addition(x: Bits, y: Bits, fmt: Any, options: Options) -> Bits:
    """The sum of two numbers, which wraps around."""
    return add_modulo(x, y, WIDTH)


def multiplication(x: Bits, y: Bits, fmt: Any, options: Options) -> Bits:
    """The product, cut to sixteenths towards minus infinity; it wraps around."""
    return field(with_sign(x) * with_sign(y), 4, WIDTH)


def with_sign(x: Bits) -> Bits:
    """As two bytes in two's complement."""
    return concatenate(select(field(x, WIDTH - 1, 1), constant(0xFF, WIDTH), 0), x)


def equal(x: Bits, y: Bits, fmt: Any, options: Options) -> Bits:
    """Whether two numbers are equal."""
    return x == y


def not_equal(x: Bits, y: Bits, fmt: Any, options: Options) -> Bits:
    """Whether two numbers differ."""
    return x != y


def less(x: Bits, y: Bits, fmt: Any, options: Options) -> Bits:
    """Whether the first number is the smaller one."""
    return (x ^ 0x80) < (y ^ 0x80)


def _row(name: str, routine: Any, result: Result = Result.NUMBER) -> Operation:
    return Operation(name, "1", routine, ("x", "y"), result, standard="the tests' own arithmetic")


ROWS = (
    _row("addition", addition),
    _row("multiplication", multiplication),
    _row("compare_quiet_equal", equal, Result.TRUTH),
    _row("compare_quiet_not_equal", not_equal, Result.TRUTH),
    _row("compare_signaling_less", less, Result.TRUTH),
)


# -- the system ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Sixteenths(MakesValues):
    """Whole numbers of sixteenths from -8 to 8 - 1/16, all of them finite."""

    kind: ClassVar[str] = "sixteenths"

    name: str

    def __repr__(self) -> str:
        return self.name

    # -- what operations, tallies and prices ask --------------------------------------------------------

    name_in_full = property(lambda self: self.name)
    is_named = property(lambda self: False)
    width = property(lambda self: WIDTH)
    twin = property(lambda self: self)
    special_magnitudes = property(lambda self: (0, 1))

    def typical_encoding(self, random: Random, exponents: int, negative: bool) -> int:
        """Any number of one sign."""
        return random.getrandbits(WIDTH - 1) | negative << WIDTH - 1

    def parameters_to_save(self) -> dict[str, Any]:
        """Its kind and its name."""
        return {KIND: self.kind, **asdict(self)}

    # -- what encodings mean ----------------------------------------------------------------------------

    def check_encoding(self, bits: Any) -> int:
        """A byte."""
        if not 0 <= int(bits) < 1 << WIDTH:
            raise FormatError(f"an encoding of {self.name} must be a byte, not {bits}")
        return int(bits)

    def is_finite(self, bits: int) -> bool:
        """All are."""
        return True

    def is_nan(self, bits: int) -> bool:
        """None is."""
        return False

    def rank(self, bits: int) -> int:
        """The whole number of sixteenths."""
        return bits - (bits >> WIDTH - 1 << WIDTH)

    def decode(self, bits: int) -> Fraction:
        """Exact value."""
        return Fraction(self.rank(bits), ONE)

    def infinity_of_sign(self, negative: bool) -> int:
        """There is none."""
        raise NotEmulatedError(f"an infinity of {self.name}", "the numbers of extremes()")

    def extremes(self) -> tuple[int, int]:
        """-8 and 8 - 1/16."""
        return 0x80, 0x7F

    def fields(self, bits: int) -> list[tuple[str, str]]:
        """Whole part and fraction in two's complement."""
        digits = f"{bits:08b}"
        return [("whole", digits[:4]), ("sixteenths", digits[4:])]

    # -- constants --------------------------------------------------------------------------------------

    def encode(
        self, value: Any, rounding: Rounding | None = None, *, options: Options | None = None
    ) -> tuple[int, Flags]:
        """The nearest number, of two the even one, whatever the direction."""
        if value != value or not -8 <= value <= Fraction(127, ONE):
            raise OperandError(f"{self.name} has numbers from -8 to 7.9375, not {value}")
        return round(Fraction(value) * ONE) % (1 << WIDTH), Flags.NONE

    def encode_text(self, text: str, notation: Any = None) -> tuple[int, Flags]:
        """As Fraction reads it."""
        return self.encode(Fraction(text))

    # -- outside the emulation, and texts ------------------------------------------------------------------

    def host_float(self, bits: int) -> float:
        """The exact value."""
        return float(self.decode(bits))

    def host_array(self, bits: NDArray[Any], dtype: Any) -> NDArray[Any]:
        """The exact values as float64."""
        return bits.view(np.int8) / np.float64(ONE)

    def text(self, bits: int, specification: str = "") -> str:
        """As Python formats the exact float."""
        return format(self.host_float(bits), specification)

    def converted_text(self, bits: int, specification: Any, rounding: Rounding) -> tuple[str, Flags]:
        """Not needed."""
        raise NotEmulatedError(f"convert_to_decimal_character of {self.name}", "str(x)")

    def expression(self, bits: int) -> str:
        """A call of the system."""
        return f"({self.text(bits)})"

    def exact_text(self, bits: int) -> str:
        """All digits."""
        return self.text(bits)

    def hexadecimal_text(self, bits: int) -> str:
        """As Python has it."""
        return self.host_float(bits).hex()


add_kind(Sixteenths.kind, Sixteenths, ROWS)
VOLTS: Any = Sixteenths("battery volts")
