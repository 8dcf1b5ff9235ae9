"""How compilers of C use a CPU: what they do with values, whatever the CPU."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Compiler:
    """The habits that the rules of pricing ask about.

    `types`: bits of the integer types that values are held in, narrowest first; wider values are cut into the
    widest. `put_away_bits`: a value that finds no register is put away whole, so many bits at a time.
    `share_moved_on_the_other_side`: of the moves for nothing but to go on after an `if`, those that stand on
    the other side. `moves_around_a_product`: of each word that a product takes the register of.
    """

    types: tuple[int, ...] = (8, 16, 32)
    put_away_bits: int = 32
    share_moved_on_the_other_side: float = 0.5
    moves_around_a_product: float = 2

    @property
    def widest_type(self) -> int:
        """Bits of the widest type."""
        return self.types[-1]


C = Compiler()
