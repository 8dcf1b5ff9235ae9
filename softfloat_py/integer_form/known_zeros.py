"""How many of a value's lowest bits are zero in every run, as shifts to the left leave them.

Words of nothing but such bits take no step: a CPU adds an exponent to the upper word alone.
"""

from __future__ import annotations

from collections.abc import Mapping

from softfloat_py.integer_form.grammar import Constant, If, Operand, Program, Step, Variable
from softfloat_py.integer_form.walking import visits
from softfloat_py.keeping import kept


@kept
def known_zeros(program: Program) -> Mapping[Variable, int]:
    """For each variable that has them, its lowest bits that are zero whatever the program is run on."""
    known: dict[Variable, int] = {}
    for visit in visits(program.body):
        match visit.statement:
            case Step(target=target) as step:
                known[target] = min(_below_result(step, known), target.width)
            case If(joins=joins):
                for join in joins:
                    sides = [side for side in (join.if_true, join.if_false) if side is not None]
                    known[join.target] = min(_below(side, known) for side in sides)
    return {variable: zeros for variable, zeros in known.items() if zeros}


def _below(operand: Operand, known: Mapping[Variable, int]) -> int:
    if isinstance(operand, Constant):
        value = operand.value
        return (value & -value).bit_length() - 1 if value else operand.width
    return known.get(operand, 0)


def _below_result(step: Step, known: Mapping[Variable, int]) -> int:
    """Zeros below a step's result."""
    zeros = [_below(operand, known) for operand in step.operands]
    return step.kind.known_zeros(zeros, step.immediate)
