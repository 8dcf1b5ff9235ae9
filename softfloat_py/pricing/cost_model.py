"""What a CPU charges for its steps, and for what stands around them.

Nothing here knows how a model is written down; `table_reader` does. Every part checks itself when built
and raises CostModelError listing all its faults, each beginning with the key at fault.

The cycles are those of manuals: no wait states, no cache misses, no interrupts. They are estimates, to be
measured on the target before anything depends on them; they are no bound on the time of a program.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from functools import cached_property
from typing import Any

from softfloat_py.errors import CostModelError, UnknownNameError
from softfloat_py.integer_form.grammar import Program
from softfloat_py.lowering.machine import Machine
from softfloat_py.operations import OPERATIONS
from softfloat_py.pricing.abilities import PRICED_AS, contradictions, widest_native
from softfloat_py.pricing.compiler import CompiledBy, Compiler
from softfloat_py.pricing.figures import (
    Clock,
    Origin,
    Price,
    Quantity,
    Standing,
    refuse,
)
from softfloat_py.pricing.measured_sets import MeasuredSet
from softfloat_py.pricing.table_layers import BY_HAND
from softfloat_py.routines.steps import COUNTED_KINDS
from softfloat_py.suggestions import nearest_names

# Operations an FPU may do; the standard's comparisons share the figure COMPARISONS.
COMPARISONS = "comparisons"
TRUNCATION = "convert_to_integer_toward_zero"
FPU_OPERATIONS = (
    "addition",
    "subtraction",
    "multiplication",
    "division",
    "square_root",
    COMPARISONS,
    "convert_format",
    "convert_to_integer",
    "convert_from_integer",
    "negate",
    "absolute",
)

# Operations a library may do: all there are, the comparisons again under one figure.
LIBRARY_OPERATIONS = (COMPARISONS, *(name for name in OPERATIONS if not name.startswith("compare_")))


@dataclass(frozen=True, slots=True)
class SurroundingCode:
    """What compiled code spends around the steps of an operation.

    `registers` are the words that values are held in at once, `scratch_registers` those of them that need
    not be saved; `parking_registers` hold further words, which a move brings where instructions reach them.
    `overwrites` are the kinds of step whose result takes the place of their first operand. Where
    `branches_compare`, a branch on a comparison of words needs no step before it; where a comparison is
    kept as a number, that costs `condition_as_value` more. `save_and_restore` is for one call, its n the
    registers saved; `argument_passing` is for one call; `moves_a_step` is what measured compiled code had
    beyond all this, in moves for each native step; below 0 where a compiler makes one of several steps.
    `word_in_memory` is what an operand or a result in memory takes more than one in a register, if that is
    not a load or a store.
    """

    registers: Quantity
    parking_registers: Quantity | None
    scratch_registers: Quantity
    overwrites: tuple[str, ...]
    branches_compare: bool
    condition_as_value: Price
    save_and_restore: Price
    argument_passing: Price
    moves_a_step: Quantity
    word_in_memory: Price | None = None

    def __post_init__(self) -> None:
        refuse("of surrounding code", self._faults())

    def _faults(self) -> Iterator[str]:
        for key in ("registers", "parking_registers", "scratch_registers"):
            quantity = getattr(self, key)
            if quantity is not None and not (quantity.value >= 0 and quantity.value == int(quantity.value)):
                yield f"{key}.value must be a whole number, 0 or more, not {quantity.value!r}"
        if self.registers.value < 1:
            yield f"registers.value must be at least 1, not {self.registers.value!r}"
        if self.scratch_registers.value > self.registers.value:
            yield (
                f"scratch_registers.value must be at most registers.value ({self.registers.value!r}), "
                f"not {self.scratch_registers.value!r}"
            )
        for kind in self.overwrites:
            if kind not in COUNTED_KINDS:
                yield f"overwrites must name kinds of step, not {kind!r}"


@dataclass(frozen=True, slots=True)
class CompiledCode:
    """One comparison of whole estimates with compiled code: its measured cycles / the estimated cycles.

    Above 1, compiled code took longer than estimated. `operations` says what was compared, in what format
    and with what options; the ratios are of means over many calls, the lowest and highest of all that was
    compared. Those of single calls, where they were looked at, lie further apart. `elementary` says that
    elementary functions were compared, and not the operations that the standard requires: their long products
    are other code, so the ratios of one kind say nothing of the other. `kernels` says that whole kernels were
    compared, with their own loops, loads and stores, and not operations by themselves; `in_memory`, that
    their estimates were made with that option. `only` are the operations that an entry is about and no other,
    where these lie apart from the rest. The note of `origin` is shown with every estimate on the CPU.
    """

    compiler: str
    operations: str
    lowest_ratio: float
    highest_ratio: float
    origin: Origin
    lowest_call_ratio: float | None = None
    highest_call_ratio: float | None = None
    elementary: bool = False
    kernels: bool = False
    in_memory: bool = False
    only: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        refuse("of a comparison", self._faults())

    def _faults(self) -> Iterator[str]:
        if self.lowest_ratio <= 0:
            yield f"lowest_ratio must be above 0, not {self.lowest_ratio!r}"
        if self.highest_ratio < self.lowest_ratio:
            lowest = self.lowest_ratio
            yield f"highest_ratio must be at least lowest_ratio ({lowest!r}), not {self.highest_ratio!r}"
        if self.call_ratios[0] > self.lowest_ratio or self.call_ratios[1] < self.highest_ratio:
            yield (
                "lowest_call_ratio and highest_call_ratio must lie outside of lowest_ratio and "
                f"highest_ratio, not be {self.call_ratios[0]!r} and {self.call_ratios[1]!r}"
            )
        for name in self.only:
            if name not in OPERATIONS:
                yield f"only must name operations, by the standard's names, not {name!r}"
        if self.in_memory and not self.kernels:
            yield "in_memory must be false where no kernels were compared, not True"
        if self.kernels and self.call_ratios != (self.lowest_ratio, self.highest_ratio):
            yield "lowest_call_ratio and highest_call_ratio must be left out, as kernels are no single calls"
        if self.origin.standing is not Standing.MEASURED:
            yield f"standing must be 'measured', as a comparison is, not {self.origin.standing.value!r}"

    @property
    def call_ratios(self) -> tuple[float, float]:
        """The lowest and highest ratio of a single call, as far as it was looked at."""
        lowest, highest = self.lowest_call_ratio, self.highest_call_ratio
        return (
            self.lowest_ratio if lowest is None else lowest,
            self.highest_ratio if highest is None else highest,
        )


@dataclass(frozen=True, slots=True)
class FloatingPointPart:
    """A sibling part with an FPU: cycles by format and operation, register to register.

    `load` and `store` are for one value between memory and the FPU, and are not in the other figures.
    """

    title: str
    clock_note: str
    load: Price
    store: Price
    operations: Mapping[str, Mapping[str, Price]]

    def cycles(self, operation: str, format_name: str) -> float | None:
        """Cycles of an operation, by the standard's name, in a format; None where this FPU does not do it."""
        return _cycles_in(self.operations, operation, format_name)


