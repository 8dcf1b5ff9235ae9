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
from softfloat_py.routines.newton import newton_steps
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import is_nan, nan_of_one, signal_invalid_operation, zero
from softfloat_py.routines.unpacking import (
    Unpacked,
    counts_as_zero,
    is_reserved,
    is_special,
    unpack_normal,
    unpack_with_leading_one,
)


def square_root(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The square root of x; of -0, -0. Signals invalid operation (signalling NaN, x < 0), inexact."""
    phase("unpack")
    a = unpack_normal(x, fmt)
    if is_reserved(a.exponent, fmt) | a.sign:
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
        if counts_as_zero(x, fmt, options):
            return zero(a.sign, fmt)
        if a.sign:
            return signal_invalid_operation(fmt, options)
        if options.special:
            if is_special(x, fmt):
                return x
        phase("unpack")
        a = unpack_with_leading_one(x, fmt, options)

    exponent_less_one, significand = root_of(a, fmt, options)
    phase("extract root")
    return round_to_format(constant(0, 1), exponent_less_one, significand, direction, fmt, options)


def root_of(a: Unpacked, fmt: BinaryFormat, options: Options) -> tuple[Bits, Bits]:
    """The exponent, less one, and p + 1 bits and a sticky bit of the root of a number with a leading one."""
    phase("normalise")
    # The bias is odd, so an odd biased exponent is an even exponent. Halving exponent + bias rounds the
    # other ones down. What is halved must not be negative, in two's complement: the lowest biased exponent is
    # that of the smallest subnormal number, 2 - p, so twice p lifts all above zero, whatever the bias.
    lift = fmt.precision
    width = signed_exponent_bits(fmt)
    halved = add_modulo(a.exponent, fmt.bias + 2 * lift, width) >> 1
    exponent_less_one = subtract_modulo(halved, lift + 1, width)
    radicand = shift_left(a.significand, ~field(a.exponent, 0, 1), fmt.precision + 1)

    phase("extract root")
    if options.square_root is SquareRoot.DIGIT_BY_DIGIT:
        significand = root_by_digits(radicand, fmt)
    else:
        significand = root_by_reciprocal(radicand, fmt)
    return exponent_less_one, significand


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


SLOPE_BITS = 8
GOOD_SEED, LOST_IN_A_STEP = 27, 6  # tenths of bits


def root_by_reciprocal(radicand: Bits, fmt: BinaryFormat) -> Bits:
    """p + 1 root bits and a sticky bit, from the reciprocal of the root.

    Let X = radicand / 2^(p+1) in [1/4, 1) and Y the approximation to 1/sqrt(X), a fixed-point number with F
    = p + 5 fraction bits and the relative error d = 1 - sqrt(X) Y.

    - The seed is the line 9/4 - 4/3 X, for which d is 1/24 at X = 1/4, least at X = 9/16, -1/8, and nears
      1/12 at X = 1. The slope is rounded up to 8 bits, which adds less than 1/256 to d; what is subtracted is
      cut to F bits, which takes off less than 2^-F <= 1/128. So |d| < 0.15, which is 2.7 bits.
    - A Newton step gives Y(3 - X Y²)/2. With sqrt(X) Y = 1 - d, this is below 1/sqrt(X) by a relative error
      of 1 - (1 - d)(3 - (1 - d)²)/2 = 3/2 d² - 1/2 d³: twice as many good bits, less log2(3/2) < 0.6. (Of a
      seed with d < 0 the cube adds to it; as |d| is less than 1/7 there, it has the 4.8 bits all the same.)
    - X Y is rounded up and all else down, so Y stays below. The former costs (1 - d) Y/2 times 2^-F at most,
      which is less than 1.2 × 2^-F as Y is not above 2; cutting the factor 3 - X Y² to F bits costs (1 - d)/2
      times less than 2^-F; cutting the product sqrt(X) times less than 2^-F: together less than 3 × 2^-F.
      What a step loses is part of d in the next one, where it is multiplied by 3 d: of that, less than
      2^-F / 2 is left.
    - The steps are as many as would bring d below 2^-F if nothing were cut off. As it is, d < 5 × 2^-F.
    - The root, below 2^(p+1), is too small by less than 2^(p+1) × 5 × 2^-F + 1 < 1.4: rounded down, it is
      right or one too small, which the remainder shows.

    Source of the step: Newton's method for 1/Y² - X, common practice, no source.
    """
    p = fmt.precision
    fraction_bits = p + 5
    line = (radicand << (fraction_bits - p - 1)) * constant(2**SLOPE_BITS * 4 // 3 + 1, SLOPE_BITS + 1)
    seed = constant(9 << (fraction_bits - 2), fraction_bits + 2) - (line >> SLOPE_BITS)
    reciprocal = resize(seed, fraction_bits + 1)
    for _ in unrolled(newton_steps(GOOD_SEED, fraction_bits, LOST_IN_A_STEP)):
        scaled = ((radicand * reciprocal) >> (p + 1)) + 1
        factor = constant(3 << (2 * fraction_bits), 2 * fraction_bits + 2) - scaled * reciprocal
        factor = resize(factor >> fraction_bits, fraction_bits + 2)
        reciprocal = resize((reciprocal * factor) >> (fraction_bits + 1), fraction_bits + 1)

    phase("correct")
    root = resize((radicand * reciprocal) >> fraction_bits, p + 1)
    remainder = (radicand << (p + 1)) - root * root
    remainder = resize(remainder, p + 4)
    if remainder > root << 1:
        remainder = resize(remainder - ((root << 1) | 1), p + 4)
        root = resize(root + 1, p + 1)
    return concatenate(root, remainder != 0)
