"""Division (IEEE 754-2019, clause 5.4.1), by four algorithms.

Why the result is correctly rounded. With leading ones, the quotient of the significands lies in (1/2, 2);
doubling a dividend that is less than the divisor brings it into [1, 2). All algorithms deliver its first
p + 1 bits, rounded down, and the exact remainder. Those bits are the result before rounding and half a
unit; a remainder that is not zero is the sticky bit.
"""

from __future__ import annotations

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Division, Options
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    concatenate,
    constant,
    divide,
    field,
    phase,
    resize,
    shift_left,
    signal,
    subtract_modulo,
    unrolled,
)
from softfloat_py.routines.newton import newton_steps
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import (
    infinity_or_nan,
    is_infinite,
    is_nan,
    nan_of_two,
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


def division(x: Bits, y: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x / y. Signals invalid operation (signalling NaN, 0/0, infinity/infinity), division by zero,
    overflow, underflow, inexact.
    """
    phase("unpack")
    a = unpack_normal(x, fmt)
    b = unpack_normal(y, fmt)
    sign = a.sign ^ b.sign
    if is_reserved(a.exponent, fmt) | is_reserved(b.exponent, fmt):
        phase("special operands")
        if options.special:
            if is_special(x, fmt) | is_special(y, fmt):
                return quotient_with_special(x, y, sign, fmt, options)
        if counts_as_zero(y, fmt, options):
            if counts_as_zero(x, fmt, options):
                return signal_invalid_operation(fmt, options)
            signal(Flags.DIVISION_BY_ZERO)
            return infinity_or_nan(sign, fmt, options)
        if counts_as_zero(x, fmt, options):
            return zero(sign, fmt)
        phase("unpack")
        a = unpack_with_leading_one(x, fmt, options)
        b = unpack_with_leading_one(y, fmt, options)

    exponent_less_one, significand = quotient_of(a, b, fmt, options)
    phase("divide")
    return round_to_format(sign, exponent_less_one, significand, direction, fmt, options)


def quotient_of(a: Unpacked, b: Unpacked, fmt: BinaryFormat, options: Options) -> tuple[Bits, Bits]:
    """The exponent, less one, and p + 1 bits and a sticky bit of a quotient of numbers with leading ones."""
    phase("normalise")
    width = signed_exponent_bits(fmt)
    exponent_less_one = add_modulo(subtract_modulo(a.exponent, b.exponent, width), fmt.bias - 1, width)
    is_less = a.significand < b.significand
    dividend = shift_left(a.significand, is_less, fmt.precision + 1)
    exponent_less_one = subtract_modulo(exponent_less_one, is_less, width)

    phase("divide")
    if options.division is Division.RADIX_2:
        significand = quotient_by_digits(dividend, b.significand, fmt)
    elif options.division is Division.RADIX_4:
        significand = quotient_in_radix_4(dividend, b.significand, fmt)
    elif options.division is Division.BY_DIVIDER:
        significand = quotient_by_divider(dividend, b.significand, fmt)
    else:
        significand = quotient_by_reciprocal(dividend, b.significand, fmt)
    return exponent_less_one, significand


def quotient_with_special(x: Bits, y: Bits, sign: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The quotient where an operand is an infinity or a NaN (clauses 6.1, 6.2, 7.2)."""
    if is_nan(x, fmt) | is_nan(y, fmt):
        return nan_of_two(x, y, fmt, options)
    if is_infinite(y, fmt):
        if is_infinite(x, fmt):
            return signal_invalid_operation(fmt, options)
        return zero(sign, fmt)
    return infinity_or_nan(sign, fmt, options)


def quotient_by_digits(dividend: Bits, divisor: Bits, fmt: BinaryFormat) -> Bits:
    """p + 1 quotient bits and a sticky bit, by shift and subtract.

    Invariant: after k digits below the first, dividend × 2^k = quotient × divisor + remainder, with remainder
    < divisor. The first digit is one, since divisor <= dividend < 2 × divisor: so it holds at the start, with
    quotient 1 and remainder dividend - divisor for k = 0. Source: the restoring method taught with long
    division; common practice, no source.
    """
    p = fmt.precision
    remainder = resize(dividend - divisor, p)
    quotient = constant(1, p + 1)
    for _ in range(p):
        quotient, remainder = with_next_bit(quotient, remainder, divisor)
    return concatenate(quotient, remainder != 0)


def with_next_bit(quotient: Bits, remainder: Bits, divisor: Bits) -> tuple[Bits, Bits]:
    """The quotient with one more bit below, which must fit its width, and what then remains."""
    doubled = remainder << 1
    quotient = resize(quotient << 1, quotient.width)
    if doubled >= divisor:
        doubled = doubled - divisor
        quotient = quotient | 1
    return quotient, resize(doubled, divisor.width)


def quotient_in_radix_4(dividend: Bits, divisor: Bits, fmt: BinaryFormat) -> Bits:
    """p + 1 quotient bits and a sticky bit, by shift and subtract, two bits a round.

    The invariant is that of radix 2: after k digits below the first, which is one, dividend × 4^k = quotient
    × divisor + remainder, with remainder < divisor. So 4 × remainder < 4 × divisor, and the next digit, the
    largest whose multiple of the divisor does not exceed 4 × remainder, is one of 0 to 3: comparing with 2 ×
    divisor, then with 3 or 1 × divisor, finds it, and what remains is again less than the divisor. A last
    round in radix 2 finds the bit that is left where p is odd. Common practice, no source.
    """
    p = fmt.precision
    twice = divisor << 1
    thrice = twice + divisor
    remainder = resize(dividend - divisor, p)
    quotient = constant(1, p + 1)
    for _ in range(p // 2):
        quotient, remainder = with_next_two_bits(quotient, remainder, divisor, twice, thrice)
    if p % 2 == 1:
        quotient, remainder = with_next_bit(quotient, remainder, divisor)
    return concatenate(quotient, remainder != 0)


def with_next_two_bits(
    quotient: Bits, remainder: Bits, divisor: Bits, twice: Bits, thrice: Bits
) -> tuple[Bits, Bits]:
    """The quotient with two more bits below, which must fit its width, and what then remains; the divisor
    comes with its multiples.
    """
    rest = remainder << 2
    quotient = resize(quotient << 2, quotient.width)
    if rest >= twice:
        if rest >= thrice:
            rest = rest - thrice
            quotient = quotient | 3
        else:
            rest = rest - twice
            quotient = quotient | 2
    else:
        if rest >= divisor:
            rest = rest - divisor
            quotient = quotient | 1
    return quotient, resize(rest, divisor.width)


DIVISOR_BITS = 16
DIGIT_BITS = DIVISOR_BITS - 1


def quotient_by_divider(dividend: Bits, divisor: Bits, fmt: BinaryFormat) -> Bits:
    """p + 1 quotient bits and a sticky bit, by shift and subtract, up to 15 bits a round.

    The invariant is that of radix 2, with as many digits as bits were found: dividend × 2^bits = quotient ×
    divisor + remainder, with remainder < divisor. What finds a digit says `next_digit`.
    """
    p = fmt.precision
    leading = leading_bits(divisor)
    remainder = resize(dividend - divisor, p)
    quotient = constant(1, 1)
    for bits in digit_widths(p):
        digit, remainder = next_digit(remainder, divisor, leading, bits)
        quotient = concatenate(quotient, digit)
    return concatenate(quotient, remainder != 0)


def digit_widths(bits: int) -> tuple[int, ...]:
    """So many bits as the widths of digits, as few and as even as may be."""
    rounds = -(-bits // DIGIT_BITS)
    return tuple(bits * (n + 1) // rounds - bits * n // rounds for n in range(rounds))


def leading_bits(divisor: Bits) -> Bits:
    """The 16 leading bits of a divisor, or all of it."""
    return divisor >> max(divisor.width - DIVISOR_BITS, 0)


def next_digit(remainder: Bits, divisor: Bits, leading: Bits, bits: int) -> tuple[Bits, Bits]:
    """The next `bits` bits of a quotient, 15 at most, and what then remains. The divisor has its leading one
    on top, and comes with its leading bits; the remainder is less.

    The digit is remainder × 2^bits / divisor, rounded down. Let D be the leading bits of the divisor and E
    the e bits below them; T what of remainder × 2^bits lies above its e lowest bits, and L those. The digit
    is estimated by T / D, rounded down: 31 bits by 16, which every divider of 32 bits by 16 takes.

    - It is not too small: D 2^e <= divisor, and L, less than 2^e, adds nothing to the whole part of T / D.
    - It is one too large at most. T / D exceeds T 2^e / divisor by T E / (D divisor). T 2^e is less than
      divisor × 2^bits, so this is less than 2^(bits - e) E / D, where E < 2^e, bits <= 15 and, if there are
      bits below, D >= 2^15: less than 1. Without bits below it is exact.
    - So it is 2^15 at most, and fits 16 bits.
    - What remains, remainder × 2^bits - digit × divisor, lies between -divisor and divisor, so one bit more
      than the divisor has tells it, in two's complement: no more are computed. Where it is negative the digit
      was too large, and the divisor is added once.

    Source: long division with wide digits, estimated by leading ones; common practice, no source.
    """
    below, room = divisor.width - leading.width, divisor.width + 1
    upper = remainder >> (below - bits) if bits < below else remainder << (bits - below)
    digit = divide(upper, leading, bits + 1)
    shifted = field(remainder, 0, room - bits) << bits if bits < room else constant(0, room)
    rest = subtract_modulo(shifted, digit * divisor, room)
    if below > 0:
        if field(rest, room - 1, 1):
            digit = digit - 1
            rest = add_modulo(rest, divisor, room)
    return resize(digit, bits), resize(rest, divisor.width)


SEED_BITS = 8
GOOD_SEED = 37  # tenths of bits


def quotient_by_reciprocal(dividend: Bits, divisor: Bits, fmt: BinaryFormat) -> Bits:
    """p + 1 quotient bits and a sticky bit, from the reciprocal of the divisor.

    Let D = divisor / 2^p in [1/2, 1) and R the approximation to 1/D, a fixed-point number with F = p + 4
    fraction bits and the relative error d = 1 - D R.

    - The seed is the line 48/17 - 32/17 D, for which d lies between -1/17 and 1/17. It is found in units of
      u = 2^-8. 48/17 is rounded down, which lowers the seed by less than u. So are 32/17, by less than 0.9 u;
      D, by less than u, which weighs 32/17; and their product, by less than u: which makes what is subtracted
      smaller by less than 0.9 u + 1.9 u + u. Where F < 8, two bits more are cut off at most, 3 u. So d moves
      by less than 4 u either way, and |d| < 1/17 + 1/64 < 1/13, which is 3.7 bits.
    - A Newton step gives R(2 - D R). Since 1 - D R(2 - D R) = (1 - D R)^2, it squares d and never exceeds
      1/D. Cutting the factor 2 - D R to F bits costs D R = 1 - d times less than 2^-F, cutting the product D
      times less than 2^-F: together less than 2.1 × 2^-F, and R stays below. What a step loses is part of d
      in the next one, where it is multiplied by 2 d: of that, less than 0.1 × 2^-F is left.
    - The steps are as many as would bring d below 2^-F if nothing were cut off. As it is, d < 4 × 2^-F.
    - The quotient, below 2^(p+1), is too small by less than 2^(p+1) × 4 × 2^-F + 1 = 1.5: rounded down, it is
      right or one too small, which the remainder shows.

    Source of the line: the minimax line of 1/D on [1/2, 1), common practice, no source.
    """
    p = fmt.precision
    fraction_bits = p + 4
    if p >= SEED_BITS:
        leading = divisor >> (p - SEED_BITS)
    else:
        leading = divisor << (SEED_BITS - p)
    line = constant(48 * 2**SEED_BITS // 17, SEED_BITS + 2) - (
        (leading * (32 * 2**SEED_BITS // 17)) >> SEED_BITS
    )
    seed = resize(line, SEED_BITS + 1)
    if fraction_bits >= SEED_BITS:
        reciprocal = seed << (fraction_bits - SEED_BITS)
    else:
        reciprocal = seed >> (SEED_BITS - fraction_bits)
    for _ in unrolled(newton_steps(GOOD_SEED, fraction_bits)):
        factor = constant(2 << (p + fraction_bits), p + fraction_bits + 2) - divisor * reciprocal
        factor = resize(factor >> p, fraction_bits + 2)
        reciprocal = resize((reciprocal * factor) >> fraction_bits, fraction_bits + 1)

    phase("correct")
    quotient = resize((dividend * reciprocal) >> fraction_bits, p + 1)
    remainder = (dividend << p) - quotient * divisor
    remainder = resize(remainder, p + 1)
    if remainder >= divisor:
        remainder = remainder - divisor
        quotient = resize(quotient + 1, p + 1)
    return concatenate(quotient, field(remainder, 0, p) != 0)
