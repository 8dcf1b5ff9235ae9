"""Births: a NaN or an infinity that comes of operands that are none is noted, whatever the options."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format
from softfloat_py.options import COMPLETE, LEAN, Options
from softfloat_py.tally.tally import Birth, Tally

NO_SPECIAL = Options(all_directions=False, flags=False, special=False)
OPTIONS = [COMPLETE, LEAN, NO_SPECIAL, Options(flags=False), Options(in_memory=True)]
# A format without infinities, one that stores the leading bit, and ones wider than a word of 64 bits.
SMALL = Format("small", exponent_bits=4, precision=4, has_infinity=False)
LEADING = Format("leading", exponent_bits=5, precision=11, explicit_leading_bit=True)
WIDE = Format("wide", exponent_bits=9, precision=70, has_infinity=False)
FORMATS = [sf.binary16, sf.binary32, sf.binary64, sf.binary128, sf.extended80, SMALL, LEADING, WIDE]


def born(tally: Tally) -> list[tuple[str, str, tuple[str, ...], int]]:
    """What was born, where it does not matter at which line."""
    return [(birth.kind, birth.operation, birth.operands, n) for birth, n in tally.born.items()]


KERNELS: dict[str, tuple[Callable[[], object], list[tuple[str, str, tuple[str, ...], int]]]] = {
    "operator": (lambda: sf.binary32(3e38) * 2, [("infinity", "multiplication", ("3e+38", "2.0"), 1)]),
    "reflected": (lambda: 1 / sf.binary32(-0.0), [("infinity", "division", ("1.0", "-0.0"), 1)]),
    "invalid": (lambda: sf.binary32(0) / 0, [("NaN", "division", ("0.0", "0.0"), 1)]),
    "function": (
        lambda: sf.fused_multiply_add(sf.binary32(3e38), 2, sf.binary32(1)),
        [("infinity", "fused_multiply_add", ("3e+38", "2.0", "1.0"), 1)],
    ),
    "without a flag": (
        lambda: sf.next_up(sf.binary32.from_bits(0x7F7FFFFF)),
        [("infinity", "next_up", ("3.4028235e+38",), 1)],
    ),
    "root": (lambda: sf.square_root(sf.binary32(-2)), [("NaN", "square_root", ("-2.0",), 1)]),
    "two results": (
        lambda: sf.augmented_addition(sf.binary32(3e38), sf.binary32(3e38)),
        [("infinity", "augmented_addition", ("3e+38", "3e+38"), 1)],
    ),
    "conversion": (
        lambda: sf.convert_format(sf.binary32(-1e6), sf.binary16),
        [("infinity", "convert_format", ("-1000000.0",), 1)],
    ),
    "conversion to a format without infinities": (
        lambda: sf.convert_format(sf.binary32(1e6), sf.ofp8_e4m3),
        [("NaN", "convert_format", ("1000000.0",), 1)],
    ),
    "from an integer": (
        lambda: sf.convert_from_integer(-70000, sf.binary16),
        [("infinity", "convert_from_integer", ("-70000",), 1)],
    ),
    "from an unsigned integer": (
        lambda: sf.convert_from_integer(2**32 - 1, sf.binary16, width=32, signed=False),
        [("infinity", "convert_from_integer", ("4294967295",), 1)],
    ),
    "scaling": (lambda: sf.scale_b(sf.binary32(1.5), 400), [("infinity", "scale_b", ("1.5", "400"), 1)]),
    "reduction": (
        lambda: np.sum(sf.binary32.array([3e38, 3e38, 1])),
        [("infinity", "addition", ("3e+38", "3e+38"), 1)],
    ),
    "few elements": (
        lambda: sf.binary32.array([1, 2, 0, -3]) / sf.binary32.array([0, 1, 0, -0.0]),
        [("infinity", "division", ("1.0", "0.0"), 2), ("NaN", "division", ("0.0", "0.0"), 1)],
    ),
    "broadcast": (
        lambda: sf.binary32.array(np.linspace(1, 200, 200)) / sf.binary32(0),
        [("infinity", "division", ("1.0", "0.0"), 200)],
    ),
    "comes in": (lambda: sf.binary32(math.inf) - 1, []),
    "goes on": (lambda: sf.binary32(math.nan) * 0, []),
    "of one that comes in": (lambda: sf.binary32(math.inf) * 0, []),
    "array of what comes in": (lambda: sf.binary32.array([math.inf, math.nan] * 100) * 0, []),
    "constant": (lambda: sf.binary16(1e6), []),
    "answer": (lambda: sf.binary32(3) < 4, []),
    "whole number": (lambda: (sf.log_b(sf.binary32(0)), sf.convert_to_integer(sf.binary32(3e9))), []),
}


@pytest.mark.parametrize("name", KERNELS)
def test_births_are_noted(name: str) -> None:
    """Each operation notes what it bore, with its operands, and what came in special is no birth."""
    kernel, expected = KERNELS[name]
    with sf.counting() as tally:
        kernel()

    assert expected == born(tally)


@pytest.mark.parametrize("options", OPTIONS, ids=lambda options: options.name)
def test_births_are_noted_with_any_options(options: Options) -> None:
    """Neither flags nor special operands need be provided: operands and results are looked at."""
    with sf.environment(options=options), sf.counting() as tally:
        x = sf.binary32(3e38)
        for result in (x + x, sf.multiplication(x, x), sf.binary32.array([3e38] * 200) - -x):
            assert result is not None

    assert ["addition", "multiplication", "subtraction"] == sorted(birth.operation for birth in tally.born)
    assert [200, 1, 1] == list(tally.born.values())


@pytest.mark.parametrize("rounding", list(Rounding))
def test_overflow_is_a_birth_where_it_gives_an_infinity(rounding: Rounding) -> None:
    """A direction that points back to the largest finite number bears none, though the way is the same."""
    with sf.environment(rounding=rounding), sf.counting() as tally:
        results = [sign * sf.binary32(3e38) * 2 for sign in (1, -1, 1, -1, -1)]
    expected = sum(sf.is_infinite(result) for result in results)

    assert ([expected] if expected else []) == list(tally.born.values())


def test_saturating_options_bear_nothing() -> None:
    """What stays finite is no birth."""
    with sf.environment(options=Options(saturate=True)), sf.counting() as tally:
        sf.binary32(3e38) * 2

    assert {} == tally.born


@pytest.mark.parametrize("fmt", FORMATS, ids=lambda fmt: fmt.name)
def test_births_in_arrays_are_those_of_numbers(fmt: Format) -> None:
    """Arrays of any width note as many births of each kind as their elements do one by one."""
    specials = [0, fmt.sign_bit, fmt.largest_finite, fmt.first_special, fmt.quiet_nan, fmt.smallest_normal]
    encodings = [*specials, fmt.largest_finite | fmt.sign_bit, fmt.encode(1.5)[0], fmt.encode(-3)[0]]
    if fmt.explicit_leading_bit:  # an encoding that is unsupported, so neither a number nor a birth's operand
        encodings.append((1 << fmt.precision) | 1)
    pairs = [(x, y) for x in encodings for y in encodings] * 3
    arrays = [fmt.array_from_bits([pair[place] for pair in pairs]) for place in (0, 1)]
    for operation in (sf.addition, sf.multiplication, sf.division):
        with sf.counting() as of_array:
            operation(*arrays)
        with sf.counting() as of_numbers:
            for x, y in pairs:
                operation(fmt.from_bits(x), fmt.from_bits(y))

        assert {kind: n for kind, _, _, n in born(of_numbers)} == {
            kind: n for kind, _, _, n in born(of_array)
        }
        assert sorted(of_numbers.born.values()) == sorted(of_array.born.values())


@pytest.mark.parametrize("name", ["add", "subtract", "multiply", "divide"])
def test_births_are_those_that_numpy_sees(name: str) -> None:
    """As many elements are born NaN or infinite as the host has where both of its operands are finite."""
    generator = np.random.default_rng(14)
    values = np.array([0, -0.0, 1, -2, 3e38, -3e38, 1e-40, np.inf, -np.inf, np.nan], np.float32)
    x, y = generator.choice(values, (2, 600))
    ufunc: Any = getattr(np, name)
    with np.errstate(all="ignore"):
        host = ufunc(x, y)
    finite = np.isfinite(x) & np.isfinite(y)
    expected = {"infinity": int((np.isinf(host) & finite).sum()), "NaN": int((np.isnan(host) & finite).sum())}
    with sf.counting() as tally:
        ufunc(sf.binary32.array(x), sf.binary32.array(y))

    assert {kind: n for kind, n in expected.items() if n} == {kind: n for kind, _, _, n in born(tally)}


def test_a_place_keeps_its_first_operands() -> None:
    """Births are counted by line, kind and operation; the operands are those of the first."""
    with sf.counting() as tally:
        for height in (3e38, 2e38, 0.5, math.inf):
            sf.binary32(height) * 4
        sf.binary32(3e38) * 4

    assert [("infinity", "multiplication", ("3e+38", "4.0"), n) for n in (2, 1)] == born(tally)
    assert {__file__} == {birth.line.file for birth in tally.born}
    assert [1, 2] == sorted(tally.born.values())


def test_births_are_not_counted() -> None:
    """Looking for births is no operation of the program."""
    with sf.counting() as tally:
        sf.binary32.array([3e38] * 200) * 2

    assert {("multiplication", "binary32"): 200} == tally.calls
    assert [Birth] == [type(birth) for birth in tally.born]
