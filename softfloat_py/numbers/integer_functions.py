"""The operations between numbers and integers as functions: conversions, and scaling by a power of two.

Integers are Python ints, numpy ints and host arrays of ints: the integer variables of a program.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar, overload

from softfloat_py.environment import Rounding
from softfloat_py.errors import OperandError
from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers.calling import encodings_of, format_among, rounding_towards
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.operands import combined
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import OPERATIONS, Operation
from softfloat_py.uses import INTEGER_BITS

if TYPE_CHECKING:
    from softfloat_py.numbers.array import FloatArray

T = TypeVar("T", bound=Emulated)


@overload
def convert_to_integer(
    x: Number, width: int = 32, *, signed: bool = True, rounding: Rounding | None = None
) -> int: ...
@overload
def convert_to_integer(
    x: Any, width: int = 32, *, signed: bool = True, rounding: Rounding | None = None
) -> Any: ...
def convert_to_integer(
    x: Any, width: int = 32, *, signed: bool = True, rounding: Rounding | None = None
) -> Any:
    """x rounded to an integer of `width` bits, 8 to 64, signed or not (IEEE 754-2019, clause 5.8).

    A Number gives an int, a FloatArray an array of the smallest dtype. Where no such integer exists, the
    operation is invalid and gives what `Options.integer_overflow` says: by default the nearest one, 0 for a
    NaN. C's conversion is convert_to_integer_toward_zero. Counted as one call an element.

    >>> from softfloat_py.numbers.formats import binary32
    >>> convert_to_integer(binary32(-2.75), rounding=Rounding.TOWARD_ZERO)
    -2
    >>> convert_to_integer(binary32(200.0), 8, signed=False)
    200
    """
    return _to_integer(OPERATIONS["convert_to_integer"], x, IntegerFormat(width, signed), rounding)


@overload
def convert_to_integer_exact(
    x: Number, width: int = 32, *, signed: bool = True, rounding: Rounding | None = None
) -> int: ...
@overload
def convert_to_integer_exact(
    x: Any, width: int = 32, *, signed: bool = True, rounding: Rounding | None = None
) -> Any: ...
def convert_to_integer_exact(
    x: Any, width: int = 32, *, signed: bool = True, rounding: Rounding | None = None
) -> Any:
    """As `convert_to_integer`, and signals inexact where x is no integer (IEEE 754-2019, clause 5.8).

    The standard has both, since a loop that only wants a whole number should not disturb the inexact flag of
    the computation around it.
    """
    return _to_integer(OPERATIONS["convert_to_integer_exact"], x, IntegerFormat(width, signed), rounding)


@overload
def convert_to_integer_toward_zero(x: Number, width: int = 32, *, signed: bool = True) -> int: ...
@overload
def convert_to_integer_toward_zero(x: Any, width: int = 32, *, signed: bool = True) -> Any: ...
def convert_to_integer_toward_zero(x: Any, width: int = 32, *, signed: bool = True) -> Any:
    """x without its fraction, as an integer of `width` bits (IEEE 754-2019, clause 5.8): C's conversion.

    As `convert_to_integer` otherwise, whatever the direction in force and with options of one direction too.

    >>> from softfloat_py.numbers.formats import binary32
    >>> convert_to_integer_toward_zero(binary32(-2.75))
    -2
    """
    return _to_integer(OPERATIONS["convert_to_integer_toward_zero"], x, IntegerFormat(width, signed), None)


def _to_integer(operation: Operation, x: Any, integer: IntegerFormat, rounding: Rounding | None) -> Any:
    fmt = format_among(operation, x)
    return rounding_towards(rounding, lambda: combined(operation, fmt, (x._bits,), integer))


def convert_from_integer(
    value: Any, fmt: ValueSystem, width: int = 64, *, signed: bool = True, rounding: Rounding | None = None
) -> Any:
    """An integer of `width` bits, 8 to 64, or a host array of them, in a format (IEEE 754-2019, 5.4.1).

    Counted as one call an element, as the conversion of an integer variable of the program; for constants
    write fmt(value). Raises OperandError for anything but integers, or one that `width` bits do not hold.

    >>> from softfloat_py.numbers.formats import binary32
    >>> convert_from_integer(-3, binary32, width=16)
    binary32(-3.0)
    """
    operation = OPERATIONS["convert_from_integer"]
    if not isinstance(fmt, ValueSystem):
        raise OperandError(f"convert_from_integer needs a Format for its result, not {fmt!r}")
    integer = IntegerFormat(width, signed)
    bits = _bits_of(operation, value, integer)
    return rounding_towards(rounding, lambda: combined(operation, fmt, (bits,), integer))


@overload
def scale_b(x: Number, n: int, *, rounding: Rounding | None = None) -> Number: ...
@overload
def scale_b(x: FloatArray, n: Any, *, rounding: Rounding | None = None) -> FloatArray: ...
@overload
def scale_b(x: Any, n: Any, *, rounding: Rounding | None = None) -> Any: ...
def scale_b(x: Any, n: Any, *, rounding: Rounding | None = None) -> Any:
    """x × 2^n, which only moves the exponent; rounded where it overflows or is subnormal.

    `n` is an integer of 32 bits, or a host array of them that broadcasts with x. C's scalbn, Python's
    math.ldexp. Raises OperandError for anything but integers. Counted as one call an element.

    IEEE 754-2019, clause 5.3.3.

    >>> from softfloat_py.numbers.formats import binary32
    >>> scale_b(binary32(0.75), 3)
    binary32(6.0)
    """
    return with_integer(OPERATIONS["scale_b"], x, n, rounding)


def with_integer(operation: Operation, x: Any, n: Any, rounding: Rounding | None) -> Any:
    """What an operation on a value and an integer gives, in a direction of its own or in that in force."""
    fmt = format_among(operation, x)
    bits = encodings_of(operation, fmt, x), _bits_of(operation, n, IntegerFormat(INTEGER_BITS))
    return rounding_towards(rounding, lambda: combined(operation, fmt, bits))


def _bits_of(operation: Operation, value: Any, integer: IntegerFormat) -> Any:
    """The bits of an integer or an array of integers, two's complement if they are signed."""
    is_array = getattr(value, "ndim", 0) > 0
    kind = value.dtype.kind if hasattr(value, "dtype") else "i" if type(value) is int else ""
    if kind not in ("i", "u"):
        raise OperandError(
            f"{operation.name} needs integers, not {value!r} ({type(value).__name__}); "
            "give an int or an array of ints, for example int(value) or numpy.array(values)"
        )
    extremes = (value.min(initial=0), value.max(initial=0)) if is_array else (value,)
    for extreme in map(int, extremes):
        if not integer.lowest <= extreme <= integer.highest:
            raise OperandError(
                f"an {'' if integer.signed else 'unsigned '}integer of {integer.width} bits must lie between "
                f"{integer.lowest} and {integer.highest}, not {extreme}"
            )
    mask = (1 << integer.width) - 1
    if is_array:
        return value.astype("i8").view("u8") & mask
    return int(value) & mask
