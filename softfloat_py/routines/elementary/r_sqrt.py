"""One over the square root (IEEE 754-2019, clause 9.2), rounded once.

Why the result is correctly rounded. An exponent made even as `square_root` does it leaves X in [1/4, 1),
whose reciprocal root Y lies in (1, 2]. Y is estimated with n = p + 8 bits, seven of them below half a unit in
the last place, in units u = 2^-(n - 1):

1. A third of its digits is found, digit by digit or by Newton's method: q, and what it leaves of 1, rest =
   2^k (1 - X q²), with k = n // 3 + 1 (`reciprocal_roots`).
2. The estimate is q + q c 2^-(k + 1), where c adds two terms of the series (`correction_of`). It is too small
   by less than 0.72 u for the terms left out, 3/4 u for the bits left out of the square and 2 u for those of
   c, as q < 2 multiplies them, 1 u for those of the product, and 1/4 u for what the rest and the square lose
   in their last places: together less than 5 u. It is too large by less than 1.1 u, as the rest is too large.
   Digit by digit that is less than 1/4 u, by what `digits_of_reciprocal_root` states. By Newton's method X q
   is cut to n bits, as if X were smaller by 2^-n / q; Y becomes larger by Y³ / 2 times that.
3. A boundary of rounding is a number of p bits or the middle between two, so of the form C = c / 2^p. If none
   lies from 1.1 u below the estimate to 5 u above it, Y lies between the same two as the estimate does, whose
   extra bits are not all zero and stand for those of Y.
4. If one does, one whole number decides. With X = x / 2^(p + 1), x c² - 2^(3p + 1) is negative where C < Y.
   As C differs from Y by less than 2^-(p + 4), it is less than 2^(2p - 1) in magnitude, so its lowest 2p bits
   have its sign. It is zero only if x is a power of two, which leaves X = 1/4, as X = 1/2 has no such root:
   then Y = 2 is exact. No Y is the middle between two numbers.

The estimate for X = 1/4 is so near 2 that step 4 always finds it. Any other X is larger by 2^-(p + 1) or
more, so its Y is less than 2 by more than 2^-p, and its estimate does not come near.

Special operands: of +0 and -0 the infinity of that sign, with division by zero; of +infinity +0; of all that
is below zero invalid (clause 9.2.1, from memory). Shift and subtract: common practice, no source.
"""

from __future__ import annotations

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options, SquareRoot
from softfloat_py.routines.elementary.fixed_point import at_top, moved
from softfloat_py.routines.elementary.reciprocal_roots import (
    correction_of,
    estimate_bits,
    first_digits,
    reciprocal_root,
    rest_of,
)
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    phase,
    resize,
    shift_left,
    signal,
    subtract_modulo,
)
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import (
    infinity_or_nan,
    is_nan,
    nan_of_one,
    signal_invalid_operation,
    zero,
)
from softfloat_py.routines.unpacking import (
    Unpacked,
    counts_as_zero,
    is_reserved,
    is_special,
    unpack_normal,
    unpack_with_leading_one,
)

BELOW_HALF = 7
TOO_SMALL, TOO_LARGE = 5, 1  # whole units above and below an estimate at which a boundary may be in question


