"""What may stand beside an emulated value, and what is refused with which words."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Any

import ml_dtypes
import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.operations import OPERATIONS, Result

x: Any = sf.binary32(1.5)
a: Any = sf.binary32.array([1.5, -2.0])
CONSTANTS = [
    2, 0.1, Fraction(1, 3), np.float64(0.1), np.float32(0.1), np.float16(0.1), np.int8(-3), np.uint64(2**63)
]  # fmt: skip


@pytest.mark.parametrize("constant", CONSTANTS)
def test_constants_are_rounded_to_the_format(constant: Any) -> None:
    """A Python or numpy number on either side acts as the number the format makes of it."""
    rounded = sf.binary32(constant)
    assert (x - rounded).bits == (x - constant).bits
    assert (rounded - x).bits == (constant - x).bits
    assert (a - rounded).bits.tolist() == (a - constant).bits.tolist()
    assert (rounded - a).bits.tolist() == (constant - a).bits.tolist()


def test_constants_follow_the_direction() -> None:
    """The environment's direction rounds a constant, even one that was rounded otherwise before."""
    with sf.environment(rounding=sf.Rounding.TOWARD_POSITIVE):
        above = sf.binary16(0) + 0.1
    with sf.environment(rounding=sf.Rounding.TOWARD_NEGATIVE):
        below = sf.binary16(0) + 0.1
    assert 1 == above.bits - below.bits


def test_constants_raise_no_flags_and_are_not_counted() -> None:
    """Rounding 0.1 is inexact, but it happens when the program is made, not when it runs."""
    with sf.environment() as environment, sf.counting() as tally:
        sf.binary32(0.1)
        sf.binary32.array([0.1] * 1000)
        assert float(sf.binary32(0.0) * 0.1) == 0
    assert sf.Flags.NONE == environment.flags
    assert {("multiplication", "binary32"): 1} == tally.calls


def test_zeros_of_both_signs_are_told_apart() -> None:
    """A constant -0.0 after a constant 0.0 keeps its sign, although the two are equal."""
    zeros: list[Any] = [0.0, -0.0, 0, np.float32(-0.0)]
    assert [1, -1, 1, -1] == [math.copysign(1, float(sf.binary32(-0.0) + zero)) for zero in zeros]


def test_arrays_of_integers_are_constants() -> None:
    """A host array of integers beside a number or an array is converted element by element."""
    integers = np.array([1, 2])
    assert [2.5, 3.5] == [float(y) for y in x + integers]
    assert [2.5, 3.5] == [float(y) for y in integers + x]
    assert [2.5, 0.0] == [float(y) for y in integers + a]


OPERATORS: list[Callable[[Any, Any], Any]] = [
    operator.add, operator.sub, operator.mul, operator.truediv, operator.floordiv, operator.mod, divmod,
    operator.lt, operator.le, operator.gt, operator.ge, operator.eq, operator.ne,
]  # fmt: skip
SCALARS = [
    np.float16(2), np.float32(2), np.float64(2), np.longdouble(2), np.int8(2), np.uint64(2), np.array(2.0),
    np.array(2), ml_dtypes.bfloat16(2), ml_dtypes.float8_e4m3fn(2), ml_dtypes.int4(2),
]  # fmt: skip


@pytest.mark.parametrize("scalar", SCALARS, ids=lambda scalar: f"{type(scalar).__name__}-{scalar.dtype}")
@pytest.mark.parametrize("function", OPERATORS, ids=lambda function: function.__name__)
def test_scalars_of_numpy_stand_on_either_side(function: Callable[[Any, Any], Any], scalar: Any) -> None:
    """A numpy scalar of any kind, or an array without axes, is the constant that Python's 2.0 is."""
    for value in (x, a):
        assert str(function(value, 2.0)) == str(function(value, scalar))
        assert str(function(2.0, value)) == str(function(scalar, value))


