"""Each call kept apart: lowest, mean and highest cycles of a call, and what that leaves as it was."""

from __future__ import annotations

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.engines import arrays
from softfloat_py.integer_form.grammar import Program
from softfloat_py.tally.tally import Tally
from softfloat_py.views.layout import grouped

CPU = "mc68000"  # shifts and products take as long as their operands make them
ADDITION, ROOT = ("addition", "binary32"), ("square_root", "binary32")
ACCELERATIONS = [1.5, 0.4375, -1.25, 0.0, 1e-3, float("inf")]


def cycles_of_one(x: float, y: float) -> float:
    """The estimate of one addition, counted by itself."""
    with sf.counting() as tally:
        sf.addition(sf.binary32(x), sf.binary32(y))
    return tally.estimate(CPU).cycles


def test_lowest_mean_and_highest_are_those_of_calls_by_themselves() -> None:
    """Calls counted together are told apart as if each had been counted alone."""
    alone = [cycles_of_one(x, 0.25) for x in ACCELERATIONS]
    with sf.counting(each_call=True) as tally:
        for x in ACCELERATIONS:
            sf.addition(sf.binary32(x), sf.binary32(0.25))

    found = tally.estimate(CPU).each_call[ADDITION]

    assert (min(alone), sum(alone) / len(alone), max(alone)) == pytest.approx(found)


def test_equal_calls_weigh_as_often_as_they_were() -> None:
    """The mean is over all calls, not over different ones."""
    zero, sum_ = cycles_of_one(0.0, 0.25), cycles_of_one(1.5, 0.25)
    with sf.counting(each_call=True) as tally:
        for x in (0.0, 1.5, 1.5, 1.5):
            sf.addition(sf.binary32(x), sf.binary32(0.25))

    assert (zero + 3 * sum_) / 4 == pytest.approx(tally.estimate(CPU).each_call[ADDITION].mean)


def test_arrays_run_element_by_element() -> None:
    """A large array gives the same results and steps as ever, and its calls are told apart."""
    values = sf.binary32.array(np.random.default_rng(3).normal(size=500))
    with sf.counting() as together:
        expected = sf.addition(values, values[::-1])
    with sf.counting(each_call=True) as apart:
        result = sf.addition(values, values[::-1])
    found = apart.estimate(CPU).each_call[ADDITION]

    assert expected.bits.tolist() == result.bits.tolist()
    assert together.steps == apart.steps
    assert found.lowest < found.mean < found.highest
    assert together.estimate(CPU).cycles / 500 == pytest.approx(found.mean)


def test_normal_counting_keeps_no_call_and_the_array_engine(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without being asked to, a tally keeps no records, and large arrays run as arrays."""
    values = sf.binary32.array(np.ones(500))
    compiled, programs = arrays.compiled, []

    def noted(program: Program) -> object:
        programs.append(program)
        return compiled(program)

    monkeypatch.setattr(arrays, "compiled", noted)
    with sf.counting() as tally:
        sf.addition(values, values)
        sf.square_root(sf.binary32(2.0))

    assert 1 == len(programs)
    assert {} == tally.records()
    assert {} == tally.estimate(CPU).each_call


def test_inner_block_keeps_calls_for_the_outer_one() -> None:
    """A function that counts by itself does not hide its calls from a tally that keeps each."""
    with sf.counting(each_call=True) as outer:
        sf.square_root(sf.binary32(2.0))
        with sf.counting() as inner:
            sf.addition(sf.binary32(1.5), sf.binary32(0.25))

    assert {ADDITION} == set(inner.estimate(CPU).each_call)
    assert {ADDITION, ROOT} == set(outer.estimate(CPU).each_call)


def kept(*, each_call: bool) -> Tally:
    """A tally of one addition."""
    with sf.counting(each_call=each_call) as tally:
        sf.addition(sf.binary32(1.5), sf.binary32(0.25))
    return tally


def test_sum_keeps_each_call_if_both_do() -> None:
    """A sum of tallies is not said to know all calls where one of them does not."""
    both = (kept(each_call=True) + kept(each_call=True)).records()

    assert 2 == sum(records.total() for records in both.values())
    assert {} == (kept(each_call=True) + kept(each_call=False)).records()
    assert {} == (kept(each_call=False) + kept(each_call=True)).records()


def test_report_shows_the_cycles_of_a_call_where_they_are_known() -> None:
    """The section is there where each call was kept, and only there."""
    title = "Cycles of a call, in this run"
    est = kept(each_call=True).estimate(CPU)
    section = est.details().partition(title)[2].partition("no bounds of what there may be")[0]
    (line,) = [line for line in section.splitlines() if "addition binary32" in line]

    cells = [cell.strip() for cell in line.split("  ") if cell]
    assert ["addition binary32", *map(grouped, est.each_call[ADDITION])] == cells
    assert title not in kept(each_call=False).estimate(CPU).details()
