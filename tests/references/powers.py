"""Powers and roots of IEEE 754-2019, clause 9.2, by GNU MPFR, as in `elementary`: any format, all directions.

Special operands are dealt with here, by clause 9.2.1, from memory.
"""

from __future__ import annotations

import operator
from fractions import Fraction

from softfloat_py.environment import Flags
from softfloat_py.numbers.formats import Format
from tests.references.elementary import Reference, stand_in
from tests.references.exact_rounding import Destination, Outcome
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


POWERS: dict[str, Reference] = {"pow": _pow, "powr": _powr}
# Those of a number and an integer.
WHOLE_POWERS: dict[str, Reference] = {"pown": _pown, "compound": _compound}


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
