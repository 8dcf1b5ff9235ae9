"""Reference in exact rational arithmetic: any format, all directions, all flags.

Semantics, with the clauses of IEEE 754-2019 (from memory): an operation on a NaN delivers a quiet NaN, by
default the canonical one, and is invalid where the NaN is signalling (6.2); underflow is raised where a
result is tiny and inexact (7.5).

Where the options flush subnormal operands, these are read as zeros of their sign, which raises no flag;
where they flush subnormal results, a finite result other than zero whose exact magnitude is below 2**emin
becomes a zero of its sign with underflow and inexact. Sign operations and classes look at the encoding as it
is. (Common practice, no source.)

A format that stores the leading bit is computed with in its twin, which does not; `Format.to_twin` and
`from_twin` are checked on their own in tests/test_formats.py.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from softfloat_py.environment import Flags, Rounding
from softfloat_py.formats import Format
from softfloat_py.options import COMPLETE, NaNResult, Options
from tests.references import predicates
from tests.references.exact_rounding import Destination, Outcome, root_for_rounding, round_to_whole
from tests.references.predicates import is_infinite, is_nan, is_sign_minus, is_signaling, is_zero


def expected(
    operation: str, fmt: Format, rounding: Rounding, *operands: int, options: Options = COMPLETE
) -> Outcome:
    """Result and flags of an operation of this format on encodings; a predicate's result is 0 or 1.

    Raises KeyError for an operation without a reference.
    """
    if fmt.explicit_leading_bit:
        twins = [fmt.to_twin(bits) for bits in operands]
        result, flags = expected(operation, fmt.twin, rounding, *twins, options=options)
        return (fmt.from_twin(result) if operation in ARITHMETIC or operation in predicates.SIGN_OPERATIONS else result), flags
    if operation in predicates.CLASSES:
        return int(predicates.CLASSES[operation](fmt, *operands)), Flags.NONE
    if operation in predicates.SIGN_OPERATIONS:
        return predicates.SIGN_OPERATIONS[operation](fmt, *operands), Flags.NONE
    read = [_read(fmt, bits, options) for bits in operands]
    if operation in predicates.COMPARISONS:
        return predicates.compare(operation, fmt, *read)
    function = ARITHMETIC[operation]
    if any(is_nan(fmt, bits) for bits in read):
        return nan_result(fmt, options, *read)
    return function(Destination(fmt, rounding, options), *read)


def nan_result(fmt: Format, options: Options, *operands: int) -> Outcome:
    """What an operation on operands with a NaN among them delivers (clause 6.2)."""
    nans = [bits for bits in operands if is_nan(fmt, bits)]
    invalid = _invalid_if(any(is_signaling(fmt, bits) for bits in nans))
    match options.nan:
        case NaNResult.CANONICAL:
            return options.default_nan(fmt), invalid
        case NaNResult.FIRST_OPERAND:
            return nans[0] | fmt.quiet_bit, invalid
        case NaNResult.LARGER_PAYLOAD:
            largest = max(nans, key=lambda bits: (bits % fmt.sign_bit, not is_sign_minus(fmt, bits)))
            return largest | fmt.quiet_bit, invalid


def _read(fmt: Format, bits: int, options: Options) -> int:
    flushed = not options.subnormal_operands and predicates.is_subnormal(fmt, bits)
    return bits & fmt.sign_bit if flushed else bits


def _invalid_if(condition: bool) -> Flags:
    return Flags.INVALID_OPERATION if condition else Flags.NONE


# -- arithmetic (clause 5.4.1), on operands that are not NaN -----------------------------------------------


def _addition(to: Destination, x: int, y: int) -> Outcome:
    x_infinite, y_infinite = is_infinite(to.fmt, x), is_infinite(to.fmt, y)
    if x_infinite and y_infinite and x != y:
        return to.invalid()
    if x_infinite or y_infinite:
        return (x if x_infinite else y), Flags.NONE
    total = to.fmt.decode(x) + to.fmt.decode(y)
    if total:
        return to.round(total)
    # Only zeros of one sign keep it; every other exact zero takes the direction's sign (clause 6.3).
    return (x, Flags.NONE) if x == y else to.zero_of_sum()


def _subtraction(to: Destination, x: int, y: int) -> Outcome:
    return _addition(to, x, predicates.negate(to.fmt, y))


def _multiplication(to: Destination, x: int, y: int) -> Outcome:
    negative = is_sign_minus(to.fmt, x) != is_sign_minus(to.fmt, y)
    if is_infinite(to.fmt, x) or is_infinite(to.fmt, y):
        return to.invalid() if is_zero(to.fmt, x) or is_zero(to.fmt, y) else to.infinity(negative)
    product = to.fmt.decode(x) * to.fmt.decode(y)
    return to.round(product) if product else to.zero(negative)


def _division(to: Destination, x: int, y: int) -> Outcome:
    negative = is_sign_minus(to.fmt, x) != is_sign_minus(to.fmt, y)
    if is_infinite(to.fmt, x):
        return to.invalid() if is_infinite(to.fmt, y) else to.infinity(negative)
    if is_infinite(to.fmt, y):
        return to.zero(negative)
    if is_zero(to.fmt, y):
        infinity, _ = to.infinity(negative)
        return to.invalid() if is_zero(to.fmt, x) else (infinity, Flags.DIVISION_BY_ZERO)
    quotient = to.fmt.decode(x) / to.fmt.decode(y)
    return to.round(quotient) if quotient else to.zero(negative)


def _square_root(to: Destination, x: int) -> Outcome:
    if is_zero(to.fmt, x):
        return x, Flags.NONE
    if is_sign_minus(to.fmt, x):
        return to.invalid()
    if is_infinite(to.fmt, x):
        return x, Flags.NONE
    return to.round(root_for_rounding(to.fmt.decode(x), to.fmt.precision))


def _maximum(to: Destination, x: int, y: int) -> Outcome:
    return predicates.maximum(to.fmt, x, y), Flags.NONE


def _minimum(to: Destination, x: int, y: int) -> Outcome:
    return predicates.minimum(to.fmt, x, y), Flags.NONE


ARITHMETIC: dict[str, Callable[..., Outcome]] = {
    "addition": _addition,
    "subtraction": _subtraction,
    "multiplication": _multiplication,
    "division": _division,
    "square_root": _square_root,
    "maximum": _maximum,
    "minimum": _minimum,
}


# -- conversions (clauses 5.4.1, 5.4.2, 5.8) ---------------------------------------------------------------


def convert_format(
    source: Format, target: Format, rounding: Rounding, bits: int, *, options: Options = COMPLETE
) -> Outcome:
    """Encoding in `target` of an encoding of `source`, and the flags."""
    if source.explicit_leading_bit or target.explicit_leading_bit:
        twin = source.to_twin(bits)
        result, flags = convert_format(source.twin, target.twin, rounding, twin, options=options)
        return target.from_twin(result), flags
    read, to = _read(source, bits, options), Destination(target, rounding, options)
    if is_nan(source, read):
        return _converted_nan(source, target, read, options), _invalid_if(is_signaling(source, read))
    if is_infinite(source, read):
        negative = is_sign_minus(source, read)
        return (to.largest(negative), Flags.NONE) if options.saturate else to.infinity(negative)
    if is_zero(source, read):
        return to.zero(is_sign_minus(source, read))
    return to.round(source.decode(read))


def _converted_nan(source: Format, target: Format, bits: int, options: Options) -> int:
    """A NaN in another format: the default one, or the payload aligned at its first bit."""
    if options.nan is NaNResult.CANONICAL:
        return options.default_nan(target)
    payload = bits % source.quiet_bit * target.quiet_bit // source.quiet_bit
    return target.quiet_nan | payload | (target.sign_bit if is_sign_minus(source, bits) else 0)


def convert_from_integer(
    target: Format, rounding: Rounding, value: int, width: int, *, options: Options = COMPLETE
) -> Outcome:
    """Encoding of a signed integer of `width` bits; ValueError where `value` does not fit the width."""
    if not _lowest(width) <= value <= _highest(width):
        raise ValueError(f"value must fit {width} bits of two's complement, not {value}")
    if not value:
        return 0, Flags.NONE
    result, flags = Destination(target.twin, rounding, options).round(Fraction(value))
    return target.from_twin(result), flags


def convert_to_integer(
    source: Format, rounding: Rounding, width: int, bits: int, *, options: Options = COMPLETE
) -> Outcome:
    """Two's complement pattern (0 to 2**width - 1) of the integer an encoding rounds to, and the flags.

    A value out of range after rounding saturates and a NaN gives 0, both with invalid operation alone;
    a fraction rounded away raises nothing, as in the conversions without Exact in their name (5.8).
    """
    source, bits = source.twin, source.to_twin(bits)
    read = _read(source, bits, options)
    if is_nan(source, read):
        return 0, Flags.INVALID_OPERATION
    if is_infinite(source, read):
        value = _lowest(width) - 1 if is_sign_minus(source, read) else _highest(width) + 1
    else:
        value = round_to_whole(source.decode(read), rounding)
    saturated = min(max(value, _lowest(width)), _highest(width))
    return saturated % (1 << width), _invalid_if(saturated != value)


def _lowest(width: int) -> int:
    return -(1 << (width - 1))


def _highest(width: int) -> int:
    return (1 << (width - 1)) - 1
