"""Reference by GNU MPFR through gmpy2: any format, the four directions MPFR has (no ties to away).

MPFR computes with p bits and a bounded exponent; `subnormalize` then rounds to the fewer bits a subnormal
number has, helped by the ternary value so that nothing is rounded twice (MPFR manual, mpfr_subnormalize).

Flags. Division by zero and overflow are MPFR's own; inexact is its flag or a ternary value other than zero.
Its underflow flag is raised by exact subnormal results too, so underflow is found by its definition: the
operation is repeated with p bits and exponents without practical bound, and the result is tiny where that
lies strictly between -2**emin and 2**emin; tiny and inexact is underflow (IEEE 754-2019, 7.5, a, from
memory).

MPFR has one kind of NaN and raises its NaN flag for every NaN result. So a NaN flag counts where no operand
was a NaN, and a signalling operand is recognised here, from its encoding.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import gmpy2  # type: ignore[import-untyped]

from softfloat_py.environment import Flags, Rounding
from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers.formats import Format

Outcome = tuple[int, Flags]

DIRECTIONS = {
    Rounding.TIES_TO_EVEN: gmpy2.RoundToNearest,
    Rounding.TOWARD_POSITIVE: gmpy2.RoundUp,
    Rounding.TOWARD_NEGATIVE: gmpy2.RoundDown,
    Rounding.TOWARD_ZERO: gmpy2.RoundToZero,
}

METHODS = {
    "addition": "add",
    "subtraction": "sub",
    "multiplication": "mul",
    "division": "div",
    "square_root": "sqrt",
}
FURTHER_METHODS = {
    "fused_multiply_add": "fma",
    "remainder": "remainder",
    "remainder_truncated": "fmod",
    "hypot": "hypot",
    "r_sqrt": "rec_sqrt",
}


def expected(operation: str, fmt: Format, rounding: Rounding, *operands: int) -> Outcome:
    """Result and flags of one of the five operations, or of the further ones, on encodings.

    Raises KeyError for another operation or for ties to away.
    """
    if operation == "r_sqrt" and operands == (fmt.sign_bit,):
        # MPFR has +infinity there, and says that the standard has not (its manual, from memory).
        result, flags = expected(operation, fmt, rounding, 0)
        return result | fmt.sign_bit, flags
    signaling = any(_is_signaling(fmt, bits) for bits in operands)
    method = (METHODS | FURTHER_METHODS)[operation]
    return _run(method, fmt, rounding, [_decoded(fmt, bits) for bits in operands], signaling)


def convert_format(source: Format, target: Format, rounding: Rounding, bits: int) -> Outcome:
    """Encoding in `target` of an encoding of `source`, and the flags."""
    return _run("plus", target, rounding, [_decoded(source, bits)], _is_signaling(source, bits))


def convert_from_integer(target: Format, rounding: Rounding, value: int) -> Outcome:
    """Encoding of an integer, and the flags."""
    return _run("plus", target, rounding, [_exactly(value, 0)], signaling=False)


def convert_to_integer(source: Format, rounding: Rounding, integer: IntegerFormat, bits: int) -> Outcome:
    """Pattern of the integer a finite encoding rounds to; saturates with invalid."""
    context = gmpy2.context(_unbounded(source, rounding))
    value = int(context.rint(_decoded(source, bits)))
    saturated = min(max(value, integer.lowest), integer.highest)
    return saturated % (1 << integer.width), Flags.NONE if saturated == value else Flags.INVALID_OPERATION


def convert_from_text(target: Format, rounding: Rounding, text: str) -> int:
    """Encoding of a decimal text, or of a hexadecimal one after 0x; MPFR reads any length."""
    with _bounded(target, rounding):
        return _encoded(target, gmpy2.mpfr(text, 0, 0))


def _run(method: str, fmt: Format, rounding: Rounding, operands: list[Any], signaling: bool) -> Outcome:
    if signaling:
        return fmt.quiet_nan, Flags.INVALID_OPERATION
    context = _bounded(fmt, rounding)
    result = getattr(context, method)(*operands)
    flags = Flags.NONE
    if context.invalid and not any(gmpy2.is_nan(operand) for operand in operands):
        flags |= Flags.INVALID_OPERATION
    if context.divzero:
        flags |= Flags.DIVISION_BY_ZERO
    if context.overflow:
        flags |= Flags.OVERFLOW
    if context.inexact or result.rc:
        flags |= Flags.INEXACT
        unbounded = getattr(_unbounded(fmt, rounding), method)(*operands)
        smallest_normal = _exactly(1, fmt.emin)
        if -smallest_normal < unbounded < smallest_normal:
            flags |= Flags.UNDERFLOW
    return _encoded(fmt, result), flags


def _bounded(fmt: Format, rounding: Rounding) -> Any:
    """A context with the format's own range; MPFR's significands lie in [1/2, 1), hence the shifts by one."""
    return gmpy2.context(
        precision=fmt.precision,
        round=DIRECTIONS[rounding],
        emin=fmt.emin - fmt.trailing_bits + 1,
        emax=fmt.emax + 1,
        subnormalize=True,
    )


def _unbounded(fmt: Format, rounding: Rounding) -> Any:
    return gmpy2.context(precision=fmt.precision, round=DIRECTIONS[rounding])


def _exactly(significand: int, exponent: int) -> Any:
    """significand * 2**exponent, with as many bits as that takes."""
    value = gmpy2.mpfr(significand, max(significand.bit_length(), 1))
    with gmpy2.context(precision=max(significand.bit_length(), 1)):
        return gmpy2.mul_2exp(value, exponent) if exponent >= 0 else gmpy2.div_2exp(value, -exponent)


def _decoded(fmt: Format, bits: int) -> Any:
    """The MPFR number with the value of an encoding."""
    field, trailing = divmod(bits % fmt.sign_bit, fmt.leading_one)
    if field == fmt.largest_exponent_field:
        magnitude = gmpy2.mpfr("nan" if trailing else "inf")
    elif field == 0:
        magnitude = _exactly(trailing, fmt.emin - fmt.trailing_bits)
    else:
        magnitude = _exactly(fmt.leading_one + trailing, field - fmt.bias - fmt.trailing_bits)
    if bits < fmt.sign_bit:
        return magnitude
    with gmpy2.context(precision=fmt.precision):  # a minus sign rounds to the precision in force
        return -magnitude


def _encoded(fmt: Format, value: Any) -> int:
    """The encoding of an MPFR number that the format has; any NaN is the canonical one."""
    if gmpy2.is_nan(value):
        return fmt.quiet_nan
    sign = fmt.sign_bit if gmpy2.is_signed(value) else 0
    if gmpy2.is_infinite(value):
        return sign | fmt.infinity
    if gmpy2.is_zero(value):
        return sign
    leading = max(int(gmpy2.get_exp(value)) - 1, fmt.emin)
    numerator, denominator = (int(part) for part in value.as_integer_ratio())
    significand = abs(Fraction(numerator, denominator)) / Fraction(2) ** (leading - fmt.trailing_bits)
    # Consecutive encodings: the leading bit of a normal significand adds one to the exponent field.
    return sign | ((leading - fmt.emin) << fmt.trailing_bits) + int(significand)


def _is_signaling(fmt: Format, bits: int) -> bool:
    return fmt.infinity < bits % fmt.sign_bit < fmt.infinity | fmt.quiet_bit


# -- exact operations, whose results alone are of interest -------------------------------------------------


def scale_b(fmt: Format, rounding: Rounding, bits: int, n: int) -> Outcome:
    """Encoding of a number times 2**n, and the flags."""
    method = "mul_2exp" if n >= 0 else "div_2exp"
    return _run(method, fmt, rounding, [_decoded(fmt, bits), abs(n)], _is_signaling(fmt, bits))


def log_b(fmt: Format, bits: int) -> int:
    """The exponent of a finite number other than zero; MPFR's significands lie in [1/2, 1)."""
    return int(gmpy2.get_exp(_decoded(fmt, bits))) - 1


