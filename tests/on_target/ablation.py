"""The rules of pricing, and how each is left out: the one function that it is gives way to a neutral one.

A rule that asks for an ability of the CPU, or is a habit of the compiler, may go with that: then the function
is the one that says what machine compiled code makes of a CPU. Nothing in the package knows of this: a
function is replaced wherever it has been imported, and what was worked out before is forgotten when a rule
goes, and again when it comes back.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from copy import copy
from dataclasses import dataclass, replace
from math import inf
from types import ModuleType
from typing import Any
from unittest.mock import patch

from softfloat_py.integer_form import known_zeros, needed_bits
from softfloat_py.integer_form.counting import Entry
from softfloat_py.integer_form.grammar import Program, Step
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import count_words
from softfloat_py.pricing import (
    calls,
    compiled_order,
    decisions,
    live_words,
    loads,
    native_steps,
    operations_of_c,
    program_price,
    rules,
    staying,
    step_prices,
    wide_steps,
    wraps,
)
from softfloat_py.pricing.compiler import Compiler
from softfloat_py.pricing.context import Context
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.decisions import Decisions
from softfloat_py.pricing.instructions import Together
from softfloat_py.pricing.loads import Loads
from softfloat_py.pricing.masks import Masks
from softfloat_py.pricing.registers import IN_REGISTERS, Registers
from softfloat_py.pricing.step_prices import StepPrices


@dataclass(frozen=True)
class Rule:
    """A rule: the function that it is, of a module or a class, and what stands for it where there is none."""

    name: str
    owner: ModuleType | type
    function: str
    neutral: Callable[..., Any]

    @property
    def places(self) -> list[ModuleType | type]:
        """Where the function is looked up: its class, or each module of the package that has it."""
        function = getattr(self.owner, self.function)
        if isinstance(self.owner, type):
            return [self.owner]
        package = [module for name, module in sys.modules.items() if name.startswith("softfloat_py.")]
        return [module for module in package if vars(module).get(self.function) is function]


def always(answer: Any) -> Callable[..., Any]:
    """A function that gives the same answer to all."""
    return lambda *_, **__: answer


# -- neutral functions that need more than one answer ----------------------------------------------------

_machine, _registers_of, _words_held = Compiler.machine, step_prices.registers_of, calls.words_held


def machine_with(**abilities: Any) -> Callable[[Compiler, Machine], Machine]:
    """`Compiler.machine` with other abilities of the CPU."""
    return lambda compiler, cpu: replace(_machine(compiler, cpu), **abilities)


def machine_with_habits(**habits: Any) -> Callable[[Compiler, Machine], Machine]:
    """`Compiler.machine` with other habits of the compiler."""

    def machine(compiler: Compiler, cpu: Machine) -> Machine:
        compiled = _machine(compiler, cpu)
        return replace(compiled, habits=replace(compiled.habits, **habits))

    return machine


def machine_with_its_carry(compiler: Compiler, cpu: Machine) -> Machine:
    """`Compiler.machine` with a carry wherever the CPU has one."""
    return replace(_machine(compiler, cpu), carry_flag=cpu.carry_flag)


def machine_with_its_multiplier(compiler: Compiler, cpu: Machine) -> Machine:
    """`Compiler.machine` with the multiplier of the CPU in all products."""
    return replace(_machine(compiler, cpu), multiplier_bits=cpu.multiplier_bits)


def registers_with(**changes: int) -> Callable[..., Registers]:
    """`registers_of` with other registers."""
    return lambda *given: _registers_of(*given)._replace(**changes)


def words_of_width(width: int, word: int, compiler: Compiler) -> int:
    """Words of a value, whatever types there are."""
    return count_words(width, word)


def always_copied(kind: object, needed_later: list[bool]) -> bool:
    """Whether a first operand is copied, if the second is never overwritten in its place."""
    return needed_later[0]


def words_held_without_constants(context: Context, loads: Loads, model: CostModel) -> int:
    """`words_held`, if constants were in no registers."""
    bare = copy(loads)
    bare.most_words = 0
    return _words_held(context, bare, model)


def native_alone(together: Together, step: Step) -> bool:
    """Whether a step is the machine's own, whatever it leaves of its operands."""
    return together.native is None or step in together.native


def shifted_at_once(steps: Mapping[Entry, int], machine: Machine) -> tuple[Counter[Entry], Counter[Entry]]:
    """The steps as they are, and no move between two of them."""
    return Counter(steps), Counter()


