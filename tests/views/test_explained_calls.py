"""An explanation goes into what an operation calls."""

from __future__ import annotations

import pytest

from softfloat_py.numbers.formats import binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import LEAN
from softfloat_py.teaching.explanation import Explanation, explain_encodings
from softfloat_py.uses import use_of
from tests.integer_form import called_routines

FIRST, SECOND = 0x3FC00000, 0x3EE00000  # 1.5 and 0.4375; 2.375 is their sum and the second once more


@pytest.fixture
def explanation(monkeypatch: pytest.MonkeyPatch) -> Explanation:
    """A sum of three by two calls of an addition."""
    monkeypatch.setitem(OPERATIONS, "twice_added", called_routines.TWICE_ADDED)
    return explain_encodings(use_of(called_routines.TWICE_ADDED, binary32, LEAN), (FIRST, SECOND))


def test_calls_are_rows_and_sections(explanation: Explanation) -> None:
    """Each call is a row with what it gave, and what was done in it follows under its name."""
    lines = str(explanation).splitlines()
    given = [line for line in lines if line.endswith((" summed x.1 y.2", " summed summed.3 y.2"))]
    sections = [line for line in lines if line.startswith("summed, round: ")]

    assert ["summed.3", "summed.4"] == [line.split()[0] for line in given]
    assert 2 == len(sections)
    assert 2.375 == float(binary32.from_bits(explanation.result))


def test_steps_counted_are_those_inside_too(explanation: Explanation) -> None:
    """Three calls, of the operation and in it, return three times."""
    assert 3 == explanation.steps_by_kind["call"] == explanation.steps_by_kind["return"]
    assert 6 == explanation.steps_by_phase["call"]


def test_rounding_is_found_inside_a_call(explanation: Explanation) -> None:
    """The significands under each other are those of the first addition."""
    assert "Significands, place by place" in str(explanation)
    assert "nothing is added" not in str(explanation)
