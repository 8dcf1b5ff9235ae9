"""A program in the steps that C has: no value wider than a C type, no count of leading zeros, no product of
factors wider than the target multiplies.

Values of several words come from `lowering.program`. What is left after it is expanded here by the same
routines that price those steps, and products by one more.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any

from softfloat_py.engines.c_ranges import RENAMING, Ranges
from softfloat_py.engines.c_target import Target
from softfloat_py.integer_form.builder import Builder
from softfloat_py.integer_form.grammar import (
    Block,
    Carried,
    Constant,
    If,
    Join,
    Loop,
    Note,
    Operand,
    Program,
    Return,
    Statement,
    Step,
    Variable,
)
from softfloat_py.integer_form.reader import write_out
from softfloat_py.integer_form.specialising import useful_part
from softfloat_py.lowering.expansions import expand
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.program import in_words
from softfloat_py.routines.language import (
    Bits,
    Routine,
    add_modulo,
    constant,
    field,
    resize,
    shift_left,
    subtract_modulo,
    unrolled,
)


def in_c_steps(program: Program, target: Target) -> Program:
    """The program in steps that C has; parameters and results in words of the widest type, lowest first."""
    if target.narrow:
        program = replace(program, body=_Picking(program, target).block(program.body))
    words = _in_words(program, target.machine)
    for _ in range(2):  # what is expanded brings carries and constants of its own
        words = replace(words, body=_Rewriting(words, target).block(words.body))
    return replace(words, body=useful_part(words.body))


@lru_cache
def _in_words(program: Program, machine: Machine) -> Program:
    return in_words(program, machine)  # the same for several targets


def product_of_digits(x: Bits, y: Bits, digit: int) -> Bits:
    """x × y from products of `digit` bits, one row for each digit of y: multiplication by hand.

    Twice a digit holds every sum: (2^d - 1)² + 2 (2^d - 1) < 2^2d.
    """
    first, second = cut_into_digits(x, digit), cut_into_digits(y, digit)
    result: tuple[Bits, ...] = ()
    for row in unrolled(len(second)):
        carried = constant(0, 1)
        for index in unrolled(len(first)):
            total = add_modulo(first[index] * second[row], carried, 2 * digit)
            if row + index < len(result):
                total = add_modulo(total, result[row + index], 2 * digit)
            result = (*result[: row + index], field(total, 0, digit), *result[row + index + 1 :])
            carried = total >> digit
        result = (*result, carried)
    return joined(result, digit, x.width + y.width)


def joined(digits: tuple[Bits, ...], digit: int, width: int) -> Bits:
    """The number of these digits, `width` bits."""
    total = constant(0, width)
    for index in unrolled(len(digits)):
        total = resize(total | resize(digits[index] << (index * digit), width), width)
    return total


def cut_into_digits(x: Bits, digit: int) -> tuple[Bits, ...]:
    """x in digits, lowest first."""
    result: tuple[Bits, ...] = ()
    for low in unrolled(0, x.width, digit):
        result = (*result, resize(field(x, low, min(digit, x.width - low)), min(digit, x.width - low)))
    return result


def shift_right_by_words(x: Bits, distance: Bits, word: int) -> Bits:
    """x >> distance, whole words first: where a CPU shifts one place at a time, they are but moves."""
    for _ in unrolled((x.width - 1) // word):
        if distance >= word:
            x = resize(x >> word, x.width)
            distance = distance - word
    return x >> resize(distance, (word - 1).bit_length())


def shift_left_by_words(x: Bits, distance: Bits, width: int, word: int) -> Bits:
    """x << distance, which `width` bits hold, whole words first."""
    if x.width < width:
        x = resize(x, width)
    for _ in unrolled((width - 1) // word):
        if distance >= word:
            x = resize(x << word, width)
            distance = distance - word
    return shift_left(x, resize(distance, (word - 1).bit_length()), width)


def counted_up(x: Bits, carry: Bits, word: int) -> Bits:
    """x + carry in a word, wrapping around."""
    if carry:
        x = add_modulo(x, 1, word)
    return x


def counted_down(x: Bits, carry: Bits, word: int) -> Bits:
    """x - carry in a word, wrapping around."""
    if carry:
        x = subtract_modulo(x, 1, word)
    return x


def bits_of_word(x: Bits, low: int, width: int, place: int, mask: Bits) -> Bits:
    """Some bits of the word of x that begins at a place."""
    return (field(x, low, width) >> place) & mask


# Steps that take in a carry, done by a branch.
BY_BRANCH: dict[str, Routine] = {
    "add": counted_up,
    "add_modulo": counted_up,
    "subtract_modulo": counted_down,
}


class _Rewriting:
    """Walks over a program in words, expands steps that C has not and leaves out those that do nothing."""

    def __init__(self, program: Program, target: Target) -> None:
        self.target = target
        self.builder = Builder(first_variable=program.highest_number + 1)
        self.renamed: dict[Variable, Operand] = {}
        self.ranges = Ranges(target.widest)
        self.orders: set[Operand] = set()  # outcomes of comparisons for order

    def of(self, operand: Operand) -> Operand:
        return self.renamed.get(operand, operand) if isinstance(operand, Variable) else operand

    def block(self, block: Block) -> Block:
        return replace(self.builder.block(lambda: self.statements(block)), number=block.number)

    def statements(self, block: Block) -> None:
        for statement in block.statements:
            self.statement(statement)
            if Block(0, tuple(self.builder.statements[-1:])).returns:
                return  # what follows was for a side that is never taken

    def statement(self, statement: Statement) -> None:
        match statement:
            case Step():
                self.step(replace(statement, operands=tuple(self.of(o) for o in statement.operands)))
            case Return():
                results = tuple(self.of(result) for result in statement.results)
                self.builder.statements.append(replace(statement, results=results))
            case If():
                self.branch(statement)
            case Loop():
                self.builder.statements.append(self.loop(statement))
            case Note():
                pass  # nothing is counted in C

    # -- control flow ------------------------------------------------------------------------------

    def branch(self, statement: If) -> None:
        condition = self.of(statement.condition)
        if isinstance(condition, Constant):
            self.decided_branch(statement, bool(condition.value))
            return
        then, otherwise = self.block(statement.then), self.block(statement.otherwise)
        joins = tuple(self.join(join) for join in statement.joins)
        self.builder.statements.append(
            replace(statement, condition=condition, then=then, otherwise=otherwise, joins=joins)
        )

    def decided_branch(self, statement: If, holds: bool) -> None:
        """Only the side that is taken."""
        self.statements(statement.then if holds else statement.otherwise)
        for join in statement.joins:
            taken = join.if_true if holds else join.if_false
            if taken is not None:
                self.renamed[join.target] = self.of(taken)

    def join(self, join: Join) -> Join:
        sides = [None if side is None else self.of(side) for side in (join.if_true, join.if_false)]
        self.ranges.note(join.target, self.ranges.joined(sides))
        return Join(join.target, *sides)

    def loop(self, statement: Loop) -> Loop:
        body = self.block(statement.body)
        carried = tuple(
            Carried(item.variable, self.of(item.initial), self.of(item.following))
            for item in statement.carried
        )
        count = statement.count if isinstance(statement.count, int) else self.of(statement.count)
        rounds = count.value if isinstance(count, Constant) else count
        return replace(statement, count=rounds, body=body, carried=carried)

    # -- steps -------------------------------------------------------------------------------------

    def step(self, step: Step) -> None:
        """Add a step, or what stands for it."""
        self.builder.phase, self.builder.position = step.phase, step.position
        kind = step.kind.name
        if self.target.narrow and kind in BY_BRANCH and self.takes_carry(step):
            self.keep(step.target, self.by_branch(step))
        elif kind == "count_leading_zeros":
            self.keep(step.target, self.expanded(step))
        elif kind == "multiply" and self.is_too_wide(step):
            self.keep(step.target, self.product(step))
        elif kind.endswith("_variable") and self.is_far(step):
            self.keep(step.target, self.shifted_by_words(step))
        elif (equivalent := self.ranges.equivalent(step)) is not None:
            self.keep(step.target, equivalent)
        else:
            self.emit(step)

    def emit(self, step: Step) -> None:
        """Add a step, folded if what it needs has become constant."""
        result = self.builder.emit(step.kind.name, step.operands, step.immediate, target=step.target.name)
        self.ranges.note(result, self.ranges.result(step))
        if step.kind.name in RENAMING and isinstance(result, Variable):
            self.ranges.origins[result] = step.operands[0]
        self.renamed[step.target] = result
        if step.kind.name in ("less", "less_or_equal"):
            self.orders.add(result)

    def keep(self, target: Variable, result: Operand) -> None:
        """Let a result stand for a variable, in the variable's width."""
        if result.width != target.width:
            fitted = self.builder.emit("resize", [result], target.width)
            self.ranges.note(fitted, self.ranges.bound(result))
            if isinstance(fitted, Variable):
                self.ranges.origins[fitted] = result
            result = fitted
        self.renamed[target] = result

    def takes_carry(self, step: Step) -> bool:
        """Whether a step on a whole word takes in what another word has left over."""
        return step.target.width >= self.target.widest and step.operands[1] in self.orders

    def by_branch(self, step: Step) -> Operand:
        """A step that takes in a carry, where a branch that asks for it is cheaper."""
        x, carry = step.operands
        arguments = {"x": x, "carry": carry, "word": self.target.widest}
        return self.written_out(BY_BRANCH[step.kind.name], arguments)

    def is_too_wide(self, step: Step) -> bool:
        return max(operand.width for operand in step.operands) > self.target.multiplier

    def expanded(self, step: Step) -> Operand:
        """A step by the routine that prices it."""
        words = [(operand,) for operand in step.operands]
        width, machine = step.target.width, self.target.machine
        return expand(self.builder, step.kind.name, words, step.immediate, width, machine)[0]

    def is_far(self, step: Step) -> bool:
        """Whether a shift may be by more than a byte, on a CPU that shifts by one place at a time."""
        distance = step.operands[1]
        words = self.target.word == 8 and step.target.width > self.target.word
        return (
            words and isinstance(distance, Variable) and distance.width > (self.target.word - 1).bit_length()
        )

    def shifted_by_words(self, step: Step) -> Operand:
        """A shift by a variable distance, whole words of the CPU first."""
        x, distance = step.operands
        arguments = {"x": x, "distance": distance, "word": self.target.word}
        if step.kind.name == "shift_right_variable":
            return self.written_out(shift_right_by_words, arguments)
        return self.written_out(shift_left_by_words, {**arguments, "width": step.target.width})

    def written_out(self, routine: Routine, arguments: dict[str, Any]) -> Operand:
        """The steps of a routine, added here, and its value."""
        result = write_out(self.builder, routine, arguments)
        assert isinstance(result, (Variable, Constant))
        return result

    def product(self, step: Step) -> Operand:
        """A product of factors that are too wide, no wider than the widest type itself."""
        if self.target.multiplier == 0:
            return self.expanded(step)
        x, y = step.operands
        return self.written_out(product_of_digits, {"x": x, "y": y, "digit": self.target.multiplier})


