"""What surrounds a call in C, its rounding direction and its flags: variables of the file, or parameters."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from softfloat_py.engines.c.target import Target
from softfloat_py.engines.signature import Signature

DIRECTION, FLAGS = "direction", "flags"  # the names of the parameters


@dataclass(frozen=True, slots=True)
class Surroundings:
    """How functions know the rounding direction, and where flags gather.

    They are two variables for all functions, whose names begin with `prefix`; or, where functions are
    `reentrant`, the last two parameters of each: the direction by its value, the flags by their address.
    """

    prefix: str
    target: Target
    reentrant: bool

    @property
    def bits(self) -> int:
        """The bits of their type."""
        return min(self.target.word, 32)

    @property
    def type(self) -> str:
        """The type of both."""
        return f"uint{self.bits}_t"

    @property
    def direction(self) -> str:
        """What holds the rounding direction."""
        return DIRECTION if self.reentrant else f"{self.prefix}_rounding_direction"

    @property
    def flags(self) -> str:
        """What the flags are added to."""
        return f"*{FLAGS}" if self.reentrant else f"{self.prefix}_status_flags"

    @property
    def variables(self) -> tuple[str, ...]:
        """The names that they take in the file."""
        return () if self.reentrant else (self.direction, self.flags)

    def parameters(self, signature: Signature) -> Iterator[str]:
        """The parameters that a function has for them, behind all others."""
        if self.reentrant and signature.takes_direction:
            yield f"{self.type} {DIRECTION}"
        if self.reentrant and signature.keeps_flags:
            yield f"{self.type} *{FLAGS}"
