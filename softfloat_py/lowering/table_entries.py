"""An entry of a constant table in words.

A language reads each word by the index. A CPU makes the address first: the index times the bytes of an entry,
by shifts and additions, and the place of the table, which is a constant. The words of an entry lie together;
an instruction reaches those above the lowest by a displacement or an increment of its own (common practice,
no source). What a CPU has in indexed addressing beyond that is not looked at, so an estimate may be high.
"""

from __future__ import annotations

from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.wide_addition import add, add_wrapping
from softfloat_py.lowering.wide_shifts import shift_left_constant
from softfloat_py.lowering.words import count_words, total_width
from softfloat_py.routines.language import Bits, constant, look_up, unrolled
from softfloat_py.routines.lowering_words import join_words, load_at
from softfloat_py.routines.steps import constant_width
from softfloat_py.routines.tables import Table, base_address


def looked_up(x: tuple[Bits, ...], table: Table, machine: Machine) -> tuple[Bits, ...]:
    """The entry with index x, in words."""
    result: tuple[Bits, ...] = ()
    if machine.habits.address_bits:
        address = joined(address_of(x, table, machine))
        for place in unrolled(count_words(table.width, machine.word)):
            result = (*result, load_at(table.word(place, machine.word), address))
    else:
        index = joined(x[: count_words(constant_width(len(table.entries) - 1), machine.word)])
        for place in unrolled(count_words(table.width, machine.word)):
            result = (*result, look_up(table.word(place, machine.word), index))
    return result


def address_of(x: tuple[Bits, ...], table: Table, machine: Machine) -> tuple[Bits, ...]:
    """Where the entry with index x begins: the index times the bytes of an entry, which is the sum of the
    index at each power of two in them, behind the beginning of the table.
    """
    offset: tuple[Bits, ...] = ()
    bits = total_width(x, machine.word)
    for place in unrolled(table.stride.bit_length()):
        if table.stride >> place & 1:
            part = shift_left_constant(x, place, bits + place, machine)
            offset = add(offset, part, bits + place + 1, machine) if offset else part
    width = machine.habits.address_bits
    return add_wrapping(offset, in_words(base_address(width), width, machine.word), width, machine)


def in_words(value: int, width: int, word: int) -> tuple[Bits, ...]:
    """A constant in full words."""
    result: tuple[Bits, ...] = ()
    for low in unrolled(0, width, word):
        result = (*result, constant(value >> low & ((1 << word) - 1), word))
    return result


def joined(x: tuple[Bits, ...]) -> Bits:
    """Words as one value, in registers that an instruction takes together."""
    result = x[0]
    for index in unrolled(1, len(x)):
        result = join_words(result, x[index])
    return result
