"""How many of a value's lowest bits anyone looks at: a mask hides those above it, as that of a `field` does.

No CPU has to compute the others: a shift whose result is masked brings down what the mask leaves.
"""

from __future__ import annotations

from collections.abc import Mapping

from softfloat_py.integer_form.grammar import Constant, Operand, Program, Statement, Step, Variable, used_by
from softfloat_py.keeping import kept


@kept
def needed_bits(program: Program) -> Mapping[Variable, int]:
    """For each variable of which not all are needed, its lowest bits that are."""
    needed: dict[Variable, int] = {}
    for statement in program.body.all_statements():
        for operand in used_by(statement):
            if isinstance(operand, Variable):
                needed[operand] = max(needed.get(operand, 0), _looked_at(operand, statement))
    return {variable: bits for variable, bits in needed.items() if bits < variable.width}


def _looked_at(operand: Operand, statement: Statement) -> int:
    """The lowest bits of an operand that a statement looks at."""
    if isinstance(statement, Step) and statement.kind.name == "and":
        masks = [mask.value.bit_length() for mask in statement.operands if isinstance(mask, Constant)]
        return min([operand.width, *masks])
    return operand.width
