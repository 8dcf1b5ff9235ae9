"""Writes a function: its parameters brought into the variables of its program, its results given away."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from softfloat_py.engines.c.passing import Passed, Passing
from softfloat_py.engines.c.spellings import Term, bare, cast
from softfloat_py.engines.c.surroundings import DIRECTION, FLAGS, Surroundings
from softfloat_py.engines.c.writer import INDENT, Lines, Names, Writer
from softfloat_py.engines.signature import RESULTS, Meaning
from softfloat_py.integer_form.grammar import Constant, Operand, Program, Return, Variable
from softfloat_py.lowering.words import count_words


class Definition(Writer):
    """One function."""

    def __init__(
        self, program: Program, passing: Passing, surroundings: Surroundings, outside: Names
    ) -> None:
        super().__init__(program, surroundings.target, outside)
        self.passing = passing
        self.surroundings = surroundings

    def lines(self, name: str, before: str) -> Lines:
        """The whole function, with what stands before its type."""
        body = [INDENT + line for line in self.body()]
        return [f"{before}{self.passing.declaration(name)}", "{", *body, "}"]

    def words(
        self, values: Iterable[Passed], available: Sequence[Operand]
    ) -> Iterator[tuple[Passed, Sequence[Operand]]]:
        """The values, each with its words of what is available."""
        start = 0
        for passed in values:
            count = count_words(passed.value.width, self.target.widest)
            yield passed, available[start : start + count]
            start += count

    # -- parameters --------------------------------------------------------------------------------

    def parameters(self) -> None:
        """Bring operands and rounding direction into variables of the program."""
        self.names.update(RESULTS, (operand.name for operand in self.passing.operands))
        if self.surroundings.reentrant:
            self.names.update((DIRECTION, FLAGS))
        for operand, words in self.words(self.passing.operands, self.program.operands):
            self.operand(operand, words)
        for direction in self.program.uniform:
            self.direction(direction)
        if self.surroundings.reentrant and self.program.keeps_flags and not self.raises_flags():
            self.scope.lines.append(f"(void){FLAGS};")

    def direction(self, direction: Variable) -> None:
        """Bring the rounding direction into a variable; a parameter of its type is one already."""
        if direction in self.plan.used:
            if self.surroundings.reentrant and self.bits_of(direction) == self.surroundings.bits:
                self.terms[direction] = Term(DIRECTION, self.surroundings.bits)
            else:
                self.declare(direction, self.surroundings.direction)
        elif self.surroundings.reentrant:
            self.scope.lines.append(f"(void){DIRECTION};")

    def operand(self, operand: Passed, words: Sequence[Operand]) -> None:
        """Bring one operand into variables; what is one already stays where it is."""
        if not any(word in self.plan.used for word in words):
            self.scope.lines.append(f"(void){operand.name};")
        for index, word in enumerate(words):
            assert isinstance(word, Variable)
            own = self.bits_of(word)
            if operand.value.meaning is not Meaning.SIGNED and operand.bits == own:
                self.terms[word] = Term(operand.name, own)
            elif word in self.plan.used:
                self.declare(word, word_text(operand, index, own))

    # -- results -----------------------------------------------------------------------------------

    def returned(self, results: Sequence[Operand]) -> Lines:
        """The lines that end the function."""
        lines: Lines = []
        if self.program.keeps_flags and may_be_raised(results[-1]):
            lines.append(self.raising(results[-1]))
        for result, words in self.words(self.passing.results, results):
            if not self.passing.by_address:
                return [*lines, f"return {self.whole(result, words)};"]
            lines += self.stored(result, words)
        return [*lines, "return;"]

    def raises_flags(self) -> bool:
        """Whether any return raises a flag."""
        ends = [each for each in self.program.body.all_statements() if isinstance(each, Return)]
        return any(may_be_raised(self.known(end.results[-1])) for end in ends)

    def raising(self, flags: Operand) -> str:
        """Add flags to those raised before."""
        name, bits = self.surroundings.flags, self.surroundings.bits
        raised = self.spelling.value(flags, bits)
        if bits == 32:
            return f"{name} |= {self.spelling.fitted(raised, bits)};"
        return f"{name} = (uint{bits}_t)({name} | {raised.text});"

    def whole(self, result: Passed, words: Sequence[Operand]) -> str:
        """A result as an integer of its type."""
        bits = result.bits
        assert bits is not None
        if result.value.meaning is Meaning.TRUTH:
            if isinstance(words[0], Constant):
                return "true" if words[0].value else "false"
            return self.spelling.condition(words[0])
        if len(words) > 1:
            lower, upper = (cast(self.spelling.value(word, bits), bits) for word in words)
            text = f"({upper.text} << {self.target.widest}) | {lower.text}"
        else:
            text = self.spelling.assigned(words[0], bits)
        return f"(int{bits}_t)({text})" if result.value.meaning is Meaning.SIGNED else text

    def stored(self, result: Passed, words: Sequence[Operand]) -> Iterator[str]:
        """Put a result where its pointer says."""
        if result.bits is None:
            for index, word in enumerate(words):
                yield f"{result.name}->word[{index}] = {self.spelling.assigned(word, self.target.widest)};"
        else:
            yield f"*{result.name} = {self.whole(result, words)};"


def may_be_raised(flags: Operand) -> bool:
    """Whether a set of flags is not known to be empty."""
    return not (isinstance(flags, Constant) and flags.value == 0)


def word_text(operand: Passed, index: int, own: int) -> str:
    """A word of a parameter, in a type of its `own` bits."""
    name, bits = operand.name, operand.bits
    if bits is None:
        text = f"{name}->word[{index}]"
        return text if own == operand.target.widest else f"(uint{own}_t){text}"
    whole = f"(uint{bits}_t){name}" if operand.value.meaning is Meaning.SIGNED else name
    if bits <= own:
        return whole
    return f"(uint{own}_t)({whole} >> {index * own})" if index else f"(uint{own}_t){bare(whole)}"
