"""How a Python number becomes an encoding: a constant of the program, converted once, not counted.

The exact value is cut to p + 2 bits and a sticky bit, then rounded by the routine that rounds everything.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable
from fractions import Fraction
from functools import cache, lru_cache
from numbers import Rational, Real
from typing import Any

from softfloat_py.engines import plain
from softfloat_py.environment import DIRECTION_BITS, Flags, Rounding, current
from softfloat_py.errors import OperandError
from softfloat_py.formats import BinaryFormat
from softfloat_py.integer_form.reader import read
from softfloat_py.numbers.leading_bit import from_twin
from softfloat_py.options import COMPLETE, Options
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.rounding import round_to_format

SATURATING = Options(saturate=True)
# What to write instead of a kind of number that has no place here.
ADVICE = {
    "bool": "convert it first, for example int(value)",
    "complex": "make a value of the format of it: {name}.complex_number(value)",
    "str": "write {name}.from_text(text)",
    "Decimal": "convert it first: Fraction(value) is exact",
    **dict.fromkeys(("list", "tuple", "ndarray"), "write {name}.array(values)"),
}


def refusal(what: str, fmt: BinaryFormat, value: object) -> OperandError:
    """The error for an operand that is no constant of a format; `what` needs it."""
    kind = type(value).__name__.rstrip("_")
    advice = f"; {ADVICE[kind].format(name=fmt.name)}" if kind in ADVICE else ""
    shown = f"{value!r} ({type(value).__name__})"
    if hasattr(value, "to_numpy"):  # a table of another library, of many lines
        shown, advice = f"a {kind}", f"; write {fmt.name}.array(values.to_numpy())"
    return OperandError(f"{what} of {fmt.name} needs an int, a float or a Fraction, not {shown}{advice}")


def encode(fmt: BinaryFormat, value: Any, rounding: Rounding | None = None) -> tuple[int, Flags]:
    """The encoding of a Python or numpy number, correctly rounded, and the flags that raised.

    `rounding` defaults to the current environment's direction. A NaN becomes the canonical one. Raises
    OperandError for anything but a real number.

    >>> from softfloat_py.numbers.formats import binary32
    >>> hex(encode(binary32, 1.5)[0])
    '0x3fc00000'
    """
    if not is_real(value):
        raise refusal("a constant", fmt, value)
    value = _with_ratio(value)
    if value != value:
        return fmt.quiet_nan, Flags.NONE
    saturate = current.get().options.saturate
    negative = value < 0 or (value == 0 and not isinstance(value, Rational) and math.copysign(1, value) < 0)
    if value in (math.inf, -math.inf):
        limit = fmt.largest_finite if saturate else fmt.first_special
        return limit | (fmt.sign_bit if negative else 0), Flags.NONE
    direction = current.get().direction if rounding is None else int(rounding)
    return encode_exact(fmt, exactly(value), negative, direction, saturate)


def exactly(value: Any) -> Fraction:
    """The value of a finite number that `is_real`."""
    ratio = (value.numerator, value.denominator) if isinstance(value, Rational) else value.as_integer_ratio()
    return Fraction(*map(int, ratio))


def is_real(value: object) -> bool:
    """Whether a value is a Python or numpy int or float or a Fraction, a bool being none of them.

    A single value of a dtype that another package registered with numpy, such as ml_dtypes' bfloat16, is one.
    """
    if isinstance(value, bool):
        return False
    if hasattr(value, "dtype"):
        return isinstance(value, Real) or _is_registered(value)
    return isinstance(value, int | float | Fraction)


def _is_registered(value: Any) -> bool:
    # numpy calls dtypes "builtin" by number: 2 are those that others registered.
    dtype = value.dtype
    return getattr(dtype, "isbuiltin", None) == 2 and isinstance(value, dtype.type)


def _with_ratio(value: Any) -> Any:
    """A real number as one that knows its ratio; of the short formats that others registered, the double."""
    return value if isinstance(value, Real) else float(value)


@lru_cache(maxsize=4096)
def _nonzero_constant(fmt: BinaryFormat, kind: Hashable, value: Any, direction: int, saturate: bool) -> int:
    return encode(fmt, value, Rounding(direction))[0]


def constant(fmt: BinaryFormat, value: Any) -> int:
    """The encoding of what `is_real`, rounded in the current environment, remembered for the next time.

    Zeros are not remembered: 0.0 and -0.0 are equal and would be taken for each other.
    """
    kind: Any = type(value)
    if kind is not float and kind is not int:
        value = _with_ratio(value)
    if value == 0:
        return encode(fmt, value)[0]
    environment = current.conventions()
    return _nonzero_constant(fmt, kind, value, environment.direction, environment.options.saturate)


def encode_exact(
    fmt: BinaryFormat, exact: Fraction, negative: bool, direction: int, saturate: bool = False
) -> tuple[int, Flags]:
    """The encoding of a rational number, correctly rounded, and the flags that raised."""
    if exact == 0:
        return (fmt.sign_bit if negative else 0), Flags.NONE
    exponent, significand = _leading_bits(abs(exact), fmt.precision + 2)
    # Exponents beyond what the routine's width holds are as good as those at its end.
    limit = (1 << (signed_exponent_bits(fmt) - 1)) - 1
    exponent_below = max(-limit, min(limit, exponent + fmt.bias - 1)) % (1 << signed_exponent_bits(fmt))
    bits, flags, _ = _rounder(fmt.twin, saturate)(int(negative), exponent_below, significand, direction)
    return from_twin(fmt, bits), Flags(flags)


def _leading_bits(magnitude: Fraction, count: int) -> tuple[int, int]:
    """Exponent of the leading bit, and that many leading bits with a sticky bit below them."""
    numerator, denominator = magnitude.numerator, magnitude.denominator
    exponent = numerator.bit_length() - denominator.bit_length()
    if numerator << max(-exponent, 0) < denominator << max(exponent, 0):
        exponent -= 1
    shift = count - 1 - exponent
    whole, rest = divmod(numerator << max(shift, 0), denominator << max(-shift, 0))
    return exponent, whole << 1 | (rest != 0)


@cache
def _rounder(fmt: BinaryFormat, saturate: bool) -> Callable[..., Any]:
    """The routine on ints: sign, exponent less one, significand, direction → encoding, flags, record."""
    widths = {
        "sign": 1,
        "exponent_below": signed_exponent_bits(fmt),
        "significand": fmt.precision + 3,
        "direction": DIRECTION_BITS,
    }
    fixed = {"fmt": fmt, "options": SATURATING if saturate else COMPLETE}
    form = read(round_to_format, widths, fixed, uniform=("direction",), keep_flags=True)
    return plain.compiled(form).run
