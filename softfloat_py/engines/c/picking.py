"""A program of any width made ready for C on a CPU whose words are narrower than C's widest type.

Compilers for such CPUs work on the whole of a wide value where a part of it is asked for. So wide products
are cut into narrow ones, bits picked out of a wide value come from their own word, and a factor that comes
out of an `if` comes out of it in digits.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from softfloat_py.engines.c.rewriting import InC
from softfloat_py.engines.c.routines import bits_of_value, bits_of_word
from softfloat_py.engines.c.target import Target
from softfloat_py.engines.text import operands_of
from softfloat_py.integer_form.grammar import Block, Constant, If, Join, Operand, Program, Step, Variable

Digits = tuple[Operand, ...]


class Picking(InC):
    """Walks over the program."""

    def __init__(self, program: Program, target: Target) -> None:
        super().__init__(program, target)
        self.shifts: dict[Operand, Step] = {}
        self.factors = self._factors(program) if target.multiplier else frozenset[Operand]()
        self.digits: dict[Operand, Digits] = {}

    def _factors(self, program: Program) -> frozenset[Operand]:
        """What is nothing but a factor of products that are too wide."""
        products = [s for s in program.body.all_steps() if s.kind.name == "multiply" and self.is_too_wide(s)]
        factors = Counter(operand for product in products for operand in product.operands)
        used = Counter(operand for block in program.body.walk() for operand in operands_of(block))
        return frozenset(operand for operand, times in factors.items() if used[operand] == times)

    # -- factors -----------------------------------------------------------------------------------

    def sides(self, statement: If) -> tuple[Block, Block, list[Join]]:
        """Both sides of an `if`, and what comes out of them, factors in digits."""
        wide = [join for join in statement.joins if join.target in self.factors]
        then, if_true = self.side(statement.then, [join.if_true for join in wide])
        otherwise, if_false = self.side(statement.otherwise, [join.if_false for join in wide])
        joins = [one for join in statement.joins if join not in wide for one in self.join(join)]
        for join, *digits in zip(wide, if_true, if_false, strict=True):
            joins += self.join_digits(join.target, *digits)
        return then, otherwise, joins

    def side(self, block: Block, factors: Iterable[Operand | None]) -> tuple[Block, list[Digits | None]]:
        """A side of an `if`, and factors in digits at its end; None for what never arrives there."""
        digits: list[Digits | None] = []

        def fill() -> None:
            self.statements(block)
            digits.extend(None if one is None else self.digits_of(self.of(one)) for one in factors)

        return replace(self.builder.block(fill), number=block.number), digits

    def join_digits(self, target: Variable, if_true: Digits | None, if_false: Digits | None) -> list[Join]:
        """The digits of a factor, whichever side they come from."""
        known = if_true or if_false
        assert known is not None
        variables = tuple(self.builder.variable(target.name, digit.width) for digit in known)
        self.digits[target] = variables
        missing = [None] * len(variables)
        sides = zip(variables, if_true or missing, if_false or missing, strict=True)
        return [Join(*parts) for parts in sides]

    def digits_of(self, operand: Operand) -> Digits:
        """An operand in digits; those of a factor are known already."""
        return self.digits[operand] if operand in self.digits else super().digits_of(operand)

    # -- steps -------------------------------------------------------------------------------------

    def renamed_step(self, step: Step) -> None:
        """Add a step, or what stands for it."""
        if step.kind.name == "multiply" and self.target.multiplier and self.is_too_wide(step):
            self.keep(step.target, self.product(step))
            return
        picked = self.picked(step) if step.kind.name == "and" else None
        if picked is not None:
            self.keep(step.target, picked)
            return
        self.emit(step)
        if step.kind.name == "shift_right" and step.operands[0].width > self.target.word:
            self.shifts[self.of(step.target)] = step

    def picked(self, step: Step) -> Operand | None:
        """The bits that a mask leaves of a wide value shifted right, if one word holds them.

        Of the CPU's own words, the lowest is masked first, which leaves no more than that to shift.
        """
        shifted, mask = step.operands
        shift = self.shifts.get(shifted)
        if shift is None or not isinstance(mask, Constant):
            return None
        wide = shift.operands[0]
        if shift.immediate + mask.value.bit_length() <= self.target.word:
            return self.written_out(bits_of_value, {"x": wide, "place": shift.immediate, "mask": mask})
        word, place = divmod(shift.immediate, self.target.widest)
        if wide.width <= self.target.widest or place + mask.value.bit_length() > self.target.widest:
            return None
        low = word * self.target.widest
        width = min(self.target.widest, wide.width - low)
        arguments = {"x": wide, "low": low, "width": width, "place": place, "mask": mask}
        return self.written_out(bits_of_word, arguments)