@pytest.mark.parametrize("scalar", SCALARS, ids=lambda scalar: f"{type(scalar).__name__}-{scalar.dtype}")
def test_scalars_of_numpy_in_python_s_functions(scalar: Any) -> None:
    """max, min and a format called take a numpy scalar on either side, whichever is greater."""
    assert [2, 2, 1.5, 1.5] == [max(x, scalar), max(scalar, x), min(x, scalar), min(scalar, x)]
    assert "binary32(2.0)" == repr(sf.binary32(scalar[()]))
    assert "binary32.array([1.0, 2.0])" == repr(sf.binary32.array([1.0, scalar[()]]))


def test_short_formats_come_in_exactly() -> None:
    """Every value of ml_dtypes' bfloat16 becomes the same number, one by one as in an array."""
    every = np.arange(2**16, dtype=np.uint16)[::97].view(ml_dtypes.bfloat16)
    numbers = [sf.binary32(value) for value in every]
    assert sf.binary32.array(every).bits.tolist() == [number.bits for number in numbers]


def test_arrays_of_objects_are_their_numbers() -> None:
    """numpy's arrays of Numbers stand beside emulated values; other objects in them are refused."""
    objects = np.array([sf.binary32(0.5), 2], dtype=object)
    assert "binary32.array([0.75, -4.0])" == repr(a * objects) == repr(objects * a)
    assert "binary32.array([0.75, 3.0])" == repr(x * objects) == repr(objects * x)
    assert "binary32(3.0)" == repr(np.asarray(x) + x)
    with pytest.raises(sf.MixedFormatsError):
        a + np.array([sf.binary16(1), 2], dtype=object)
    with pytest.raises(
        sf.OperandError, match=r"^an element of an array of binary32 needs .* not '2' \(str\)"
    ):
        a + np.array(["2", 2], dtype=object)


class Column:
    """A column of another library's table: values, a dtype, arithmetic, and a way to numpy."""

    __array_priority__ = 1000
    __pandas_priority__ = 3000  # of that library's columns

    def __init__(self, values: Any) -> None:
        self.values = np.asarray(values)
        self.dtype = self.values.dtype

    def to_numpy(self) -> Any:
        """The values in a host array."""
        return self.values

    def __array_ufunc__(self, ufunc: Any, method: str, *inputs: Any, **keywords: Any) -> Any:
        return NotImplemented

    def _operator(self, other: Any) -> Any:
        # Such a library leaves the operator to a type of higher priority, and takes all others itself.
        return NotImplemented if getattr(other, "__pandas_priority__", 0) > 3000 else "the column's own"

    __mul__ = __rmul__ = __pow__ = __rpow__ = __gt__ = __lt__ = _operator


@pytest.mark.parametrize("values", [[1.5, 2.5], [1, 2], [True, False], [sf.binary32(2), sf.binary32(3)]])
@pytest.mark.parametrize("value", [x, a])
def test_columns_of_tables_say_what_to_write(value: Any, values: Any) -> None:
    """Beside a column, on either side and in numpy's functions, one sentence says how to convert it."""
    column: Any = Column(values)
    assert "the column's own" == column * 2
    said = r"^\S+ of binary32 needs emulated operands, not a Column; write binary32\.array\(values\.to_numpy"
    besides: list[Callable[[], Any]] = [
        lambda: value * column, lambda: column * value, lambda: column > value, lambda: column**value,
        lambda: np.multiply(value, column), lambda: np.where(True, value, column),
    ]  # fmt: skip
    for beside in besides:
        with pytest.raises(sf.OperandError, match=said):
            beside()
    with pytest.raises(
        sf.OperandError, match=r"^a constant of binary32 needs .* not a Column; write binary32"
    ):
        sf.binary32(column)


def test_arrays_of_other_libraries_say_what_to_write() -> None:
    """What has a dtype of its own and is not numpy's is converted first."""

    class Tensor:
        dtype = "float32"

    with pytest.raises(sf.OperandError, match=r"not a Tensor; write binary32\.array\(numpy\.asarray\("):
        x * Tensor()


