"""How each kind of step is written in C.

C computes nothing in less than an `int`, whose width differs between compilers. So a value of 8 or 16 bits is
cast back to its type wherever it is computed, and an operand is cast to the type of the result before a step
that might otherwise overflow an `int`. In `uint32_t` and `uint64_t` no cast is needed, and what does not fit
wraps around. A comparison's truth is an `int` of 0 or 1, which may stand beside any of them.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from softfloat_py.engines.c.placement import ENTRY
from softfloat_py.engines.c.target import Target
from softfloat_py.integer_form.grammar import Constant, Operand, Step, Variable
from softfloat_py.routines.steps import Feature
from softfloat_py.routines.tables import Table

TRUTH = 1
BYTE = 8
INT = 16  # bits that C's `int` has for certain


class Term(NamedTuple):
    """A value as C text that can stand beside any operator, and the bits of its type."""

    text: str
    bits: int


class Spelling:
    """Writes operands and steps; `stands_for` gives what is to be written in an operand's place, `name_of`
    the name of a table.
    """

    def __init__(
        self,
        target: Target,
        stands_for: Callable[[Operand], Constant | Step | Term],
        name_of: Callable[[Table], str] = str,
    ) -> None:
        self.target = target
        self.stands_for = stands_for
        self.name_of = name_of

    # -- operands ----------------------------------------------------------------------------------

    def value(self, operand: Operand, bits: int) -> Term:
        """An operand; a constant is written for a step computed in `bits`."""
        match self.stands_for(operand):
            case Constant(value=value):
                return Term(number(value, bits), bits)
            case Step() as step:
                return self.term(step)
            case Term() as term:
                return term

    def values(self, step: Step, bits: int) -> list[Term]:
        """A step's operands, at least one of which has the type that the step is computed in."""
        terms = [self.value(operand, bits) for operand in step.operands]
        variable = [i for i, operand in enumerate(step.operands) if isinstance(operand, Variable)]
        if all(terms[i].bits < bits for i in variable):
            terms[variable[0]] = cast(terms[variable[0]], bits)
        return terms

    def assigned(self, operand: Operand, bits: int) -> str:
        """An operand as what a variable of so many bits is set to."""
        return self.fitted(self.value(operand, bits), bits)

    def fitted(self, term: Term, bits: int) -> str:
        """A term as what a variable of so many bits is set to."""
        return bare(cast(term, bits).text if term.bits > bits else term.text)

    def condition(self, operand: Operand) -> str:
        """An operand as a condition."""
        return bare(self.truth(operand))

    def truth(self, operand: Operand) -> str:
        """A one-bit operand where only its being zero or not matters: C may leave out what follows."""
        step = self.stands_for(operand)
        if not isinstance(step, Step):
            return self.value(operand, TRUTH).text
        if all(one.width == 1 for one in step.operands):
            match step.kind.name:
                case "and":
                    return f"({self.truth(step.operands[0])} && {self.truth(step.operands[1])})"
                case "or":
                    return f"({self.truth(step.operands[0])} || {self.truth(step.operands[1])})"
                case "not":
                    return f"!{self.truth(step.operands[0])}"
        return uncast(self.term(step).text)

    # -- steps -------------------------------------------------------------------------------------

    def term(self, step: Step) -> Term:
        """A step as a term."""
        bits = self.target.type_bits(step.target.width)
        match step.kind.name:
            case "add" | "subtract" | "or" | "xor":
                return self.joined(step, bits)
            case "multiply":
                return self.product(step, bits)
            case "divide":
                return self.quotient(step, bits)
            case "resize":
                return cast(self.value(step.operands[0], bits), bits)
            case "and":
                return self.conjunction(step, bits)
            case "add_modulo" | "subtract_modulo":
                return self.modulo(step, bits)
            case "not":
                return self.complement(step, bits)
            case "equal" | "not_equal" | "less" | "less_or_equal":
                return Term(self.comparison(step), TRUTH)
            case "select":
                return self.choice(step, bits)
            case "high_word":
                return self.upper(step, bits)
            case "low_word":
                return self.lower(step, bits)
            case "shift_left" | "shift_left_variable":
                return self.shift_left(step, bits)
            case "shift_right" | "shift_right_variable":
                return self.shift_right(step, bits)
            case "look_up":
                return self.entry(step, bits)
            case name:
                raise NotImplementedError(f"C has no step {name}")

    def joined(self, step: Step, bits: int) -> Term:
        """Two operands and an operator that C has."""
        sign = OPERATORS[step.kind.name]
        if step.kind.name in ("or", "xor") and step.target.width == 1:
            terms = [self.value(operand, bits) for operand in step.operands]
            if all(term.bits == TRUTH for term in terms):
                return Term(f"({terms[0].text} {sign} {terms[1].text})", TRUTH)
        first, second = self.values(step, bits)
        return self.computed(f"({first.text} {sign} {second.text})", bits)

    def product(self, step: Step, bits: int) -> Term:
        """A product, in a type twice as wide as the widest where only that holds it."""
        if step.target.width > self.target.widest:
            bits = 2 * self.target.widest
        first, second = self.values(step, bits)
        return self.computed(f"({first.text} * {second.text})", bits)

    def quotient(self, step: Step, bits: int) -> Term:
        """A quotient, computed in the type of the wider operand."""
        wide = max(self.target.type_bits(operand.width) for operand in step.operands)
        first, second = self.values(step, wide)
        return self.computed(f"({first.text} / {second.text})", bits, wide)

    def conjunction(self, step: Step, bits: int) -> Term:
        """A mask, or two values; a mask that is all of a type is a cast."""
        terms = [self.value(operand, bits) for operand in step.operands]
        variable = [isinstance(operand, Variable) for operand in step.operands]
        wide = max((t.bits for t, varies in zip(terms, variable, strict=True) if varies), default=bits)
        masks = [o.value for o in step.operands if isinstance(o, Constant)]
        if wide == TRUTH and not masks:
            return Term(f"({terms[0].text} & {terms[1].text})", TRUTH)
        if masks == [(1 << bits) - 1] and wide > bits:
            return cast(terms[0] if variable[0] else terms[1], bits)
        first, second = (self.value(operand, wide) for operand in step.operands)
        if wide < bits:
            first, second = at_least(first, bits), at_least(second, bits)
        return self.computed(f"({first.text} & {second.text})", bits, wide)

    def modulo(self, step: Step, bits: int) -> Term:
        """A sum or difference that wraps around at its width."""
        first, second = self.values(step, bits)
        text = f"({first.text} {OPERATORS[step.kind.name]} {second.text})"
        return self.masked(text, step.target.width, bits)

    def complement(self, step: Step, bits: int) -> Term:
        """All bits flipped."""
        operand = self.value(step.operands[0], bits)
        if operand.bits == TRUTH and step.target.width == 1:
            return Term(f"(!{operand.text})", TRUTH)
        text, every = at_least(operand, bits).text, (1 << step.target.width) - 1
        flipped = f"(~{text})" if step.target.width == bits else f"({text} ^ {number(every, bits)})"
        return self.computed(flipped, bits)

    def comparison(self, step: Step) -> str:
        """A comparison, with a constant on the right."""
        sign, turned = COMPARISONS[step.kind.name]
        bits = max(self.target.type_bits(operand.width) for operand in step.operands)
        first, second = (self.value(operand, bits) for operand in step.operands)
        if isinstance(step.operands[0], Constant):
            first, second, sign = second, first, turned
        return f"({first.text} {sign} {second.text})"

    def choice(self, step: Step, bits: int) -> Term:
        """One of two values."""
        condition = self.truth(step.operands[0])
        values = [self.value(operand, bits) for operand in step.operands[1:]]
        if all(value.bits == TRUTH for value in values):
            return Term(f"({condition} ? {values[0].text} : {values[1].text})", TRUTH)
        first, second = (cast(value, bits) if value.bits != bits else value for value in values)
        text = f"({condition} ? {first.text} : {second.text})"
        if bits > INT and all(isinstance(self.stands_for(one), Constant) for one in step.operands[1:]):
            return Term(text, INT)  # whatever it stands beside
        return self.computed(text, bits)

    def shift_left(self, step: Step, bits: int) -> Term:
        """A shift left, in the result's type."""
        operand = self.value(step.operands[0], 0)
        if step.kind.feature is Feature.IMMEDIATE:
            near, far = step.immediate % self.target.word, step.immediate // self.target.word
            narrow = self.target.type_bits(step.operands[0].width + near)
            if near and far and narrow < bits:
                # In a narrow type by less than a word, then by whole words, which are but moves.
                first = f"({at_least(operand, narrow).text} << {places(near, narrow)})"
                shifted = self.computed(first, narrow)
                return self.computed(f"({cast(shifted, bits).text} << {far * self.target.word})", bits)
            return self.computed(f"({at_least(operand, bits).text} << {places(step.immediate, bits)})", bits)
        return self.computed(f"({at_least(operand, bits).text} << {self.distance(step)})", bits)

    def shift_right(self, step: Step, bits: int) -> Term:
        """A shift right, in the operand's type or the result's, whichever is wider."""
        shifted = at_least(self.value(step.operands[0], 0), bits)
        if step.kind.feature is Feature.IMMEDIATE:
            if step.immediate >= shifted.bits:
                shifted = cast(shifted, self.target.type_bits(step.operands[0].width))
            near, far = step.immediate % self.target.word, step.immediate // self.target.word
            narrow = self.target.type_bits(step.operands[0].width - far * self.target.word)
            if near and far and narrow < shifted.bits:
                moved = self.computed(f"({shifted.text} >> {far * self.target.word})", narrow)
                return self.computed(f"({moved.text} >> {near})", bits, narrow)
        return self.computed(f"({shifted.text} >> {self.distance(step)})", bits, shifted.bits)

    def distance(self, step: Step) -> str:
        """By how much to shift."""
        if step.kind.feature is Feature.IMMEDIATE:
            return str(step.immediate)
        text = bare(self.value(step.operands[1], 0).text)
        return text if text.isidentifier() else f"({text})"

    def lower(self, step: Step, bits: int) -> Term:
        """The lowest bits of a value."""
        operand = self.value(step.operands[0], bits)
        if step.immediate == bits:
            return operand if operand.bits == bits else cast(operand, bits)
        operand = at_least(operand, bits)
        mask = number((1 << step.immediate) - 1, operand.bits)
        return self.computed(f"({operand.text} & {mask})", bits, operand.bits)

    def upper(self, step: Step, bits: int) -> Term:
        """What lies above a word of a product that is twice as wide."""
        operand = self.value(step.operands[0], bits)
        if operand.bits <= step.immediate:
            raise NotImplementedError(
                f"C has no type for the {step.operands[0].width} bits of {step.operands[0]}"
            )
        return cast(Term(f"({operand.text} >> {step.immediate})", operand.bits), bits)

    def entry(self, step: Step, bits: int) -> Term:
        """An entry of a table, or the word of it that a table of words stands for."""
        table: Table = step.immediate
        index = bare(self.value(step.operands[0], 0).text)
        whole = table.whole or table
        word = f"[{table.place}]" if table.whole else ""
        own = entry_bits(table, self.target)
        return at_least(Term(f"{ENTRY}_{own}({self.name_of(whole)}[{index}]{word})", own), bits)

    # -- types -------------------------------------------------------------------------------------

    def computed(self, text: str, bits: int, own: int | None = None) -> Term:
        """What C computes in the type `own`, as a value that `bits` hold: small types need a cast."""
        own = bits if own is None else own
        if bits < 32:
            return Term(f"(uint{bits}_t){text}", bits)
        return Term(text, max(own, bits))

    def masked(self, text: str, width: int, bits: int) -> Term:
        """What C computes in a type, cut to a width."""
        if width < bits:
            text = f"({text} & {number((1 << width) - 1, bits)})"
        return self.computed(text, bits)


