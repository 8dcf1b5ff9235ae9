"""How C passes operands and results: as the integer type that holds them, or, where the target has none that
wide, as structures of words by their address.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from softfloat_py.engines.c.surroundings import Surroundings
from softfloat_py.engines.c.target import Target
from softfloat_py.engines.signature import Meaning, Signature, Value


@dataclass(frozen=True, slots=True)
class Passed:
    """A value as C passes it on a target."""

    value: Value
    target: Target

    @property
    def name(self) -> str:
        """Its name in a declaration."""
        return self.value.name

    @property
    def bits(self) -> int | None:
        """The bits of the integer type that holds it; None where it is a structure."""
        widest = max(self.target.word, 32) if self.target.word < 32 else 64
        fitting = [bits for bits in (8, 16, 32, 64) if self.value.width <= bits <= widest]
        return fitting[0] if fitting else None

    @property
    def type(self) -> str:
        """Its C type."""
        bits = self.bits
        if self.value.meaning is Meaning.TRUTH:
            return "bool"
        if bits is None:
            return self.structure
        return f"int{bits}_t" if self.value.meaning is Meaning.SIGNED else f"uint{bits}_t"

    @property
    def structure(self) -> str:
        """The name of the structure for values like it."""
        kind = "encoding" if self.value.meaning is Meaning.NUMBER else "words"
        return f"{identifier(self.value.format)}_{kind}"


@dataclass(frozen=True, slots=True)
class Passing:
    """How a function in C takes its operands and gives its results, and the `surrounding` parameters behind
    them.
    """

    operands: tuple[Passed, ...]
    results: tuple[Passed, ...]
    surrounding: tuple[str, ...] = ()

    @property
    def by_address(self) -> bool:
        """Whether results are delivered through pointers."""
        return len(self.results) > 1 or self.results[0].bits is None

    def declaration(self, function: str) -> str:
        """The type, name and parameters of a function."""
        parameters = [
            f"{operand.type} const *{operand.name}"
            if operand.bits is None
            else f"{operand.type} {operand.name}"
            for operand in self.operands
        ]
        if self.by_address:
            parameters += [f"{result.type} *{result.name}" for result in self.results]
        kind = "void" if self.by_address else self.results[0].type
        return f"{kind} {function}({', '.join((*parameters, *self.surrounding))})"


def passing_of(signature: Signature, surroundings: Surroundings) -> Passing:
    """How what a program takes and delivers is passed."""
    target = surroundings.target
    operands, results = (
        tuple(Passed(value, target) for value in values) for values in (signature.operands, signature.results)
    )
    return Passing(operands, results, tuple(surroundings.parameters(signature)))


def identifier(name: str) -> str:
    """A name as C takes it: of ASCII's letters, digits and underscores, and with a letter first."""
    legal = re.sub(r"\W", "_", name, flags=re.ASCII)
    return legal if legal[0].isalpha() else f"format_{legal}"
