"""The operations as functions, by the standard's names in snake case: a function for each row of the table.

They take Numbers and FloatArrays of one format, which broadcast, and constants of the program beside them.
`rounding` is the direction for this call alone; the environment's if it is not given.
"""

from __future__ import annotations

from collections.abc import Callable
from inspect import cleandoc
from sys import _getframe
from typing import TYPE_CHECKING, Any, Protocol, TypeVar, overload

from softfloat_py.environment import Rounding
from softfloat_py.errors import OperandError
from softfloat_py.numbers.applying import is_users
from softfloat_py.numbers.calling import encodings_of, format_among, rounding_towards
from softfloat_py.numbers.constants import Constant
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.integer_functions import (
    convert_from_integer,
    convert_to_integer,
    convert_to_integer_exact,
    convert_to_integer_toward_zero,
    scale_b,
)
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.operands import combined
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import OPERATIONS, Operation
from softfloat_py.routines.comparison import Predicate
from softfloat_py.routines.sign_and_class import FloatClass

if TYPE_CHECKING:
    from softfloat_py.numbers.array import FloatArray

__all__ = [  # noqa: RUF022
    "addition", "subtraction", "multiplication", "division", "square_root", "fused_multiply_add",
    "remainder", "remainder_truncated",
    "augmented_addition", "augmented_subtraction", "augmented_multiplication",
    "compare_quiet_equal", "compare_quiet_not_equal",
    "compare_signaling_equal", "compare_signaling_not_equal",
    "compare_signaling_greater", "compare_signaling_greater_equal",
    "compare_signaling_less", "compare_signaling_less_equal",
    "compare_signaling_not_greater", "compare_signaling_less_unordered",
    "compare_signaling_not_less", "compare_signaling_greater_unordered",
    "compare_quiet_greater", "compare_quiet_greater_equal", "compare_quiet_less", "compare_quiet_less_equal",
    "compare_quiet_unordered", "compare_quiet_ordered",
    "compare_quiet_not_greater", "compare_quiet_less_unordered",
    "compare_quiet_not_less", "compare_quiet_greater_unordered",
    "total_order", "total_order_magnitude",
    "maximum", "minimum", "maximum_number", "minimum_number",
    "maximum_magnitude", "minimum_magnitude", "maximum_magnitude_number", "minimum_magnitude_number",
    "round_to_integral_ties_to_even", "round_to_integral_ties_to_away", "round_to_integral_toward_zero",
    "round_to_integral_toward_positive", "round_to_integral_toward_negative", "round_to_integral_exact",
    "next_up", "next_down", "scale_b", "log_b",
    "copy", "negate", "absolute", "copy_sign",
    "is_sign_minus", "is_normal", "is_finite", "is_zero", "is_subnormal", "is_infinite",
    "is_nan", "is_signaling", "classify",
    "convert_format", "convert_to_integer", "convert_to_integer_exact",
    "convert_to_integer_toward_zero", "convert_from_integer",
]  # fmt: skip

T = TypeVar("T", bound=Emulated)


class RoundedUnary(Protocol):
    """A function of one value that rounds."""

    def __call__(self, x: T, *, rounding: Rounding | None = None) -> T: ...


class RoundedBinary(Protocol):
    """A function of two values that rounds."""

    @overload
    def __call__(self, x: Number, y: Number | Constant, *, rounding: Rounding | None = None) -> Number: ...
    @overload
    def __call__(self, x: Constant, y: T, *, rounding: Rounding | None = None) -> T: ...
    @overload
    def __call__(self, x: FloatArray, y: Any, *, rounding: Rounding | None = None) -> FloatArray: ...
    @overload
    def __call__(self, x: Any, y: Any, *, rounding: Rounding | None = None) -> Any: ...


class RoundedTernary(Protocol):
    """A function of three values that rounds."""

    @overload
    def __call__(
        self, x: Number, y: Number | Constant, z: Number | Constant, *, rounding: Rounding | None = None
    ) -> Number: ...
    @overload
    def __call__(
        self, x: Constant, y: Number, z: Number | Constant, *, rounding: Rounding | None = None
    ) -> Number: ...
    @overload
    def __call__(self, x: Constant, y: Constant, z: T, *, rounding: Rounding | None = None) -> T: ...
    @overload
    def __call__(self, x: FloatArray, y: Any, z: Any, *, rounding: Rounding | None = None) -> FloatArray: ...
    @overload
    def __call__(self, x: Any, y: Any, z: Any, *, rounding: Rounding | None = None) -> Any: ...


class Augmented(Protocol):
    """A function of two values whose result is a rounded value and its error."""

    @overload
    def __call__(self, x: Number, y: Number | Constant) -> tuple[Number, Number]: ...
    @overload
    def __call__(self, x: Constant, y: T) -> tuple[T, T]: ...
    @overload
    def __call__(self, x: FloatArray, y: Any) -> tuple[FloatArray, FloatArray]: ...
    @overload
    def __call__(self, x: Any, y: Any) -> tuple[Any, Any]: ...


