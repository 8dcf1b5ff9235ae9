"""What compiled code spends around the steps of a program: the rules, one function each.

*Values.* A value takes the words of the integer type that holds those of its bits that anyone looks at. A
native step writes one word, a product two, a comparison none: its outcome is a flag.

*Copies.* Where an instruction puts its result in the place of its first operand, and that is needed later, it
is copied before, unless the second can be overwritten as well.

*Registers.* The words live at a step are compared with the registers, and the share that does not fit makes
the same share of its reads and writes cost: parked in registers out of reach, or spilled to memory. In a loop
a value has one place all through it, so what is live at its fullest counts for each of its steps. A product
takes so many steps that what it does not touch is put away before it, and fetched back after it.

*Decisions.* A comparison that only decides costs what sets the flags; kept as a number, it costs that as
well. A branch on a bit that no comparison made tests it before, unless branches compare by themselves.

*Constants.* One is loaded unless a register has it already, which none has after a call; where control meets
again, or a result is due, it takes a move at the least.

*Calls.* A call costs itself and its return, its arguments, and the registers that it saves. What is needed
after it waits in registers that what is called keeps, as far as there are any, or else in memory (`calls`).

All of these are common practice, no source, and were found beside measured code of a few operations.
"""

from __future__ import annotations

from collections.abc import Sequence

from softfloat_py.integer_form.grammar import Step
from softfloat_py.lowering.words import count_words
from softfloat_py.pricing.compiler import Compiler
from softfloat_py.pricing.registers import IN_REGISTERS, Registers, Shares
from softfloat_py.routines.steps import STEPS, StepKind

COMMUTATIVE = {row.counted_as for row in STEPS.values() if row.commutative} - {
    row.counted_as for row in STEPS.values() if not row.commutative
}


# -- values --------------------------------------------------------------------------------------------


def words_of_value(width: int, word: int, compiler: Compiler) -> int:
    """A value takes the words of the narrowest type that holds it, or of several of the widest."""
    return count_words(compiler.types.bits_for(width, word), word)


def words_written(step: Step, word: int) -> int:
    """A native step writes one word, a product as many as it has, a comparison none."""
    if step.kind.counted_as == "compare":
        return 0
    return count_words(step.target.width, word) if step.kind.counted_as == "multiply" else 1


# -- copies --------------------------------------------------------------------------------------------


def is_copied(kind: StepKind, needed_later: Sequence[bool]) -> bool:
    """A first operand that the result takes the place of is copied where it is needed later, unless the
    second, whose place would do as well, is not.
    """
    first, *others = needed_later
    return first and (kind.counted_as not in COMMUTATIVE or any(others))


# -- registers -----------------------------------------------------------------------------------------


def shares_beyond(registers: Registers, live: int) -> Shares:
    """Of so many live words, as many values are put away as leave room for the rest and for one that is
    brought back, but for its first word, which comes as an operand; every word has the same share of it.
    """
    if live <= registers.working:
        return IN_REGISTERS
    missing = live - registers.working + registers.value - 1
    beyond = min(count_words(missing, registers.value) * registers.value, live)
    parked = min(beyond, registers.parking)
    return Shares(parked / live, (beyond - parked) / live)


def words_put_away(registers: Registers, needed: int, others: int) -> tuple[int, int]:
    """Of other words, as many are parked and spilled as registers are needed for a product."""
    beyond = min(max(needed + others - registers.working, 0), others)
    parked = min(beyond, registers.parking)
    return parked, beyond - parked
