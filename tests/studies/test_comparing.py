"""The comparison with the host: what is run, what counts as a difference, and how it is reported."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from softfloat_py.errors import FormatError, QuantityError, UnknownNameError
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64
from softfloat_py.operations import Operation
from softfloat_py.studies import comparing
from softfloat_py.studies.comparing import HOST_OPERATIONS, compare_with_host, corners, operand_pieces
from softfloat_py.tally.tally import counting
from softfloat_py.views import waiting


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)
def test_nothing_differs(fmt: Format) -> None:
    """The host's operations that IEEE 754 requires agree with it, on random and corner operands."""
    comparison = compare_with_host(fmt, samples=2000, seed=7)

    assert comparison.ok, str(comparison)
    required = [name for name, row in HOST_OPERATIONS.items() if row.clause.startswith("5.")]
    assert required == [compared.operation for compared in comparison.operations]


def test_named_elementary_functions_are_compared() -> None:
    """An elementary function is compared where it is named, and the report says how to take a difference."""
    comparison = compare_with_host(binary16, operations=["exp", "addition"], samples=100)

    assert ["exp", "addition"] == [compared.operation for compared in comparison.operations]
    remark = "elementary functions are correctly rounded here; hosts round them as they like: exp"
    assert str(comparison).endswith(f"ties to even\n{remark}")
    assert f"<p>{remark}</p></div>" in comparison._repr_html_()


def test_samples_are_random_and_all_pairs_of_corners() -> None:
    """The samples are the pairs of corners and as many random ones as asked for."""
    comparison = compare_with_host(binary16, operations=["addition", "square_root"], samples=1000)
    pairs, roots = comparison.operations

    assert 1000 + len(corners(binary16)) ** 2 == pairs.samples
    assert 1000 + len(corners(binary16)) == roots.samples


def test_seed_fixes_the_samples() -> None:
    """The same seed gives the same operands, another seed others."""

    def operands(seed: int) -> bytes:
        return b"".join(x.tobytes() for piece in operand_pieces(binary32, 2, 100, seed) for x in piece)

    assert operands(1) == operands(1)
    assert operands(1) != operands(2)


def test_half_of_the_random_pairs_have_near_exponents() -> None:
    """Every second pair has exponents at most the precision and two apart, so that significands meet."""
    _, (x, y) = operand_pieces(binary64, 2, 1000, 1)
    distance = np.abs((x[::2] >> 52 & 0x7FF).astype(int) - (y[::2] >> 52 & 0x7FF).astype(int))

    assert binary64.precision + 2 == distance.max()


def test_corners_are_encodings_of_both_signs() -> None:
    """Corners hold zeros, infinities, both kinds of NaN, subnormal and extreme numbers, of both signs."""
    expected = {0, 1, 0x03FF, 0x0400, 0x3C00, 0x7BFF, 0x7C00, 0x7C01, 0x7E00}

    assert {bits | sign for bits in expected for sign in (0, 0x8000)} <= set(corners(binary16))


def _wrong_host(operation: Operation, fmt: Format, operands: Sequence[NDArray[Any]]) -> NDArray[Any]:
    """A host that adds rightly but for 1 + 1, and gives negative NaNs."""
    with np.errstate(all="ignore"):
        results = np.add(*(x.view(np.float32) for x in operands)).view(np.uint32)
    results[np.isnan(results.view(np.float32))] = 0xFFC00001
    results[(operands[0] == 0x3F800000) & (operands[1] == 0x3F800000)] = 0x40400000
    return np.asarray(results)


def test_differences_are_found_and_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    """A wrong sum is counted and shown with its bits, another NaN is not."""
    monkeypatch.setattr(comparing, "host_results", _wrong_host)
    comparison = compare_with_host(binary32, operations=["addition"], samples=0)

    assert 1 == comparison.differences
    assert not comparison.ok
    assert str(comparison) == (
        "binary32 beside the host's floating point\n"
        "operation  samples  differences\n"
        "addition       900            1\n"
        "addition: first 1 difference\n"
        "  operands 0x3f800000 0x3f800000  here 0x40000000  host 0x40400000\n"
        "any NaN counts as equal to any other NaN; rounding: ties to even"
    )


