"""What the meaning of a step is said in: arithmetic on values of any kind, whole numbers being one of them.

A row of `steps` combines these words, so that numbers, program text and the terms of a prover are instances
of one meaning. A value never exceeds its width; an instance that needs widths is told them.
"""
# ruff: noqa: D102 (the words are explained in `Algebra`)

from __future__ import annotations

from typing import Protocol, TypeVar

from softfloat_py.routines.tables import Table

T = TypeVar("T")


class Algebra(Protocol[T]):
    """Arithmetic on unsigned values. Widths are in bits; `width` is that of x where nothing else is said."""

    def add(self, x: T, y: T) -> T:
        """x + y, with all its bits."""

    def add_wrapping(self, x: T, y: T, width: int) -> T:
        """The lowest `width` bits of x + y."""

    def subtract(self, x: T, y: T) -> T:
        """x - y, which is not negative."""

    def subtract_wrapping(self, x: T, y: T, width: int) -> T:
        """The lowest `width` bits of x - y."""

    def multiply(self, x: T, y: T) -> T:
        """x y, with all its bits."""

    def quotient(self, x: T, y: T) -> T:
        """x divided by y, which is not zero, rounded down."""

    def conjunction(self, x: T, y: T) -> T:
        """The bits set in both."""

    def disjunction(self, x: T, y: T) -> T:
        """The bits set in one or both."""

    def difference(self, x: T, y: T) -> T:
        """The bits set in just one: exclusive or."""

    def complement(self, x: T, width: int) -> T:
        """The bits not set."""

    def lowest(self, x: T, width: int) -> T:
        """The lowest `width` bits of x."""

    def raise_by(self, x: T, width: int, places: int) -> T:
        """x shifted left by a fixed number of places, none of its bits lost."""

    def lower_by(self, x: T, width: int, places: int) -> T:
        """x shifted right by a fixed number of places."""

    def shift_left(self, x: T, distance: T, width: int) -> T:
        """x shifted left, which `width` bits hold."""

    def shift_right(self, x: T, distance: T) -> T:
        """x shifted right."""

    def equal(self, x: T, y: T) -> T:
        """Whether x = y: 0 or 1."""

    def not_equal(self, x: T, y: T) -> T:
        """Whether they differ."""

    def less(self, x: T, y: T) -> T:
        """Whether x < y."""

    def less_or_equal(self, x: T, y: T) -> T:
        """Whether x <= y."""

    def choose(self, condition: T, x: T, y: T, width: int) -> T:
        """x where the condition, of one bit, holds, else y; `width` bits hold both."""

    def leading_zeros(self, x: T, width: int) -> T:
        """Zero bits above the highest set bit."""

    def entry(self, table: Table, index: T) -> T:
        """The entry of a table at an index that has one."""

    def entry_at(self, table: Table, address: T, width: int) -> T:
        """The entry at an address of `width` bits that has one."""


class Numbers:
    """The algebra of Python's whole numbers: what steps compute when they are run one by one."""

    def add(self, x: int, y: int) -> int:
        return x + y

    def add_wrapping(self, x: int, y: int, width: int) -> int:
        return (x + y) & ones(width)

    def subtract(self, x: int, y: int) -> int:
        return x - y

    def subtract_wrapping(self, x: int, y: int, width: int) -> int:
        return (x - y) & ones(width)

    def multiply(self, x: int, y: int) -> int:
        return x * y

    def quotient(self, x: int, y: int) -> int:
        return x // y

    def conjunction(self, x: int, y: int) -> int:
        return x & y

    def disjunction(self, x: int, y: int) -> int:
        return x | y

    def difference(self, x: int, y: int) -> int:
        return x ^ y

    def complement(self, x: int, width: int) -> int:
        return x ^ ones(width)

    def lowest(self, x: int, width: int) -> int:
        return x & ones(width)

    def raise_by(self, x: int, width: int, places: int) -> int:
        return x << places

    def lower_by(self, x: int, width: int, places: int) -> int:
        return x >> places

    def shift_left(self, x: int, distance: int, width: int) -> int:
        return x << distance

    def shift_right(self, x: int, distance: int) -> int:
        return x >> distance

    def equal(self, x: int, y: int) -> int:
        return int(x == y)

    def not_equal(self, x: int, y: int) -> int:
        return int(x != y)

    def less(self, x: int, y: int) -> int:
        return int(x < y)

    def less_or_equal(self, x: int, y: int) -> int:
        return int(x <= y)

    def choose(self, condition: int, x: int, y: int, width: int) -> int:
        return x if condition else y

    def leading_zeros(self, x: int, width: int) -> int:
        return width - x.bit_length()

    def entry(self, table: Table, index: int) -> int:
        return table.entries[index]

    def entry_at(self, table: Table, address: int, width: int) -> int:
        index = table.index_at(address, width)
        assert index is not None
        return table.entries[index]


NUMBERS = Numbers()


def ones(width: int) -> int:
    """The number of so many set bits."""
    return (1 << width) - 1