class Binary(Protocol):
    """A function of two values that is exact."""

    @overload
    def __call__(self, x: Number, y: Number | Constant) -> Number: ...
    @overload
    def __call__(self, x: Constant, y: T) -> T: ...
    @overload
    def __call__(self, x: FloatArray, y: Any) -> FloatArray: ...
    @overload
    def __call__(self, x: Any, y: Any) -> Any: ...


class Unary(Protocol):
    """A function of one value that is exact, or always rounds the same way."""

    def __call__(self, x: T) -> T: ...


class Exponent(Protocol):
    """A function of one value whose result is an int, or an array of integers."""

    @overload
    def __call__(self, x: Number) -> int: ...
    @overload
    def __call__(self, x: Any) -> Any: ...


class Classification(Protocol):
    """A function of one value whose result is a FloatClass, or an array of the classes' numbers."""

    @overload
    def __call__(self, x: Number) -> FloatClass: ...
    @overload
    def __call__(self, x: Any) -> Any: ...


class Question(Protocol):
    """A function of one value whose result is a bool, or an array of bools."""

    @overload
    def __call__(self, x: Number) -> bool: ...
    @overload
    def __call__(self, x: Any) -> Any: ...


class Comparison(Protocol):
    """A function of two values whose result is a bool, or an array of bools."""

    @overload
    def __call__(self, x: Number, y: Number | Constant) -> bool: ...
    @overload
    def __call__(self, x: Constant, y: Number) -> bool: ...
    @overload
    def __call__(self, x: Any, y: Any) -> Any: ...


def function_of(name: str) -> Any:
    """The function of a row of the table, whose operands are values."""
    operation = OPERATIONS[name]
    operator = operation.operator

    def evaluate(*values: Any) -> Any:
        fmt = format_among(operation, *values)
        return combined(operation, fmt, tuple([encodings_of(operation, fmt, value) for value in values]))

    def evaluate_both(x: Any, y: Any) -> Any:
        """As `evaluate`; two numbers of one format, called by the user, have it done by their operator."""
        numbers = type(x)
        if operator is not None and numbers is type(y) and isinstance(x, Number) and is_users(_getframe(2)):
            return getattr(numbers, operator)(x, y, level=3)
        return evaluate(x, y)

    def unary(x: Any) -> Any:
        return evaluate(x)

    def binary(x: Any, y: Any) -> Any:
        return evaluate_both(x, y)

    def rounded_unary(x: Any, *, rounding: Rounding | None = None) -> Any:
        return evaluate(x) if rounding is None else rounding_towards(rounding, lambda: evaluate(x))

    def rounded_binary(x: Any, y: Any, *, rounding: Rounding | None = None) -> Any:
        return evaluate_both(x, y) if rounding is None else rounding_towards(rounding, lambda: evaluate(x, y))

    def rounded_of_point(y: Any, x: Any, *, rounding: Rounding | None = None) -> Any:
        return rounded_binary(y, x, rounding=rounding)

    def rounded_ternary(x: Any, y: Any, z: Any, *, rounding: Rounding | None = None) -> Any:
        if rounding is None:
            return evaluate(x, y, z)
        return rounding_towards(rounding, lambda: evaluate(x, y, z))

    exact: list[Callable[..., Any]] = [unary, binary]
    of_two = rounded_of_point if operation.operands == ("y", "x") else rounded_binary
    rounded: list[Callable[..., Any]] = [rounded_unary, of_two, rounded_ternary]
    function = (rounded if operation.rounds else exact)[operation.arity - 1]
    function.__name__ = function.__qualname__ = name
    function.__doc__ = documentation(operation)
    return function


def documentation(operation: Operation) -> str:
    """What the operation delivers, from the row or from its routine, and by which clause."""
    match operation.fixed:
        case {"predicate": predicate}:
            said = _meaning(predicate)
        case {"rounding": rounding}:
            said = (
                f"{INTEGRAL[rounding]}. Signals invalid operation (signalling NaN); overflow and inexact "
                "only in a format that ends below that integer."
            )
        case _:
            said = cleandoc(operation.routine.__doc__ or "")
    return f"{said}\n\n{operation.source}. Counted as one call an element.\n"


# What round_to_integral delivers in a direction, and its name in C.
INTEGRAL = {
    Rounding.TIES_TO_EVEN: "The nearest integer in the format of x, the even one of two; C's roundeven",
    Rounding.TIES_TO_AWAY: "The nearest integer in the format of x, the outer one of two; C's round",
    Rounding.TOWARD_POSITIVE: "The least integer that is not below x, in its format; C's ceil",
    Rounding.TOWARD_NEGATIVE: "The greatest integer that is not above x, in its format; C's floor",
    Rounding.TOWARD_ZERO: "x without its fraction; C's trunc",
}


def _meaning(predicate: Predicate) -> str:
    relations = {
        "x is less than y": predicate.less,
        "x equals y": predicate.equal,
        "x is greater than y": predicate.greater,
        "x or y is a NaN": predicate.unordered,
    }
    held = " or ".join(relation for relation, holds in relations.items() if holds)
    return f"Whether {held}; {'any' if predicate.signaling else 'a signalling'} NaN is an invalid operation."


