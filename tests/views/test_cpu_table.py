"""The listing of one cost model."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.table_reader import cost_model, load_cost_model
from softfloat_py.views import cpu_table


@pytest.mark.parametrize(
    ("value", "name"),
    [
        ("8, 16, 32 bits", "values are held in"),
        ("32 bits", "are put away by"),
        ("2 moves a word", "around a product"),
        ("up to 0 steps a round", "loops written out"),
        ("instructions", "steps are"),
        ("0 moves a value", "saved in expressions"),
        ("-0.5 to 10 a step", "further moves"),
        ("not beyond a word of 32 bits", "carries go"),
    ],
)
def test_habits_of_the_compiler_are_listed(value: str, name: str) -> None:
    """Each habit of the model's own compiler stands with its value, and says how it is known."""
    rows = listed_habits(cost_model("cortex-m0plus"))
    assert [value] == [row[1] for row in rows if row[0] == name]
    assert 7 == sum("unverified" in row for row in rows)


@pytest.mark.parametrize(
    ("way", "cpu"),
    [
        ("from word to word within 32 bits", "z80"),
        ("from word to word", "mc68000"),
        ("not beyond a word of 32 bits", "cortex-m0plus"),
        ("nowhere: the CPU keeps none", "rv32imc-ibex"),
    ],
)
def test_listing_says_how_far_a_carry_goes(way: str, cpu: str) -> None:
    """As it is priced: within the widest type, all the way, inside a word, or not at all without a flag."""
    assert [way] == [row[1] for row in listed_habits(cost_model(cpu)) if row[0] == "carries go"]


def test_listing_says_whose_code_a_model_describes(tmp_path: Path) -> None:
    """The compiler whose code is listed stands with its id, and beside it those that may be asked for."""
    path = tmp_path / "buoy.toml"
    path.write_text('based_on = "z80"\n[compilers.hand-scheduled]\n', encoding="utf-8")
    compiled, by_hand = (load_cost_model(path, compiler=name) for name in ("sdcc", "hand-scheduled"))

    assert "\ncode as SDCC makes it (sdcc): the Small Device C Compiler" in cpu_table.figures(compiled)
    assert "\nalso described: hand scheduling (hand-scheduled)" in cpu_table.figures(compiled)
    assert "\nalso described: SDCC (sdcc)" in cpu_table.figures(by_hand)
    assert ["the words they need"] == [r[1] for r in listed_habits(by_hand) if r[0] == "values are held in"]
    assert ["from word to word"] == [r[1] for r in listed_habits(by_hand) if r[0] == "carries go"]
    assert "also described" not in cpu_table.figures(replace(by_hand, described={}))


def listed_habits(model: CostModel) -> list[list[str]]:
    """The rows on the compiler in the listing of a model, each in its columns."""
    listed = re.split(r"What its compiler does\n", cpu_table.figures(model))[1].split("\n\n")[0]
    return [re.split(r" {2,}", line.strip()) for line in listed.splitlines()]