def r_sqrt(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """1 / sqrt(x); of a zero, the infinity of its sign. Signals invalid operation (signalling NaN, x < 0),
    division by zero, inexact; in formats of few exponents overflow and underflow.
    """
    phase("unpack")
    a = unpack_normal(x, fmt)
    if is_reserved(a.exponent, fmt) | a.sign:
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
        if counts_as_zero(x, fmt, options):
            signal(Flags.DIVISION_BY_ZERO)
            return infinity_or_nan(a.sign, fmt, options)
        if a.sign:
            return signal_invalid_operation(fmt, options)
        if options.special:
            if is_special(x, fmt):
                return zero(a.sign, fmt)
        phase("unpack")
        a = unpack_with_leading_one(x, fmt, options)

    exponent_less_one, significand = reciprocal_root_of(a, fmt, options)
    phase("normalise")
    return round_to_format(constant(0, 1), exponent_less_one, significand, direction, fmt, options)


def reciprocal_root_of(a: Unpacked, fmt: BinaryFormat, options: Options) -> tuple[Bits, Bits]:
    """The exponent, less one, and p + 8 bits, the last one sticky, of 1 / sqrt(a); a has a leading one."""
    phase("normalise")
    # x = X 4^j with j = floor((exponent - bias) / 2) + 1, so the exponent of the result, Y being from 1 to 2,
    # is -j. As in `square_root`, what is halved is lifted above zero.
    lift = fmt.precision
    width = signed_exponent_bits(fmt)
    halved = add_modulo(a.exponent, fmt.bias + 2 * lift, width) >> 1
    exponent_less_one = subtract_modulo(2 * fmt.bias - 2 + lift, halved, width)
    radicand = shift_left(a.significand, ~field(a.exponent, 0, 1), fmt.precision + 1)

    estimate = estimate_of(radicand, fmt, options)
    above = add_modulo(estimate, TOO_SMALL, estimate.width)
    if field(above, 0, BELOW_HALF) <= TOO_SMALL + TOO_LARGE:
        phase("decide")
        if radicand == fmt.leading_one:
            estimate = constant(1 << (estimate.width - 1), estimate.width)
            exponent_less_one = add_modulo(exponent_less_one, 1, width)
        else:
            estimate = beside_boundary(above >> BELOW_HALF, radicand, fmt)
    return exponent_less_one, estimate


def estimate_of(radicand: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Y in n bits, the first of them before the point, for X = radicand / 2^(p + 1)."""
    bits = estimate_bits(fmt)
    digits = first_digits(bits)
    if options.square_root is SquareRoot.DIGIT_BY_DIGIT:
        places = digits
        root, rest = digits_of_reciprocal_root(at_top(radicand, bits - 2), digits)
    else:
        places = digits + 1
        root = reciprocal_root(radicand, places, options)
        product = moved(radicand * root, bits - radicand.width - places)
        rest = rest_of(resize(product, bits), root)
    correction = correction_of(rest)
    return add_modulo(root << (bits - 1 - places), (correction * root) >> places, bits)


def digits_of_reciprocal_root(x: Bits, digits: int) -> tuple[Bits, Bits]:
    """q with k = `digits` bits after the point and 2^k (1 - X q²) with x.width, for X = x / 2^x.width.

    A further digit of 2^-(i + 1) is one if 1 - X (q + 2^-(i + 1))² is not negative, that is if 2 × rest >= 2
    X q + X 2^-(i + 1), where rest = 2^i (1 - X q²), which is then what the rest loses. So it is 2 X q that is
    kept, and X 2^-(i + 1), its *share* in a digit, of which 2 X q gains two. Y - q < 2^-i holds all along, so
    the rest, which is 2^i (Y - q)(Y + q)/Y², is less than 2/Y; and q e³ is less than 8 × 2^-3k.

    The share loses bits below the last place from the sixth round on, as the last five bits of x are zero.
    For them the rest is too large by less than 2i + 1 units of the last place in round i + 6, if its digit is
    one, and each round doubles that: in the end by less than 2^(k - 6) (1 + 3/2 + 5/4 + 7/8 + ...) = 6 × 2^(k
    - 6) units. As long as there is no digit, nothing is lost; with one, 2/Y is below 2 by more. A digit may
    come too early by that, q being above Y by as little; the rest then stays above zero.
    """
    phase("reciprocal root")
    places = x.width
    rest = resize(constant(1 << places, places + 1) - x, places + 1)
    twice = x << 1
    share = resize(x >> 1, places)
    root = constant(1, digits + 1)
    for _ in range(digits):
        doubled = rest << 1
        trial = resize(twice + share, places + 2)
        root = resize(root << 1, digits + 1)
        if doubled >= trial:
            doubled = doubled - trial
            twice = resize(trial + share, places + 1)
            root = root | 1
        rest = resize(doubled, places + 1)
        share = resize(share >> 1, places)
    return root, rest


def beside_boundary(candidate: Bits, radicand: Bits, fmt: BinaryFormat) -> Bits:
    """An estimate on that side of the boundary candidate / 2^p on which Y is; it is never on it."""
    low_bits = 2 * fmt.precision
    square = field(candidate * candidate, 0, low_bits)
    boundary = candidate << BELOW_HALF
    if field(square * radicand, low_bits - 1, 1):
        return boundary | 1
    return boundary - 1
