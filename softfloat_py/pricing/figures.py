"""Single figures of a cost model, each with its source: prices, quantities, the clock.

Every part checks itself when built and raises CostModelError listing all its faults, each beginning with the
key at fault.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum

from softfloat_py.errors import CostModelError

# Beyond these a figure has another unit: a clock in Hz or kHz, a share in per cent.
HIGHEST_MHZ = 10_000


class Standing(Enum):
    """How a figure came to be known."""

    PUBLISHED = "published"
    MEASURED = "measured"
    MEMORY = "memory"


@dataclass(frozen=True, slots=True)
class Document:
    """Where figures come from: a manual, a measurement, or common practice."""

    title: str
    revision: str = ""
    tables: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Origin:
    """Source and standing of one figure.

    `derivation` says how a figure that stands in no table follows from those that do; `note` is a caveat.
    """

    document: Document
    standing: Standing
    derivation: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        refuse("of an origin", self._faults())

    def _faults(self) -> Iterator[str]:
        if self.standing is Standing.PUBLISHED and not (self.document.revision and self.document.tables):
            yield (
                "standing must not be 'published' for a document without revision and tables, "
                f"as {self.document.title!r} is; state them, or say 'memory'"
            )


@dataclass(frozen=True, slots=True)
class Price:
    """Cycles of a step, cycles + cycles_per_n * n, for widths up to `up_to_width` bits (None: any).

    A price is for every n above `beyond_n`, and counts n from there; up to the next price's `beyond_n`.
    """

    cycles: float
    origin: Origin
    cycles_per_n: float = 0.0
    up_to_width: int | None = None
    beyond_n: int = 0

    def __post_init__(self) -> None:
        refuse("of a price", self._faults())

    def _faults(self) -> Iterator[str]:
        yield from not_negative(self, "cycles", "cycles_per_n", "beyond_n")
        if self.up_to_width is not None and self.up_to_width < 1:
            yield f"up_to_width must be at least 1 bit, not {self.up_to_width!r}"

    def at(self, n: int) -> float:
        """Cycles for a step with this n: a distance, a number of set bits, of registers."""
        return self.cycles + self.cycles_per_n * (n - self.beyond_n)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A figure that is not a time, such as a number of registers."""

    value: float
    origin: Origin


@dataclass(frozen=True, slots=True)
class Clock:
    """Usual range of the clock, and the frequency of an estimate that names none, in MHz."""

    lowest_mhz: float
    highest_mhz: float
    default_mhz: float
    origin: Origin

    def __post_init__(self) -> None:
        refuse("of a clock", self._faults())

    def _faults(self) -> Iterator[str]:
        if self.lowest_mhz <= 0:
            yield f"lowest_mhz must be above 0, not {self.lowest_mhz!r}"
        values = {key: getattr(self, key) for key in ("lowest_mhz", "highest_mhz", "default_mhz")}
        if max(values.values()) > HIGHEST_MHZ:
            for key, value in values.items():
                if value > HIGHEST_MHZ:
                    yield f"{key} must be in MHz, at most {HIGHEST_MHZ}, not {value!r}"
        elif self.highest_mhz < self.lowest_mhz:
            yield f"highest_mhz must be at least lowest_mhz ({self.lowest_mhz!r}), not {self.highest_mhz!r}"
        elif not self.lowest_mhz <= self.default_mhz <= self.highest_mhz:
            yield (
                f"default_mhz must lie between lowest_mhz ({self.lowest_mhz!r}) "
                f"and highest_mhz ({self.highest_mhz!r}), not be {self.default_mhz!r}"
            )


def refuse(what: str, faults: Iterable[str]) -> None:
    """Raise CostModelError with all faults of a part, if there are any."""
    found = list(faults)
    if found:
        raise CostModelError(what, found)


def not_negative(part: Price, *keys: str) -> Iterator[str]:
    """Faults of keys that must not be below 0."""
    for key in keys:
        value = getattr(part, key)
        if value < 0:
            yield f"{key} must be 0 or more, not {value!r}"