@dataclass(frozen=True, slots=True)
class ArithmeticLibrary:
    """A library of arithmetic in software: stated cycles of a call, by format and operation."""

    title: str
    operations: Mapping[str, Mapping[str, Price]]

    def cycles(self, operation: str, format_name: str) -> float | None:
        """Cycles of a call, by the standard's name, in a format; None where nothing is stated."""
        return _cycles_in(self.operations, operation, format_name)


def _cycles_in(
    operations: Mapping[str, Mapping[str, Price]], operation: str, format_name: str
) -> float | None:
    prices = operations.get(format_name, {})
    figure = COMPARISONS if operation.startswith("compare_") else operation
    if figure == TRUNCATION and figure not in prices:
        figure = "convert_to_integer"  # the one conversion that a CPU or a library has is C's
    return prices[figure].cycles if figure in prices else None


def _ratios(compared: Sequence[CompiledCode]) -> tuple[float, float] | None:
    """Lowest and highest ratio of means among comparisons; None without any."""
    if not compared:
        return None
    return min(each.lowest_ratio for each in compared), max(each.highest_ratio for each in compared)


@dataclass(frozen=True, repr=False, eq=False)
class CostModel:
    """A CPU as a compiler uses it: its abilities and what its native steps cost.

    `compiled_by` is what makes the code described; `described` has the models of the same CPU for all that
    are described, this one among them, by their ids. `steps` gives for each kind one price, or one for each
    bracket of widths, narrowest first; within one, for each bracket of n, from 0 up. `aliases` are the cores,
    chips and boards that it is for, as people name them; one that ends in * stands for all names that begin
    like it.
    """

    name: str
    title: str
    about: str
    clock: Clock
    machine: Machine
    machine_origin: Origin
    steps: Mapping[str, tuple[Price, ...]]
    surrounding_code: SurroundingCode
    compiler: Compiler
    compiled_by: CompiledBy
    compared_with_compiled_code: tuple[CompiledCode, ...] = ()
    measured_on_silicon: tuple[MeasuredSet, ...] = ()
    with_fpu: FloatingPointPart | None = None
    arithmetic_library: ArithmeticLibrary | None = None
    aliases: tuple[str, ...] = ()
    described: Mapping[str, CostModel] = field(default_factory=dict)

    def __post_init__(self) -> None:
        unpriced = [kind for kind, prices in self.steps.items() if not prices]
        empty = [f"steps.{kind} must have at least one price" for kind in unpriced]
        moves = self.compiler.faults_of_moves(self.surrounding_code.moves_a_step.value)
        types = self.compiler.faults_of_word(self.machine.word)
        refuse(self.name, [*empty, *contradictions(self.machine, self.steps), *moves, *types])

    def __repr__(self) -> str:
        return f"CostModel({self.name!r})"

    def __getstate__(self) -> dict[str, Any]:
        """What a copy has, or another process gets: the figures, without what was worked out from them."""
        return {field.name: getattr(self, field.name) for field in fields(self)}

    def made_by(self, compiler: str) -> CostModel:
        """The model of this CPU with code as another compiler makes it.

        Raises UnknownNameError for one that is not described.
        """
        if compiler == self.compiled_by.id:
            return self
        if compiler not in self.described:
            known = list(self.described) or [self.compiled_by.id]
            further = "others are not described for this CPU"
            what = f"the compiler of code on {self.name}"
            raise UnknownNameError(
                what, compiler, known, nearest_names(str(compiler), known, 1), further=further
            )
        return self.described[compiler]

    @property
    def of_the_cpu(self) -> CostModel:
        """The model of this CPU by itself, whatever compilers make of it: that of code scheduled by hand, if
        it is described.
        """
        return self.described.get(BY_HAND, self)

    @cached_property
    def prices(self) -> dict[Program, Any]:
        """The prices of programs on this CPU, kept by `program_price`: they go when the model goes."""
        return {}

    @cached_property
    def compiled_machine(self) -> Machine:
        """The machine as compiled C uses it; or as code by hand does, which shifts words through the carry as
        well, where that is quicker.
        """
        machine = self.compiler.machine(self.machine)
        if self.compiler.types.bits:
            return machine
        return replace(machine, habits=replace(machine.habits, carry_places=self._places_through_carry()))

    def _places_through_carry(self) -> int:
        """By how many places two words are shifted through the carry no slower than by a barrel shifter."""
        if not (self.machine.barrel_shifter and "shift_left_through_carry" in self.steps):
            return 0
        word = self.machine.word
        through = 2 * self.cycles("shift_left_through_carry", word, None)
        places = 0
        for distance in range(1, word // 2):
            shifts = 2 * self.cycles("shift_left", word, distance)
            crossing = self.cycles("shift_right", word, word - distance) + self.cycles("or", word, None)
            if distance * through > shifts + crossing:
                break
            places = distance
        return places

    @cached_property
    def cycles_of_word_in_memory(self) -> float:
        """Cycles that an operand or a result in memory takes more than one in a register."""
        if self.surrounding_code.word_in_memory is not None:
            return self.surrounding_code.word_in_memory.cycles
        word = self.machine.word
        return (self.cycles("load", word, None) + self.cycles("store", word, None)) / 2

    def comparisons(self, elementary: bool) -> list[CompiledCode]:
        """The comparisons of elementary functions with compiled code, or those of all other operations, each
        by itself.
        """
        operations = [e for e in self.compared_with_compiled_code if not e.kernels and not e.only]
        return [each for each in operations if each.elementary == elementary]

    def comparisons_of(self, operation: str) -> list[CompiledCode]:
        """The comparisons that speak of an operation, by its name: of it alone, or else of its kind."""
        alone = [each for each in self.compared_with_compiled_code if operation in each.only]
        return alone or self.comparisons(OPERATIONS[operation].elementary)

    def kernel_comparisons(self, in_memory: bool) -> list[CompiledCode]:
        """The comparisons of whole kernels: of estimates with operands in memory, or of the others."""
        kernels = [each for each in self.compared_with_compiled_code if each.kernels]
        return [each for each in kernels if each.in_memory == in_memory]

    def compiled_ratios(self, elementary: bool) -> tuple[float, float] | None:
        """Lowest and highest ratio of compiled code to estimates in these comparisons; None without any."""
        return _ratios(self.comparisons(elementary))

    def kernel_ratios(self, in_memory: bool) -> tuple[float, float] | None:
        """Lowest and highest ratio of compiled kernels to estimates of a kind; None without any."""
        return _ratios(self.kernel_comparisons(in_memory))

    def compiled_call_ratios(self, operation: str) -> tuple[float, float] | None:
        """Lowest and highest ratio of a single call in the comparisons that speak of an operation."""
        calls = [compared.call_ratios for compared in self.comparisons_of(operation)]
        return (min(low for low, _ in calls), max(high for _, high in calls)) if calls else None

    def price(self, kind: str, width: int, n: int = 0) -> Price:
        """The price of a native step of a kind, counted under a width in bits, with an n.

        A sum or shift one word wide is counted under more bits than a word, with its carry or what it
        drops; it is priced as a word. A table is read at the price of memory where it has none of its own.
        Raises UnknownNameError for a kind that is not native, and
        CostModelError for a product or a quotient of operands wider than the native ones.
        """
        prices = self._prices_of(kind)
        widest = widest_native(self.machine, kind)
        if kind in ("multiply", "divide") and width > widest:
            raise CostModelError(
                self.name, [f"steps.{kind} takes operands of up to {widest} bits, not {width}"]
            )
        covering = [price for price in prices if _covers(price, min(width, widest))]
        narrowest = [price for price in covering if price.up_to_width == covering[0].up_to_width]
        return max((p for p in narrowest if p.beyond_n < max(n, 1)), key=lambda price: price.beyond_n)

    def is_priced_by_n(self, kind: str) -> bool:
        """Whether the price of a native step depends on its n. Raises UnknownNameError as `price` does."""
        return any(price.cycles_per_n or price.beyond_n for price in self._prices_of(kind))

    def _prices_of(self, kind: str) -> Sequence[Price]:
        """The prices of a kind, or those of the kind that it is priced as."""
        if kind not in self.steps:
            kind = PRICED_AS.get(kind, kind)
        if kind not in self.steps:
            raise UnknownNameError(f"a native step of {self.name}", kind, list(self.steps))
        return self.steps[kind]

    def cycles(self, kind: str, width: int, feature: int | None) -> float:
        """Cycles of a native step; `feature` is its n, None for a kind that has none.

        The n of a shift is its distance, of a product the set bits of its multiplier, of a count of
        leading zeros its result. Raises as `price` does, and CostModelError for a missing n where the
        price depends on it.
        """
        price = self.price(kind, width, feature or 0)
        if feature is None and price.cycles_per_n:
            raise CostModelError(self.name, [f"steps.{kind} is priced by n: give the step's n, not None"])
        return price.at(feature or 0)

    @property
    def saves_registers(self) -> bool:
        """Whether an operation may have to save registers: some of those there are must be saved."""
        return self.surrounding_code.scratch_registers.value < self.surrounding_code.registers.value

    def cycles_around_a_call(self, words: int) -> float:
        """Cycles of calling an operation that holds so many words at once: call, return, arguments, and
        registers saved and restored.
        """
        code = self.surrounding_code
        saved = min(words, int(code.registers.value)) - int(code.scratch_registers.value)
        return self.cycles_of_an_empty_call + (code.save_and_restore.at(saved) if saved > 0 else 0)

    @property
    def cycles_of_an_empty_call(self) -> float:
        """Cycles of calling an operation that does nothing: call, return and arguments."""
        word = self.machine.word
        instructions = self.cycles("call", word, None) + self.cycles("return", word, None)
        return instructions + self.surrounding_code.argument_passing.cycles


def _covers(price: Price, width: int) -> bool:
    return price.up_to_width is None or width <= price.up_to_width
