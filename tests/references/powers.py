"""Powers and roots of IEEE 754-2019, clause 9.2, by GNU MPFR, as in `elementary`: any format, all directions.

Special operands are dealt with here, by clause 9.2.1, from memory.
"""

from __future__ import annotations

import operator
from fractions import Fraction

import gmpy2  # type: ignore[import-untyped]

from softfloat_py.environment import Flags
from softfloat_py.numbers.formats import Format
from tests.references.elementary import SPARE_BITS, Reference, exactly, stand_in
from tests.references.exact_rounding import Destination, Outcome, exponent_of
from tests.references.predicates import is_infinite, is_sign_minus, is_zero


def _pow(to: Destination, x: int, y: int) -> Outcome:
    if _is_one_whatever(to.fmt, x, y):
        return to.round(Fraction(1))
    if is_infinite(to.fmt, y):
        return _to_infinity(to, x, y)
    exponent = to.fmt.decode(y)
    negative = is_sign_minus(to.fmt, x) and exponent.denominator == 1 and exponent % 2 == 1
    if is_zero(to.fmt, x) or is_infinite(to.fmt, x):
        return _of_zero_or_infinity(to, x, exponent < 0, negative)
    if is_sign_minus(to.fmt, x) and exponent.denominator != 1:
        return to.invalid()
    return to.round(stand_in(to, operator.pow, to.fmt.decode(x), exponent))


def _is_one_whatever(fmt: Format, x: int, y: int) -> bool:
    """Whether x^y is 1 whatever the other operand is, but for a signalling NaN."""
    return is_zero(fmt, y) or _is(fmt, x, 1)


def _is(fmt: Format, bits: int, value: int) -> bool:
    """Whether an encoding, of a NaN too, is that of a finite number."""
    return fmt.is_finite(bits) and fmt.decode(bits) == value


def _to_infinity(to: Destination, x: int, y: int) -> Outcome:
    if _is(to.fmt, x, -1):
        return to.round(Fraction(1))
    is_small = _is_below_one(to.fmt, x)
    return to.zero(False) if is_small != is_sign_minus(to.fmt, y) else to.infinity(False)


def _is_below_one(fmt: Format, x: int) -> bool:
    """Whether |x| < 1."""
    return fmt.is_finite(x) and abs(fmt.decode(x)) < 1


def _of_zero_or_infinity(to: Destination, x: int, is_reciprocal: bool, negative: bool) -> Outcome:
    """Powers of these, to finite exponents."""
    if is_zero(to.fmt, x) != is_reciprocal:
        return to.zero(negative)
    flags = Flags.DIVISION_BY_ZERO if is_zero(to.fmt, x) else Flags.NONE
    return to.infinity(negative)[0], flags


def _powr(to: Destination, x: int, y: int) -> Outcome:
    if is_sign_minus(to.fmt, x) and not is_zero(to.fmt, x):
        return to.invalid()
    if is_zero(to.fmt, y) and (is_zero(to.fmt, x) or is_infinite(to.fmt, x)):
        return to.invalid()
    if is_infinite(to.fmt, y) and _is(to.fmt, x, 1):
        return to.invalid()
    return _pow(to, x % to.fmt.sign_bit, y)


def _pown(to: Destination, x: int, n: int) -> Outcome:
    negative = is_sign_minus(to.fmt, x) and n % 2 == 1
    if n == 0:
        return to.round(Fraction(1))
    if is_zero(to.fmt, x) or is_infinite(to.fmt, x):
        return _of_zero_or_infinity(to, x, n < 0, negative)
    return to.round(stand_in(to, lambda base: base**n, to.fmt.decode(x)))


def _compound(to: Destination, x: int, n: int) -> Outcome:
    if is_infinite(to.fmt, x) and not is_sign_minus(to.fmt, x):
        return to.round(Fraction(1)) if n == 0 else _of_zero_or_infinity(to, x, n < 0, False)
    if is_infinite(to.fmt, x) or to.fmt.decode(x) < -1:
        return to.invalid()
    base = 1 + to.fmt.decode(x)
    if n == 0 or base:
        return to.round(stand_in(to, lambda base: base**n, base))
    return _of_zero_or_infinity(to, 0, n < 0, False)


def _rootn(to: Destination, x: int, n: int) -> Outcome:
    if n == 0 or (is_sign_minus(to.fmt, x) and n % 2 == 0 and not is_zero(to.fmt, x)):
        return to.invalid()
    negative = is_sign_minus(to.fmt, x) and n % 2 == 1
    if is_zero(to.fmt, x) or is_infinite(to.fmt, x):
        return _of_zero_or_infinity(to, x, n < 0, negative)
    magnitude = abs(to.fmt.decode(x))
    value = (
        stand_in(to, lambda base: gmpy2.rootn(base, n), magnitude)
        if n > 0
        else _reciprocal_root(to, magnitude, -n)
    )
    return to.round(-value if negative else value)


def _reciprocal_root(to: Destination, x: Fraction, n: int) -> Fraction:
    """What rounds as 1 over the n-th root of x does. Only that of a power of two, in which case x is one, may
    be exact. Any other is found between the reciprocals of two neighbours, which as nearly all are rounded
    alike; more bits are taken until they are.
    """
    exponent = exponent_of(x)
    if x == Fraction(2) ** exponent and exponent % n == 0:
        return Fraction(2) ** (-exponent // n)
    bits = to.fmt.precision + 4 * SPARE_BITS
    while True:
        with gmpy2.context(gmpy2.get_context(), precision=bits, round=gmpy2.RoundDown):
            root = gmpy2.rootn(exactly(x), n)
        down = Fraction(int(root.as_integer_ratio()[0]), int(root.as_integer_ratio()[1]))
        up = down * (1 + Fraction(1, 1 << (bits - 2)))
        ends = [truncated(1 / end, to.fmt.precision + SPARE_BITS) for end in (down, up)]
        if ends[0] == ends[1]:
            return ends[0]
        bits *= 2


def truncated(value: Fraction, bits: int) -> Fraction:
    """A positive number with so many bits, and half of the last place more for what was cut off."""
    unit = Fraction(2) ** (exponent_of(value) + 1 - bits)
    return (value // unit) * unit + unit / 2


POWERS: dict[str, Reference] = {"pow": _pow, "powr": _powr}
# Those of a number and an integer.
WHOLE_POWERS: dict[str, Reference] = {"pown": _pown, "compound": _compound, "rootn": _rootn}


def is_number_beside_nan(name: str, fmt: Format, *operands: int) -> bool:
    """Whether a function has a number as its result although an operand is a quiet NaN."""
    match name:
        case "pow":
            return _is_one_whatever(fmt, *operands)
        case "pown" | "compound":
            return operands[1] == 0
        case "hypot":
            return any(is_infinite(fmt, bits) for bits in operands)
    return False
