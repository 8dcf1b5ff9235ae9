"""Where C has to mask what wraps around: it has no types of 5 or 11 bits.

A sum that wraps around in fewer bits than its type has is masked, unless nobody looks at the bits above
(common practice, no source). Code by hand has no types, but takes bytes and half words as C does.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from softfloat_py.integer_form.grammar import Constant, If, Operand, Program, Step, used_by
from softfloat_py.integer_form.walking import visits
from softfloat_py.keeping import kept
from softfloat_py.pricing.compiler import IntegerTypes

ALL = 1 << 30  # bits that are looked at where nothing says how many


@kept
def wraps_of(program: Program, word: int, types: IntegerTypes) -> Mapping[Step, int]:
    """The steps whose result is masked, and how many bits are left of its highest word."""
    looked_at = _looked_at(program, word, types)
    wraps: dict[Step, int] = {}
    for step in program.body.all_steps():
        width = step.target.width
        if step.kind.name in ("add_modulo", "subtract_modulo") and looked_at[step.target] > width:
            left = (width - 1) % word + 1
            if width < types.wrapping_bits(width, word) and left < word:
                wraps[step] = left
    return wraps


def _looked_at(program: Program, word: int, types: IntegerTypes) -> Mapping[Operand, int]:
    """For each value how many of its lowest bits are looked at, those above its own width included."""
    looked_at: defaultdict[Operand, int] = defaultdict(int)

    def look(operand: Operand | None, bits: int) -> None:
        if operand is not None:
            looked_at[operand] = max(looked_at[operand], bits)

    for visit in reversed(list(visits(program.body))):
        match visit.statement:
            case Step(target=target, operands=operands) as step:
                bits = min(looked_at[target], types.bits_for(target.width, word))
                for place, operand in enumerate(operands):
                    look(operand, _by_step(step, place, bits))
            case If(condition=condition, joins=joins):
                look(condition, ALL)
                for join in joins:
                    look(join.if_true, looked_at[join.target])
                    look(join.if_false, looked_at[join.target])
            case statement:
                for operand in used_by(statement):
                    look(operand, ALL)
    return looked_at


def _by_step(step: Step, place: int, bits: int) -> int:
    """How many of the lowest bits of an operand a step looks at, for so many of its result."""
    match step.kind.name:
        case "or" | "xor" | "not" | "add" | "subtract" | "move" | "resize":
            return bits
        case "add_modulo" | "subtract_modulo":
            return min(bits, step.target.width)
        case "and":
            masks = [o.value.bit_length() for o in step.operands if isinstance(o, Constant)]
            return min([bits, *masks])
        case "select" if place not in step.kind.conditions:
            return bits
        case "shift_left":
            return max(bits - int(step.immediate), 0)
        case _:
            return ALL
