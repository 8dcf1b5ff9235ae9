"""The square root of x² + y² (IEEE 754-2019, clause 9.2), rounded once.

Why the result is correctly rounded. Let a and b be the significands of the larger and the smaller magnitude
as whole numbers of p bits, d the difference of their exponents, and S = a² + b² / 4^d, whose root counts
units in the last place of the larger one.

1. Where 2 d >= p + 2, sqrt(S) - a < b² / (2 a 4^d) < 2^p / 4^d <= 1/4, since b < 2^p <= 2 a: the root is a
   and a sticky bit.
2. Otherwise S is found in n = p + 8 bits, seven of the root's below half a unit in the last place, in units
   of 2^(p - 8). `square_of` loses less than two of them of each square, shifting b² by 2 d places less than
   one more; so S is too small by less than 4 units. A sum of n + 1 bits is cut to n - 1, its root being half
   of what it was: in its own units it loses less. So X, the n bits read as a fraction, lies in [1/4, 1), and
   is too small by less than 4 v, where v = 2^-n.
3. sqrt(X), in [1/2, 1), is found in one of two ways, which both say in which cases they are in doubt, and
   about which boundary of rounding, a number of p + 1 bits. In all other cases sqrt(X) and what they deliver
   lie between the same two boundaries, and neither is on one.
   - `root_by_digits`: p + 1 bits and what remains, by shift and subtract, as `square_root` has it.
   - `root_by_reciprocal`: n bits, as `r_sqrt` has it.
4. In a case of doubt whole numbers decide. With c the boundary, counted in halves of a unit in the last place
   of the larger operand, c² is compared with 4 S, that is (c - 2a)(c + 2a) with 4 b² / 4^d. The bits that
   this division shifts out matter only where all others are equal. Where the sum had n + 1 bits, the boundary
   at hand counts whole units. It is less than 2 a then, as sqrt(S) is less than 1.42 a; otherwise it is 2 a
   or more, since it is 2 sqrt(S) rounded down, or a little more, and S is at least a². That tells the two
   apart.

Subnormal operands: the smaller one needs no leading one. If both are subnormal, they are shifted alike until
the larger one has it, which leaves d = 0.

Special operands: infinity of any sign gives +infinity, even beside a quiet NaN; of two zeros +0 (clause
9.2.1, from memory); a signalling NaN is invalid in any company (clause 6.2). Of a number and a zero the
result is the number's magnitude, which is exact. Shift and subtract, and roots by their reciprocals: common
practice, no source.
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options, SquareRoot
from softfloat_py.routines.elementary.fixed_point import moved
from softfloat_py.routines.elementary.reciprocal_roots import (
    EXTRA,
    correction_of,
    estimate_bits,
    first_digits,
    reciprocal_root,
    rest_of,
)
from softfloat_py.routines.exact_results import nonzero_as_result
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    phase,
    resize,
    select,
    shift_left,
    subtract_modulo,
)
from softfloat_py.routines.leading_zeros import leading_zeros
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import (
    infinity_or_nan,
    is_infinite,
    is_signaling,
    nan_of_two,
    zero,
)
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    is_special_with,
    magnitude_of,
    normal_significand,
)


class Legs(NamedTuple):
    """Both operands: the larger one's biased exponent less one, a two's complement number, and significand
    with its leading one; how many places lower the smaller one's counts.
    """

    exponent_less_one: Bits
    larger: Bits
    smaller: Bits
    distance: Bits


class Root(NamedTuple):
    """A root before rounding: p bits and some more; whether it is in doubt, and then about which boundary."""

    significand: Bits
    doubtful: Bits
    boundary: Bits


def hypot(x: Bits, y: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The square root of x² + y²; of an infinity and anything but a signalling NaN, +infinity. Signals
    invalid operation (signalling NaN), overflow, underflow, inexact.
    """
    phase("order")
    larger, smaller = magnitude_of(x, fmt), magnitude_of(y, fmt)
    if larger < smaller:
        larger, smaller = smaller, larger

    phase("unpack")
    exponent, smaller_exponent = larger >> fmt.trailing_bits, smaller >> fmt.trailing_bits
    if options.special:
        if is_special_with(exponent, larger, fmt):
            return hypot_of_special(x, y, fmt, options)
    distance = exponent - smaller_exponent
    exponent_less_one = subtract_modulo(exponent, 1, signed_exponent_bits(fmt))
    a, b = normal_significand(larger, fmt), normal_significand(smaller, fmt)
    if smaller_exponent == 0:
        if not options.subnormal_operands:
            return hypot_with_zero(larger, fmt, options)
        if smaller == 0:
            return hypot_with_zero(larger, fmt, options)
        # A subnormal number: no leading one, and the exponent 0 means 1.
        b = resize(smaller, fmt.precision)
        if exponent == 0:
            a = resize(larger, fmt.precision)
            zeros = leading_zeros(a, options)
            a, b = shift_left(a, zeros, a.width), shift_left(b, zeros, b.width)
            exponent_less_one = subtract_modulo(0, zeros, exponent_less_one.width)
        else:
            distance = distance - 1
    legs = Legs(exponent_less_one, a, b, distance)
    return rounded_hypot(legs, direction, fmt, options)


