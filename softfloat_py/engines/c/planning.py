"""What becomes of each value of a program in C.

A value that only renames another is that other. One that is used once is written where it is used. The rest
have variables, of which `sharing` says which are one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from softfloat_py.engines.c.sharing import Sharing, origin
from softfloat_py.engines.c.target import Target
from softfloat_py.engines.text import operands_of
from softfloat_py.integer_form.grammar import Block, Constant, Operand, Program, Step, Variable, assigned_by
from softfloat_py.integer_form.walking import visits

LARGEST_NESTED = 6  # variables and constants in an expression: beyond, it is hard to read

Same = Mapping[Variable, Operand]
# What stands in the place of a value: a constant, the variable that holds it, or the step that is used once.
Written = Constant | Variable | Step


@dataclass(frozen=True, slots=True)
class Plan:
    """What stands in the place of each variable of a program.

    `computed` are those that a step of their own sets; the others are written where they are used, or are
    others under a new name. `used` are those that are read at all, `factors` those that must be seen to have
    no more than 16 bits.
    """

    written: Mapping[Variable, Written]
    computed: frozenset[Variable]
    used: frozenset[Operand]
    factors: frozenset[Operand]

    def of(self, operand: Operand) -> Written:
        """What stands in the place of an operand."""
        return self.written[operand] if isinstance(operand, Variable) else operand

    def holder(self, variable: Variable) -> Variable:
        """The variable in C that holds what control flow assigns, or a step of its own."""
        holder = self.written[variable]
        assert isinstance(holder, Variable)
        return holder

    def has_its_own(self, variable: Variable) -> bool:
        """Whether a value has a variable for itself, which must be declared."""
        return self.written[variable] == variable


def plan_of(program: Program, target: Target) -> Plan:
    """The plan of a program."""
    same = _renamings(program, target)
    uses = _count_uses(program, same)
    factors = set(_factors(program, target, same))
    nested = _nested(program, target, same, uses, factors)
    sharing = Sharing(program, target, same, nested)
    assigned = [variable for s in program.body.all_statements() for variable in assigned_by(s)]

    def written(variable: Variable) -> Written:
        known = origin(variable, same)
        return nested[known] if known in nested else sharing.variable(known)

    return Plan(
        {variable: written(variable) for variable in (*program.parameters, *assigned)},
        frozenset(variable for variable in assigned if variable not in same and variable not in nested),
        frozenset(operand for operand, times in uses.items() if times),
        frozenset(sharing.variable(factor) for factor in factors),
    )


def _count_uses(program: Program, same: Same) -> Counter[Operand]:
    """How often each variable is written; once more in a loop that it is not computed in, where it is used
    again and again.
    """
    uses = Counter(_origins((v for block in program.body.walk() for v in _used(block)), same))
    uses.subtract(_origins(same, same))  # what only gives a new name writes nothing
    for loop in program.body.all_loops():
        inside = {step.target for step in loop.body.all_steps()}
        used = set(_origins((v for b in loop.body.walk() for v in _used(b)), same))
        used |= set(_origins((item.following for item in loop.carried), same))
        uses.update(used - inside)
    return uses


def _factors(program: Program, target: Target, same: Same) -> Iterator[Operand]:
    """What must be seen to be of 16 bits, for the compiler to take the CPU's product of 16 bits."""
    if target.word == target.multiplier == 16:
        for step in _steps(program.body):
            if step.kind.name == "multiply" and target.type_bits(step.target.width) == 32:
                yield from _origins((operand for operand in step.operands if operand.width <= 16), same)


def _nested(
    program: Program, target: Target, same: Same, uses: Counter[Operand], factors: set[Operand]
) -> dict[Operand, Step]:
    """The steps that are written where their one use is."""
    sizes: dict[Operand, int] = {}
    nested: dict[Operand, Step] = {}
    for step in _steps(program.body):
        if step.target in same or step.target in factors:
            continue
        size = sum(sizes.get(known, 1) for known in _origins(step.operands, same))
        if uses[step.target] == 1 and size <= LARGEST_NESTED and not is_wide_product(step, target):
            nested[step.target], sizes[step.target] = step, size
    return nested


def _origins(operands: Iterable[Operand], same: Same) -> Iterator[Operand]:
    return (origin(operand, same) for operand in operands)


def _renamings(program: Program, target: Target) -> dict[Variable, Operand]:
    """The variables that are others under a new name: C has no widths to change but those of its types, moves
    as it likes, and lets go of what does not fit its widest type.
    """
    steps = list(_steps(program.body))
    products = {step.target for step in steps if is_wide_product(step, target)}
    same: dict[Variable, Operand] = {}
    for step in steps:
        wrapped = step.kind.name == "low_word" and step.immediate == target.widest
        renamed = step.kind.renames and not _narrows(step, same, target)
        if renamed or (wrapped and step.operands[0] not in products):
            same[step.target] = step.operands[0]
    return same


def _narrows(step: Step, same: dict[Variable, Operand], target: Target) -> bool:
    """Whether a value goes on in a narrower type than it was computed in."""
    source = origin(step.operands[0], same)
    bits = target.type_bits
    return isinstance(source, Variable) and bits(step.target.width) < bits(source.width)


def is_wide_product(step: Step, target: Target) -> bool:
    """Whether a step is a product that only a type twice as wide as the widest holds."""
    return step.kind.name == "multiply" and step.target.width > target.widest


def _steps(block: Block) -> Iterator[Step]:
    """Steps in the order they are written, those of a side before those that follow."""
    return (visit.statement for visit in visits(block) if isinstance(visit.statement, Step))


def _used(block: Block) -> Iterator[Variable]:
    return (operand for operand in operands_of(block) if isinstance(operand, Variable))