addition: RoundedBinary = function_of("addition")
subtraction: RoundedBinary = function_of("subtraction")
multiplication: RoundedBinary = function_of("multiplication")
division: RoundedBinary = function_of("division")
square_root: RoundedUnary = function_of("square_root")
fused_multiply_add: RoundedTernary = function_of("fused_multiply_add")
remainder: Binary = function_of("remainder")
remainder_truncated: Binary = function_of("remainder_truncated")

augmented_addition: Augmented = function_of("augmented_addition")
augmented_subtraction: Augmented = function_of("augmented_subtraction")
augmented_multiplication: Augmented = function_of("augmented_multiplication")

compare_quiet_equal: Comparison = function_of("compare_quiet_equal")
compare_quiet_not_equal: Comparison = function_of("compare_quiet_not_equal")
compare_signaling_equal: Comparison = function_of("compare_signaling_equal")
compare_signaling_greater: Comparison = function_of("compare_signaling_greater")
compare_signaling_greater_equal: Comparison = function_of("compare_signaling_greater_equal")
compare_signaling_less: Comparison = function_of("compare_signaling_less")
compare_signaling_less_equal: Comparison = function_of("compare_signaling_less_equal")
compare_signaling_not_equal: Comparison = function_of("compare_signaling_not_equal")
compare_signaling_not_greater: Comparison = function_of("compare_signaling_not_greater")
compare_signaling_less_unordered: Comparison = function_of("compare_signaling_less_unordered")
compare_signaling_not_less: Comparison = function_of("compare_signaling_not_less")
compare_signaling_greater_unordered: Comparison = function_of("compare_signaling_greater_unordered")
compare_quiet_greater: Comparison = function_of("compare_quiet_greater")
compare_quiet_greater_equal: Comparison = function_of("compare_quiet_greater_equal")
compare_quiet_less: Comparison = function_of("compare_quiet_less")
compare_quiet_less_equal: Comparison = function_of("compare_quiet_less_equal")
compare_quiet_unordered: Comparison = function_of("compare_quiet_unordered")
compare_quiet_not_greater: Comparison = function_of("compare_quiet_not_greater")
compare_quiet_less_unordered: Comparison = function_of("compare_quiet_less_unordered")
compare_quiet_not_less: Comparison = function_of("compare_quiet_not_less")
compare_quiet_greater_unordered: Comparison = function_of("compare_quiet_greater_unordered")
compare_quiet_ordered: Comparison = function_of("compare_quiet_ordered")

total_order: Comparison = function_of("total_order")
total_order_magnitude: Comparison = function_of("total_order_magnitude")

maximum: Binary = function_of("maximum")
minimum: Binary = function_of("minimum")
maximum_number: Binary = function_of("maximum_number")
minimum_number: Binary = function_of("minimum_number")
maximum_magnitude: Binary = function_of("maximum_magnitude")
minimum_magnitude: Binary = function_of("minimum_magnitude")
maximum_magnitude_number: Binary = function_of("maximum_magnitude_number")
minimum_magnitude_number: Binary = function_of("minimum_magnitude_number")

round_to_integral_ties_to_even: Unary = function_of("round_to_integral_ties_to_even")
round_to_integral_ties_to_away: Unary = function_of("round_to_integral_ties_to_away")
round_to_integral_toward_zero: Unary = function_of("round_to_integral_toward_zero")
round_to_integral_toward_positive: Unary = function_of("round_to_integral_toward_positive")
round_to_integral_toward_negative: Unary = function_of("round_to_integral_toward_negative")
round_to_integral_exact: RoundedUnary = function_of("round_to_integral_exact")
next_up: Unary = function_of("next_up")
next_down: Unary = function_of("next_down")
log_b: Exponent = function_of("log_b")

copy: Unary = function_of("copy")
negate: Unary = function_of("negate")
absolute: Unary = function_of("absolute")
copy_sign: Binary = function_of("copy_sign")

is_sign_minus: Question = function_of("is_sign_minus")
is_normal: Question = function_of("is_normal")
is_finite: Question = function_of("is_finite")
is_zero: Question = function_of("is_zero")
is_subnormal: Question = function_of("is_subnormal")
is_infinite: Question = function_of("is_infinite")
is_nan: Question = function_of("is_nan")
is_signaling: Question = function_of("is_signaling")
classify: Classification = function_of("classify")


def convert_format(x: T, target: ValueSystem, *, rounding: Rounding | None = None) -> T:
    """x in the format `target`, rounded (IEEE 754-2019, clause 5.4.2). Counted as one call an element.

    >>> from softfloat_py.numbers.formats import binary16, binary32
    >>> convert_format(binary32(0.1), binary16)
    binary16(0.1)
    """
    operation = OPERATIONS["convert_format"]
    fmt = format_among(operation, x)
    if not isinstance(target, ValueSystem):
        raise OperandError(f"convert_format needs a Format as target, not {target!r}")
    result: T = rounding_towards(rounding, lambda: combined(operation, fmt, (x._bits,), target))
    return result
