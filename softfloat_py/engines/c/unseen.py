"""What nobody looks at is not written: a part of a value that lies above all bits that are used of it is 0.

Wide shifts put each word together of two parts, also the highest, of which a narrow value has a few bits: one
part lies beyond them. The same comes of masks. It is work for nothing where a compiler does not see it; sdcc
4.2 sees it, leaves the part out, looks at it all the same, and crashes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from softfloat_py.engines.c.rewriting import InC
from softfloat_py.engines.c.target import Target
from softfloat_py.integer_form.grammar import Constant, If, Operand, Program, Step, Variable, used_by
from softfloat_py.integer_form.known_zeros import known_zeros
from softfloat_py.integer_form.walking import visits

ALL = 1 << 30  # bits that are looked at where nothing says how many


class SeenAlone(InC):
    """Puts 0 in the place of each step whose result has only zeros in the bits that are looked at.

    Of what is left above those bits nothing is known any more: it may differ from what the steps say.
    """

    def __init__(self, program: Program, target: Target) -> None:
        super().__init__(program, target)
        self.seen, self.zeros = seen_bits(program, target), known_zeros(program)

    def step(self, step: Step) -> None:
        """Rewrite a step; what has become the same as an operand is that operand."""
        if self.zeros.get(step.target, 0) >= self.seen.get(step.target, 0):
            self.rename(step.target, Constant(0, step.target.width))
            return
        self.builder.phase, self.builder.position = step.phase, step.position
        operands = tuple(map(self.of, step.operands))
        result = self.builder.emit(step.kind.name, operands, step.immediate, target=step.target.name)
        self.rename(step.target, result)


def seen_bits(program: Program, target: Target) -> Mapping[Variable, int]:
    """For each variable how many of its lowest bits are looked at, where C cuts off what is above them."""
    seen: defaultdict[Operand, int] = defaultdict(int)
    for visit in reversed(list(visits(program.body))):
        match visit.statement:
            case Step() as step:
                for place, operand in enumerate(step.operands):
                    seen[operand] = max(seen[operand], _seen_of(step, place, seen[step.target], target))
            case If(condition=condition, joins=joins):
                seen[condition] = ALL
                for join in joins:
                    for side in (join.if_true, join.if_false):
                        if side is not None:
                            seen[side] = max(seen[side], seen[join.target])
            case statement:
                seen.update(dict.fromkeys(used_by(statement), ALL))
    return {variable: bits for variable, bits in seen.items() if isinstance(variable, Variable)}


def _seen_of(step: Step, place: int, seen: int, target: Target) -> int:
    """How many of the lowest bits of an operand a step looks at, for so many of its result to be right."""
    operand = step.operands[place]
    match step.kind.name:
        case "or" | "xor" | "not" | "add" | "subtract" | "move" | "load" | "store":
            return seen
        case "add_modulo" | "subtract_modulo":
            return min(seen, step.target.width)
        case "and":
            other = step.operands[1 - place]
            return min(seen, _bits(other)) if _bits(other) < operand.width else seen
        case "select" if place not in step.kind.conditions:
            return seen
        case "resize" if step.target.width > 1:  # a truth is looked at without being cut off
            return min(seen, target.type_bits(step.target.width))
        case "low_word":
            return min(seen, int(step.immediate))
        case "shift_left":
            return max(seen - int(step.immediate), 0)
        case "shift_left_variable" if place == 0:
            return seen
        case "shift_right":
            return seen + int(step.immediate)
    return ALL


def _bits(operand: Operand) -> int:
    """Bits of an operand above which it is zero."""
    return operand.value.bit_length() if isinstance(operand, Constant) else operand.width
