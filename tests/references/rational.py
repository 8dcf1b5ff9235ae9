"""Reference in exact rational arithmetic: any format, all directions, all flags.

Semantics, with the clauses of IEEE 754-2019 (from memory): an operation on a NaN delivers a quiet NaN, by
default the canonical one, and is invalid where the NaN is signalling (6.2); underflow is raised where a
result is tiny and inexact (7.5).

Where the options flush subnormal operands, these are read as zeros of their sign, which raises no flag;
where they flush subnormal results, a finite result other than zero whose exact magnitude is below 2**emin
becomes a zero of its sign with underflow and inexact. Sign operations, classes, the total order and the
neighbours of a number look at the encoding as it is. (Common practice, no source.)

A format that stores the leading bit is computed with in its twin, which does not; `to_twin` and
`from_twin` of `leading_bit.py` are the way there and back.
"""

from __future__ import annotations

import operator
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from math import trunc

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format
from softfloat_py.options import COMPLETE, NaNResult, Options
from tests.references import predicates
from tests.references.elementary import ELEMENTARY
from tests.references.exact_rounding import (
    TIES_TOWARD_ZERO,
    Destination,
    Outcome,
    root_for_rounding,
    round_to_whole,
)
from tests.references.leading_bit import from_twin, to_twin
from tests.references.powers import POWERS, is_number_beside_nan
from tests.references.predicates import is_infinite, is_nan, is_sign_minus, is_signaling, is_zero


def expected(
    operation: str, fmt: Format, rounding: Rounding, *operands: int, options: Options = COMPLETE
) -> Outcome:
    """Result and flags of an operation of this format on encodings; a predicate's result is 0 or 1.

    Raises KeyError for an operation without a reference.
    """
    if fmt.explicit_leading_bit:
        twins = [to_twin(fmt, bits) for bits in operands]
        result, flags = expected(operation, fmt.twin, rounding, *twins, options=options)
        if operation in AUGMENTED:
            return tuple(from_twin(fmt, part) for part in result), flags
        is_number = operation in FUNCTIONS or operation in predicates.SIGN_OPERATIONS
        return from_twin(fmt, result) if is_number else result, flags
    if operation in predicates.CLASSES:
        return int(predicates.CLASSES[operation](fmt, *operands)), Flags.NONE
    if operation in predicates.SIGN_OPERATIONS:
        return predicates.SIGN_OPERATIONS[operation](fmt, *operands), Flags.NONE
    if operation in predicates.ORDERS:
        return int(predicates.ORDERS[operation](fmt, *operands)), Flags.NONE
    if operation == "classify":
        return predicates.classify(fmt, *operands), Flags.NONE
    flushes = operation not in predicates.NEIGHBOURS
    read = [as_read(fmt, bits, options) if flushes else bits for bits in operands]
    if operation in predicates.COMPARISONS:
        return predicates.compare(operation, fmt, *read)
    to, has_nan = Destination(fmt, rounding, options), any(is_nan(fmt, bits) for bits in read)
    if operation in AUGMENTED:
        return _augmented(operation, to, has_nan, *read)
    function = FUNCTIONS[operation]
    if not has_nan:
        return function(to, *read)
    signals = any(is_signaling(fmt, bits) for bits in read)
    if operation.endswith("_number") and not all(is_nan(fmt, bits) for bits in read):
        (number,) = (bits for bits in read if not is_nan(fmt, bits))
        return number, _invalid_if(signals)
    if signals or not is_number_beside_nan(operation, fmt, *read):
        result, flags = nan_result(fmt, options, *read)
        no_product = operation == "fused_multiply_add" and _is_no_product(fmt, *read[:2])
        return result, flags | _invalid_if(no_product)
    return function(to, *read)


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


def as_read(fmt: Format, bits: int, options: Options) -> int:
    """An operand as arithmetic takes it: a subnormal number may be flushed."""
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


