"""Constant tables read at run-time indices: the same entries on every engine and in C; harmless outside."""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import Any

import pytest

from softfloat_py.engines import plain, stepwise
from softfloat_py.engines.c.files import Function, Unit
from softfloat_py.engines.c.target import Target, target_for
from softfloat_py.engines.signature import Meaning, Signature, Value
from softfloat_py.errors import WidthError
from softfloat_py.integer_form.grammar import Program
from softfloat_py.integer_form.reader import read
from softfloat_py.routines.language import Bits, Routine, look_up, phase, resize, select
from softfloat_py.routines.tables import Table
from softfloat_py.views.listing import step_sections
from tests.engines.compiled_c import compile_unit, numbers_of, table_of
from tests.engines.random_runs import TARGETS, Sample, differences, differences_in_c, sample_of

draw = Random(12)
# Readings of a buoy by sea state, of widths that take one word and several, in no power of two of entries.
FLAGS = Table((1, 0, 0, 1, 1), name="flags")
PERIODS = Table((3, 4, 6, 7, 9, 11), name="periods")
HEIGHTS = Table(tuple(draw.getrandbits(20) for _ in range(9)), 20, "heights")
ENERGIES = Table(tuple(draw.getrandbits(36) for _ in range(8)), 36, "energies")
SPECTRA = Table(tuple(draw.getrandbits(100) for _ in range(33)), 100, "spectra")
ALL = (FLAGS, PERIODS, HEIGHTS, ENERGIES, SPECTRA)


def one_table(x: Bits, table: Table) -> Bits:
    """An entry, and what it is for an index that has none."""
    if x < len(table.entries):
        return look_up(table, x)
    return resize(x & 1, table.width)


def all_tables(x: Bits, y: Bits, direction: Bits) -> Bits:
    """Entries of every width, with indices computed before, some of them the same for all elements."""
    state = x & 7
    entry = look_up(SPECTRA, y & 31) ^ look_up(ENERGIES, state)
    if state < 5:
        entry = entry ^ (look_up(HEIGHTS, state + 4) << 40) ^ look_up(FLAGS, state)
    if x < y:
        if direction < 5:
            entry = entry ^ (look_up(PERIODS, direction) << 70)
    return (
        entry ^ look_up((5, 1), x > y) ^ select(state < 6, look_up(PERIODS, select(state < 6, state, 0)), y)
    )


def wide_index(x: Bits) -> Bits:
    """An index in more bits than any word has."""
    if x < 9:
        return look_up(HEIGHTS, x)
    return resize(look_up(ENERGIES, resize(x & 3, 70)) & 255, 20)


def program_of(routine: Routine, widths: dict[str, int], **fixed: Any) -> Program:
    """The integer form."""
    return read(routine, widths, fixed, uniform=("direction",))


WIDTHS = {"x": 8, "y": 8, "direction": 3}


def test_all_engines_read_the_same_entries() -> None:
    """Tables of any width, with any index, also where the index is outside for who is not concerned."""
    assert [] == differences(sample_of(all_tables, WIDTHS, 3, range(8)))


@pytest.mark.parametrize("target", TARGETS, ids=str)
def test_c_for_any_target_reads_the_same_entries(target: Target, tmp_path: Path) -> None:
    """Of any width, whatever the words."""
    assert [] == differences_in_c([sample_of(all_tables, WIDTHS, 3)], target, tmp_path)


def test_index_may_be_wider_than_a_word() -> None:
    """Only its value counts."""
    rows: list[tuple[int, ...]] = [(value,) for value in (0, 1, 8, 9, 255, (1 << 70) - 1, 5 << 65)]

    assert [] == differences(Sample(wide_index, {"x": 70}, {0: rows}))


def test_index_without_an_entry_is_an_error() -> None:
    """The engines that check say what must hold."""
    program = program_of(periods, {"x": 8})
    with pytest.raises(WidthError, match="an index must be less than the number of entries: look_up of"):
        periods(Bits(6, 8))
    with pytest.raises(WidthError, match="an index must be less than the number of entries: look_up of"):
        stepwise.run(program, (6,))


def periods(x: Bits) -> Bits:
    """A period, whatever the index."""
    phase("unpack")
    return look_up(PERIODS, x)


@pytest.mark.parametrize("word", [8, 16, 32, 64])
@pytest.mark.parametrize("reentrant", [False, True])
def test_c_reads_the_same_entries(word: int, reentrant: bool, tmp_path: Path) -> None:
    """Each entry of every table, by functions that share the tables, with all warnings on."""
    unit = unit_of_tables(word, reentrant)
    compiled = compile_unit(unit, tmp_path)
    for function in unit.functions:
        run: Any = plain.compiled(function.program).run
        (results,), _ = compiled.run(function, [table_of(range(256))], 0)

        assert [int(run(x)[0]) for x in range(256)] == numbers_of(results)


def unit_of_tables(word: int, reentrant: bool = False) -> Unit:
    """Functions of an index, one a table and one more."""
    functions = [c_function(f"entry_of_{table.name}", table) for table in ALL]
    functions.append(c_function("entry_again", SPECTRA))
    return Unit("buoy", "Tables.", "", target_for(word), tuple(functions), reentrant)


def c_function(name: str, table: Table) -> Function:
    """A function of an index."""
    program = program_of(one_table, {"x": 8}, table=table)
    index = Value("x", 8, Meaning.UNSIGNED)
    entry = Value("result", table.width, Meaning.UNSIGNED, f"entry{table.width}")
    return Function(name, "An entry.", program, Signature((index,), (entry,), False, False))


def source(word: int, *functions: Function) -> str:
    """The C source of functions."""
    return Unit("buoy", "Tables.", "", target_for(word), functions).source()


def test_functions_of_a_unit_share_a_table() -> None:
    """One array, of the smallest type that holds its entries; another of the same name gets another name."""
    other = Table((1, 2, 4), name="periods")
    text = source(32, c_function("a", PERIODS), c_function("b", PERIODS), c_function("c", other))

    assert [
        "SOFTFLOAT_PY_TABLE uint8_t buoy_periods[6] = {",
        "SOFTFLOAT_PY_TABLE uint8_t buoy_periods_2[3] = {",
    ] == [line for line in text.splitlines() if line.startswith("SOFTFLOAT_PY_TABLE")]


def test_array_takes_no_name_of_its_file() -> None:
    """A table called like the variable of the flags gets another name."""
    text = source(32, c_function("a", Table((1, 2, 4), name="status_flags")))

    assert "SOFTFLOAT_PY_TABLE uint8_t buoy_status_flags_2[3] = {" in text.splitlines()


def test_entry_wider_than_a_type_is_a_row_of_words() -> None:
    """The words of an entry lie together, lowest first."""
    text = source(32, c_function("a", Table((1, 5 << 64 | 9), name="rare")))

    assert "SOFTFLOAT_PY_TABLE uint32_t buoy_rare[2][3] = {\n    {1u, 0u, 0u}, {9u, 0u, 5u}\n};" in text
    assert "SOFTFLOAT_PY_ENTRY_32(buoy_rare[x_2][2])" in text


def test_listing_says_which_table_was_read() -> None:
    """A line of the listing has the step, its index and the table."""
    program = program_of(periods, {"x": 8})
    (section,) = step_sections(program, stepwise.run(program, (4,)))

    assert "look_up x.1 in periods[6]" in section.lines[0]
    assert "= 9" in section.lines[0]
