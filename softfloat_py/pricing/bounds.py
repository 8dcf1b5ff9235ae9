"""The least and the most that one call of an operation can take on a CPU, and what it takes as a rule.

The extremes come from the program itself: every way through it is followed, and stretches and sites add their
lowest or highest cycles. An estimate of any call lies between them, because

- the estimate of a call is the sum of the cycles of its stretches, as often as each ran, and of its sites,
  with the feature each met; nothing else goes into it but what surrounds a call, the same for all calls;
- a call takes one side of each `if`, and of the two sides the lower and the higher sum are kept;
- a loop makes its fixed number of rounds, each between the extremes of one round; one of variable length
  makes at least none, and at most as many as its counter's width allows;
- a program that is called takes what its own extremes are, each time it is called;
- a site meets a feature that widths allow, and all of these are priced.

Whether operands can go a way is not asked: two conditions that exclude each other may both count, and two
sites that always meet the same distance may count different ones. That makes the extremes wider than they
have to be, never narrower; of operations with a loop of variable length (the remainders) several times so.

These are extremes of estimates. They are no certified bound of the time of a program on a CPU.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

from softfloat_py.engines import plain
from softfloat_py.environment import Rounding, current
from softfloat_py.errors import ConventionError, FormatError
from softfloat_py.integer_form.counting import bill_of
from softfloat_py.integer_form.grammar import Block, Call, If, Loop, Program, Return, Step
from softfloat_py.number_systems import NumberSystem
from softfloat_py.options import Options
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.estimate import model_of
from softfloat_py.pricing.program_price import ProgramPrice, program_price
from softfloat_py.pricing.typical_operands import SAMPLES, typical_operands
from softfloat_py.routines.steps import Feature
from softfloat_py.uses import Use

# -- what users call -----------------------------------------------------------------------------------


def bounds(
    operation: str,
    fmt: NumberSystem,
    cpu: str | CostModel,
    *,
    compiler: str | None = None,
    options: Options | None = None,
    target: NumberSystem | None = None,
    width: int = 32,
    signed: bool = True,
) -> Bounds:
    """Best, typical and worst cycles of one call of an operation, by the standard's name, on a CPU.

    `compiler` names one of those that the CPU's model describes, and defaults to its first. `options` are
    those in force unless given. `target` is the format of the result of `convert_format`; `width` and
    `signed` say which integers a conversion is about. Raises UnknownNameError for an operation, a CPU or a
    compiler that there is not, OperandError for a missing target and for what is no cost model, FormatError
    for what is no format, ConventionError for what are no options.

    >>> from softfloat_py import binary32
    >>> bounds("negate", binary32, "cortex-m0plus").operation
    'negate'
    """
    if not isinstance(fmt, NumberSystem):
        raise FormatError(f"bounds of {operation} need a format, such as binary32, not {fmt!r}")
    options = current.get().options if options is None else options
    if not isinstance(options, Options):
        raise ConventionError(f"options must be an Options, not {options!r}")
    use = Use.named(operation, fmt, options, target=target, width=width, signed=signed)
    return Bounds(use, model_of(cpu, "a bound", compiler))


class Cycles(NamedTuple):
    """Cycles between two extremes, both included."""

    lowest: float
    highest: float


@dataclass(frozen=True, eq=False, repr=False)
class Bounds:
    """Cycles of one call on a CPU. `print` it, or show it in a notebook.

    `use` is the operation with its format and options.
    """

    use: Use
    cpu: CostModel

    @property
    def operation(self) -> str:
        """The operation, by the standard's name."""
        return self.use.operation.name

    @property
    def name(self) -> str:
        """The operation, the formats it is between, as reports name them."""
        operation, parameter = self.use.operation, self.use.parameter
        names = [self.use.format.name, *([] if parameter is None else [parameter.name])]
        if operation.operands == operation.integer_operands:
            names.reverse()
        return f"{operation.name} {' to '.join(names)}"

    @cached_property
    def estimated(self) -> Cycles:
        """The extremes of all estimates of a call, by the CPU's table alone."""
        return extremes(self._price, self.use.program)

    @property
    def compiled_ratios(self) -> tuple[float, float] | None:
        """The lowest and highest ratio of compiled code to estimates that the table has for single calls of
        such an operation: of elementary functions, or of all others.
        """
        return self.cpu.compiled_call_ratios(self.use.operation.name)

    @property
    def best(self) -> float:
        """The lowest estimate, times the lowest ratio of compiled code to estimates that the table has."""
        return self.estimated.lowest * (self.compiled_ratios or (1.0, 1.0))[0]

    @property
    def worst(self) -> float:
        """The highest estimate, times the highest ratio of compiled code to estimates that the table has."""
        return self.estimated.highest * (self.compiled_ratios or (1.0, 1.0))[1]

    @cached_property
    def typical(self) -> float:
        """The mean estimate of SAMPLES calls on random operands, the same each time; see `typical_operands`.

        Results are rounded ties to even.
        """
        compiled = plain.compiled(self.use.program)
        records = []
        for operands in typical_operands(self.use):
            delivered: Any = compiled.run(*self.use.arguments(operands, Rounding.TIES_TO_EVEN))
            records.append(delivered[-1])
        return self._price.total(compiled.usage(records)) / SAMPLES

    @property
    def _price(self) -> ProgramPrice:
        return program_price(self.cpu, self.use.program)

    def __repr__(self) -> str:
        cycles = f"{self.best:.0f} to {self.worst:.0f} cycles, typically {self.typical:.0f}"
        return f"<Bounds of {self.name} on {self.cpu.name}: {cycles}>"

    def __str__(self) -> str:
        from softfloat_py.views.bounds_table import text

        return text([self])

    def _repr_html_(self) -> str:
        from softfloat_py.views.bounds_table import html

        return html([self])


