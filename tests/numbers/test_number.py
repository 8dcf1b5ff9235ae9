"""Numbers behave as Python's numbers do, with the arithmetic of their format."""

from __future__ import annotations

import copy
import math
import operator
import pickle
import re
import struct
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

import softfloat_py as sf
from tests import strategies

FORMATS = (sf.binary16, sf.bfloat16, sf.binary32, sf.binary64)
ARITHMETIC = (operator.add, operator.sub, operator.mul, operator.truediv)
COMPARISONS = (operator.eq, operator.ne, operator.lt, operator.le, operator.gt, operator.ge)
LONG = sf.Format("long", exponent_bits=15, precision=64)

doubles = strategies.encodings(sf.binary64)
pairs_of_doubles = strategies.pairs(sf.binary64)


def host_double(bits: int) -> float:
    """The host's float with this encoding."""
    return float(struct.unpack("<d", struct.pack("<Q", bits))[0])


def by_host(function: Callable[[float, float], Any], x: float, y: float) -> Any:
    """A host operation, with IEEE's infinities where Python raises."""
    try:
        return function(x, y)
    except ZeroDivisionError:
        if x == 0 or math.isnan(x):
            return math.nan
        return math.copysign(math.inf, x) * math.copysign(1, y)


@pytest.mark.parametrize("function", ARITHMETIC)
@given(pairs_of_doubles)
def test_arithmetic_is_the_host_s(function: Callable[[Any, Any], Any], operands: tuple[int, int]) -> None:
    """A binary64 operator delivers what the host's floating-point unit does, the sign of zero included."""
    x, y = operands
    expected = by_host(function, host_double(x), host_double(y))
    result = function(sf.binary64.from_bits(x), sf.binary64.from_bits(y))
    assert repr(expected) == repr(float(result)) or (math.isnan(expected) and math.isnan(float(result)))


@pytest.mark.parametrize("function", COMPARISONS)
@given(pairs_of_doubles)
def test_comparisons_are_the_host_s(function: Callable[[Any, Any], Any], operands: tuple[int, int]) -> None:
    """A comparison of binary64 numbers is the bool that the host's is."""
    x, y = operands
    expected = function(host_double(x), host_double(y))
    assert expected is function(sf.binary64.from_bits(x), sf.binary64.from_bits(y))


@given(doubles)
def test_conversions_to_host_are_exact(bits: int) -> None:
    """float, bool, neg, abs and the hash are those of the host's float, int as far as variables hold it."""
    host, number = host_double(bits), sf.binary64.from_bits(bits)
    assert repr(host) == repr(float(number))
    assert bool(host) is bool(number)
    assert repr(abs(host)) == repr(float(abs(number)))
    assert repr(-host) == repr(float(-number))
    if not math.isnan(host):
        assert hash(host) == hash(number)
    if abs(host) < 2**63:
        assert int(host) == int(number)


def test_long_formats_round_to_the_nearest_double() -> None:
    """Values outside the host's range become its infinity or zero, those between two doubles the nearest."""
    assert math.inf == float(LONG(Fraction(10) ** 400))
    assert -math.inf == float(-LONG(Fraction(10) ** 400))
    assert 0.0 == float(LONG(Fraction(1, 10**400)))
    assert 1.0 + 2**-52 == float(LONG(1 + Fraction(3, 2**54)))


@pytest.mark.parametrize(("value", "error"), [(math.inf, OverflowError), (math.nan, ValueError)])
def test_int_of_what_is_no_number_raises_as_python_does(value: float, error: type[Exception]) -> None:
    """int() of an infinity or a NaN raises Python's own error."""
    with pytest.raises(error, match="cannot convert float"):
        int(sf.binary16(value))


@pytest.mark.parametrize("function", [math.floor, math.ceil, math.trunc, round])
@pytest.mark.parametrize("value", [2.5, -2.5, 3.5, -0.25, 0.0, 2.0**31, -(2.0**62)])
def test_ints_are_python_s(function: Callable[[Any], int], value: float) -> None:
    """Python's functions from a float to an int give the same int, of 32 or 64 bits."""
    number = sf.binary64(value)
    with sf.environment(options=sf.LEAN):
        result = function(number)
    assert (int, function(value)) == (type(result), result)


def test_ints_are_counted() -> None:
    """An int is rounded in the format and then converted to the integer variable that holds it."""
    with sf.counting() as tally:
        math.floor(sf.binary32(2.75))
    assert {
        ("round_to_integral_toward_negative", "binary32"): 1,
        ("convert_to_integer", "binary32"): 1,
    } == tally.calls


@pytest.mark.parametrize(
    ("value", "error", "said"),
    [
        (1e30, OverflowError, "an integer variable has at most 64 bits, and 1e+30 needs 100"),
        (math.inf, OverflowError, "infinity"),
        (math.nan, ValueError, "NaN"),
    ],
)
def test_ints_that_no_variable_holds_are_refused(value: float, error: type[Exception], said: str) -> None:
    """What no integer of 64 bits stands for raises as Python does, and says why."""
    with pytest.raises(error, match=re.escape(said)):
        math.floor(sf.binary32(value))


