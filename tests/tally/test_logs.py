"""Runs that are noted by their operands, and counted later."""

from __future__ import annotations

import random

import pytest

from softfloat_py.numbers.formats import Format, binary16, binary128, extended80
from softfloat_py.tally import counts, logs
from softfloat_py.tally.logs import RunCounter
from softfloat_py.tally.tally import counting
from softfloat_py.uses import Use

RUNS = 300


@pytest.mark.parametrize("fmt", [binary16, extended80, binary128], ids=repr)
@pytest.mark.parametrize("name", ["addition", "division", "scale_b", "square_root", "remainder"])
def test_both_engines_count_the_same(name: str, fmt: Format, monkeypatch: pytest.MonkeyPatch) -> None:
    """Runs that the array engine counts at once did what they did one by one."""
    use, draw = Use.named(name, fmt), random.Random(name)
    operands = [draw.getrandbits(width) for _ in range(RUNS) for width in use.widths]
    one_by_one = RunCounter(use).usage(operands, 2)
    monkeypatch.setattr(logs, "WORTH", 0)
    at_once = RunCounter(use).usage(operands, 2)

    assert RUNS == at_once.calls == one_by_one.calls
    assert list(one_by_one.runs) == list(at_once.runs)
    assert [dict(met) for met in one_by_one.features] == [dict(met) for met in at_once.features]


PLACES, TIMES = 200, 50


def test_a_program_of_many_places_keeps_few_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is kept to be counted later grows more slowly than the places, and nothing is lost by that."""
    monkeypatch.setattr(counts, "RUNS_OF_ALL", 400)
    monkeypatch.setattr(counts, "FEW_RUNS", 4)
    heave = binary16(0.25)
    code = compile("heave + heave\n" * PLACES, "places", "exec")
    with counting() as tally:
        for _ in range(TIMES):
            exec(code, {"heave": heave})
        kept = sum(log.full // 2 for log in tally.logs.values())

    assert PLACES == len({origin.line for origin, _, _ in tally.cells()})
    assert kept < 400 * 6 + 4 * PLACES < PLACES * TIMES  # 1 + 1/2 + ... + 1/200 is less than 6
    assert PLACES * TIMES == tally.calls["addition", "binary16"]


def test_what_is_noted_while_somebody_asks_is_counted() -> None:
    """A thread may have found a log, and write to it after it was counted: that run is counted too."""
    heave = binary16(0.25)
    with counting() as tally:
        heave + heave
        (log,) = tally.logs.values()
        steps = tally.total_steps
        log.extend((heave.bits, heave.bits))

    assert (2, 2 * steps) == (tally.total_calls, tally.total_steps)