OPERATORS = {"add": "+", "subtract": "-", "or": "|", "xor": "^", "add_modulo": "+", "subtract_modulo": "-"}

# How a comparison is written, and how with its sides exchanged.
COMPARISONS = {
    "equal": ("==", "=="), "not_equal": ("!=", "!="), "less": ("<", ">"), "less_or_equal": ("<=", ">="),
}  # fmt: skip


def entry_bits(table: Table, target: Target) -> int:
    """The bits of the type of a table's entries, or of their words: the smallest, whatever the word is."""
    width = (table.whole or table).width
    return next((bits for bits in (8, 16, 32, 64) if width <= bits <= target.widest), target.widest)


def number(value: int, bits: int) -> str:
    """A constant; unsigned beside the types that are wider than any `int`."""
    text = str(value) if value < 10 else f"{value:#x}"
    return f"{text}u" if bits >= 32 else text


def cast(term: Term, bits: int) -> Term:
    """A term in another type."""
    return Term(f"(uint{bits}_t){term.text}", bits)


def at_least(term: Term, bits: int) -> Term:
    """A term in a type of so many bits, if its own has fewer."""
    return cast(term, bits) if term.bits < bits else term


def bare(text: str) -> str:
    """Text without the parentheses that enclose all of it."""
    if not text.startswith("("):
        return text
    depth = 0
    for place, character in enumerate(text):
        depth += (character == "(") - (character == ")")
        if depth == 0:
            return text[1:-1] if place == len(text) - 1 else text
    return text


def uncast(text: str) -> str:
    """Text without the cast to a small type that it begins with: a condition needs none."""
    for bits in (8, 16):
        text = text.removeprefix(f"(uint{bits}_t)")
    return text


def places(distance: int, bits: int) -> str:
    """How far to shift a value of a type left. A byte goes by an unsigned distance: what a signed one leaves,
    sdcc 4.2 takes for a signed byte on the 8051 where it is widened ((uint32_t)(uint8_t)(byte << 7)).
    """
    return f"{distance}u" if bits == BYTE else f"{distance}"
