"""Counts out of files are held against the program: what runs leave passes, what cannot be is named."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softfloat_py.engines import arrays, plain
from softfloat_py.engines.arrays.words import from_ints
from softfloat_py.environment import Rounding
from softfloat_py.integer_form.counting import Usage
from softfloat_py.integer_form.plausible import MOST, fault_of
from softfloat_py.numbers.formats import binary16, binary32
from softfloat_py.options import LEAN
from softfloat_py.uses import Use
from tests.engines.c_cases import SOME_ELEMENTARY
from tests.engines.drawing import OTHERS, any_format, elementary_uses, operands_of, parameters_of
from tests.engines.running import run_generated, used

ADDITION = used("addition", binary32, LEAN)
REMAINDER = used("remainder", binary16, LEAN)  # whose loop is of variable length


@pytest.mark.parametrize("name", OTHERS)
@settings(max_examples=15, deadline=None)
@given(data=st.data())
def test_what_runs_leave_behind_is_plausible(data: st.DataObject, name: str) -> None:
    """The usage of any operation's runs passes, from single runs as from an array of them."""
    use = used(name, data.draw(any_format()), parameter=data.draw(parameters_of(name)))
    assert_plausible(use, [data.draw(operands_of(use)) for _ in range(3)])


@pytest.mark.parametrize("name", SOME_ELEMENTARY)
@settings(max_examples=3, deadline=None)
@given(data=st.data())
def test_what_elementary_functions_leave_behind_is_plausible(data: st.DataObject, name: str) -> None:
    """So does that of elementary functions: a few of each way in which they are computed."""
    use = data.draw(elementary_uses(name))
    assert_plausible(use, [data.draw(operands_of(use)) for _ in range(3)])


def assert_plausible(use: Use, rows: list[tuple[int, ...]]) -> None:
    """What a use leaves behind passes, from a run a row and from one of all rows."""
    function = plain.compiled(use.program)
    records = [run_generated(function, use.arguments(row, Rounding.TOWARD_ZERO))[1] for row in rows]
    columns = zip(zip(*rows, strict=True), use.program.operands, strict=True)
    on_arrays = arrays.compiled(use.program).run(
        [from_ints(list(column), parameter.width) for column, parameter in columns],
        int(Rounding.TOWARD_ZERO),
    )

    assert fault_of(function.usage(records), use.program) is None
    assert on_arrays.usage is not None
    assert fault_of(on_arrays.usage, use.program) is None


def usage_of(use: Use) -> Usage:
    """What many calls of a use did."""
    encodings = np.random.default_rng(7).integers(0, 1 << use.format.width, (2, 500)).astype(np.uint32)
    usage = arrays.compiled(use.program).run(list(encodings), 0).usage
    assert usage is not None
    return usage


@pytest.mark.parametrize("use", [ADDITION, REMAINDER], ids=lambda use: use.operation.name)
def test_each_count_of_stretches_follows_from_others(use: Use) -> None:
    """A stretch said to have run once more, or once less, than it did is noticed, whichever it is."""
    usage = usage_of(use)
    for stretch, times in enumerate(usage.runs):
        for other in (times + 1, times - 1):
            runs = [*usage.runs[:stretch], other, *usage.runs[stretch + 1 :]]
            assert fault_of(replace(usage, runs=runs), use.program) is not None


def test_each_run_meets_one_feature() -> None:
    """A site with a feature more, with one less, or with another's is noticed, whichever it is."""
    usage = usage_of(ADDITION)
    assert usage.features
    for site in range(len(usage.features)):
        for met in ({}, {**usage.features[site], 200: 1}, {-1: usage.runs[0]}):
            features = [*usage.features[:site], met, *usage.features[site + 1 :]]
            assert fault_of(replace(usage, features=features), ADDITION.program) is not None


NONE = Usage(0, [0] * ADDITION.program.stretches, [{} for _ in usage_of(ADDITION).features])


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"calls": True}, f"a count that is no whole number from 0 to {MOST}"),
        ({"calls": MOST + 1}, f"a count that is no whole number from 0 to {MOST}"),
        ({"calls": 2}, "0 runs of the first stretch in 2 calls"),
        ({"runs": [0]}, f"counts of 1 stretches, not {ADDITION.program.stretches}"),
        ({"features": []}, f"features of 0 steps, not {len(NONE.features)}"),
    ],
)
def test_faults_are_named(changed: dict[str, Any], fault: str) -> None:
    """The first thing that cannot be is said in words."""
    assert fault_of(NONE, ADDITION.program) is None
    assert fault == fault_of(replace(NONE, **changed), ADDITION.program)
