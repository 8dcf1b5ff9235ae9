"""Adding steps to the form: widths from the rows, constants folded on the way.

Folding is what specialises a routine: an option or a rounding direction that is fixed arrives as a constant,
the comparison with it becomes a constant, and the `if` on that keeps one side.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from softfloat_py.integer_form.grammar import Block, Constant, Operand, Position, Statement, Step, Variable
from softfloat_py.routines.phases import WHOLE
from softfloat_py.routines.steps import STEPS, Feature, Immediate, StepKind, constant_width


class Fault(Exception):
    """Something in a routine that has no integer form; the reader adds where."""


class Noted(Fault):
    """A fault that is noted where it is; what only uses the faulty value has no fault of its own."""


def as_operand(value: object) -> Operand:
    """A variable or constant as it is, an int as a constant of as many bits as it needs."""
    if isinstance(value, Variable | Constant):
        return value
    if isinstance(value, int) and value >= 0:
        return Constant(int(value), constant_width(value))
    raise Fault(f"expected bits or a non-negative whole number, not {value!r}")


class Builder:
    """A form under construction: the open block, the current phase and place, a number for each variable.

    `filled` says, by number, how many bits values had that are in more by now.
    """

    def __init__(self, first_variable: int = 1) -> None:
        self.statements: list[Statement] = []
        self.phase = WHOLE
        self.position = Position("", 0, 0)
        self.filled: dict[int, int] = {}
        self._next_variable = first_variable

    def variable(self, name: str, width: int) -> Variable:
        """A new variable."""
        self._next_variable += 1
        return Variable(name, self._next_variable - 1, width)

    def emit(
        self, name: str, operands: Sequence[object], immediate: Immediate = 0, *, target: str = "t"
    ) -> Operand:
        """Add a step and give its result; no step is added where the result is known without one.

        Raises Fault where the kind's width rule does not admit the operands.
        """
        kind = STEPS[name]
        given = tuple(as_operand(operand) for operand in operands)
        widths = [operand.width for operand in given]
        width = kind.width(widths, immediate)
        if width < 1:
            raise Fault(f"{name} of {widths} bits must leave at least one bit, not {width}")
        if (known := _known_result(kind, given, widths, immediate, width)) is not None:
            return known
        if kind.name == "high_word" and self._filled(given[0]) <= immediate:
            return Constant(0, width)
        if (same := _same_value(kind, given)) is not None and same.width <= width:
            return self.emit("resize", [same], width)
        variable = self.variable(target, width)
        if kind.name == "resize":
            self.filled[variable.number] = min(self._filled(given[0]), width)
        self.statements.append(Step(variable, kind, given, immediate, self.phase, self.position))
        return variable

    def _filled(self, operand: Operand) -> int:
        """Bits of an operand above which it is zero for certain."""
        return (
            self.filled.get(operand.number, operand.width) if isinstance(operand, Variable) else operand.width
        )

    def rename_last(self, variable: Variable) -> None:
        """Let the last step's target have this name."""
        last = self.statements[-1]
        assert isinstance(last, Step)
        self.statements[-1] = replace(last, target=variable)

    def with_point(self, operand: Operand, places: int) -> Operand:
        """The result of the last step, or a constant, as a fixed-point number; no step is added."""
        if isinstance(operand, Constant):
            return operand
        last = self.statements[-1] if self.statements else None
        if not isinstance(last, Step) or last.target != operand:
            raise Fault("with_point must be given what was computed just then")
        pointed = replace(operand, point=places)
        self.rename_last(pointed)
        return pointed

    def block(self, fill: Callable[[], None]) -> Block:
        """The block that `fill` makes, in the current phase; the open block stays as it is."""
        outer, phase = self.statements, self.phase
        self.statements = []
        try:
            fill()
            return Block(0, tuple(self.statements))
        finally:
            self.statements, self.phase = outer, phase


def _known_result(
    kind: StepKind, operands: tuple[Operand, ...], widths: list[int], immediate: Immediate, width: int
) -> Operand | None:
    """The result where it needs no step: of constants, or by one of the identities below."""
    values = [operand.value for operand in operands if isinstance(operand, Constant)]
    if len(values) == len(operands):
        if not kind.condition(values, widths, immediate):
            raise Fault(f"{kind.condition_text}: {kind.name} of {values}, {immediate}")
        return Constant(kind.value(values, widths, immediate), width)
    if kind.name in _IDENTITIES:
        result = _IDENTITIES[kind.name](operands, width)
        if isinstance(result, int):
            return Constant(result, width)
        if result is not None and result.width == width:
            return result
    if kind.name == "look_up" and len(set(immediate.entries)) == 1:
        return Constant(immediate.entries[0], width)
    if kind.name == "resize" and widths[0] == immediate:
        return operands[0]
    if kind.feature is Feature.IMMEDIATE and immediate == 0:
        return operands[0]
    return None


def _same_value(kind: StepKind, operands: tuple[Operand, ...]) -> Operand | None:
    """The operand that a step would deliver unchanged, the others being zero; its width may differ.

    A word less nothing stays a step, as it is in a difference of several words, where all are counted alike.
    """
    if kind.modular and not kind.commutative:
        return None
    others = [
        place
        for place, operand in enumerate(operands)
        if not (isinstance(operand, Constant) and operand.value == 0)
    ]
    return operands[others[0]] if len(others) == 1 and others[0] in kind.kept_beside_zeros else None


def _constant_first(operands: tuple[Operand, ...]) -> tuple[Constant, Operand] | None:
    first, second = operands
    if isinstance(first, Constant):
        return first, second
    return (second, first) if isinstance(second, Constant) else None


def _known_and(operands: tuple[Operand, ...], width: int) -> Operand | int | None:
    if (pair := _constant_first(operands)) is None:
        return None
    constant, other = pair
    if constant.value == 0:
        return 0
    return other if constant.value == (1 << other.width) - 1 else None


def _known_or(operands: tuple[Operand, ...], width: int) -> Operand | int | None:
    if (pair := _constant_first(operands)) is None:
        return None
    constant = pair[0]
    if constant.value == (1 << width) - 1:
        return constant.value
    return None


def _known_select(operands: tuple[Operand, ...], width: int) -> Operand | int | None:
    condition, if_true, if_false = operands
    if if_true == if_false:
        return if_true
    if isinstance(condition, Constant):
        chosen = if_true if condition.value else if_false
        return chosen.value if isinstance(chosen, Constant) else chosen
    return None


def _known_less(operands: tuple[Operand, ...], width: int) -> Operand | int | None:
    first, second = operands
    nothing_is_less = isinstance(second, Constant) and second.value == 0
    return 0 if first == second or nothing_is_less else None


_IDENTITIES: dict[str, Callable[[tuple[Operand, ...], int], Operand | int | None]] = {
    "and": _known_and,
    "less": _known_less,
    "or": _known_or,
    "select": _known_select,
}