def rounded_hypot(legs: Legs, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The result for two numbers other than zero."""
    exponent_less_one = legs.exponent_less_one
    far = (fmt.precision + 3) // 2
    bits = estimate_bits(fmt)
    by_digits = options.square_root is SquareRoot.DIGIT_BY_DIGIT
    extra = 2 if by_digits else EXTRA
    if legs.distance >= far:
        phase("extract root")
        significand = (legs.larger << extra) | 1
    else:
        phase("square")
        places = resize(legs.distance, min(legs.distance.width, far.bit_length())) << 1
        total = square_of(legs.larger, fmt) + (square_of(legs.smaller, fmt) >> places)
        if field(total, bits, 1):
            total = resize(total >> 2, bits)
            exponent_less_one = add_modulo(exponent_less_one, 1, exponent_less_one.width)
        else:
            total = resize(total, bits)

        root = root_by_digits(total, fmt) if by_digits else root_by_reciprocal(total, fmt, options)
        significand = root.significand
        if root.doubtful:
            phase("decide")
            significand = beside_boundary(root.boundary, legs, places, extra)
    return round_to_format(constant(0, 1), exponent_less_one, significand, direction, fmt, options)


# -- the sum of squares and its root ------------------------------------------------------------------------


def square_of(significand: Bits, fmt: BinaryFormat) -> Bits:
    """The square in n bits, in units of 2^(p - 8), too small by less than two of them.

    With l bits in a lower part, (H 2^l + L)² is H² 4^l + 2 H L 2^l + L². The last is left out: l is such that
    it is less than a unit, or half a unit where half a unit is lost of the first; of the second less than one
    unit is. What has few bits is squared as it is.
    """
    lower_bits = max((fmt.precision - EXTRA) // 2, 0)
    upper = significand >> lower_bits
    square = moved(upper * upper, EXTRA + 2 * lower_bits - fmt.precision)
    if lower_bits == 0:
        return square
    lower = field(significand, 0, lower_bits)
    twice_product = (upper * lower) >> (fmt.precision - EXTRA - lower_bits - 1)
    return resize(square + twice_product, estimate_bits(fmt))


def root_by_digits(total: Bits, fmt: BinaryFormat) -> Root:
    """p + 1 bits of the root of X = total / 2^n and a sticky bit, by shift and subtract.

    As in `square_root.root_by_digits`, with q the root so far, in [1, 2), the remainder is 2^i (4 X - q²),
    and 2 q is kept. All is exact, but the last bit of X is left out, so 4 X is too small by less than 4 × 5
    v, and in the end the remainder by less than 2^p × 20 v = 5/64. The next root up is in doubt where the
    remainder is not less than 2 q - 5/64, q itself where nothing remains. Subtracting one unit from that
    makes it the largest number there is, so one comparison finds both.
    """
    phase("extract root")
    p = fmt.precision
    places = p + 5
    remainder = resize((total >> 1) - (1 << places), places + 2)
    twice_root = constant(2 << places, places + 2)
    digit = constant(1 << (places - 1), places)
    for _ in range(p):
        doubled = remainder << 1
        trial = twice_root | digit
        if doubled >= trial:
            doubled = doubled - trial
            twice_root = resize(trial + digit, places + 2)
        remainder = resize(doubled, places + 2)
        digit = resize(digit >> 1, places)
    root = twice_root >> 6
    doubtful = subtract_modulo(remainder, 1, places + 2) >= twice_root - (5 << (p - 1))
    return Root((root << 1) | 1, doubtful, root + (remainder != 0))


TOO_SMALL = 10  # units that the root by reciprocal may be too small


def root_by_reciprocal(total: Bits, fmt: BinaryFormat, options: Options) -> Root:
    """n bits of the root of X = total / 2^n, from its reciprocal.

    With q from `reciprocal_root` and t = X q in n bits, c from `correction_of`, it is t + t c 2^-(k + 1).
    With Y = 1 / sqrt(X), in units of v = 2^-n, it is too small by less than

    - 4 Y/2, as X is, and 1/2 more, as t is cut off, which is an X that is too small by v / q;
    - 1.43 / Y² for the terms left out, 1.5 / Y² and 2 / Y for the bits left out of the square and of c, 1/2 /
      Y² for what the rest and the square lose in their last places: as in `r_sqrt` for Y, whose units are 2
      v, times X = 1 / Y² or, for c, t <= 1 / Y;
    - 1/2 for the bits left out of t in the product, as c is less than 2, and 1 for those of the product.

    That is 9.5 at Y = 1 and less up to Y = 2. It is never too large. So a boundary that is neither it nor up
    to 10 v above it is none that sqrt(X) could reach.
    """
    bits = estimate_bits(fmt)
    digits = first_digits(bits)
    root = reciprocal_root(total, digits + 1, options)
    product = resize((total * root) >> (digits + 1), bits)
    correction = correction_of(rest_of(product, root))
    leading = product >> (digits - 1)
    estimate = add_modulo(product, (leading * correction) >> (bits - digits), bits)
    above = estimate + TOO_SMALL
    doubtful = field(above, 0, EXTRA - 1) <= TOO_SMALL
    return Root(estimate, doubtful, above >> (EXTRA - 1))


def beside_boundary(boundary: Bits, legs: Legs, places: Bits, extra: int) -> Bits:
    """A root of p + `extra` bits on the boundary, or on that side of it on which the exact one is."""
    twice_larger = legs.larger << 1
    whole = select(boundary < twice_larger, boundary << 1, boundary)
    difference = (whole - twice_larger) * (whole + twice_larger)
    square = (legs.smaller * legs.smaller) << 2
    shifted = square >> places
    left_over = shift_left(shifted, places, square.width) != square
    significand = resize(boundary << (extra - 1), boundary.width + extra - 1)
    if (difference < shifted) | ((difference == shifted) & left_over):
        significand = significand | 1
    else:
        significand = significand - ((difference != shifted) | left_over)
    return resize(significand, legs.larger.width + extra)


# -- zeros, infinities and NaNs -----------------------------------------------------------------------------


def hypot_with_zero(larger: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The result where the smaller magnitude counts as zero."""
    phase("special operands")
    if counts_as_zero(larger, fmt, options):
        return zero(constant(0, 1), fmt)
    return nonzero_as_result(resize(larger, fmt.width), fmt, options)


def hypot_of_special(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The result where an operand is an infinity or a NaN."""
    phase("special operands")
    if is_infinite(x, fmt) | is_infinite(y, fmt):
        if ~(is_signaling(x, fmt) | is_signaling(y, fmt)):
            return infinity_or_nan(constant(0, 1), fmt, options)
    return nan_of_two(x, y, fmt, options)
