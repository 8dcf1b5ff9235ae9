"""What `bounds` prints and refuses."""

from __future__ import annotations

import json
import re
from collections.abc import Callable

import pytest

from softfloat_py.commands import words
from softfloat_py.operations import OPERATIONS
from softfloat_py.views.bounds_table import CAUTION as BOUNDS_CAUTION
from tests.commands.running import printed_by


def test_bounds_have_a_line_for_each_operation(capsys: pytest.CaptureFixture[str]) -> None:
    """Each CPU has its table, each operation its line of best, typical and worst; one caution is for all."""
    names = "addition,exp,convert_to_integer:uint16"
    text = printed_by(
        capsys, "bounds", "--cpu", "atmega", "--cpu", "mc68000", "--format", "binary16", "--operations", names
    )

    for operation in ("addition binary16", "exp binary16", "convert_to_integer binary16 to uint16"):
        lines = re.findall(rf"^{operation}  +(\d[\d ]*)$", text, re.MULTILINE)
        assert 2 == len(lines)
        for line in lines:
            best, typical, worst = (int(cell.replace(" ", "")) for cell in re.split("  +", line))
            assert 0 < best < typical < worst
    assert 1 == text.count(BOUNDS_CAUTION)


def test_bounds_are_of_all_operations_by_default(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without a choice, all operations are bounded that need no more than their name."""
    few = ("negate", "convert_to_integer", "addition", "sin", "scale_b")  # all of them take half a minute
    monkeypatch.setattr(words, "OPERATIONS", {name: OPERATIONS[name] for name in few})
    text = printed_by(capsys, "bounds", "--cpu", "cortex-m0plus", "--format", "binary16")

    assert ["negate", "addition", "sin", "scale_b"] == re.findall(r"^(\w+) binary16 ", text, re.MULTILINE)


def test_bounds_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """As JSON, there is a record for each CPU and operation, and the caution."""
    data = json.loads(
        printed_by(capsys, "bounds", "--cpu", "atmega", "--operations", "addition,division", "--json")
    )

    assert [("atmega", "addition"), ("atmega", "division")] == [
        (record["cpu"], record["operation"]) for record in data["bounds"]
    ]
    assert BOUNDS_CAUTION == data["caution"]


def test_bounds_refuse_what_there_is_not(refusal: Callable[..., str]) -> None:
    """An unknown CPU, format, operation or set of options is one sentence with a suggestion."""
    assert "did you mean 'atmega'" in refusal("bounds", "--cpu", "atmegga")
    assert "did you mean 'binary32'" in refusal("bounds", "--cpu", "atmega", "--format", "binary31")
    assert "did you mean 'division'" in refusal("bounds", "--cpu", "atmega", "--operations", "divison")
    assert "did you mean 'lean'" in refusal("bounds", "--cpu", "atmega", "--options", "leen")
