"""What stands around the steps of a program on a CPU, as far as the program itself tells.

`rules` has what compiled code does about it, `live_words` how much of it there is.
"""

from __future__ import annotations

from functools import cached_property

from softfloat_py.integer_form.grammar import Program, Step, Variable
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import count_words
from softfloat_py.pricing.compiler import Compiler
from softfloat_py.pricing.decisions import decisions_of
from softfloat_py.pricing.instructions import together_in
from softfloat_py.pricing.live_words import live_words
from softfloat_py.pricing.native_steps import native_among, shape_of
from softfloat_py.pricing.registers import ExtraMoves, Registers
from softfloat_py.pricing.rules import is_copied, shares_beyond, words_written
from softfloat_py.pricing.staying import staying_values
from softfloat_py.pricing.wide_steps import StepSite, extra_moves_inside, most_words_inside
from softfloat_py.pricing.wraps import wraps_of


class Context:
    """The surroundings of a program's steps on a CPU: `live` words at each."""

    def __init__(
        self,
        program: Program,
        machine: Machine,
        registers: Registers,
        overwrites: tuple[str, ...],
        compiler: Compiler,
    ) -> None:
        self.program = program
        self.machine = machine
        self.registers = registers
        self.overwrites = overwrites
        self.compiler = compiler
        self.decisions = decisions_of(program)
        self.live = live_words(program, machine.word, compiler)
        self.native = native_among(program, machine)
        self.staying = staying_values(program, self.native)
        self.together = together_in(program, machine, self.native)
        self.wraps = wraps_of(program, machine.word, compiler.types)

    def extra_moves(self, step: Step, feature: int | None, machine: Machine) -> ExtraMoves:
        """What is moved for a step that meets a feature, besides its own work; done on this machine."""
        copied = self._copied(step)
        if step in self.native:
            return ExtraMoves(copied, *self._moved(step))
        live = self.live
        staying = live.words_of(self.staying.get(step, frozenset()))
        site = StepSite(live.outside[step], live.needed_later[step], live.in_loop[step], staying)
        inside = extra_moves_inside(
            shape_of(step, self.program, machine.word),
            feature,
            machine,
            self.registers,
            self.overwrites,
            site,
            self.compiler,
        )
        return inside._replace(copied=inside.copied + copied)

    def is_kept_as_number(self, step: Step) -> bool:
        """Whether the outcome of a comparison is used otherwise than to decide."""
        return step.kind.counted_as == "compare" and step.target not in self.decisions.deciding

    @cached_property
    def most_words(self) -> int:
        """The most words at once, with those that expansions need, as far as there are registers for them."""
        live = self.live
        most = max([live.of_parameters, *live.at.values(), *live.at_calls.values()])
        wide = (step for step in live.at if step.kind.counted_as is not None and step not in self.native)
        for step in sorted(wide, key=lambda step: -live.outside[step]):
            if most >= self.registers.working:
                break
            inside = most_words_inside(
                shape_of(step, self.program, self.machine.word), self.machine, live.needed_later[step]
            )
            most = max(most, live.outside[step] + inside)
        return min(most, self.registers.working)

    def _moved(self, step: Step) -> tuple[float, float]:
        """Words of a native step's operands and result that are parked, and that are spilled."""
        live = max(self.live.at[step], self.live.in_loop[step])
        if live <= self.registers.working:
            return 0.0, 0.0
        shares = shares_beyond(self.registers, live)
        touched = sum(isinstance(o, Variable) for o in step.operands) + words_written(step, self.machine.word)
        return shares.parked * touched, shares.spilled * touched

    def _copied(self, step: Step) -> int:
        """Words of a first operand that is copied before it is overwritten."""
        if step.kind.counted_as not in self.overwrites:
            return 0
        if not is_copied(step.kind, self.live.needed_later[step]):
            return 0
        return count_words(shape_of(step, self.program, self.machine.word).widths[0], self.machine.word)
