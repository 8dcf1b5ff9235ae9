"""Square root (IEEE 754-2019, clause 5.4.1), by two algorithms.

Why the result is correctly rounded. An exponent made even by doubling the significand where needed leaves a
radicand in [1, 4), whose root lies in [1, 2). Both algorithms deliver the root's first p + 1 bits, rounded
down, and whether anything remains: the result before rounding, half a unit, and the sticky bit.
"""

from __future__ import annotations

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options, SquareRoot
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    concatenate,
    constant,
    field,
    phase,
    resize,
    shift_left,
    subtract_modulo,
    unrolled,
)
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import invalid, is_nan, nan_of_one, zero
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    is_extreme,
    is_special,
    sign_of,
    unpack_normal,
    unpack_with_leading_one,
)


def square_root(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The square root of x; of -0, -0. Signals invalid operation (signalling NaN, x < 0), inexact."""
    phase("unpack")
    a = unpack_normal(x, fmt)
    if is_extreme(a.exponent, fmt) | a.sign:
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
        if counts_as_zero(x, fmt, options):
            return zero(sign_of(x, fmt), fmt)
        if sign_of(x, fmt):
            return invalid(fmt, options)
        if options.special:
            if is_special(x, fmt):
                return x
        phase("unpack")
        a = unpack_with_leading_one(x, fmt, options)

    phase("normalise")
    # The bias is odd, so an odd biased exponent is an even exponent. Halving exponent + bias rounds the
    # other ones down; `lift` keeps what is halved above zero.
    lift = fmt.precision
    width = signed_exponent_bits(fmt)
    halved = add_modulo(a.exponent, fmt.bias + 2 * lift, width) >> 1
    exponent_below = subtract_modulo(halved, lift + 1, width)
    radicand = shift_left(a.significand, ~field(a.exponent, 0, 1), fmt.precision + 1)

    phase("extract root")
    if options.square_root is SquareRoot.DIGIT_BY_DIGIT:
        significand = root_by_digits(radicand, fmt)
    else:
        significand = root_by_reciprocal(radicand, fmt)
    return round_to_format(constant(0, 1), exponent_below, significand, direction, fmt, options)


def root_by_digits(radicand: Bits, fmt: BinaryFormat) -> Bits:
    """p + 1 root bits and a sticky bit, by shift and subtract.

    With everything scaled by 2^p, let x be the radicand, q the root so far, its last digit worth 2^-k, and
    remainder = 2^k (x - q²). A further digit of 2^-(k+1) is one if x - (q + 2^-(k+1))² is not negative,
    that is if 2 × remainder >= 2q + 2^-(k+1), which is then what the remainder loses; 2q becomes 2^-(k+1)
    more than that. So it is 2q that is kept, with the sticky bit's place below q. The first digit is one
    because x is at least 1. Source: the digit-by-digit method for square roots in radix 2; common practice,
    no source.
    """
    p = fmt.precision
    remainder = resize((radicand << 1) - (1 << p), p + 2)
    twice_root = constant(2 << p, p + 2)
    digit = constant(1 << (p - 1), p)
    for _ in range(p):
        doubled = remainder << 1
        trial = twice_root | digit
        if doubled >= trial:
            doubled = doubled - trial
            twice_root = resize(trial + digit, p + 2)
        remainder = resize(doubled, p + 2)
        digit = resize(digit >> 1, p)
    return twice_root | (remainder != 0)


SEED_BITS = 8


def newton_steps(fraction_bits: int) -> int:
    """Iterations that take the seed's 2.7 good bits to `fraction_bits`: each leaves twice as many, less
    0.6.
    """
    good, steps = 2.7, 0
    while good < fraction_bits:
        good, steps = 2 * good - 0.6, steps + 1
    return steps


def root_by_reciprocal(radicand: Bits, fmt: BinaryFormat) -> Bits:
    """p + 1 root bits and a sticky bit, from the reciprocal of the root.

    Let X = radicand / 2^(p+1) in [1/4, 1) and Y the approximation to 1/sqrt(X), a fixed-point number with F
    = p + 5 fraction bits. The seed is the line 9/4 - 4/3 X, off by at most 15 %, which is 2.7 bits. A
    Newton step Y(3 - X Y²)/2 turns a relative error d into 3/2 d² - 1/2 d³ below the exact value; X Y² is
    rounded up and all else down, so Y stays below, and loses less than 4 × 2^-F more. So after the last
    step d < 5 × 2^-F. The root, below 2^(p+1), is then too small by less than 2^(p+1) × 5 × 2^-F + 1 < 1.4:
    rounded down, it is right or one too small, which the remainder shows. Source of the step: Newton's
    method for 1/Y² - X, common practice, no source.
    """
    p = fmt.precision
    fraction_bits = p + 5
    line = (radicand << (fraction_bits - p - 1)) * constant(2**SEED_BITS * 4 // 3 + 1, SEED_BITS + 1)
    seed = constant(9 << (fraction_bits - 2), fraction_bits + 2) - (line >> SEED_BITS)
    reciprocal = resize(seed, fraction_bits + 1)
    for _ in unrolled(newton_steps(fraction_bits)):
        scaled = ((radicand * reciprocal) >> (p + 1)) + 1
        error = constant(3 << (2 * fraction_bits), 2 * fraction_bits + 2) - scaled * reciprocal
        factor = resize(error >> fraction_bits, fraction_bits + 2)
        reciprocal = resize((reciprocal * factor) >> (fraction_bits + 1), fraction_bits + 1)

    phase("correct")
    root = resize((radicand * reciprocal) >> fraction_bits, p + 1)
    remainder = (radicand << (p + 1)) - root * root
    remainder = resize(remainder, p + 4)
    if remainder > root << 1:
        remainder = resize(remainder - ((root << 1) | 1), p + 4)
        root = resize(root + 1, p + 1)
    return concatenate(root, remainder != 0)
