"""What stands around the steps of a program on a CPU, as far as the program itself tells.

`rules` has what compiled code does about it, `live_words` how much of it there is.
"""

from __future__ import annotations

from softfloat_py.integer_form.grammar import Program, Step, Variable
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import count_words
from softfloat_py.pricing.compiler import Compiler
from softfloat_py.pricing.live_words import deciding_values, live_words
from softfloat_py.pricing.native_steps import is_native, shape_of
from softfloat_py.pricing.registers import ExtraMoves, Registers
from softfloat_py.pricing.rules import is_copied, shares_beyond, words_written
from softfloat_py.pricing.wide_steps import StepSite, extra_moves_inside, most_words_inside


class Context:
    """The surroundings of a program's steps on a CPU: `live` words at each, and the most of them at once."""

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
        self.deciding = deciding_values(program)
        self.live = live_words(program, machine.word, compiler)
        peaks = (self._peak(step) for step in program.body.all_steps())
        self.most_words = max([self.live.of_parameters, *peaks])

    def extra_moves(self, step: Step, feature: int | None) -> ExtraMoves:
        """What is moved for a step that meets a feature, besides its own work."""
        shape = shape_of(step, self.program)
        site = self._site(step)
        copied = self._copied(step)
        if is_native(shape, self.machine):
            live = max(self.live.at[step], site.loop_words)
            shares = shares_beyond(self.registers, live)
            touched = _words_touched(step, self.machine.word)
            return ExtraMoves(copied, shares.parked * touched, shares.spilled * touched)
        inside = extra_moves_inside(
            shape, feature, self.machine, self.registers, self.overwrites, site, self.compiler
        )
        return inside._replace(copied=inside.copied + copied)

    def is_kept_as_number(self, step: Step) -> bool:
        """Whether the outcome of a comparison is used otherwise than to decide."""
        return step.kind.counted_as == "compare" and step.target not in self.deciding

    def _site(self, step: Step) -> StepSite:
        live = self.live
        return StepSite(live.outside[step], live.needed_later[step], live.in_loop[step])

    def _peak(self, step: Step) -> int:
        """The live words at a step, with those that its expansion needs at the most."""
        at = self.live.at[step]
        shape = shape_of(step, self.program)
        if step.kind.counted_as is None or is_native(shape, self.machine):
            return at
        inside = most_words_inside(shape, self.machine, self.live.needed_later[step])
        return max(at, self.live.outside[step] + inside)

    def _copied(self, step: Step) -> int:
        """Words of a first operand that is copied before it is overwritten."""
        kind = step.kind.counted_as
        if kind not in self.overwrites or not is_copied(kind, self.live.needed_later[step]):
            return 0
        return count_words(step.operands[0].width, self.machine.word)


def _words_touched(step: Step, word: int) -> int:
    """Words that a native step reads and writes."""
    return sum(isinstance(o, Variable) for o in step.operands) + words_written(step, word)
