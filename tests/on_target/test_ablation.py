"""Rules of pricing are left out one by one, and nothing of that is left behind."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.integer_form.grammar import Program
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.program_price import program_price
from tests.integer_form import small_routines
from tests.integer_form.small_routines import program
from tests.on_target.ablation import RULES, Rule, without
from tests.on_target.ablation_table import ROOM, Case, Column, Row, closing, rows_of, table
from tests.pricing import invented_cpu

BY_NAME = {rule.name: rule for rule in RULES}
MOVE, LOAD_CONSTANT = 10, 1000  # cycles on the invented CPU
BOTH_KEPT = program(invented_cpu.both_kept, crest=8, trough=8)
HEIGHTS = program(small_routines.heights, crest=8, trough=8)
MASKED_THRICE = program(invented_cpu.masked_thrice, crest=8)


def cycles(model: CostModel, read: Program) -> float:
    """Cycles of a run through each stretch, by a model that has priced nothing yet."""
    prices = program_price(replace(model), read)
    return sum(sum(stretch.values()) for stretch in prices.stretches)


@pytest.mark.parametrize(
    ("difference", "name", "read", "overwrites"),
    [
        # The first step may overwrite neither operand, so one is copied.
        (-MOVE, "overwritten operands are copied", BOTH_KEPT, ("and",)),
        # The first step takes the place of its second operand; if it never does, the first is copied.
        (MOVE, "second operands are overwritten instead", HEIGHTS, ("and",)),
        # Three steps have one constant.
        (2 * LOAD_CONSTANT, "constants are kept in registers", MASKED_THRICE, ()),
    ],
)
def test_a_price_without_a_rule(
    difference: int, name: str, read: Program, overwrites: tuple[str, ...]
) -> None:
    """What a rule costs or saves is missing from the price without it, and there again afterwards."""
    model = invented_cpu.invented_cpu(overwrites=overwrites)
    whole = cycles(model, read)

    with without(BY_NAME[name], [read]):
        assert whole + difference == cycles(model, read)
    assert whole == cycles(model, read)


@cache
def cases() -> tuple[Case, ...]:
    """Sums of one word and of several, quotients and roots in loops, and long products."""
    of_word = [Case.of(name, sf.binary32, 3) for name in ("addition", "division", "sin")]
    return (*of_word, *(Case.of(name, sf.binary64, 3) for name in ("addition", "square_root")))


# CPUs that differ in what rules ask for.
NAMES = ("cortex-m0plus", "cortex-m3", "atmega", "mc68000", "rl78", "6502")
MODELS = (*map(sf.cost_model, NAMES), sf.cost_model("8051").made_by("sdcc"))
COLUMNS = [Column(model.name, model, np.full(5, 1000.0)) for model in MODELS]
# No operation calls another, and no table has a compiler that writes out loops.
ASKED_NOWHERE = ("words are put away around a call", "short loops are written out")


@cache
def ratios_with_all_rules() -> list[list[float]]:
    """Those on the first CPU, before any rule was left out."""
    whole, _ = rows_of(COLUMNS[:1], cases(), [])
    return list(whole.ratios.tolist())


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_each_rule_decides_something_and_comes_back(rule: Rule) -> None:
    """Some estimate is another one without a rule; all are as before, and so is the function, afterwards."""
    before, function, places = ratios_with_all_rules(), getattr(rule.owner, rule.function), rule.places

    found = (rows_of([column], cases(), [rule]) for column in COLUMNS)
    assert (rule.name not in ASKED_NOWHERE) == any(row.changes(whole).any() for whole, (row,) in found)

    whole, _ = rows_of(COLUMNS[:1], cases(), [])
    assert before == whole.ratios.tolist()
    assert places
    assert [function] * len(places) == [vars(place)[rule.function] for place in places]


# -- the table -----------------------------------------------------------------------------------------

# Logarithms of two cases on each of nine CPUs: their mean is 0.1, their spread 0.1.
WHOLE = Row("all rules", np.array([[0.0, 0.2]] * 9))
UNASKED = Row("tides", WHOLE.ratios)
LITTLE = Row("swell", np.add(WHOLE.ratios, [0.01, 0.02]))
OF_THE_MEAN = Row("crests", np.add(WHOLE.ratios, [0.02, 0.03]))
OF_THE_SPREAD = Row("troughs", np.add(WHOLE.ratios, [-0.03, 0.03]))
BRINGS_APART = Row("foam", np.array([*WHOLE.ratios[:8], [0.03, 0.17]]))
ROWS = [UNASKED, LITTLE, OF_THE_MEAN, OF_THE_SPREAD, BRINGS_APART]
NAMES_OF_NINE = [f"buoy-{number}" for number in range(9)]


def test_rules_of_doubtful_worth_are_named() -> None:
    """Nothing anywhere; 7 % of spread in place of 10 %; less than 2 % of mean and spread, where e^0.02 is
    2.0 % more in the case that changes most.
    """
    assert [
        "Nothing here depends on: tides.",
        "The spread is smaller by 2% or more without: foam (buoy-8).",
        "Worth less than 2% everywhere, in mean and spread: swell (2.0% of one case).",
    ] == list(closing(NAMES_OF_NINE, WHOLE, ROWS))


def test_the_table_wraps() -> None:
    """However many CPUs there are, lines fit the room, and each CPU stands in one heading."""
    columns = [Column(name, sf.cost_model("r3000"), np.ones(2)) for name in NAMES_OF_NINE]
    lines = list(table(columns, WHOLE, ROWS))

    assert max(map(len, lines)) <= ROOM
    assert [*NAMES_OF_NINE, "mean"] == [
        name for line in lines if line.startswith(" ") for name in line.split()
    ]


def test_pairs_of_the_table() -> None:
    """The ratio is e^0.1, the spread 10 %; below, the ratio without a rule and what it adds to the spread."""
    column = Column("buoy", sf.cost_model("r3000"), np.ones(2))
    one = [Row(row.name, row.ratios[:1]) for row in (WHOLE, *ROWS)]
    lines = [line.split() for line in table([column], one[0], one[1:])][2:7]

    assert [["1.11", "10.0"], ["-"], ["1.12", "+0.5"], ["1.13", "+0.5"], ["1.11", "+3.0"]] == [
        line[-2:] if line[-1] != "-" else line[-1:] for line in lines
    ]
