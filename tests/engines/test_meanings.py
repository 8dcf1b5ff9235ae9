"""Every row of steps means the same in each algebra: numbers, the text of Python, numpy's arrays."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest

from softfloat_py.engines import arrays
from softfloat_py.engines.arrays.words import from_ints, to_ints
from softfloat_py.engines.python_text import ClippedText, PythonText, written
from softfloat_py.integer_form.grammar import Block, Position, Program, Return, Step, Variable
from softfloat_py.routines.steps import STEPS
from softfloat_py.routines.tables import Table, base_address

HERE = Position("", 0, 0)
READINGS = Table((3, 9, 200, 14, 77, 6, 120, 31), name="readings")
CARRIED = ("add_with_carry", "subtract_with_borrow", "shift_left_through_carry", "shift_right_through_carry")
# Rows that only the lowering of CPUs uses, whose programs are never run on arrays.
OF_CPUS = {*CARRIED, "join_words", "load_at"}
ROUNDS = 200


def drawn(name: str, random: Random) -> tuple[list[int], list[int], Any] | None:
    """Operands, widths and an immediate of a kind; None where they break its condition."""
    kind = STEPS[name]
    widths = [random.choice([1, 2, 7, 8, 13]) for _ in range(kind.arity)]
    if name == "select":
        widths[0] = 1
    if name in CARRIED:
        widths = [max(widths)] * (kind.arity - 1) + [1]
    values = [random.getrandbits(width) for width in widths]
    immediate: Any = random.randint(0 if kind.feature.name == "IMMEDIATE" else 1, 15)
    if name in ("look_up", "load_at"):
        immediate = READINGS
    if name == "load_at":
        values, widths = [base_address(16) + random.randrange(8)], [16]
    return (values, widths, immediate) if kind.condition(values, widths, immediate) else None


def steps_of(name: str) -> list[tuple[Step, list[int]]]:
    """Steps of a kind, with what they are done to."""
    random = Random(name)
    found = []
    for _ in range(ROUNDS):
        given = drawn(name, random)
        if given is not None:
            values, widths, immediate = given
            operands = tuple(Variable("abc"[i], i, width) for i, width in enumerate(widths))
            target = Variable("t", 9, STEPS[name].width(widths, immediate))
            found.append((Step(target, STEPS[name], operands, immediate, "whole", HERE), values))
    assert len(found) > ROUNDS // 10
    return found


@pytest.mark.parametrize("algebra", [PythonText(), ClippedText()], ids=lambda a: type(a).__name__)
@pytest.mark.parametrize("name", STEPS)
def test_text_of_python_means_what_numbers_do(name: str, algebra: PythonText) -> None:
    """Written for the plain engine, and evaluated, a step delivers the value of its row."""
    for step, values in steps_of(name):
        widths = [operand.width for operand in step.operands]
        text = written(algebra, ["abc"[i] for i in range(len(values))], step)

        assert step.kind.value(values, widths, step.immediate) == eval(
            text, dict(zip("abc", values, strict=False))
        )


@pytest.mark.parametrize("name", sorted(STEPS.keys() - OF_CPUS))
def test_arrays_mean_what_numbers_do(name: str) -> None:
    """A program of one step, run on an array, delivers the value of its row."""
    for step, values in steps_of(name)[:30]:
        widths = [operand.width for operand in step.operands]
        body = Block(0, (step, Return((step.target,), "whole", HERE)))
        variables: tuple[Any, ...] = step.operands
        program = Program("one", variables, frozenset(), (step.target.width,), body, stretches=1)
        operands = [from_ints([value] * 3, width) for value, width in zip(values, widths, strict=True)]
        (result,) = arrays.compiled(program).run(operands, 0).results

        assert [step.kind.value(values, widths, step.immediate)] * 3 == to_ints(result)
