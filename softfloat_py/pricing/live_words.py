"""How many words of a CPU a program needs at once, step by step.

- A value takes the words of the type that holds those of its bits that anyone looks at; what only decides is
  in the flags.
- A step needs its operands and what comes after it needs; its result may take the place of an operand that
  nothing needs later.
- What a loop does not touch is put away before it and takes no register there. Each loop around a step has a
  counter, of one word.
"""

from __future__ import annotations

from softfloat_py.integer_form.grammar import (
    Call,
    Loop,
    Program,
    Step,
    Variable,
    assigned_by,
    used_by,
)
from softfloat_py.integer_form.liveness import Liveness, Values, liveness_of
from softfloat_py.integer_form.needed_bits import needed_bits
from softfloat_py.integer_form.walking import visits
from softfloat_py.keeping import kept
from softfloat_py.pricing.compiler import Compiler
from softfloat_py.pricing.decisions import decisions_of
from softfloat_py.pricing.rules import words_of_value


class LiveWords:
    """The live words of a program, by step: `at` are those needed while a step is done, `outside` those of
    them that are neither its result nor operands that nothing needs later, `in_loop` the most that the loop
    around it needs, 0 where there is none; `needed_later` says so of each operand. Of a call, `at_calls` are
    those needed while it begins or ends, `across` what was there before it and is needed after it.
    """

    def __init__(self, program: Program, word: int, compiler: Compiler) -> None:
        self.word = word
        self.compiler = compiler
        self._words: dict[Variable, int] = dict.fromkeys(decisions_of(program).deciding, 0)
        self._needed_bits = needed_bits(program)
        self._liveness = liveness_of(program)
        self._loops = _Loops(program, self._liveness)
        self.of_parameters = self.words_of(frozenset(program.parameters))
        self.at: dict[Step, int] = {}
        self.outside: dict[Step, int] = {}
        self.needed_later: dict[Step, tuple[bool, ...]] = {}
        for step in program.body.all_steps():
            self._note(step)
        self.at_calls: dict[Call, int] = {}
        self.across: dict[Call, int] = {}
        for call in program.body.all_calls():
            self._note_call(call)
        most = self._most_in_loops()
        self.in_loop = {step: most.get(self._loops.innermost.get(step), 0) for step in self.at}

    def _note(self, step: Step) -> None:
        after = self._liveness.after[id(step)]
        outside = self._at(step, after - {step.target})
        before = self._at(step, after - {step.target} | self._liveness.values_of(step.operands))
        self.at[step] = max(before, self._at(step, after))
        self.outside[step] = outside
        self.needed_later[step] = tuple(
            self._liveness.is_needed_after(step, operand) for operand in step.operands
        )

    def _note_call(self, call: Call) -> None:
        after = self._liveness.after[id(call)]
        across = after - set(call.targets)
        self.across[call] = self.words_of(across)
        self.at_calls[call] = max(
            self.words_of(across | self._liveness.values_of(call.operands)), self.words_of(after)
        )

    def _most_in_loops(self) -> dict[Loop | None, int]:
        """The most words that the counted steps of each loop need."""
        most: dict[Loop | None, int] = {}
        for step, loop in self._loops.innermost.items():
            if step.kind.counted_as is not None:
                most[loop] = max(most.get(loop, 0), self.at[step])
        return most

    def _at(self, step: Step, needed: Values) -> int:
        """Words of what is needed at a step, as far as the loop around it works on it, and of the counters of
        loops.
        """
        return self.words_of(self._loops.values_at(step, needed)) + self._loops.counters_at(step)

    def words_of(self, values: Values) -> int:
        """The words that values take."""
        words = self._words
        for value in values:
            if value not in words:
                needed = self._needed_bits.get(value, value.width)
                words[value] = words_of_value(needed, self.word, self.compiler)
        return sum(words[value] for value in values)


@kept
def live_words(program: Program, word: int, compiler: Compiler) -> LiveWords:
    """The live words of a program on a CPU with words of so many bits."""
    return LiveWords(program, word, compiler)


class _Loops:
    """For each step in a loop: what the loop works on, how many loops count rounds there, the innermost."""

    def __init__(self, program: Program, liveness: Liveness) -> None:
        self.liveness = liveness
        self.worked_on: dict[Step, Values] = {}
        self.counters: dict[Step, int] = {}
        self.innermost: dict[Step, Loop] = {}
        worked_on = {loop: self._touched(loop) for loop in program.body.all_loops()}
        for step, _, loops in visits(program.body):
            if isinstance(step, Step) and loops:
                self.worked_on[step] = worked_on[loops[-1]]
                self.counters[step] = len(loops)
                self.innermost[step] = loops[-1]

    def values_at(self, step: Step, needed: Values) -> Values:
        """Those values needed at a step that are not put away before the loop around it."""
        return needed & self.worked_on[step] if step in self.worked_on else needed

    def counters_at(self, step: Step) -> int:
        """The words of the counters of the loops around a step."""
        return self.counters.get(step, 0)

    def _touched(self, loop: Loop) -> Values:
        statements = [loop, *loop.body.all_statements()]
        counts = {statement.count for statement in statements if isinstance(statement, Loop)}
        used = (operand for statement in statements for operand in used_by(statement))
        made = (variable for statement in statements for variable in assigned_by(statement))
        return self.liveness.values_of(o for o in used if o not in counts) | self.liveness.values_of(made)
