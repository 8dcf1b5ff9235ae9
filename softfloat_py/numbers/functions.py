"""The operations as functions, by the standard's names in snake case: a function for each row of the table.

They take Numbers and FloatArrays of one format, which broadcast, and constants of the program beside them.
`rounding` is the direction for this call alone; the environment's if it is not given.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Protocol, TypeVar, overload

from softfloat_py.environment import Rounding, current, environment
from softfloat_py.errors import OperandError
from softfloat_py.formats import Format
from softfloat_py.numbers.constants import refusal
from softfloat_py.numbers.number import Constant, Number
from softfloat_py.numbers.operands import Emulated, bits_beside, combined
from softfloat_py.operations import OPERATIONS, Operation
from softfloat_py.routines.comparison import Predicate

if TYPE_CHECKING:
    from softfloat_py.numbers.array import FloatArray

__all__ = [  # noqa: RUF022
    "addition", "subtraction", "multiplication", "division", "square_root",
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
    "maximum", "minimum", "negate", "absolute",
    "is_sign_minus", "is_normal", "is_finite", "is_zero", "is_subnormal", "is_infinite",
    "is_nan", "is_signaling",
    "convert_format", "convert_to_integer", "convert_from_integer",
]  # fmt: skip

T = TypeVar("T", bound=Emulated)
INTEGER_WIDTHS = range(8, 65)


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


def _format_among(operation: Operation, *values: Any) -> Format:
    for value in values:
        if isinstance(value, Emulated):
            return value.format
    raise OperandError(
        f"{operation.name} needs an emulated number or array, not {' and '.join(map(repr, values))}; "
        "make one by calling a format, for example binary32(1.5)"
    )


def _encodings(operation: Operation, fmt: Format, value: Any) -> Any:
    if type(value) is Number and value._format is fmt:
        return value._bits
    bits = bits_beside(fmt, value, operation.name)
    if bits is NotImplemented:
        raise refusal(operation.name, fmt, value)
    return bits


def _rounding_towards(rounding: Rounding | None, compute: Callable[[], Any]) -> Any:
    """What `compute` gives with another direction in force; the flags it raises stay raised."""
    if rounding is None:
        return compute()
    outer = current.get()
    with environment(rounding=rounding) as inner:
        result = compute()
    outer.raised |= inner.raised
    return result


def _function(name: str) -> Any:
    """The function of a row of the table."""
    operation = OPERATIONS[name]

    def evaluate(*values: Any) -> Any:
        fmt = _format_among(operation, *values)
        return combined(operation, fmt, tuple([_encodings(operation, fmt, value) for value in values]))

    def unary(x: Any) -> Any:
        return evaluate(x)

    def binary(x: Any, y: Any) -> Any:
        return evaluate(x, y)

    def rounded_unary(x: Any, *, rounding: Rounding | None = None) -> Any:
        return evaluate(x) if rounding is None else _rounding_towards(rounding, lambda: evaluate(x))

    def rounded_binary(x: Any, y: Any, *, rounding: Rounding | None = None) -> Any:
        return evaluate(x, y) if rounding is None else _rounding_towards(rounding, lambda: evaluate(x, y))

    function: Callable[..., Any]
    if operation.arity == 1:
        function = rounded_unary if operation.rounds else unary
    else:
        function = rounded_binary if operation.rounds else binary
    function.__name__ = function.__qualname__ = name
    function.__doc__ = _documentation(operation)
    return function


def _documentation(operation: Operation) -> str:
    """What the operation delivers, from the row or from its routine, and by which clause."""
    predicate = operation.fixed.get("predicate")
    said = _meaning(predicate) if predicate else (operation.routine.__doc__ or "").strip()
    return f"{said}\n\nIEEE 754-2019, clause {operation.clause}. Counted as one call an element.\n"


def _meaning(predicate: Predicate) -> str:
    relations = {
        "x is less than y": predicate.less,
        "x equals y": predicate.equal,
        "x is greater than y": predicate.greater,
        "x or y is a NaN": predicate.unordered,
    }
    held = " or ".join(relation for relation, holds in relations.items() if holds)
    return f"Whether {held}; {'any' if predicate.signaling else 'a signalling'} NaN is an invalid operation."


addition: RoundedBinary = _function("addition")
subtraction: RoundedBinary = _function("subtraction")
multiplication: RoundedBinary = _function("multiplication")
division: RoundedBinary = _function("division")
square_root: RoundedUnary = _function("square_root")

compare_quiet_equal: Comparison = _function("compare_quiet_equal")
compare_quiet_not_equal: Comparison = _function("compare_quiet_not_equal")
compare_signaling_equal: Comparison = _function("compare_signaling_equal")
compare_signaling_greater: Comparison = _function("compare_signaling_greater")
compare_signaling_greater_equal: Comparison = _function("compare_signaling_greater_equal")
compare_signaling_less: Comparison = _function("compare_signaling_less")
compare_signaling_less_equal: Comparison = _function("compare_signaling_less_equal")
compare_signaling_not_equal: Comparison = _function("compare_signaling_not_equal")
compare_signaling_not_greater: Comparison = _function("compare_signaling_not_greater")
compare_signaling_less_unordered: Comparison = _function("compare_signaling_less_unordered")
compare_signaling_not_less: Comparison = _function("compare_signaling_not_less")
compare_signaling_greater_unordered: Comparison = _function("compare_signaling_greater_unordered")
compare_quiet_greater: Comparison = _function("compare_quiet_greater")
compare_quiet_greater_equal: Comparison = _function("compare_quiet_greater_equal")
compare_quiet_less: Comparison = _function("compare_quiet_less")
compare_quiet_less_equal: Comparison = _function("compare_quiet_less_equal")
compare_quiet_unordered: Comparison = _function("compare_quiet_unordered")
compare_quiet_not_greater: Comparison = _function("compare_quiet_not_greater")
compare_quiet_less_unordered: Comparison = _function("compare_quiet_less_unordered")
compare_quiet_not_less: Comparison = _function("compare_quiet_not_less")
compare_quiet_greater_unordered: Comparison = _function("compare_quiet_greater_unordered")
compare_quiet_ordered: Comparison = _function("compare_quiet_ordered")

maximum: Binary = _function("maximum")
minimum: Binary = _function("minimum")
negate: Callable[[T], T] = _function("negate")
absolute: Callable[[T], T] = _function("absolute")

is_sign_minus: Question = _function("is_sign_minus")
is_normal: Question = _function("is_normal")
is_finite: Question = _function("is_finite")
is_zero: Question = _function("is_zero")
is_subnormal: Question = _function("is_subnormal")
is_infinite: Question = _function("is_infinite")
is_nan: Question = _function("is_nan")
is_signaling: Question = _function("is_signaling")


def convert_format(x: T, target: Format, *, rounding: Rounding | None = None) -> T:
    """x in the format `target`, rounded (IEEE 754-2019, clause 5.4.2). Counted as one call an element.

    Raises FormatError for an array if the target is wider than 64 bits.

    >>> from softfloat_py.formats import binary16, binary32
    >>> convert_format(binary32(0.1), binary16)
    binary16(0.1)
    """
    operation = OPERATIONS["convert_format"]
    fmt = _format_among(operation, x)
    if not isinstance(target, Format):
        raise OperandError(f"convert_format needs a Format as target, not {target!r}")
    if not isinstance(x, Number):
        from softfloat_py.numbers.array_constants import storage

        storage(target)
    result: T = _rounding_towards(rounding, lambda: combined(operation, fmt, (x._bits,), target))
    return result


def convert_to_integer(x: Any, width: int = 32, rounding: Rounding | None = None) -> Any:
    """x rounded to a two's complement integer of `width` bits, 8 to 64 (IEEE 754-2019, clause 5.8).

    A Number gives an int, a FloatArray an array of the smallest signed dtype. Where no such integer exists,
    the operation is invalid and gives the nearest one, 0 for a NaN. C's conversion is
    rounding=Rounding.TOWARD_ZERO. Counted as one call an element.

    >>> from softfloat_py.formats import binary32
    >>> convert_to_integer(binary32(-2.75), rounding=Rounding.TOWARD_ZERO)
    -2
    """
    operation = OPERATIONS["convert_to_integer"]
    fmt = _format_among(operation, x)
    _check_integer_width(operation, width)
    return _rounding_towards(rounding, lambda: combined(operation, fmt, (x._bits,), width))


def convert_from_integer(value: Any, fmt: Format, width: int = 64, rounding: Rounding | None = None) -> Any:
    """An integer of `width` bits, 8 to 64, or a host array of them, in a format (IEEE 754-2019, 5.4.1).

    Counted as one call an element, as the conversion of an integer variable of the program; for constants
    write fmt(value). Raises OperandError for anything but integers, or one that `width` bits do not hold.

    >>> from softfloat_py.formats import binary32
    >>> convert_from_integer(-3, binary32, width=16)
    binary32(-3.0)
    """
    operation = OPERATIONS["convert_from_integer"]
    if not isinstance(fmt, Format):
        raise OperandError(f"convert_from_integer needs a Format for its result, not {fmt!r}")
    _check_integer_width(operation, width)
    bits = _two_s_complement(value, width)
    return _rounding_towards(rounding, lambda: combined(operation, fmt, (bits,), width))


def _check_integer_width(operation: Operation, width: int) -> None:
    if type(width) is not int or width not in INTEGER_WIDTHS:
        legal = f"{INTEGER_WIDTHS.start} to {INTEGER_WIDTHS.stop - 1}"
        raise OperandError(f"width of {operation.name} must be a whole number from {legal}, not {width!r}")


def _two_s_complement(value: Any, width: int) -> Any:
    """The bits of an integer or an array of integers."""
    is_array = getattr(value, "ndim", 0) > 0
    kind = value.dtype.kind if hasattr(value, "dtype") else "i" if type(value) is int else ""
    if kind not in ("i", "u"):
        raise OperandError(f"convert_from_integer needs integers, not {value!r} ({type(value).__name__})")
    half = 1 << (width - 1)
    extremes = (value.min(initial=0), value.max(initial=0)) if is_array else (value,)
    for extreme in map(int, extremes):
        if not -half <= extreme < half:
            raise OperandError(
                f"an integer of {width} bits must lie between {-half} and {half - 1}, not {extreme}"
            )
    if is_array:
        return value.astype("i8").view("u8") & (2 * half - 1)
    return int(value) % (2 * half)