RULES = (
    # The order of the program.
    Rule("steps stand where they are needed", compiled_order, "as_compiled", lambda program: program),
    Rule("steps stand on the side that needs them", compiled_order._Order, "sides_around", always(())),
    Rule("steps stand before their only user", compiled_order, "_is_only_here", always(False)),
    # Decisions.
    Rule("what only decides is in the flags", decisions, "_deciding", always(frozenset())),
    Rule("joined truths are branches", decisions, "joins_truths", always(False)),
    Rule("a bit is compared before a branch", Decisions, "uncompared", always(())),
    Rule("outcomes as numbers cost more", Context, "is_kept_as_number", always(False)),
    Rule("wide comparisons go word by word", StepPrices, "_word_by_word", always(inf)),
    Rule("order with a constant has its price", step_prices, "_ordered_with_constant", lambda _, own: own),
    Rule("outcomes turned round cost nothing", StepPrices, "_turned", always(0.0)),
    Rule("short sides are done on a condition", decisions, "short_sides", always({})),
    Rule("outcomes are added on a condition", Together, "is_added", always(False)),
    Rule("flags tell of zero", Together, "is_told", always(False)),
    # Instructions that do the work of several.
    Rule("shifts go with other steps", Together, "shift_before", always(None)),
    Rule("shifts are operands of other steps", Compiler, "machine", machine_with(shifted_operands=False)),
    Rule("fields are extracted with their shift", Together, "extracts", always(False)),
    Rule("masks need no constant", Masks, "_quicker", always(None)),
    Rule("masks are extractions", Masks, "_extracted", always(inf)),
    Rule("masks are shifted out and back", Masks, "_shifted_out", always(inf)),
    Rule("masks go with a shift before them", Masks, "_shifted_up", always(inf)),
    Rule("masks of the lowest word are native", Together, "is_native", native_alone),
    Rule("sums that wrap around are masked", wraps, "wraps_of", always({})),
    Rule("masks that nobody sees are left out", wraps, "_by_step", always(wraps.ALL)),
    # Constants.
    Rule("constants are kept in registers", Loads, "has_room", always(False)),
    Rule("constants are loaded before loops", loads, "outermost", always(None)),
    Rule("constants take registers to be saved", calls, "words_held", words_held_without_constants),
    Rule("constants complemented or negative", native_steps, "_forms", lambda constant, *_: [constant]),
    # Bits that need no work.
    Rule("bits that are always zero", known_zeros, "known_zeros", always({})),
    Rule("bits that nobody looks at", needed_bits, "needed_bits", always({})),
    Rule("shifts bring down the lowest word alone", native_steps, "_of_lowest_word", lambda shift, _: shift),
    # Words and registers.
    Rule("words of C's types", rules, "words_of_value", words_of_width),
    Rule("overwritten operands are copied", rules, "is_copied", always(False)),
    Rule("second operands are overwritten instead", rules, "is_copied", always_copied),
    Rule("words beyond the registers are moved", rules, "shares_beyond", always(IN_REGISTERS)),
    Rule("words are parked before they are spilled", step_prices, "registers_of", registers_with(parking=0)),
    Rule("values are put away whole", step_prices, "registers_of", registers_with(value=1)),
    Rule("digits of products are put away singly", wide_steps, "_registers_of_digits", lambda own, _: own),
    Rule("carries take no words", wide_steps, "_carries", always(frozenset())),
    Rule("values keep their place in a loop", live_words.LiveWords, "_most_in_loops", always({})),
    Rule("values are put away before a loop", live_words._Loops, "values_at", lambda _, __, needed: needed),
    Rule("counters of loops take registers", live_words._Loops, "counters_at", always(0)),
    Rule("words are put away around a product", rules, "words_put_away", always((0, 0))),
    Rule("words stay put away between products", staying, "staying_values", always({})),
    Rule("registers are saved", calls, "words_held", always(0)),
    Rule("words are put away around a call", calls, "put_away", always(0)),
    # Control flow.
    Rule("short loops are written out", program_price._Pricing, "_is_written_out", always(False)),
    # What C makes of wide values.
    Rule("carries end with the widest type", Machine, "goes_in_parts", always(False)),
    Rule("carries of the CPU that C does not use", Compiler, "machine", machine_with_its_carry),
    Rule("products go row by row", Compiler, "machine", machine_with_habits(digit_rows=False)),
    Rule("products are shifts and additions", Compiler, "machine", machine_with_its_multiplier),
    Rule("values stay within expressions", StepPrices, "_saved", always(0.0)),
    Rule("shifts by words and the rest go apart", operations_of_c, "shifted_apart", shifted_at_once),
    Rule("addresses of tables are computed", Compiler, "machine", machine_with_habits(address_bits=0)),
)


@contextmanager
def without(rule: Rule, programs: Iterable[Program]) -> Iterator[None]:
    """Price programs without a rule, by fresh cost models: what these keep is theirs."""
    known = list(programs)
    with ExitStack() as stack:
        stack.callback(forget, known)
        for place in rule.places:
            stack.enter_context(patch.object(place, rule.function, rule.neutral))
        forget(known)
        yield


def forget(programs: Iterable[Program]) -> None:
    """Forget what was worked out for prices: of programs, of those that they call, and of single steps."""
    for program in programs:
        forget(program.callees)
        program._kept.clear()
    for name, module in list(sys.modules.items()):
        if name.startswith(("softfloat_py.pricing.", "softfloat_py.lowering.")):
            for function in vars(module).values():
                if hasattr(function, "cache_clear"):
                    function.cache_clear()
