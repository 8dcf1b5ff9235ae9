"""Estimates as data: every figure is there under its name, and survives JSON."""

from __future__ import annotations

import json

import pytest

from softfloat_py.views.estimate_data import as_data
from tests.views.made_up import compared_twice, compared_with_functions, compared_with_kernels, made_up


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("cpu", "cortex-m0plus"),
        ("compiler", "gcc-O2"),
        ("compiler_title", "GCC -O2"),
        ("clock_range_hz", [1e6, 200e6]),
        ("is_clock_of_parts_sold", True),
        ("cycles", 800_000.0),
        ("cycles_by_hand", None),
        ("deadline_seconds", 0.25),
        ("deadline_share", 0.2),
        ("options", ["lean"]),
        ("calls", [
            {"operation": "addition", "format": "binary32", "calls": 4000},
            {"operation": "multiplication", "format": "binary32", "calls": 1000},
            {"operation": "square_root", "format": "binary64", "calls": 1},
        ]),
        ("by_line", [{"file": "somewhere/buoy.py", "line": 7, "cycles": 800_000.0}]),
        ("holds_deadline", True),
        ("slowest_clock_hz", 3.2e6),
        ("fpu_cycles", 8_000.0),
        ("fpu_software_cycles", 400.0),
        ("fpu_missing", [{"operation": "square_root", "format": "binary64", "calls": 1}]),
    ],
)  # fmt: skip
def test_data(key: str, value: object) -> None:
    """As data, an estimate survives JSON with every part under its name."""
    assert value == json.loads(json.dumps(as_data(made_up())))[key]


def test_range_of_comparisons_is_data() -> None:
    """The ratio to compiled code ranges over all comparisons of the model."""
    assert (0.75, 3.0) == as_data(made_up(cpu=compared_twice()))["compiled_over_estimate"]


def test_elementary_functions_have_a_range_of_their_own_as_data() -> None:
    """The ratios of elementary functions are apart from the others, and null where none was compared."""
    key = "compiled_over_estimate_elementary"

    assert (1.25, 2.5) == as_data(made_up(cpu=compared_with_functions()))[key]
    assert as_data(made_up(cpu=compared_twice()))[key] is None


def test_comparisons_are_data() -> None:
    """As data, a comparison is a record with its note."""
    assert {
        "compiler": "the buoy's compiler",
        "operations": "square_root",
        "elementary": False,
        "only": [],
        "kernels": False,
        "in_memory": False,
        "lowest_ratio": 0.75,
        "highest_ratio": 1.5,
        "note": "made for this test",
    } == as_data(made_up(cpu=compared_twice()))["compared_with_compiled_code"][1]


def test_kernels_have_a_range_of_their_own_as_data() -> None:
    """The ratios of whole kernels are those in the setting of the estimate, and null where there are none."""
    key, model = "compiled_kernels_over_estimate", compared_with_kernels()

    assert (1.5, 3.25) == as_data(made_up(cpu=model))[key]
    assert (1.0, 2.25) == as_data(made_up(cpu=model, in_memory=True))[key]
    assert as_data(made_up(cpu=compared_twice()))[key] is None
    assert [False, False, True, True] == [
        each["kernels"] for each in as_data(made_up(cpu=model))["compared_with_compiled_code"]
    ]
