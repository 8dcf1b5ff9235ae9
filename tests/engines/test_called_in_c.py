"""Routines that are called, in C: static functions of their file, which give the same bits and flags."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest

from softfloat_py.c_export import c_unit
from softfloat_py.engines import plain
from softfloat_py.engines.c.files import Unit
from softfloat_py.engines.c.target import target_for
from softfloat_py.environment import Rounding
from softfloat_py.formats import BinaryFormat
from softfloat_py.numbers.formats import binary32, binary64
from softfloat_py.operations import Operation
from softfloat_py.options import COMPLETE, LEAN, Options
from softfloat_py.routines.language import Bits
from softfloat_py.uses import Use
from tests.engines.compiled_c import compile_unit, numbers_of, table_of
from tests.engines.running import run_generated
from tests.integer_form import called_routines

OPERANDS = [
    0x3FC00000, 0x3EE00000, 0xBFC00000, 0x00000001, 0x7F7FFFFF, 0x7F800000, 0x7FA00000, 0x33800000,
]  # fmt: skip


def added_once_more(x: Bits, y: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x + y, by a call of the routine that another operation calls."""
    return called_routines.summed(x, y, direction, fmt, options)


def operation(name: str) -> Operation:
    """An operation that calls, under any name."""
    return Operation(name, "5.4.1", added_once_more, ("x", "y"), rounds=True)


ADDED = operation("added")


def unit_of(word: int, options: Options, fmt: BinaryFormat = binary32, *, reentrant: bool = False) -> Unit:
    """Two operations that call one routine."""
    uses = [Use(each, fmt, options) for each in (called_routines.TWICE_ADDED, ADDED)]
    return c_unit(uses, target_for(word), reentrant=reentrant)


@pytest.mark.parametrize("word", [8, 16, 32, 64])
@pytest.mark.parametrize("options", [COMPLETE, LEAN], ids=lambda options: options.name)
@pytest.mark.parametrize("reentrant", [False, True], ids=["variables", "reentrant"])
def test_called_functions_give_the_bits_and_flags(
    word: int, options: Options, reentrant: bool, tmp_path: Path
) -> None:
    """Compiled, both operations that call deliver and raise what the plain engine says, in all directions."""
    unit = unit_of(word, options, reentrant=reentrant)
    compiled = compile_unit(unit, tmp_path)
    rows = list(product(OPERANDS, OPERANDS))
    operands = [table_of(column) for column in zip(*rows, strict=True)]
    for function in unit.functions:
        run = plain.compiled(function.program)
        for direction in Rounding if function.signature.takes_direction else [Rounding.TIES_TO_EVEN]:
            last = (int(direction),) if function.signature.takes_direction else ()
            expected = [run_generated(run, (*row, *last))[0] for row in rows]
            results, flags = compiled.run(function, operands, int(direction))

            assert [row[0] for row in expected] == numbers_of(results[0])
            assert not options.flags or [row[1] for row in expected] == flags


def test_two_operations_share_what_they_call() -> None:
    """One static function stands in the source, before those that call it, and none in the header."""
    unit = unit_of(32, LEAN)
    source = unit.source()
    heading = "static uint32_t binary32_summed(uint32_t x, uint32_t y)"

    assert 1 == source.count(heading)
    assert source.index(heading) < source.index("uint32_t binary32_twice_added(")
    assert 3 == source.count("binary32_summed(") - 1
    assert "summed" not in unit.header()


def test_called_function_gets_a_name_that_is_free() -> None:
    """A routine called like an operation of the same file gets another name."""
    uses = [Use(each, binary32, LEAN) for each in (operation("summed"), ADDED)]
    unit = c_unit(uses, target_for(32))

    assert "static uint32_t binary32_summed_2(uint32_t x, uint32_t y)" in unit.source()


def test_words_go_into_a_called_function() -> None:
    """What the target holds in two words is handed over, and comes out, as two."""
    source = unit_of(32, LEAN, binary64).source()

    assert (
        "static void binary64_summed(uint32_t x_0, uint32_t x_1, uint32_t y_0, uint32_t y_1, "
        "uint32_t *result_0, uint32_t *result_1)" in source.replace("\n", " ")
    )