def test_columns_of_tables_become_arrays() -> None:
    """A format's array takes what has to_numpy(), of floats, integers and Numbers."""
    every: list[Any] = [[1.5, 2.5], [1, 2], [sf.binary32(2), sf.binary32(3)], np.ones((2, 3))]
    for values in every:
        column: Any = Column(values)
        expected, result = sf.binary32.array(values), sf.binary32.array(column)
        assert expected.bits.tolist() == result.bits.tolist()


FORMATS_MIXED = (
    "{} needs operands of one format, not {} and {}; "
    "convert one of them first, for example convert_format(x, {})"
)


@pytest.mark.parametrize("other", [sf.binary16(1), sf.binary16.array([1.0, 2.0])])
@pytest.mark.parametrize("function", [operator.add, operator.lt, operator.eq, operator.ne])
def test_formats_do_not_mix(function: Callable[[Any, Any], Any], other: Any) -> None:
    """Two formats in one operation of a kernel are an error that says how to convert, even in ==."""
    names = {
        operator.add: "addition",
        operator.lt: "compare_signaling_less",
        operator.eq: "compare_quiet_equal",
        operator.ne: "compare_quiet_not_equal",
    }
    with sf.counting() as tally, pytest.raises(sf.MixedFormatsError) as caught:
        function(x, other)
    assert FORMATS_MIXED.format(names[function], "binary32", "binary16", "binary32") == str(caught.value)
    assert 0 == tally.total_calls


@pytest.mark.parametrize("function", [operator.add, operator.lt])
def test_formats_do_not_mix_where_nothing_counts_either(function: Callable[[Any, Any], Any]) -> None:
    """All operators but == and != refuse another format at any time, and those two an array of one."""
    with pytest.raises(sf.MixedFormatsError):
        function(x, sf.binary16(1))
    for equality in (operator.eq, operator.ne):
        with pytest.raises(sf.MixedFormatsError):
            equality(x, sf.binary16.array([1.0]))
        with pytest.raises(sf.MixedFormatsError):
            equality(sf.binary16.array([1.0]), x)


def test_numbers_of_two_formats_are_different_keys() -> None:
    """Outside a kernel one set, dictionary or cache holds equal values of two formats, each for itself."""
    single, double, half = sf.binary32(1.5), sf.binary64(1.5), sf.binary16(1.5)
    assert 2 == len({single, double, sf.binary32(1.5)})
    assert hash(1.5) == hash(single) == hash(double)
    table = {single: "single", double: "double"}
    assert ("single", "double") == (table[sf.binary32(1.5)], table[sf.binary64(1.5)])
    assert half not in table
    assert half not in [single, double]
    assert [double] == [number for number in [single, double] if number != sf.binary32(1.5)]

    @lru_cache
    def doubled(number: sf.Number) -> sf.Number:
        return number + number

    assert [sf.binary32, sf.binary64] == [doubled(number).format for number in (single, double)]


@pytest.mark.parametrize("value", [x, a])
def test_host_arrays_of_floats_are_refused(value: Any) -> None:
    """A host float array beside an emulated value is an error on either side."""
    said = (
        "{} needs emulated operands, not a host array of float64; "
        "convert it where it enters the kernel: binary32.array(values)"
    )
    with pytest.raises(sf.HostFloatError) as caught:
        value + np.ones(2)
    assert said.format("addition") == str(caught.value)
    with pytest.raises(sf.HostFloatError) as caught:
        np.ones(2) + value
    assert said.format("numpy.add") == str(caught.value)


@pytest.mark.parametrize(
    ("other", "advice"),
    [
        (True, "True (bool); convert it first, for example int(value)"),
        (1j, "1j (complex); make a value of the format of it: binary32.complex_number(value)"),
        ("1", "'1' (str); write binary32.from_text(text)"),
        (Decimal(1), "Decimal('1') (Decimal); convert it first: Fraction(value) is exact"),
        ([1], "[1] (list); write binary32.array(values)"),
    ],
)
@pytest.mark.parametrize("value", [x, a])
def test_other_kinds_of_numbers_are_refused(value: Any, other: Any, advice: str) -> None:
    """What is no constant is an error with advice, and never computed with."""
    with pytest.raises(sf.OperandError) as caught:
        value * other
    assert f"multiplication of binary32 needs an int, a float or a Fraction, not {advice}" == str(
        caught.value
    )


