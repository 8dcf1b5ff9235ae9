"""Steps that are operations of C on whole types: what C computes within an expression, and how it shifts.

Each operation by itself fetches its operands and puts its result away. With what one step makes for one other
alone a compiler does neither, or less than that: such a value saves a `move`, or a part of one (common
practice, no source; how much is measured).

C that is written for narrow words shifts by whole words and by the rest apart (`engines.c.spellings`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from softfloat_py.engines.stepwise import Record
from softfloat_py.integer_form.counting import Entry
from softfloat_py.integer_form.grammar import (
    Block,
    If,
    Operand,
    Program,
    Return,
    Statement,
    Step,
    Variable,
    used_by,
)
from softfloat_py.keeping import kept
from softfloat_py.lowering.machine import Machine

CONSTANT_SHIFTS = ("shift_left", "shift_right")


@kept
def nested_in(program: Program) -> frozenset[Step]:
    """The counted steps of a program whose result goes on within the expression that it is made in, that of a
    `return` included. That of a comparison is in the flags anyway.
    """
    uses: Counter[Operand] = Counter()
    users: dict[Operand, Statement] = {}
    for statement in program.body.all_statements():
        for operand in used_by(statement):
            uses[operand] += 1
            users[operand] = statement

    def is_nested(value: Operand) -> bool:
        if uses[value] != 1:
            return False
        match users[value]:
            case Step(kind=kind, target=target):
                return kind.counted_as is not None or is_nested(target)
            case If(condition=condition):
                return condition == value
            case user:
                return isinstance(user, Return)

    counted = (step for step in program.body.all_steps() if step.kind.counted_as not in (None, "compare"))
    return frozenset(step for step in counted if is_nested(step.target))


def saved_within(record: Record, program: Program) -> Counter[Entry]:
    """The moves that a run of a step's expansion does without, within its expressions. Whether what it gives
    goes on within one, it does not know.
    """
    given = {result for block in program.body.walk() for result in _returned(block)}
    nested = {step for step in nested_in(program) if step.target not in given}
    done = (event.statement for event in record.events)
    return Counter(_move(step.target.width) for step in done if isinstance(step, Step) and step in nested)


def _returned(block: Block) -> Iterator[Operand]:
    """What a block returns, by all its names."""
    steps = (statement for statement in block.statements if isinstance(statement, Step))
    names = {step.target: step.operands[0] for step in steps if step.kind.counted_as is None}
    for statement in block.statements:
        for result in statement.results if isinstance(statement, Return) else ():
            yield result
            while isinstance(result, Variable) and result in names:
                result = names[result]
                yield result


def shifted_apart(steps: Mapping[Entry, int], machine: Machine) -> tuple[Counter[Entry], Counter[Entry]]:
    """The steps with shifts by whole words and by the rest apart, where a narrower type has room for what is
    left; and the moves that are not made between the two, which are one expression.
    """
    word = machine.habits.shifts_apart
    result: Counter[Entry] = Counter()
    between: Counter[Entry] = Counter()
    for entry, times in steps.items():
        far, near = divmod(entry.feature or 0, word)
        left = entry.width - far * word
        whole = min(entry.width, machine.word)
        if entry.kind in CONSTANT_SHIFTS and far and near and _type_bits(left, word) < whole:
            result[entry._replace(feature=far * word)] += times
            result[entry._replace(width=left, feature=near)] += times
            between[_move(left)] += times
        else:
            result[entry] += times
    return result, between


def _type_bits(width: int, word: int) -> int:
    """Bits of the narrowest type for a value, in C for words of so many bits."""
    return max(word, 1 << (width - 1).bit_length())


def _move(width: int) -> Entry:
    return Entry("move", "move", width)
