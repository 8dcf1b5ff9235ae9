"""The public functions: one for each operation of the table."""

from __future__ import annotations

import math
from collections.abc import Callable
from inspect import signature
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.numbers import functions
from softfloat_py.operations import OPERATIONS, Result

x, y, z = sf.binary32(2.25), sf.binary32(0.1), sf.binary32(-0.3)
NO_FORMAT: Any = np.float32
UP, ZERO = sf.Rounding.TOWARD_POSITIVE, sf.Rounding.TOWARD_ZERO
ON_NUMBERS = [row for row in OPERATIONS.values() if not row.parameters and not row.integer_operands]

# What is no number of a format.
PLAIN = {Result.TRUTH: bool, Result.INTEGER: int, Result.CLASS: sf.FloatClass}


def test_every_operation_has_a_function() -> None:
    """The functions are the rows of the table, by name, and name their clause."""
    from softfloat_py.numbers import elementary_functions, functions

    assert set(OPERATIONS) == {*functions.__all__, *elementary_functions.__all__}
    for name, operation in OPERATIONS.items():
        function = getattr(sf, name)
        assert name == function.__name__
        assert operation.clause in function.__doc__


@pytest.mark.parametrize("operation", ON_NUMBERS, ids=lambda row: row.name)
def test_functions_take_numbers_arrays_and_constants(operation: Any) -> None:
    """A function counts one call an element, and gives single values or arrays by what it is given."""
    function = getattr(sf, operation.name)
    operands = (x, y, z)[: operation.arity]
    arrays = [sf.binary32.array([float(operand)] * 3) for operand in operands]
    constants = (x, *(float(operand) for operand in operands[1:]))
    with sf.counting() as tally:
        single, many, beside = function(*operands), function(*arrays), function(*constants)
    assert {(operation.name, "binary32"): 5} == tally.calls
    if operation.result in PLAIN:
        assert PLAIN[operation.result] is type(single)
        assert [single] * 3 == many.tolist()
        assert single == beside
        return
    pair = operation.result is Result.PAIR
    for one, each, same in zip(single, many, beside, strict=True) if pair else [(single, many, beside)]:
        assert [one.bits] * 3 == each.bits.tolist()
        assert one.bits == same.bits


@pytest.mark.parametrize("operation", [row for row in ON_NUMBERS if row.rounds], ids=lambda row: row.name)
def test_rounding_overrides_the_environment(operation: Any) -> None:
    """A direction given to a call is used for it alone, and its flags stay raised in the environment."""
    function = getattr(sf, operation.name)
    operands = (x,) if operation.name == "acosh" else (y, y * 3, z)[: operation.arity]  # it begins at 1
    with sf.environment(rounding=UP):
        expected = function(*operands)
    with sf.environment() as environment:
        given = function(*operands, rounding=UP)
        assert sf.Flags.INEXACT == environment.flags
        assert sf.Rounding.TIES_TO_EVEN is environment.rounding
        nearest = function(*operands)
    assert expected.bits == given.bits
    assert nearest <= expected


def test_lean_options_have_one_direction() -> None:
    """A direction the options leave out is refused."""
    with (
        sf.environment(options=sf.LEAN),
        pytest.raises(sf.ConventionError, match="round ties to even only, not TOWARD_ZERO"),
    ):
        sf.addition(x, y, rounding=ZERO)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: sf.addition(1.0, 2),
            "addition needs an emulated number or array, not 1.0 and 2; "
            "make one by calling a format, for example binary32(1.5)",
        ),
        (
            lambda: sf.addition(x, None),
            "addition of binary32 needs an int, a float or a Fraction, not None (NoneType)",
        ),
        (
            lambda: sf.convert_format(x, NO_FORMAT),
            "convert_format needs a Format as target, not <class 'numpy.float32'>",
        ),
        (
            lambda: sf.scale_b(x, 1.0),
            "scale_b needs integers, not 1.0 (float); "
            "give an int or an array of ints, for example int(value) or numpy.array(values)",
        ),
        (
            lambda: sf.scale_b(x, 2**31),
            "an integer of 32 bits must lie between -2147483648 and 2147483647, not 2147483648",
        ),
        (
            lambda: sf.convert_from_integer(-1, sf.binary32, 8, signed=False),
            "an unsigned integer of 8 bits must lie between 0 and 255, not -1",
        ),
        (
            lambda: sf.convert_from_integer(1.5, sf.binary32),
            "convert_from_integer needs integers, not 1.5 (float); "
            "give an int or an array of ints, for example int(value) or numpy.array(values)",
        ),
        (
            lambda: sf.convert_from_integer(3, "binary32"),  # type: ignore[arg-type]
            "convert_from_integer needs a Format for its result, not 'binary32'",
        ),
        (
            lambda: sf.convert_from_integer(200, sf.binary32, 8),
            "an integer of 8 bits must lie between -128 and 127, not 200",
        ),
    ],
)
def test_wrong_operands_are_refused(call: Callable[[], Any], message: str) -> None:
    """Each message says what the function needs and what came."""
    with pytest.raises(sf.OperandError) as caught:
        call()
    assert message == str(caught.value)


def test_the_width_of_an_integer_is_checked() -> None:
    """Integers have 8 to 64 bits."""
    with pytest.raises(sf.FormatError, match=r"width of an integer must be .* from 8 to 64, not 4"):
        sf.convert_to_integer(x, 4)


