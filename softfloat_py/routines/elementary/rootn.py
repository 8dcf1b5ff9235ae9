"""The n-th root of x, rootn of IEEE 754-2019, clause 9.2.

x^(1/n) = 2^(log2 |x| / n), with the sign of x where n is odd: `power_core` makes that of a logarithm and says
why it is right. The degrees that are most in use are found as the operations for them find theirs: n = 2
and -1 as `square_root` and `division`, -2 as `r_sqrt`, 3 as `cube_root` says; the first root is x.

Exact is a root z if z^n = x. For n < 0 then, x is a power of two, since the reciprocal of an odd factor is no
number. A root is never the middle between two numbers, which has p + 1 bits, the last of them set: its power
has more than p. The accurate phase takes what is within its error of a boundary of rounding as being on it;
any other root is further away, by chance (`precisions`) and next to 1, where (1 + u)^(1/n) is 1 + u/n and
about u^2 / 2n less: u is no less than 2^-p, which makes 2 p bits and those of n.

Special operands, by clause 9.2.1 (from memory). A signalling NaN is always invalid.

    rootn(x, 0), and rootn(x, n) for x < 0, -inf among them, and even n: invalid operation
    rootn(+-0, n): for n < 0 +inf with division by zero, for n > 0 +0; with the sign of x for odd n
    rootn(+-inf, n): for n < 0 +0, for n > 0 +inf; with the sign of x for odd n
    a quiet NaN comes out as one, for n = 0 too, where the clause says nothing
"""

from __future__ import annotations

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.division import quotient_of
from softfloat_py.routines.elementary import logarithm
from softfloat_py.routines.elementary.cube_root import cube_root_of
from softfloat_py.routines.elementary.fixed_point import fitted
from softfloat_py.routines.elementary.packed_operands import (
    integer_taken_apart,
    packed,
    packed_normal,
    sign_extended,
    taken_apart,
)
from softfloat_py.routines.elementary.power import logarithm_of_packed
from softfloat_py.routines.elementary.power_core import (
    Of,
    Plan,
    exponent_bits_of,
    plan_of,
    power_of_quotient,
    precision_of_power,
)
from softfloat_py.routines.elementary.r_sqrt import reciprocal_root_of
from softfloat_py.routines.elementary.special_powers import zero_or_infinity, zero_or_pole
from softfloat_py.routines.elementary.two_phases import Approximation, approximated_to
from softfloat_py.routines.elementary.whole_power import Operands
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import Bits, add_modulo, constant, field, phase, subtract_modulo
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import is_nan, nan_of_one, one, signal_invalid_operation
from softfloat_py.routines.square_root import root_of
from softfloat_py.routines.unpacking import (
    Unpacked,
    counts_as_zero,
    exponent_field,
    is_reserved,
    is_special,
    magnitude_of,
    sign_of,
)


def rootn(x: Bits, n: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The n-th root of x, n a two's complement integer of 32 bits; for x < 0 where n is odd. Signals invalid
    operation (signalling NaN; n = 0; x < 0 and n even), division by zero (x = 0, n < 0), inexact; for n = -1,
    and in formats of few exponents, overflow and underflow.
    """
    phase("unpack")
    sign = sign_of(x, fmt)
    operands = Operands(sign, packed_normal(x, fmt), n)
    if is_reserved(exponent_field(x, fmt), fmt) | sign | (n == 0) | (x == fmt.one):
        phase("special operands")
        odd, n_sign = field(n, 0, 1), field(n, n.width - 1, 1)
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
        is_zero = counts_as_zero(x, fmt, options)
        if (n == 0) | sign & ~odd & ~is_zero:
            return signal_invalid_operation(fmt, options)
        sign = sign & odd
        if is_zero:
            return zero_or_pole(sign, ~n_sign, fmt, options)
        if options.special:
            if is_special(x, fmt):
                return zero_or_infinity(sign, n_sign, fmt, options)
        if magnitude_of(x, fmt) == fmt.one:
            return one(sign, fmt)
        phase("unpack")
        operands = Operands(sign, packed(x, fmt, options), n)
    precision = precision_of_power(fmt, options, 1, 1)
    of = Of(precision, logarithm.plan_of, exponent_bits_of(fmt, precision, n.width))
    if add_modulo(n, 2, n.width) <= 5:
        value = root_of_small_degree(operands, of, fmt, options)
    else:
        value = approximated_to(precision, root, operands, plan_of, of, fmt, options, True, None)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def root(o: Operands, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """The n-th root of |x|: the kernel."""
    found = logarithm_of_packed(o.x, 0, plan, fmt, options)
    n = integer_taken_apart(o.n, plan.exponent_bits, options)
    return power_of_quotient(o.sign, found, n, plan, fmt, options)


def root_of_small_degree(o: Operands, of: Of, fmt: BinaryFormat, options: Options) -> Approximation:
    """The n-th root of |x| for n from -2 to 3 other than 0, exact but for a sticky bit, with as many bits as
    the fast phase delivers.
    """
    width, wanted = signed_exponent_bits(fmt), of.precision.fast + 1
    x = taken_apart(o.x, constant(0, 1), 0, width, fmt)
    if o.n == 2:
        exponent_less_one, found = root_of(x, fmt, options)
        significand = fitted(found, wanted)
    elif o.n == 3:
        exponent_less_one, found = cube_root_of(x, fmt, options)
        significand = fitted(found, wanted)
    elif o.n == 1:
        exponent_less_one = subtract_modulo(x.exponent, 1, width)
        significand = fitted(x.significand, wanted)
    elif field(o.n, 0, 1):
        unit = Unpacked(x.sign, constant(fmt.bias, width), constant(fmt.leading_one, fmt.precision))
        exponent_less_one, found = quotient_of(unit, x, fmt, options)
        significand = fitted(found, wanted)
    else:
        exponent_less_one, found = reciprocal_root_of(x, fmt, options)
        significand = fitted(found, wanted)
    return Approximation(o.sign, sign_extended(exponent_less_one, of.exponent_bits), significand)