INTEGRAL = {
    "round_to_integral_ties_to_even": "rint",
    "round_to_integral_ties_to_away": "rint_round",
    "round_to_integral_toward_positive": "rint_ceil",
    "round_to_integral_toward_negative": "rint_floor",
    "round_to_integral_toward_zero": "rint_trunc",
}


def round_to_integral(operation: str, fmt: Format, bits: int) -> int:
    """Encoding of the integer a number is rounded to; the format must have it."""
    context = _unbounded(fmt, Rounding.TIES_TO_EVEN)
    return _encoded(fmt, getattr(context, INTEGRAL[operation])(_decoded(fmt, bits)))


def extreme_number(operation: str, fmt: Format, x: int, y: int) -> int:
    """Encoding of the larger or the smaller operand, the number beside a NaN."""
    method = {"maximum_number": "maxnum", "minimum_number": "minnum"}[operation]
    context = _unbounded(fmt, Rounding.TIES_TO_EVEN)
    return _encoded(fmt, getattr(context, method)(_decoded(fmt, x), _decoded(fmt, y)))


def neighbour(operation: str, fmt: Format, bits: int) -> int:
    """Encoding of the next number above or below a normal number that is not at the ends of the normal ones.

    MPFR's neighbours are those of the operand's own precision, and it has no subnormal numbers.
    """
    method = {"next_up": "next_above", "next_down": "next_below"}[operation]
    context = _unbounded(fmt, Rounding.TIES_TO_EVEN)
    operand = gmpy2.mpfr(_decoded(fmt, bits), fmt.precision)
    return _encoded(fmt, getattr(context, method)(operand))
