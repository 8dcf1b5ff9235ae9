"""Published worked examples against the rational reference; the engines' tests run the same lists."""

from __future__ import annotations

from collections import Counter

import pytest

from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format
from tests.engines.running import reference, used
from tests.published import (
    boundary_values,
    comparison_tables,
    fused_remainder_augmented,
    rules_of_the_standard,
    square_roots,
    textbooks,
)
from tests.published.case import Case, FormatConversion, FromInteger, ToInteger
from tests.published.conversions import FORMAT_CONVERSIONS, FROM_INTEGER, TO_INTEGER
from tests.published.rules_of_the_standard import PARAMETER_NAMES, PARAMETERS
from tests.references import integers, rational
from tests.references.predicates import COMPARISONS

CASES = [
    *rules_of_the_standard.CASES,
    *boundary_values.CASES,
    *comparison_tables.CASES,
    *textbooks.CASES,
    *square_roots.CASES,
    *fused_remainder_augmented.CASES,
]


def name_of(case: Case) -> str:
    """What an operation's case is called in a report."""
    return f"{case.operation}-{case.format.name}-{case.rounding.name}"


@pytest.mark.parametrize("case", CASES, ids=name_of)
def test_rational_reference_delivers_the_published_outcome(case: Case) -> None:
    """The rational reference delivers the result and flags that the source states."""
    outcome = reference(used(case.operation, case.format), case.rounding, case.operands)

    assert (case.result, case.flags) == outcome, case.source


@pytest.mark.parametrize("case", FORMAT_CONVERSIONS)
def test_rational_reference_converts_formats_as_published(case: FormatConversion) -> None:
    """The rational reference converts between formats as the standard states."""
    outcome = rational.convert_format(case.origin, case.target, case.rounding, case.operand)

    assert (case.result, case.flags) == outcome, case.source


@pytest.mark.parametrize("case", TO_INTEGER)
def test_rational_reference_converts_to_integers_as_published(case: ToInteger) -> None:
    """The rational reference rounds to integers as the standard states, in two's complement."""
    outcome = integers.convert_to_integer(case.format, case.rounding, case.integer, case.operand)

    assert (case.result % 2**case.integer.width, case.flags) == outcome, case.source


@pytest.mark.parametrize("case", FROM_INTEGER)
def test_rational_reference_converts_from_integers_as_published(case: FromInteger) -> None:
    """The rational reference rounds integers into a format as the standard states."""
    outcome = integers.convert_from_integer(case.format, case.rounding, case.operand, case.integer)

    assert (case.result, case.flags) == outcome, case.source


@pytest.mark.parametrize("fmt", list(PARAMETERS), ids=repr)
def test_format_parameters_are_those_of_the_standard(fmt: Format) -> None:
    """Widths, precision and exponent range are those of table 3.5 of IEEE 754-2019."""
    assert PARAMETERS[fmt] == tuple(getattr(fmt, name) for name in PARAMETER_NAMES)


def test_every_case_is_listed_once() -> None:
    """No operation with the same operands and direction is listed twice by one source."""
    listed = Counter((*case[:4], case.source) for case in CASES)

    assert {} == {case: count for case, count in listed.items() if count > 1}


def test_the_standard_covers_every_comparison_and_direction() -> None:
    """All comparison predicates and all rounding directions have cases."""
    assert COMPARISONS.keys() <= {case.operation for case in CASES}
    assert set(Rounding) == {case.rounding for case in CASES}