# -- the extremes --------------------------------------------------------------------------------------


def extremes(price: ProgramPrice, program: Program) -> Cycles:
    """The lowest and the highest cycles of a call, over all ways through a program."""
    ways = _Walk(price, program).block(program.body)
    ends = [cycles for cycles in (ways.through, ways.returned) if cycles is not None]
    lowest, highest = _either(ends)
    return Cycles(price.around_a_call + lowest, price.around_a_call + highest)


class _Ways(NamedTuple):
    """Cycles of the ways through a block: of those that leave it at its end, and of those that return inside.

    None where there are no such ways.
    """

    through: Cycles | None
    returned: Cycles | None


class _Walk:
    """A walk over all ways through a program."""

    def __init__(self, price: ProgramPrice, program: Program) -> None:
        self.callees = {callee: extremes(called, callee) for callee, called in price.callees.items()}
        sums = [sum(cycles.values()) for cycles in price.stretches]
        self.stretches = [Cycles(cycles, cycles) for cycles in sums]
        for number, site in enumerate(bill_of(program).sites):
            cycles = [sum(price.site(number, feature).values()) for feature in possible_features(site.step)]
            stretch = self.stretches[site.stretch]
            self.stretches[site.stretch] = _both(stretch, Cycles(min(cycles), max(cycles)))

    def block(self, block: Block) -> _Ways:
        """The ways through a block."""
        so_far = self.stretches[block.number]
        returned: list[Cycles] = []
        for statement in block.statements:
            match statement:
                case Return():
                    return _Ways(None, _either([*returned, so_far]))
                case Loop():
                    so_far = _both(so_far, self.loop(statement))
                case Call(callee=callee):
                    so_far = _both(so_far, self.callees[callee])
                case If():
                    sides = [self.block(statement.then), self.block(statement.otherwise)]
                    returned += [_both(so_far, side.returned) for side in sides if side.returned is not None]
                    through = [side.through for side in sides if side.through is not None]
                    if not through:
                        return _Ways(None, _either(returned))
                    so_far = _both(so_far, _either(through))
                    if statement.after is not None:
                        so_far = _both(so_far, self.stretches[statement.after])
        return _Ways(so_far, _either(returned) if returned else None)

    def loop(self, loop: Loop) -> Cycles:
        """All rounds of a loop, in which nothing returns."""
        one_round = self.block(loop.body).through
        assert one_round is not None
        if isinstance(loop.count, int):
            return Cycles(loop.count * one_round.lowest, loop.count * one_round.highest)
        return Cycles(0, (2**loop.count.width - 1) * one_round.highest)


def possible_features(step: Step) -> Sequence[int]:
    """The features that a site's step can meet, by the widths of its operands."""
    match step.kind.feature:
        case Feature.DISTANCE:
            # A distance must be less than the width of the result (`routines.steps`).
            return range(min(step.target.width, 2 ** step.operands[1].width))
        case Feature.SET_BITS:
            return range(step.operands[1].width + 1)
        case _:
            return range(step.operands[0].width + 1)


def _both(first: Cycles, second: Cycles) -> Cycles:
    """One after the other."""
    return Cycles(first.lowest + second.lowest, first.highest + second.highest)


def _either(ways: Sequence[Cycles]) -> Cycles:
    """One of several."""
    return Cycles(min(way.lowest for way in ways), max(way.highest for way in ways))