@pytest.mark.parametrize("width", [8, 16, 24, 32, 64])
def test_integers_are_signed(width: int) -> None:
    """A Number gives an int, an array the smallest signed dtype; both round, and saturate as invalid."""
    values = [-2.75, 2.5, 100.0, -1e30, 1e30, math.nan]
    largest = 2 ** (width - 1) - 1
    expected = [-2, 2, 100, -largest - 1, largest, 0]
    with sf.environment() as environment:
        singles = [sf.convert_to_integer(sf.binary64(value), width, rounding=ZERO) for value in values]
        array = sf.convert_to_integer(sf.binary64.array(values), width, rounding=ZERO)
    assert expected == singles == array.tolist()
    assert "i" == array.dtype.kind
    assert sf.Flags.INVALID_OPERATION == environment.flags


@pytest.mark.parametrize("width", [8, 16, 32, 64])
def test_integers_convert_and_return(width: int) -> None:
    """Integers that a format holds come back unchanged, single and in arrays, counted one by one."""
    values = [0, 1, -1, 100, -128]
    with sf.counting() as tally:
        singles = [sf.convert_from_integer(value, sf.binary32, width) for value in values]
        array = sf.convert_from_integer(np.array(values), sf.binary32, width)
    assert {("convert_from_integer", "binary32"): 10} == tally.calls
    assert values == [int(number) for number in singles]
    assert values == sf.convert_to_integer(array, width).tolist()


@pytest.mark.parametrize("width", [8, 16, 32, 64])
def test_unsigned_integers_convert_and_return(width: int) -> None:
    """Unsigned integers use all their bits, single and in arrays, and saturate at 0."""
    values = [0, 1, 200, 1 << (width - 1)]
    singles = [sf.convert_from_integer(value, sf.binary32, width, signed=False) for value in values]
    array = sf.convert_from_integer(np.array(values, np.uint64), sf.binary32, width, signed=False)
    integers = sf.convert_to_integer(array, width, signed=False)
    assert values == [sf.convert_to_integer(number, width, signed=False) for number in singles]
    assert values == integers.tolist()
    assert "u" == integers.dtype.kind
    assert 0 == sf.convert_to_integer(sf.binary32(-200.0), width, signed=False)


def test_only_exact_conversions_are_inexact() -> None:
    """A fraction that is rounded away is signalled by the operations named exact, and by no others."""
    expected = {
        "convert_to_integer": sf.Flags.NONE,
        "convert_to_integer_exact": sf.Flags.INEXACT,
        "convert_to_integer_toward_zero": sf.Flags.NONE,
        "round_to_integral_ties_to_even": sf.Flags.NONE,
        "round_to_integral_exact": sf.Flags.INEXACT,
    }
    for name, flags in expected.items():
        with sf.environment() as environment:
            getattr(sf, name)(x)
        assert flags == environment.flags


def test_scaling_broadcasts() -> None:
    """Numbers and arrays are scaled by ints and arrays of them, whatever their shapes make together."""
    heights = sf.binary32.array([[0.5], [-1.5]])
    exponents = np.array([-1, 0, 3], np.int8)
    wanted = np.ldexp(np.array([[0.5], [-1.5]]), exponents).tolist()
    assert wanted == sf.scale_b(heights, exponents).to_numpy().tolist()
    assert [0.25, 0.5, 4.0] == sf.scale_b(sf.binary32(0.5), exponents).to_numpy().tolist()
    assert [[4.0], [-12.0]] == sf.scale_b(heights, np.int64(3)).to_numpy().tolist()
    assert 4.0 == float(sf.scale_b(sf.binary32(0.5), 3))


def test_exponents_are_signed_integers() -> None:
    """log_b gives ints, and arrays of 32 bits; zero and what is no number are far from any exponent."""
    values = [1.0, 0.75, -1e-40, 0.0, math.inf, math.nan]
    array = sf.log_b(sf.binary32.array(values))
    assert [0, -1, -133, -(2**31), 2**31 - 1, 2**31 - 1] == array.tolist()
    assert [sf.log_b(sf.binary32(value)) for value in values] == array.tolist()
    assert np.int32 == array.dtype


def test_classes_have_names() -> None:
    """A Number's class is a FloatClass; an array has the numbers of the classes."""
    assert sf.FloatClass.NEGATIVE_SUBNORMAL is sf.classify(sf.binary32(-1e-40))
    assert sf.FloatClass.POSITIVE_INFINITY is sf.classify(sf.binary32(math.inf))
    classes = sf.classify(sf.binary32.array([-0.0, math.nan]))
    assert [sf.FloatClass.NEGATIVE_ZERO, sf.FloatClass.QUIET_NAN] == classes.tolist()


def test_converting_formats_back_and_forth() -> None:
    """A narrow format is widened exactly and narrowed as the environment rounds."""
    wide = sf.convert_format(sf.binary16(0.1), sf.binary64)
    assert (sf.binary64, float(sf.binary16(0.1))) == (wide.format, float(wide))
    assert "binary16(0.1)" == repr(sf.convert_format(wide, sf.binary16))
    assert [0.1, 2.0] == [
        float(str(z)) for z in sf.convert_format(sf.binary32.array([0.1, 2.0]), sf.bfloat16)
    ]


@pytest.mark.parametrize("name", [name for name in OPERATIONS if name in vars(functions)])
def test_operands_have_the_names_of_the_table(name: str) -> None:
    """So a function means the same operand by a name as its documentation, an explanation and C do."""
    parameters = list(signature(getattr(sf, name)).parameters)

    assert list(OPERATIONS[name].operands) == parameters[: OPERATIONS[name].arity]


def test_an_angle_is_that_of_y_and_x() -> None:
    """By name or by place: the point (-1, 1) is three quarters of pi from the axis."""
    y, x = sf.binary32(1), sf.binary32(-1)

    assert sf.binary32(0.75) == sf.atan2_pi(y, x) == sf.atan2_pi(x=x, y=y) == sf.atan2_pi(y=1.0, x=x)