def test_differing_truths_are_shown_as_one_digit(monkeypatch: pytest.MonkeyPatch) -> None:
    """Truths are compared as they are, five differences are shown at most."""
    monkeypatch.setattr(
        comparing, "host_results", lambda operation, fmt, operands: operands[0] == operands[0]
    )
    comparison = compare_with_host(binary16, operations=["is_nan"], samples=0)
    nans = sum(bits & 0x7FFF > 0x7C00 for bits in corners(binary16))

    assert len(corners(binary16)) - nans == comparison.differences
    assert 5 == len(comparison.operations[0].first)
    assert "  operands 0x0000  here 0x0  host 0x1\n" in str(comparison)


def test_html_has_the_same_numbers() -> None:
    """In a notebook, the table has a row an operation and the note on NaNs."""
    html = compare_with_host(binary16, operations=["addition"], samples=0)._repr_html_()

    assert (
        '<td>addition</td><td style="text-align: right">900</td><td style="text-align: right">0</td>' in html
    )
    assert "any NaN counts as equal to any other NaN" in html


def test_nothing_is_counted() -> None:
    """A comparison is no part of a program, so it leaves nothing in a tally."""
    with counting() as tally:
        compare_with_host(binary16, operations=["addition"], samples=10)

    assert {} == tally.calls


@pytest.mark.parametrize(("said", "fmt"), [("bfloat16", bfloat16), ("'binary32'", "binary32"), ("[]", [])])
def test_format_without_host_is_refused(said: str, fmt: Any) -> None:
    """A format that numpy lacks, and what is no format, are refused, with those it has."""
    with pytest.raises(FormatError) as caught:
        compare_with_host(fmt)

    assert (
        f"a comparison with the host needs one of its formats, binary16, binary32, binary64, not {said}"
        == str(caught.value)
    )


def test_operation_without_host_is_refused() -> None:
    """An operation that numpy lacks is refused, the nearest one suggested."""
    sentence = r"^an operation of the host must be .*, not 'divisoin'; did you mean 'division'\?$"
    with pytest.raises(UnknownNameError, match=sentence):
        compare_with_host(binary32, operations=["divisoin"])


def test_operation_without_a_twin_on_the_host_is_refused() -> None:
    """pow is named as the standard names it, so its name is not what is wrong: numpy has no such function."""
    sentence = r"^an operation of the host must be one that numpy has as .* defines it, not 'pow'; there are "
    with pytest.raises(UnknownNameError, match=sentence):
        compare_with_host(binary32, operations=["pow"])


@pytest.mark.parametrize("value", [-3, 2.5])
@pytest.mark.parametrize("name", ["samples", "seed"])
def test_impossible_samples_are_refused(name: str, value: object) -> None:
    """There are no fewer than 0 samples, which are the corners alone, and no seed below 0."""
    with pytest.raises(QuantityError) as caught:
        compare_with_host(binary16, operations=["addition"], **{name: value})  # type: ignore[arg-type]

    assert f"{name} must be a whole number, 0 or more, not {value!r}" == str(caught.value)


def test_progress_is_for_terminals(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """After three seconds, a terminal's standard error shows how far it is; a file's stays empty."""
    times = iter(range(0, 1000, 4))
    monkeypatch.setattr(waiting, "monotonic", lambda: next(times))
    compare_with_host(binary16, operations=["addition"], samples=10)
    assert capsys.readouterr().err == ""

    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    compare_with_host(binary16, operations=["addition"], samples=10)
    assert capsys.readouterr().err == "\raddition: 900 samples\raddition: 910 samples\n"
