"""What a number system is, values aside: what operations, tallies and prices ask of a format.

A binary format is one (`formats.py`). Systems that make values, which are what numbers and arrays ask, are in
`numbers/value_system.py`.
"""

from __future__ import annotations

from abc import abstractmethod
from typing import TYPE_CHECKING, Any, Protocol, runtime_checkable

if TYPE_CHECKING:
    from random import Random


@runtime_checkable
class NumberSystem(Protocol):
    """Encodings of some width, and what they mean; hashable, and equal to one with the same parameters."""

    __slots__ = ()

    @property
    @abstractmethod
    def name(self) -> str:
        """What reports call it."""

    @property
    @abstractmethod
    def kind(self) -> str:
        """The kind of number system, by which its operations are found in `operations.TABLES`."""

    @property
    @abstractmethod
    def name_in_full(self) -> str:
        """The name with what tells apart systems that share it."""

    @property
    @abstractmethod
    def is_named(self) -> bool:
        """Whether it is one of the library's own, which its name alone says."""

    @property
    @abstractmethod
    def width(self) -> int:
        """Bits of an encoding."""

    @property
    @abstractmethod
    def twin(self) -> NumberSystem:
        """The system that routines compute in: itself, unless an encoding stores what can be left out."""

    @property
    @abstractmethod
    def special_magnitudes(self) -> tuple[int, int]:
        """The bits of a magnitude, and the lowest one that is an infinity or a NaN; (0, 1) if none is.

        A tally notes where one comes of numbers. Where flags are kept it relies on them: but for next_up and
        next_down, an operation must then raise invalid operation, division by zero or overflow.
        """

    @abstractmethod
    def is_finite(self, bits: int) -> bool:
        """Whether an encoding is a number."""

    @abstractmethod
    def is_nan(self, bits: int) -> bool:
        """Whether an encoding is neither a number nor an infinity."""

    @abstractmethod
    def typical_encoding(self, random: Random, exponents: int, negative: bool) -> int:
        """A random number as programs have them, its exponent at the most so far from 0 if it has one."""

    @abstractmethod
    def parameters_to_save(self) -> dict[str, Any]:
        """What a file says of the system, in JSON's types; `numbers.systems.system_of` reads it."""

    def __hash__(self) -> int:
        """By the parameters, as frozen dataclasses have it."""
        return hash(self.name)
