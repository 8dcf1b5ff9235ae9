"""What native steps cost on a CPU, looked up in its table once."""

from __future__ import annotations

from collections.abc import Mapping

from softfloat_py.integer_form.counting import Entry
from softfloat_py.pricing.cost_model import CostModel


class NativePrices:
    """The cycles of native steps."""

    def __init__(self, model: CostModel) -> None:
        self.model = model
        self.word = model.machine.word
        self.whole_types = model.compiler.has_whole_types
        self.saved_moves = model.compiler.moves_saved_in_expressions.value
        self._looked_up: dict[tuple[str, int, int | None], float] = {}

    def of(self, kind: str, feature: int | None = None, bits: int = 0) -> float:
        """Cycles of a step of a kind on a word; on a value of so many bits where steps are of whole types."""
        return self._cycles(kind, bits if bits and self.whole_types else self.word, feature)

    def saved(self, bits: int) -> float:
        """Cycles that a value of so many bits within an expression saves."""
        return self.saved_moves * self.of("move", bits=bits)

    def entry(self, entry: Entry) -> float:
        """Cycles of a step that is counted so."""
        return self._cycles(entry.kind, entry.width or self.word, entry.feature)

    def together(self, entries: Mapping[Entry, int]) -> float:
        """Cycles of several."""
        return sum(times * self.entry(entry) for entry, times in entries.items())

    def _cycles(self, kind: str, width: int, feature: int | None) -> float:
        key = kind, width, feature
        if key not in self._looked_up:
            self._looked_up[key] = self.model.cycles(*key)
        return self._looked_up[key]
