"""Reference in exact rational arithmetic for operations that take or deliver integers.

Semantics are those of `rational`. Integers are patterns of bits on their way out, numbers on their way in.
What is delivered where there is no such integer is this project's choice; the standard asks for invalid
operation (clauses 5.8 and 5.3.3 of IEEE 754-2019, from memory).
"""

from __future__ import annotations

from fractions import Fraction

from softfloat_py.environment import Flags, Rounding
from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers.formats import Format
from softfloat_py.options import COMPLETE, IntegerOverflow, Options
from tests.references.exact_rounding import Destination, Outcome, exponent_of, round_to_whole
from tests.references.leading_bit import from_twin, to_twin
from tests.references.powers import WHOLE_POWERS, is_number_beside_nan
from tests.references.predicates import (
    is_finite,
    is_infinite,
    is_nan,
    is_sign_minus,
    is_signaling,
    is_zero,
)
from tests.references.rational import as_read, nan_result

# -- conversions (clauses 5.4.1, 5.8) ----------------------------------------------------------------------


def convert_from_integer(
    target: Format, rounding: Rounding, value: int, integer: IntegerFormat, *, options: Options = COMPLETE
) -> Outcome:
    """Encoding of an integer; ValueError where `value` is none of the integer format's."""
    if not integer.lowest <= value <= integer.highest:
        raise ValueError(f"value must be one of {integer.name}, not {value}")
    if not value:
        return 0, Flags.NONE
    result, flags = Destination(target.twin, rounding, options).round(Fraction(value))
    return from_twin(target, result), flags


def convert_to_integer(
    source: Format, rounding: Rounding, integer: IntegerFormat, bits: int, *, options: Options = COMPLETE
) -> Outcome:
    """Pattern (0 to 2**width - 1) of the integer an encoding rounds to, and the flags.

    What has no such integer is invalid alone; a fraction rounded away raises nothing, as in the conversions
    without Exact in their name (5.8).
    """
    result, flags = convert_to_integer_exact(source, rounding, integer, bits, options=options)
    return result, flags & ~Flags.INEXACT


def convert_to_integer_exact(
    source: Format, rounding: Rounding, integer: IntegerFormat, bits: int, *, options: Options = COMPLETE
) -> Outcome:
    """As `convert_to_integer`, but a fraction rounded away raises inexact (5.8)."""
    source, bits = source.twin, to_twin(source, bits)
    read = as_read(source, bits, options)
    if is_nan(source, read):
        return _no_integer(integer, 0, options)
    if is_infinite(source, read):
        nearest = integer.lowest if is_sign_minus(source, read) else integer.highest
        return _no_integer(integer, nearest, options)
    value = source.decode(read)
    whole = round_to_whole(value, rounding)
    nearest = min(max(whole, integer.lowest), integer.highest)
    if nearest != whole:
        return _no_integer(integer, nearest, options)
    return whole % (1 << integer.width), Flags.NONE if whole == value else Flags.INEXACT


def _no_integer(integer: IntegerFormat, nearest: int, options: Options) -> Outcome:
    """What stands for an integer that there is not: the nearest one, or the highest bit or all bits set."""
    pattern = nearest % (1 << integer.width)
    if options.integer_overflow is IntegerOverflow.INDEFINITE:
        pattern = 1 << (integer.width - 1) if integer.signed else (1 << integer.width) - 1
    return pattern, Flags.INVALID_OPERATION


# -- powers of two (clause 5.3.3) --------------------------------------------------------------------------


def scale_b(fmt: Format, rounding: Rounding, bits: int, n: int, *, options: Options = COMPLETE) -> Outcome:
    """The number times 2**n, rounded once."""
    if fmt.explicit_leading_bit:
        result, flags = scale_b(fmt.twin, rounding, to_twin(fmt, bits), n, options=options)
        return from_twin(fmt, result), flags
    read = as_read(fmt, bits, options)
    if is_nan(fmt, read):
        return nan_result(fmt, options, read)
    if is_infinite(fmt, read) or is_zero(fmt, read):
        return read, Flags.NONE
    # From here on, more changes nothing: every number is too large, or lies below half the smallest one.
    beyond = 2 * (fmt.emax - fmt.emin + fmt.precision)
    factor = Fraction(2) ** min(max(n, -beyond), beyond)
    return Destination(fmt, rounding, options).round(fmt.decode(read) * factor)


def log_b(fmt: Format, bits: int, *, options: Options = COMPLETE) -> Outcome:
    """The exponent, as a pattern of 32 bits."""
    fmt, bits = fmt.twin, to_twin(fmt, bits)
    read = as_read(fmt, bits, options)
    if is_zero(fmt, read):
        return 1 << 31, Flags.INVALID_OPERATION
    if not is_finite(fmt, read):
        return (1 << 31) - 1, Flags.INVALID_OPERATION
    return exponent_of(abs(fmt.decode(read))) % (1 << 32), Flags.NONE


# -- elementary functions of a number and an integer (clause 9.2) ------------------------------------------


def elementary(
    name: str, fmt: Format, rounding: Rounding, bits: int, n: int, *, options: Options = COMPLETE
) -> Outcome:
    """The function of this name, rounded once."""
    if fmt.explicit_leading_bit:
        result, flags = elementary(name, fmt.twin, rounding, to_twin(fmt, bits), n, options=options)
        return from_twin(fmt, result), flags
    read = as_read(fmt, bits, options)
    if is_nan(fmt, read) and (is_signaling(fmt, read) or not is_number_beside_nan(name, fmt, read, n)):
        return nan_result(fmt, options, read)
    to = Destination(fmt, rounding, options)
    return to.round(Fraction(1)) if is_nan(fmt, read) else WHOLE_POWERS[name](to, read, n)
