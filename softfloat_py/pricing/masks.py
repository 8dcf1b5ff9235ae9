"""How the lowest bits of a word are left and those above made 0, where a mask is no part of an instruction.

One instruction extracts them where there is one. A shifter puts the others out and comes back, if that is
quicker than to have the mask in a register; after a shift that nothing else uses, one more shift does both.
Bytes are extended by an instruction, or are there already. What wraps around in fewer bits than its type has
is masked as well (common practice, no source).
"""

from __future__ import annotations

from math import inf

from softfloat_py.integer_form.grammar import Step
from softfloat_py.lowering.machine import Machine
from softfloat_py.pricing.context import Context
from softfloat_py.pricing.instructions import lowest_bits
from softfloat_py.pricing.native_prices import NativePrices
from softfloat_py.pricing.native_steps import load_of


class Masks:
    """The cycles of the masks of a program: of those `without_constant`, which are not brought to a register,
    and of what a step that wraps around takes for it.
    """

    def __init__(self, context: Context, machine: Machine, prices: NativePrices) -> None:
        self.context = context
        self.machine = machine
        self.prices = prices
        self.without_constant = {
            step: cycles for step in context.together.masks if (cycles := self._quicker(step)) is not None
        }

    def of_wrap(self, step: Step) -> float:
        """Cycles of masking the result of a step that wraps around, if C has to."""
        bits = self.context.wraps.get(step)
        if bits is None:
            return 0.0
        if self.prices.whole_types:
            return self.prices.of("and", bits=bits) - self.prices.saved(bits)
        return min(self._by_constant(bits), self._extracted(bits), self._shifted_out(bits))

    def _quicker(self, step: Step) -> float | None:
        """Cycles of a mask in another way than by a constant in a register; None where none is quicker, or
        steps are of whole types, as a language has them.
        """
        if self.prices.whole_types:
            return None
        bits = lowest_bits(step)
        assert bits is not None
        shift = self.context.together.masks[step]
        shifted = self._shifted_out(bits) if shift is None else self._shifted_up(bits)
        quickest = min(self._extracted(bits), shifted)
        return quickest if quickest < self._by_constant(bits) else None

    def _by_constant(self, bits: int) -> float:
        load = load_of((1 << bits) - 1, self.machine, "and")
        return self.prices.of("and") + (0.0 if load is None else self.prices.entry(load))

    def _extracted(self, bits: int) -> float:
        is_field = bits <= self.machine.bit_field_bits or bits in (8, 16)
        return self.prices.of("and") if is_field else inf

    def _shifted_out(self, bits: int) -> float:
        distance = self.machine.word - bits
        if not self.machine.barrel_shifter or distance <= 0:
            return inf
        return self.prices.of("shift_left", distance) + self.prices.of("shift_right", distance)

    def _shifted_up(self, bits: int) -> float:
        """One to the left, before a shift to the right that then goes further."""
        distance = self.machine.word - bits
        return self.prices.of("shift_left", distance) if self.machine.barrel_shifter and distance > 0 else inf