def test_rounding_to_decimals_is_refused() -> None:
    """A number of digits asks for decimal rounding, which no operation does."""
    with pytest.raises(sf.NotEmulatedError, match="round to decimal digits"):
        round(sf.binary32(2.75), 1)


def test_equal_numbers_find_each_other_in_sets() -> None:
    """A number and its equals in other types share a hash and compare equal."""
    assert 1 == len({sf.binary32(0.5), 0.5, Fraction(1, 2)})
    assert 1 == len({sf.binary16(-0.0), 0})
    assert hash(math.inf) == hash(sf.bfloat16(math.inf))


@pytest.mark.parametrize("fmt", FORMATS)
@given(data=st.data())
def test_repr_reads_back(fmt: sf.Format, data: st.DataObject) -> None:
    """Evaluating the repr gives the same bits, whatever the encoding."""
    number = fmt.from_bits(data.draw(strategies.encodings(fmt)))
    assert number.bits == eval(repr(number), {**vars(sf), "float": float}).bits


@given(strategies.formats(), st.data())
def test_repr_of_custom_formats_reads_back(fmt: sf.Format, data: st.DataObject) -> None:
    """The repr of a number names a custom format's widths."""
    number = fmt.from_bits(data.draw(strategies.encodings(fmt)))
    again = eval(repr(number), {"Format": sf.Format, "float": float})
    assert (number.bits, fmt) == (again.bits, again.format)


@pytest.mark.parametrize(
    ("expected", "number"),
    [
        ("binary32(1.5)", sf.binary32(1.5)),
        ("binary32(0.1)", sf.binary32(0.1)),
        ("binary64(-0.0)", sf.binary64(-0.0)),
        ("binary16(float('-inf'))", sf.binary16(-math.inf)),
        ("bfloat16(float('nan'))", sf.bfloat16(math.nan)),
        ("binary32.from_bits(0x7fc00001)", sf.binary32.from_bits(0x7FC00001)),
        ("Format('x', exponent_bits=4, precision=4)(0.5)", sf.Format("x", 4, 4)(0.5)),
        ("Format('long', exponent_bits=15, precision=64).from_text('0.33333333333333333334')", LONG(1) / 3),
    ],
)
def test_repr_is_short(expected: str, number: sf.Number) -> None:
    """The repr is a call of the format where a float says it, otherwise made from bits."""
    assert expected == repr(number)


@given(doubles)
def test_text_of_binary64_is_python_s(bits: int) -> None:
    """str() gives the digits that Python's own shortest repr has."""
    host = host_double(bits)
    assert repr(host).removeprefix("-") == str(sf.binary64.from_bits(bits)).removeprefix("-")


@example(0x0F800000)  # a power of two whose nearest decimal of eight digits is not its own
@given(strategies.finite_encodings(sf.binary32))
def test_text_of_binary32_has_numpy_s_digits(bits: int) -> None:
    """The digits are those of numpy's shortest unique text, another implementation."""
    host = np.uint32(bits).view(np.float32)
    assert Decimal(np.format_float_scientific(host)) == Decimal(str(sf.binary32.from_bits(bits)))


def test_text_of_long_formats_has_enough_digits() -> None:
    """A number between two doubles gets the decimals that tell it from its neighbours."""
    assert "0.1" == str(LONG(Fraction(1, 10)))
    assert "1.0000000000000000001" == str(LONG.from_bits(LONG(1).bits + 1))
    assert "1e+400" == str(LONG(Fraction(10) ** 400))


def test_format_specification_applies() -> None:
    """A format specification is applied to the value; without one the text is str's."""
    assert "0.250" == f"{sf.binary16(0.25):.3f}"
    assert "0.1" == f"{sf.binary16(0.1)}"


@pytest.mark.parametrize("number", [sf.binary32(1.5), LONG(1) / 3, sf.binary16.from_bits(0xFE01)])
def test_copies_are_equal(number: sf.Number) -> None:
    """A pickled, copied or deep-copied number has the same bits and format."""
    for again in (pickle.loads(pickle.dumps(number)), copy.copy(number), copy.deepcopy(number)):
        assert (number.bits, number.format) == (again.bits, again.format)


def test_numbers_do_not_change() -> None:
    """Bits and format cannot be assigned, nor anything else."""
    number = sf.binary32(1)
    for name in ("bits", "format", "value"):
        with pytest.raises(AttributeError):
            setattr(number, name, 0)


def test_truth_is_counted_as_a_comparison() -> None:
    """`if x` costs what comparing with zero costs."""
    with sf.counting() as tally:
        truth = bool(sf.binary32(0.0)), bool(sf.binary32(math.nan))
    assert (False, True) == truth
    assert {("compare_quiet_not_equal", "binary32"): 2} == tally.calls


def test_html_shows_the_fields() -> None:
    """The notebook view has the three fields of the encoding."""
    assert (
        "<table><tr><th>binary16</th><th>sign</th><th>biased exponent</th><th>trailing significand</th></tr>"
        "<tr><td><code>-1.5</code></td><td><code>1</code></td><td><code>01111</code></td>"
        "<td><code>1000000000</code></td></tr></table>"
    ) == sf.binary16(-1.5)._repr_html_()
