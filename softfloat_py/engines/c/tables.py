"""The constant tables of a C source: one array a table, shared by all functions that read it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from textwrap import wrap

from softfloat_py.engines.c.placement import TABLE, TABLE_MACROS
from softfloat_py.engines.c.spellings import entry_bits, number
from softfloat_py.engines.c.target import Target
from softfloat_py.engines.text import free_name
from softfloat_py.integer_form.grammar import Program
from softfloat_py.lowering.words import count_words
from softfloat_py.routines.tables import Table

LINE = 100  # characters of a line of numbers


def named_tables(programs: Iterable[Program], prefix: str, taken: Iterable[str]) -> dict[Table, str]:
    """The tables that programs read, whole ones, each with a name that no other has, nor is taken."""
    immediates = (step.immediate for program in programs for step in program.body.all_steps())
    tables = dict.fromkeys(table.whole or table for table in immediates if isinstance(table, Table))
    names: dict[Table, str] = {}
    used = set(taken)
    for table in tables:
        names[table] = free_name(f"{prefix}_{table.name}", used)
        used.add(names[table])
    return names


def definitions(tables: Mapping[Table, str], target: Target) -> Iterator[str]:
    """The lines that define the arrays, behind the macros that place and read them; an entry wider than any
    type is a row of words, lowest first.
    """
    if tables:
        yield from (*TABLE_MACROS, "")
    for table, name in tables.items():
        bits = entry_bits(table, target)
        words = count_words(table.width, bits)
        sizes = f"[{len(table.entries)}]" + (f"[{words}]" if words > 1 else "")
        entries = ", ".join(_entry(entry, words, bits) for entry in table.entries)
        yield f"{TABLE} uint{bits}_t {name}{sizes} = {{"
        yield from wrap(entries, LINE, initial_indent="    ", subsequent_indent="    ")
        yield from ("};", "")


def _entry(entry: int, words: int, bits: int) -> str:
    if words == 1:
        return number(entry, bits)
    parts = (entry >> (place * bits) & ((1 << bits) - 1) for place in range(words))
    return "{" + ", ".join(number(part, bits) for part in parts) + "}"