def _is_no_product(fmt: Format, x: int, y: int) -> bool:
    """Whether the factors are a zero and an infinity."""
    return (is_zero(fmt, x) and is_infinite(fmt, y)) or (is_infinite(fmt, x) and is_zero(fmt, y))


def _fused_multiply_add(to: Destination, x: int, y: int, z: int) -> Outcome:
    """Invalid for zero × infinity even beside a quiet NaN, which 7.2, c, leaves open; see `expected`."""
    if _is_no_product(to.fmt, x, y):
        return to.invalid()
    negative = is_sign_minus(to.fmt, x) != is_sign_minus(to.fmt, y)
    like_signs = negative == is_sign_minus(to.fmt, z)
    if is_infinite(to.fmt, x) or is_infinite(to.fmt, y):
        return to.invalid() if is_infinite(to.fmt, z) and not like_signs else to.infinity(negative)
    if is_infinite(to.fmt, z):
        return z, Flags.NONE
    product = to.fmt.decode(x) * to.fmt.decode(y)
    if total := product + to.fmt.decode(z):
        return to.round(total)
    return to.zero(negative) if like_signs else to.zero_of_sum()


def _remainder(to: Destination, x: int, y: int) -> Outcome:
    """x - y × n with n the whole number nearest to x / y, the even one of two (clause 5.3.1)."""
    return _remainder_by(round, to, x, y)


def _remainder_truncated(to: Destination, x: int, y: int) -> Outcome:
    """x - y × n with n the whole part of x / y: fmod of ISO C."""
    return _remainder_by(trunc, to, x, y)


def _remainder_by(whole: Callable[[Fraction], int], to: Destination, x: int, y: int) -> Outcome:
    if is_infinite(to.fmt, x) or is_zero(to.fmt, y):
        return to.invalid()
    exact = to.fmt.decode(x)
    if not is_infinite(to.fmt, y):
        divisor = to.fmt.decode(y)
        exact -= divisor * whole(exact / divisor)
    return to.round(exact) if exact else to.zero(is_sign_minus(to.fmt, x))


def _square_root(to: Destination, x: int) -> Outcome:
    if is_zero(to.fmt, x):
        return x, Flags.NONE
    if is_sign_minus(to.fmt, x):
        return to.invalid()
    if is_infinite(to.fmt, x):
        return x, Flags.NONE
    return to.round(root_for_rounding(to.fmt.decode(x), to.fmt.precision))


def _r_sqrt(to: Destination, x: int) -> Outcome:
    """Special operands by clause 9.2.1."""
    if is_zero(to.fmt, x):
        infinity, _ = to.infinity(is_sign_minus(to.fmt, x))
        return infinity, Flags.DIVISION_BY_ZERO
    if is_sign_minus(to.fmt, x):
        return to.invalid()
    if is_infinite(to.fmt, x):
        return to.zero(negative=False)
    return to.round(root_for_rounding(1 / to.fmt.decode(x), to.fmt.precision))


def _hypot(to: Destination, x: int, y: int) -> Outcome:
    """An infinity is all that counts, even beside a quiet NaN (clause 9.2.1)."""
    if is_infinite(to.fmt, x) or is_infinite(to.fmt, y):
        return to.infinity(negative=False)
    square = to.fmt.decode(x) ** 2 + to.fmt.decode(y) ** 2
    return to.round(root_for_rounding(square, to.fmt.precision)) if square else to.zero(negative=False)


def _extreme(operation: str) -> Callable[..., Outcome]:
    return lambda to, x, y: (predicates.extreme(operation, to.fmt, x, y), Flags.NONE)


def _neighbour(operation: str) -> Callable[..., Outcome]:
    """NaN where a format ends without an infinity, which is this project's choice."""

    def function(to: Destination, x: int) -> Outcome:
        found = predicates.neighbour(operation, to.fmt, x)
        return to.nan() if found is None else found, Flags.NONE

    return function


