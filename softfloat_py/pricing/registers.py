"""The registers of a CPU, and what a step moves where they do not suffice."""

from __future__ import annotations

from typing import NamedTuple


class Registers(NamedTuple):
    """Words that instructions work on, further ones that a move brings there, and the words of a value that
    is put away whole.
    """

    working: int
    parking: int
    value: int = 1


class ExtraMoves(NamedTuple):
    """What is moved for a step besides its own work, in words, on average: copied before they are
    overwritten, parked in registers out of reach or brought back, spilled to memory or brought from there.
    """

    copied: float
    parked: float
    spilled: float


class Shares(NamedTuple):
    """The shares of all live words that are parked, and that are spilled."""

    parked: float
    spilled: float


IN_REGISTERS = Shares(0.0, 0.0)