def test_unknown_types_are_left_to_python() -> None:
    """A type of somebody else's gets its turn; without one, Python raises its own error."""

    class Foreign:
        def __radd__(self, other: object) -> str:
            return "foreign"

    assert "foreign" == x + Foreign()
    with pytest.raises(TypeError, match="unsupported operand"):
        x + None


@pytest.mark.parametrize("other", ["1.5", None, True, 1j, Decimal("1.5"), object()])
def test_foreign_types_are_unequal(other: object) -> None:
    """== and != with a type that has no place beside a number are False and True, as in Python."""
    assert False is (x == other)
    assert True is (x != other)


@pytest.mark.parametrize(
    ("function", "sign", "nearest"),
    [
        (round, "round", "round_to_integral_ties_to_even"),
        (math.floor, "math.floor", "round_to_integral_toward_negative"),
        (math.ceil, "math.ceil", "round_to_integral_toward_positive"),
        (math.trunc, "math.trunc", "round_to_integral_toward_zero"),
    ],
)
def test_arrays_are_not_made_ints(function: Callable[[Any], Any], sign: str, nearest: str) -> None:
    """Functions that give one int are refused for an array, naming the operation that gives an array."""
    with pytest.raises(sf.NotEmulatedError) as caught:
        function(a)
    assert (sign, nearest) == (caught.value.function, caught.value.nearest)


WITH_OPERATOR = [row for row in OPERATIONS.values() if row.operator]


@pytest.mark.parametrize("operation", WITH_OPERATOR, ids=lambda row: row.name)
def test_operators_are_their_operation(operation: Any) -> None:
    """Each operator of the table counts as its operation, once a Number and once an element of an array."""
    others = (x,) * (operation.arity - 1)
    with sf.counting() as tally:
        getattr(x, operation.operator)(*others)
        getattr(a, operation.operator)(*others)
    assert {(operation.name, "binary32"): 3} == tally.calls


@pytest.mark.parametrize("options", [sf.COMPLETE, sf.LEAN], ids=lambda options: options.name)
def test_operators_keep_to_the_environment(options: sf.Options) -> None:
    """The same operator serves formats and options in turn, and flags go where it ran."""
    for fmt in (sf.binary32, sf.binary16, sf.binary32):
        with sf.environment(options=options) as environment:
            quotient = fmt(1) / fmt(3)
        assert quotient.bits == sf.division(fmt(1), fmt(3)).bits
        assert (sf.Flags.INEXACT if options.flags else sf.Flags.NONE) == environment.flags


def test_runs_are_noted_under_the_user_s_line() -> None:
    """Operators, functions and reductions are all filed under the line that called them."""
    long = sf.binary32.array(np.ones((2, 1000)))
    with sf.counting() as tally:
        _ = x + x
        _ = sf.square_root(x), np.add(x, 1), -x, sf.addition(x, x, rounding=sf.Rounding.TOWARD_ZERO)
        _ = a.sum(), a * a, long.sum(axis=0), np.dot(long[0], long[1])
    assert {
        "_ = x + x",
        "_ = sf.square_root(x), np.add(x, 1), -x, sf.addition(x, x, rounding=sf.Rounding.TOWARD_ZERO)",
        "_ = a.sum(), a * a, long.sum(axis=0), np.dot(long[0], long[1])",
    } == {line.text for line in tally.steps_by_line}


def test_in_place_operators_of_the_table_exist() -> None:
    """Every operation with an operator that rounds to the format can also be done in place on an array."""
    for operation in OPERATIONS.values():
        if operation.operator and operation.arity == 2 and operation.result is Result.NUMBER:
            array = a.copy()
            storage = array.bits
            result = getattr(array, f"__i{operation.operator[2:]}")(2)
            assert result is array
            assert getattr(a, operation.operator)(2).bits.tolist() == storage.tolist()