class _Picking(_Rewriting):
    """Walks over a program of any width, cuts wide products into narrow ones, and takes bits picked out of a
    wide value from their own word.
    """

    def __init__(self, program: Program, target: Target) -> None:
        super().__init__(program, target)
        self.shifts: dict[Operand, Step] = {}

    def step(self, step: Step) -> None:
        self.builder.phase, self.builder.position = step.phase, step.position
        if step.kind.name == "multiply" and self.target.multiplier and self.is_too_wide(step):
            self.keep(step.target, self.product(step))
            return
        picked = self.picked(step) if step.kind.name == "and" else None
        if picked is not None:
            self.keep(step.target, picked)
            return
        self.emit(step)
        if step.kind.name == "shift_right" and step.operands[0].width > self.target.widest:
            self.shifts[self.renamed[step.target]] = step

    def picked(self, step: Step) -> Operand | None:
        """The bits that a mask leaves of a wide value shifted right, if one word holds them."""
        shifted, mask = step.operands
        shift = self.shifts.get(shifted)
        if shift is None or not isinstance(mask, Constant):
            return None
        word, place = divmod(shift.immediate, self.target.widest)
        if place + mask.value.bit_length() > self.target.widest:
            return None
        wide, low = shift.operands[0], word * self.target.widest
        width = min(self.target.widest, wide.width - low)
        arguments = {"x": wide, "low": low, "width": width, "place": place, "mask": mask}
        return self.written_out(bits_of_word, arguments)
