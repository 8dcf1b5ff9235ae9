"""What a Number and an array ask of the system they are in.

A binary format is one (`numbers/formats.py`). It makes values, so that no module needs to know which classes
there are to hold encodings.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import Any


class NumberSystem(ABC):
    """Encodings of some width, what they mean, and the values made of them."""

    __slots__ = ()

    name: str

    @property
    @abstractmethod
    def width(self) -> int:
        """Bits of an encoding."""

    @abstractmethod
    def value_of(self, bits: Any) -> Any:
        """A Number or, for an array with dimensions, a FloatArray with encodings known to be legal."""
