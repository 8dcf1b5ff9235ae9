"""The standard's conversions between numbers and character sequences (IEEE 754-2019, clauses 5.4.2, 5.12).

They honour the rounding direction and raise flags as operations do, but are not counted: what a program reads
and prints is no part of a kernel's arithmetic, and nobody's table has the steps of it.
"""

from __future__ import annotations

from softfloat_py.environment import Flags, Rounding, current, environment
from softfloat_py.errors import OperandError
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.text.text_parsing import Notation
from softfloat_py.numbers.text.text_specification import DECIMAL_TYPES, HEXADECIMAL_TYPES, specification
from softfloat_py.numbers.value_system import ValueSystem

__all__ = [
    "convert_from_decimal_character", "convert_from_hex_character",
    "convert_to_decimal_character", "convert_to_hex_character",
]  # fmt: skip


def convert_from_decimal_character(
    text: str, fmt: ValueSystem, *, rounding: Rounding | None = None
) -> Number:
    """The number of a format that a decimal text says, correctly rounded whatever its length.

    IEEE 754-2019, clauses 5.4.2 and 5.12.2. Inexact, overflow and underflow are raised; not counted. As
    `Format.from_text`, which raises no flags and reads hexadecimal too. Raises TextError, which points at the
    character, for any other text.

    >>> from softfloat_py.numbers.formats import binary32
    >>> convert_from_decimal_character("1.25e-3", binary32)
    binary32(0.00125)
    """
    return _converted_from(text, fmt, Notation.DECIMAL, "convert_from_decimal_character", rounding)


def convert_from_hex_character(text: str, fmt: ValueSystem, *, rounding: Rounding | None = None) -> Number:
    """The number of a format that a text with a hexadecimal significand says, correctly rounded.

    IEEE 754-2019, clauses 5.4.3 and 5.12.3. Otherwise as `convert_from_decimal_character`.

    >>> from softfloat_py.numbers.formats import binary32
    >>> convert_from_hex_character("0x1.8p-1", binary32)
    binary32(0.75)
    """
    return _converted_from(text, fmt, Notation.HEXADECIMAL, "convert_from_hex_character", rounding)


def convert_to_decimal_character(
    x: Number, specification: str = "", *, rounding: Rounding | None = None
) -> str:
    """x in decimal, as a format specification of Python's says, rounded in the direction in force.

    IEEE 754-2019, clauses 5.4.2 and 5.12.2. Inexact is raised where the text's value is not that of x; not
    counted. Without precision and type it is the shortest text that, rounded to nearest, gives x back,
    whatever the direction. A NaN has its payload, and a signalling one is `snan` (no exception). Raises
    TextError for a wrong specification.

    >>> from softfloat_py.numbers.formats import binary32
    >>> convert_to_decimal_character(binary32(0.1), ".9e", rounding=Rounding.TOWARD_POSITIVE)
    '1.000000015e-01'
    """
    return _converted_to(x, specification, DECIMAL_TYPES, "convert_to_decimal_character", rounding)


def convert_to_hex_character(x: Number, specification: str = "", *, rounding: Rounding | None = None) -> str:
    """x with a hexadecimal significand, by default with as many digits as it needs.

    IEEE 754-2019, clauses 5.4.3 and 5.12.3. Otherwise as `convert_to_decimal_character`; the type of the
    specification is a, which may be left out, or A, its precision the digits after the point.

    >>> from softfloat_py.numbers.formats import binary32
    >>> convert_to_hex_character(binary32(0.1))
    '0x1.99999ap-4'
    """
    return _converted_to(x, specification, HEXADECIMAL_TYPES, "convert_to_hex_character", rounding)


def _converted_from(
    text: str, fmt: ValueSystem, notation: Notation, operation: str, rounding: Rounding | None
) -> Number:
    if not isinstance(fmt, ValueSystem):
        raise OperandError(f"{operation} needs a Format for its result, not {fmt!r}")
    with environment(rounding=rounding):
        bits, flags = fmt.encode_text(text, notation)
    _raise(flags)
    return Number._of(fmt, bits)


def _converted_to(x: Number, text: str, types: str, operation: str, rounding: Rounding | None) -> str:
    if not isinstance(x, Number):
        raise OperandError(f"{operation} needs a Number, not {x!r}; of an array, convert each element")
    asked = specification(text, types, "a" if types is HEXADECIMAL_TYPES else "")
    with environment(rounding=rounding) as inner:
        said, flags = x.format.converted_text(x.bits, asked, inner.rounding)
    _raise(flags)
    return said


def _raise(flags: Flags) -> None:
    """Raise flags as an operation does, if the options keep any."""
    environment_now = current.get()
    if environment_now.options.flags:
        environment_now.raised |= int(flags)
