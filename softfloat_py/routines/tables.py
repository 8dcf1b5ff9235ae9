"""Constant tables that a routine reads at a run-time index, and how their entries lie in memory."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from softfloat_py.errors import WidthError

TYPE_BYTES = (1, 2, 4)  # of the integer types that entries lie in; what is wider takes several of the widest


@dataclass(frozen=True, slots=True)
class Table:
    """Whole numbers fixed before anything runs, one for each index from 0 up.

    `width` is the bits of an entry, those of the widest where none are stated. `name` is what listings and C
    call the table. A table may hold one word of each entry of another, its `whole`, that with number `place`
    from the lowest. Raises WidthError where there is no entry, an entry does not fit, or the name is none.

    >>> Table((3, 1, 12), name="heights")
    Table(entries=(3, 1, 12), width=4, name='heights', whole=None, place=0)
    """

    entries: tuple[int, ...]
    width: int = 0
    name: str = "table"
    whole: Table | None = None
    place: int = 0

    def __post_init__(self) -> None:
        if not self.entries or not all(type(entry) is int and entry >= 0 for entry in self.entries):
            raise WidthError(f"a table must have whole numbers of 0 and more as entries, not {self.entries}")
        if not self.name.isidentifier():
            raise WidthError(f"the name of a table must be one of Python's and C's, not {self.name!r}")
        needed = max(max(self.entries).bit_length(), 1)
        if self.width == 0:
            object.__setattr__(self, "width", needed)
        if self.width < needed:
            raise WidthError(f"entries of {self.name} must fit {self.width} bits, and take {needed}")

    def __str__(self) -> str:
        name = f"{self.name}[{len(self.entries)}]"
        return name if self.whole is None else f"{name}.{self.place}"

    @property
    def known_zeros(self) -> int:
        """How many of an entry's lowest bits are zero whatever the index is."""
        together = 0
        for entry in self.entries:
            together |= entry
        return (together & -together).bit_length() - 1 if together else self.width

    def word(self, place: int, word: int) -> Table:
        """The table of one word of each entry, `place` words of `word` bits above the lowest."""
        if self.width <= word:
            return self
        width = min(word, self.width - place * word)
        cut = tuple(entry >> (place * word) & ((1 << width) - 1) for entry in self.entries)
        return Table(cut, width, self.name, self, place)

    # -- in memory ---------------------------------------------------------------------------------

    @property
    def stride(self) -> int:
        """Bytes from one entry to the next, words of one entry lying together."""
        if self.whole is not None:
            return self.whole.stride
        size = -(-self.width // 8)
        fitting = [bytes_ for bytes_ in TYPE_BYTES if size <= bytes_]
        return fitting[0] if fitting else -(-size // TYPE_BYTES[-1]) * TYPE_BYTES[-1]

    def index_at(self, address: int, address_bits: int) -> int | None:
        """The index of the entry at an address; None where there is none."""
        index, inside = divmod((address - base_address(address_bits)) % (1 << address_bits), self.stride)
        return index if inside == 0 and index < len(self.entries) else None


def table_of(entries: Table | Sequence[int]) -> Table:
    """A table as it is; of other numbers, one without a name. Raises WidthError as `Table` does."""
    if isinstance(entries, Table):
        return entries
    if not isinstance(entries, Sequence):
        raise WidthError(f"a table must be fixed, a Table or a sequence of whole numbers, not {entries}")
    return Table(tuple(entries))


def base_address(address_bits: int) -> int:
    """Where a table begins, for counting: an address of which nothing is known, with bits set all over it."""
    return (1 << address_bits) // 3
