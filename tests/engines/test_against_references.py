"""The plain engine against outside references: the matrix operation × format × rounding, from the table."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64, binary128, extended80
from softfloat_py.operations import ELEMENTARY, OPERATIONS
from softfloat_py.options import Options
from softfloat_py.uses import Use
from tests.engines.drawing import (
    ALL_OPTIONS,
    FORMATS,
    OTHERS,
    SMALL_FORMATS,
    any_format,
    elementary_formats,
    elementary_uses,
    operands_of,
    parameters_of,
    roundings_of,
)
from tests.engines.running import reference, run_plain, used
from tests.published.case import Case, FormatConversion, FromInteger, ToInteger
from tests.published.conversions import FORMAT_CONVERSIONS, FROM_INTEGER, TO_INTEGER
from tests.published.test_worked_examples import CASES, name_of
from tests.references import multiprecision, predicates

ROUNDED = [name for name in OTHERS if OPERATIONS[name].rounds]
EXACT = [name for name in OTHERS if not OPERATIONS[name].rounds]
EVEN = Rounding.TIES_TO_EVEN


def assert_as_expected(use: Use, rounding: Rounding, operands: tuple[int, ...]) -> None:
    """The plain engine delivers what the reference expects; flags too where the options keep them."""
    result, flags = reference(use, rounding, operands)
    expected = (result, flags) if use.options.flags else (result, 0)

    assert expected == run_plain(use, rounding, operands).outcome, [hex(bits) for bits in operands]


# -- the matrix --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("fmt", [*FORMATS, *SMALL_FORMATS], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", ROUNDED)
@settings(max_examples=20, deadline=None)
@given(data=st.data())
def test_rounded_operation_is_correct(data: st.DataObject, name: str, fmt: Format) -> None:
    """Every rounded operation delivers the reference's result and flags in every format and direction."""
    use = used(name, fmt, parameter=data.draw(parameters_of(name)))
    operands = data.draw(operands_of(use))

    for rounding in Rounding:
        assert_as_expected(use, rounding, operands)


@pytest.mark.parametrize("name", ELEMENTARY)
@settings(max_examples=12, deadline=None)
@given(data=st.data())
def test_elementary_function_is_correct(data: st.DataObject, name: str) -> None:
    """Every elementary function delivers MPFR's result and the flags that follow, in every direction."""
    use = used(name, data.draw(st.sampled_from(elementary_formats(name))))
    operands = data.draw(operands_of(use))

    for rounding in Rounding:
        assert_as_expected(use, rounding, operands)


@pytest.mark.parametrize("name", EXACT)
@settings(max_examples=25, deadline=None)
@given(data=st.data(), fmt=any_format())
def test_exact_operation_is_correct(data: st.DataObject, name: str, fmt: Format) -> None:
    """Every comparison, class question and sign operation delivers the reference's result and flags."""
    use = used(name, fmt, parameter=data.draw(parameters_of(name)))

    assert_as_expected(use, EVEN, data.draw(operands_of(use)))


@pytest.mark.parametrize("name", OTHERS)
@settings(max_examples=25, deadline=None)
@given(data=st.data(), fmt=any_format(), options=st.sampled_from(ALL_OPTIONS))
def test_operation_is_correct_with_options(
    data: st.DataObject, fmt: Format, name: str, options: Options
) -> None:
    """Leaving something out changes nothing that is still promised."""
    use = used(name, fmt, options, data.draw(parameters_of(name)))
    rounding = data.draw(roundings_of(options))

    assert_as_expected(use, rounding, data.draw(operands_of(use)))


@pytest.mark.parametrize("name", ELEMENTARY)
@settings(max_examples=6, deadline=None)
@given(data=st.data())
def test_elementary_function_is_correct_with_options(data: st.DataObject, name: str) -> None:
    """Whatever is left out, and by whatever algorithm and tables, the result is MPFR's."""
    use = data.draw(elementary_uses(name))
    rounding = data.draw(roundings_of(use.options))

    assert_as_expected(use, rounding, data.draw(operands_of(use)))


def test_the_references_know_every_operation() -> None:
    """The matrix leaves out no row of the table and no comparison of the standard."""
    assert set(OPERATIONS) == {*ROUNDED, *EXACT, *ELEMENTARY}
    assert predicates.COMPARISONS.keys() == {name for name in OPERATIONS if name.startswith("compare_")}
    assert predicates.CLASSES.keys() == {name for name in OPERATIONS if name.startswith("is_")}


# -- MPFR --------------------------------------------------------------------------------------------------


MPFR_FORMATS = [binary16, binary32, binary64, extended80.twin, binary128, bfloat16]


@pytest.mark.parametrize("fmt", MPFR_FORMATS, ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", [*sorted(multiprecision.METHODS), "hypot", "r_sqrt"])
@settings(max_examples=30, deadline=None)
@given(data=st.data())
def test_arithmetic_agrees_with_mpfr(data: st.DataObject, name: str, fmt: Format) -> None:
    """Operations agree with MPFR in the four directions it has, subnormal numbers included."""
    operands = data.draw(operands_of(used(name, fmt)))

    for rounding in multiprecision.DIRECTIONS:
        assert (
            multiprecision.expected(name, fmt, rounding, *operands)
            == run_plain(used(name, fmt), rounding, operands).outcome
        ), rounding


# -- published examples ------------------------------------------------------------------------------------


@pytest.mark.parametrize("case", CASES, ids=name_of)
def test_published_outcome_is_delivered(case: Case) -> None:
    """The engine delivers the result and flags that the source states."""
    use = used(case.operation, case.format)

    assert (case.result, case.flags) == run_plain(use, case.rounding, case.operands).outcome, case.source


@pytest.mark.parametrize("case", FORMAT_CONVERSIONS)
def test_published_format_conversion_is_delivered(case: FormatConversion) -> None:
    """Formats are converted as the standard states."""
    use = used("convert_format", case.origin, parameter=case.target)

    assert (case.result, case.flags) == run_plain(use, case.rounding, (case.operand,)).outcome, case.source


@pytest.mark.parametrize("case", TO_INTEGER)
def test_published_conversion_to_integer_is_delivered(case: ToInteger) -> None:
    """Numbers are rounded to two's complement integers as the standard states."""
    use = used("convert_to_integer", case.format, parameter=case.integer)
    pattern = case.result % 2**case.integer.width

    assert (pattern, case.flags) == run_plain(use, case.rounding, (case.operand,)).outcome, case.source


@pytest.mark.parametrize("case", FROM_INTEGER)
def test_published_conversion_from_integer_is_delivered(case: FromInteger) -> None:
    """Integers are rounded into a format as the standard states."""
    use = used("convert_from_integer", case.format, parameter=case.integer)
    pattern = case.operand % 2**case.integer.width

    assert (case.result, case.flags) == run_plain(use, case.rounding, (pattern,)).outcome, case.source
