"""The largest values that variables can take, and what follows from them: masks that lose nothing,
comparisons that have but one outcome. Steps in words are full of both, and a compiler warns of the latter.
"""

from __future__ import annotations

from collections.abc import Iterable

from softfloat_py.integer_form.grammar import Constant, Operand, Step, Variable


class Ranges:
    """Upper bounds of the variables noted so far; any other may be as large as its width allows. What is
    wider than `widest` C lets wrap around.
    """

    def __init__(self, widest: int) -> None:
        self.widest = widest
        self.largest: dict[Variable, int] = {}
        self.origins: dict[Variable, Operand] = {}  # of what has only been given another width

    def bound(self, operand: Operand) -> int:
        """Upper bound of an operand."""
        if isinstance(operand, Constant):
            return operand.value
        return self.largest.get(operand, (1 << operand.width) - 1)

    def origin(self, operand: Operand) -> Operand:
        """What an operand was before it was given its width."""
        while isinstance(operand, Variable) and operand in self.origins:
            operand = self.origins[operand]
        return operand

    def note(self, target: Operand, bound: int) -> None:
        """Note the bound of what has been computed."""
        if isinstance(target, Variable):
            self.largest[target] = min(bound, (1 << target.width) - 1)

    def joined(self, operands: Iterable[Operand | None]) -> int:
        """Upper bound of what is one of these operands."""
        return max(self.bound(operand) for operand in operands if operand is not None)

    def result(self, step: Step) -> int:
        """Upper bound of what a step delivers."""
        values = [self.bound(operand) for operand in step.operands]
        rule = step.kind.largest
        return (1 << step.target.width) - 1 if rule is None else rule(values, step.immediate)

    def equivalent(self, step: Step) -> Operand | None:
        """A constant or an operand that a step delivers for certain, maybe in another width."""
        first = step.operands[0]
        match step.kind.name:
            case "low_word" if first.width <= self.widest and self.bound(first) >> step.immediate == 0:
                return first
            case "shift_right" if self.bound(first) >> step.immediate == 0:
                return Constant(0, 1)
            case "less" | "less_or_equal" | "equal" | "not_equal":
                outcome = self.outcome(step)
                return None if outcome is None else Constant(int(outcome), 1)
        return None

    def outcome(self, step: Step) -> bool | None:
        """The only outcome that a comparison can have, if there is but one."""
        first, second = step.operands
        if self.origin(first) == self.origin(second):
            return step.kind.name in ("less_or_equal", "equal")
        always_less = isinstance(second, Constant) and self.bound(first) < second.value
        always_more = isinstance(first, Constant) and self.bound(second) < first.value
        never_less = isinstance(second, Constant) and second.value == 0
        never_more = isinstance(first, Constant) and first.value == 0
        match step.kind.name:
            case "less":
                return True if always_less else False if always_more or never_less else None
            case "less_or_equal":
                return True if always_less or never_more else False if always_more else None
            case "equal":
                return False if always_less or always_more else None
            case _:
                return True if always_less or always_more else None