def _round_to_integral_exact(to: Destination, x: int) -> Outcome:
    """Signals inexact, unlike the others (clause 5.9); a result of zero keeps the sign (clause 6.3)."""
    if is_infinite(to.fmt, x) or is_zero(to.fmt, x):
        return x, Flags.NONE
    value = to.fmt.decode(x)
    whole = round_to_whole(value, to.rounding)
    inexact = Flags.NONE if whole == value else Flags.INEXACT
    result, flags = to.round(Fraction(whole)) if whole else to.zero(is_sign_minus(to.fmt, x))
    return result, flags | inexact


def _round_to_integral(rounding: Rounding) -> Callable[..., Outcome]:
    def function(to: Destination, x: int) -> Outcome:
        result, flags = _round_to_integral_exact(replace(to, rounding=rounding), x)
        # Inexact stays where it comes with an overflow, in a format that ends below the integer.
        return result, flags if flags.overflow else Flags.NONE

    return function


ARITHMETIC: dict[str, Callable[..., Outcome]] = {
    "addition": _addition,
    "subtraction": _subtraction,
    "multiplication": _multiplication,
    "division": _division,
    "square_root": _square_root,
    "r_sqrt": _r_sqrt,
    "hypot": _hypot,
    "fused_multiply_add": _fused_multiply_add,
    "remainder": _remainder,
    "remainder_truncated": _remainder_truncated,
    **{operation: _extreme(operation) for operation in predicates.EXTREMES},
    **{operation: _neighbour(operation) for operation in predicates.NEIGHBOURS},
    "round_to_integral_exact": _round_to_integral_exact,
    **{f"round_to_integral_{rounding.name.lower()}": _round_to_integral(rounding) for rounding in Rounding},
}
FUNCTIONS = ARITHMETIC | ELEMENTARY | POWERS


# -- augmented arithmetic (clause 9.5): a result and its error, ties toward zero ---------------------------


def _augmented(operation: str, to: Destination, has_nan: bool, x: int, y: int) -> Outcome:
    """Both results, and the flags.

    Where the first is no finite number, the second is the same. The error is inexact only if it is below the
    normal range; a result that is exact has an error of zero with its sign.
    """
    if has_nan:
        result, flags = nan_result(to.fmt, to.options, x, y)
        return (result, result), flags
    to = replace(to, rounding=TIES_TOWARD_ZERO)
    function, combine = AUGMENTED[operation]
    if is_infinite(to.fmt, x) or is_infinite(to.fmt, y):
        result, flags = function(to, x, y)
        return (result, result), flags
    exact = combine(to.fmt.decode(x), to.fmt.decode(y))
    if exact:
        return rounded_with_error(to, exact)
    result, flags = function(to, x, y)
    return (result, result), flags


def rounded_with_error(to: Destination, exact: Fraction) -> Outcome:
    """A number other than zero, rounded, and the error of that, rounded in the same direction."""
    first, flags = to.round(exact)
    if flags & Flags.OVERFLOW:
        return (first, first), flags
    error = exact - to.fmt.decode(first)
    if not error:
        return (first, first & to.fmt.sign_bit), Flags.NONE
    second, flags = to.round(error)
    return (first, second), flags


AUGMENTED: dict[str, tuple[Callable[..., Outcome], Callable[[Fraction, Fraction], Fraction]]] = {
    "augmented_addition": (_addition, operator.add),
    "augmented_subtraction": (_subtraction, operator.sub),
    "augmented_multiplication": (_multiplication, operator.mul),
}


# -- conversion between formats (clause 5.4.2) --------------------------------------------------------------


def convert_format(
    source: Format, target: Format, rounding: Rounding, bits: int, *, options: Options = COMPLETE
) -> Outcome:
    """Encoding in `target` of an encoding of `source`, and the flags."""
    if source.explicit_leading_bit or target.explicit_leading_bit:
        twin = to_twin(source, bits)
        result, flags = convert_format(source.twin, target.twin, rounding, twin, options=options)
        return from_twin(target, result), flags
    read, to = as_read(source, bits, options), Destination(target, rounding, options)
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
