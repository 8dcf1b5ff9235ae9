"""Every committed cost model: its figures have sources, it prices, and siblings stand in the right order.

Orders are those of the manuals the models name; nothing here is a figure of the library's own.
"""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from importlib.resources import files
from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.lowering.machine import Habits
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import LEAN
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.figures import Origin, Standing
from softfloat_py.pricing.program_price import AROUND_CALLS
from softfloat_py.pricing.table_reader import cost_model, cost_models, usual_compiler

NAMES = cost_models()
ACCUMULATOR_MACHINES = (
    "6502",
    "6809",
    "8051",
    "8051-one-clock",
    "8085",
    "hcs08",
    "pic16",
    "pic18",
    "rl78",
    "sm83",
    "stm8",
    "z180",
    "z80",
)

# Word, carry flag, shifts by any distance in one instruction, widest exact product, leading-zero count.
# From the instruction sets: what ADD adds; whether there is an addition with carry, a shift by a register, a
# product and of what width; CLZ, NSAU, BFFFO or BSR. On the SH-2 a few shifts make any distance.
ABILITIES = {
    "6502": (8, True, False, 0, False),
    "6809": (8, True, False, 8, False),
    "80286": (16, True, True, 16, False),
    "80386": (32, True, True, 32, True),
    "8051": (8, True, False, 8, False),
    "8051-one-clock": (8, True, False, 8, False),
    "8085": (8, True, False, 0, False),
    "8086": (16, True, True, 16, False),
    "8088": (16, True, True, 16, False),
    "arm7tdmi": (32, True, True, 32, False),
    "atmega": (8, True, False, 8, False),
    "atmega2560": (8, True, False, 8, False),
    "attiny": (8, True, False, 0, False),
    "avrxm": (8, True, False, 8, False),
    "avrxt": (8, True, False, 8, False),
    "cortex-m0": (32, True, True, 16, False),
    "cortex-m0plus": (32, True, True, 16, False),
    "cortex-m0plus-small-multiplier": (32, True, True, 16, False),
    "cortex-m23": (32, True, True, 16, False),
    "cortex-m3": (32, True, True, 32, True),
    "cortex-m33": (32, True, True, 32, True),
    "cortex-m4": (32, True, True, 32, True),
    "esp32-c3": (32, False, True, 32, False),
    "h8-300": (8, True, False, 8, False),
    "hcs08": (8, True, False, 8, False),
    "lx106": (32, False, True, 16, True),
    "m4k": (32, False, True, 32, True),
    "mc68000": (32, True, True, 16, False),
    "mc68020": (32, True, True, 32, True),
    "mc68030": (32, True, True, 32, True),
    "msp430": (16, True, False, 0, False),
    "msp430-multiplier": (16, True, False, 16, False),
    "pic16": (8, True, False, 0, False),
    "pic18": (8, True, False, 8, False),
    "pic24": (16, True, True, 16, True),
    "picorv32": (32, False, True, 32, False),
    "r3000": (32, False, True, 32, False),
    "rl78": (16, True, True, 16, False),
    "rv32ec-qingke": (32, False, True, 0, False),
    "rv32ic-ibex": (32, False, True, 0, False),
    "rv32im-neorv32": (32, False, True, 32, False),
    "rv32imc-hazard3": (32, False, True, 32, True),
    "rv32imc-ibex": (32, False, True, 32, False),
    "sh-2": (32, True, True, 32, False),
    "sm83": (8, True, False, 0, False),
    "stm8": (8, True, False, 8, False),
    "z180": (8, True, False, 8, False),
    "z80": (8, True, False, 0, False),
}

# General registers that instructions can name, or bytes on accumulator machines: the zero page, directly
# addressed internal memory, file registers of a bank with the common ones.
REGISTERS = {
    "6502": 256,
    "6809": 256,
    "80286": 8,
    "80386": 8,
    "8051": 128,
    "8051-one-clock": 8,
    "8085": 7,
    "8086": 8,
    "8088": 8,
    "arm7tdmi": 16,
    "atmega": 32,
    "atmega2560": 32,
    "attiny": 32,
    "avrxm": 32,
    "avrxt": 32,
    "cortex-m0": 16,
    "cortex-m0plus": 16,
    "cortex-m0plus-small-multiplier": 16,
    "cortex-m23": 16,
    "cortex-m3": 16,
    "cortex-m33": 16,
    "cortex-m4": 16,
    "esp32-c3": 32,
    "h8-300": 16,
    "hcs08": 256,
    "lx106": 16,
    "m4k": 32,
    "mc68000": 16,
    "mc68020": 16,
    "mc68030": 16,
    "msp430": 16,
    "msp430-multiplier": 16,
    "pic16": 80 + 16,
    "pic18": 256,
    "pic24": 16,
    "picorv32": 32,
    "r3000": 32,
    "rl78": (256 - 32 - 32) // 2,
    "rv32ec-qingke": 16,
    "rv32ic-ibex": 32,
    "rv32im-neorv32": 32,
    "rv32imc-hazard3": 32,
    "rv32imc-ibex": 32,
    "sh-2": 16,
    "sm83": 7,
    "stm8": 256,
    "z180": 7,
    "z80": 7,
}

# Single instructions as the documents print them, in clocks.
PRINTED = [
    # Arm DDI0432C, Cortex-M0 Technical Reference Manual, Table 3-1: B taken, BL, BX, MULS.
    (3, "cortex-m0", "branch_taken", 1, None),
    (4, "cortex-m0", "call", 32, None),
    (3, "cortex-m0", "return", 32, None),
    (1, "cortex-m0", "multiply", 16, 8),
    # Arm DDI0337, Cortex-M3 Technical Reference Manual, Table 3.1: CLZ, MUL.
    (1, "cortex-m3", "count_leading_zeros", 32, 3),
    (1, "cortex-m3", "multiply", 16, 8),
    ((2 + 12) / 2, "cortex-m3", "divide", 31, None),
    ((2 + 12) / 2, "cortex-m4", "divide", 31, None),
    (1 + 37, "rv32imc-ibex", "divide", 31, None),
    (18, "rv32imc-hazard3", "divide", 31, None),
    (35, "rv32im-neorv32", "divide", 31, None),
    (26, "m4k", "divide", 24, None),
    (33, "m4k", "divide", 31, None),
    (35 + 1, "r3000", "divide", 31, None),
    (140, "mc68000", "divide", 31, None),
    (78, "mc68020", "divide", 31, None),
    ((144 + 162) / 2, "8086", "divide", 31, None),
    (2 + 38, "80386", "divide", 31, None),
    (38, "80386", "divide", 64, None),
    # Microchip DS40002198C, AVR Instruction Set Manual: RCALL on AVRe, CALL on AVRxt, RET, MUL.
    (3, "attiny", "call", 8, None),
    (3, "avrxt", "call", 8, None),
    (4, "avrxt", "return", 8, None),
    (2 + 1 + 1 + 2, "avrxt", "multiply", 8, 4),
    # Hazard3 documentation, Instruction timings: MUL 1 and MULHU 1, branch taken.
    (1 + 1, "rv32imc-hazard3", "multiply", 32, 9),
    (2, "rv32imc-hazard3", "branch_taken", 1, None),
    # NEORV32 data sheet, commit 02f84c95: serial shift 3 + n, MUL 35 and MULHU 35, branches 6 and 3.
    (3 + 20, "rv32im-neorv32", "shift_right", 32, 20),
    (35 + 35, "rv32im-neorv32", "multiply", 32, 9),
    (6, "rv32im-neorv32", "branch_taken", 1, None),
    (3, "rv32im-neorv32", "branch_not_taken", 1, None),
    # mspgcc manual, Instruction timing: Rm,Rn; jumps; MOV @SP+,PC; two stores of 4 and two loads of 3, with
    # PUSH, DINT and NOP before them and MOV @SP+,SR after them.
    (1, "msp430", "add_with_carry", 17, None),
    (2, "msp430", "branch_taken", 1, None),
    (2, "msp430", "branch_not_taken", 1, None),
    (3, "msp430", "return", 16, None),
    (3 + 1 + 1 + 4 + 4 + 3 + 3 + 2, "msp430-multiplier", "multiply", 16, 8),
    # Motorola MC68020UM, 8.2.12 and 8.2.14, cache case: LSL by a constant, by a register, ROXL, BFFFO.
    (4, "mc68020", "shift_left", 32, 9),
    (6, "mc68020", "shift_right_variable", 32, 9),
    (12, "mc68020", "shift_left_through_carry", 33, None),
    (18, "mc68020", "count_leading_zeros", 32, 9),
    # 8086 Family User's Manual, Table 2-21, or 4 clocks for each word of an instruction, whichever is longer:
    # ADC r,r 3, MOV r,r 2 and shift by 1 2, a word each; MUL r16 118 to 133, MOV before and after it; CALL.
    (4, "8086", "add_with_carry", 17, None),
    (4, "8086", "move", 16, None),
    (4, "8086", "shift_left", 16, 1),
    ((118 + 133) / 2 + 4 + 2 + 2, "8086", "multiply", 16, 8),
    (19, "8086", "call", 16, None),
    # 80386 Programmer's Reference Manual, chapter 17: ADC, SHL, RCL, Jcc not taken; MUL r32 at most 38.
    (2, "80386", "add_with_carry", 33, None),
    (3, "80386", "shift_left_variable", 32, 9),
    (9, "80386", "shift_left_through_carry", 33, None),
    (3, "80386", "branch_not_taken", 1, None),
    (38, "80386", "multiply", 32, 9),
    # The same, CALL and RET with a program counter of 22 bits.
    (5, "atmega2560", "call", 8, None),
    (5, "atmega2560", "return", 8, None),
    # HelpPC 2.10, columns of the 80286: SHL by one 2, by a count 5 + n; DIV r16 22.
    (22, "80286", "divide", 31, None),
    (3 * 2, "80286", "shift_left", 16, 3),
    (5 + 9, "80286", "shift_left", 16, 9),
    # PicoRV32 README: shifts from 4 to 14 cycles, four places or one in each; MUL 40 and MULHU 72; JAL, JALR.
    (4, "picorv32", "shift_left", 32, 0),
    (4 + 2 + 1, "picorv32", "shift_left", 32, 9),
    (14, "picorv32", "shift_right_variable", 32, 31),
    (40 + 72, "picorv32", "multiply", 32, 9),
    (3, "picorv32", "call", 32, None),
    (6, "picorv32", "return", 32, None),
    # Arm DDI 0029E, ARM7TDMI data sheet, chapter 10: a data operation; one with a distance in a register.
    (1, "arm7tdmi", "add_with_carry", 33, None),
    (1 + 1, "arm7tdmi", "shift_left_variable", 32, 9),
    # Zilog UM008007, Z80 CPU User Manual: JP cc either way, CALL.
    (10, "z80", "branch_taken", 1, None),
    (10, "z80", "branch_not_taken", 1, None),
    (17, "z80", "call", 8, None),
    # 6502 instruction reference: LDA zp 3 and CMP zp 3; ROL zp 5; branches.
    (3 + 3, "6502", "compare", 8, None),
    (5, "6502", "shift_left_through_carry", 9, None),
    (3, "6502", "branch_taken", 1, None),
    (2, "6502", "branch_not_taken", 1, None),
    # SH-1/SH-2 Programming Manual: SHLL8, SHLL2; SHLR16, back by SHLL2, SHLR16; SHLL, MOVT.
    (1 + 1, "sh-2", "shift_left", 32, 10),
    (1 + 1 + 1, "sh-2", "shift_right", 32, 30),
    (1 + 1, "sh-2", "shift_right", 32, 31),
    # Atmel doc0509, 8051 instruction set: MOV A,Rn, ADDC A,Rn, MOV Rn,A 12 each; RET; MUL AB 48 and moves.
    (12 + 12 + 12, "8051", "add_with_carry", 9, None),
    (24, "8051", "return", 8, None),
    (12 + 24 + 48 + 12 + 24, "8051", "multiply", 8, 4),
    # PIC16F1 data sheets, Instruction Set Summary: MOVF, ADDWFC, MOVWF of 4 clocks; RETURN of 8.
    (4 + 4 + 4, "pic16", "add_with_carry", 9, None),
    (8, "pic16", "return", 8, None),
]

# A step that is dearer on the first CPU than on the second, with a width and an n that both have.
DEARER_STEPS = [
    ("cortex-m0", "cortex-m0plus", "branch_taken", 1, None),
    ("cortex-m0", "cortex-m0plus", "call", 32, None),
    ("cortex-m0plus-small-multiplier", "cortex-m0plus", "multiply", 16, 8),
    ("cortex-m3", "cortex-m4", "multiply", 32, 16),
    ("rv32imc-ibex", "rv32imc-hazard3", "multiply", 32, 16),
    ("rv32im-neorv32", "rv32imc-ibex", "multiply", 32, 16),
    ("rv32im-neorv32", "rv32imc-ibex", "shift_left", 32, 1),
    ("atmega", "attiny", "call", 8, None),
    ("atmega", "avrxt", "call", 8, None),
    ("mc68000", "mc68020", "multiply", 16, 0),
    ("mc68000", "mc68020", "shift_right_variable", 32, 1),
    ("8086", "80386", "multiply", 16, 8),
    ("8086", "80386", "shift_left_variable", 16, 0),
    ("r3000", "m4k", "multiply", 32, 16),
    ("pic16", "pic18", "branch_taken", 1, None),
    ("arm7tdmi", "cortex-m3", "load", 32, None),
    ("arm7tdmi", "cortex-m3", "shift_left_variable", 32, 9),
    ("cortex-m3", "cortex-m33", "branch_taken", 1, None),
    ("atmega2560", "atmega", "call", 8, None),
    ("avrxm", "avrxt", "load", 8, None),
    ("z80", "z180", "load", 8, None),
    ("sm83", "z80", "call", 8, None),
    ("8086", "80286", "multiply", 16, 8),
    ("80286", "80386", "shift_left_variable", 16, 9),
    ("mc68020", "mc68030", "load", 32, None),
    ("mc68030", "mc68020", "multiply", 32, 16),
    ("8088", "8086", "load", 16, None),
    ("8088", "8086", "add", 16, None),
    ("picorv32", "rv32im-neorv32", "multiply", 32, 16),
    ("rv32im-neorv32", "picorv32", "shift_left", 32, 31),
]

# An operation that takes longer on the first CPU, by what the manuals say of their differences.
DEARER_OPERATIONS = [
    ("attiny", "atmega", "multiplication", "MUL is all that differs"),
    ("msp430", "msp430-multiplier", "multiplication", "the multiplier is all that differs"),
    ("pic16", "pic18", "multiplication", "MULWF"),
    ("cortex-m0plus-small-multiplier", "cortex-m0plus", "multiplication", "MULS in 32 cycles or in 1"),
    ("cortex-m0", "cortex-m0plus", "addition", "branches"),
    ("8051", "8051-one-clock", "addition", "12 clocks a machine cycle"),
    ("8051", "8051-one-clock", "multiplication", "12 clocks a machine cycle"),
    ("atmega", "avrxt", "addition", "PUSH and CALL"),
    ("mc68000", "mc68020", "addition", "16-bit data path"),
    ("mc68000", "mc68020", "multiplication", "16-bit data path"),
    ("8086", "80386", "addition", "16-bit words"),
    ("8086", "80386", "multiplication", "16-bit words"),
    ("rv32imc-ibex", "rv32imc-hazard3", "multiplication", "MUL and branches"),
    ("rv32ec-qingke", "rv32imc-ibex", "multiplication", "no MUL"),
    ("rv32im-neorv32", "rv32imc-ibex", "addition", "two cycles an instruction and more"),
    ("r3000", "m4k", "multiplication", "MULT, conditional moves"),
    ("mc68020", "mc68030", "addition", "memory, calls and returns"),
    ("8088", "8086", "addition", "a bus of bytes"),
    ("8088", "8086", "multiplication", "a bus of bytes"),
    ("arm7tdmi", "cortex-m3", "addition", "no leading-zero count, loads and branches"),
    ("rv32ic-ibex", "esp32-c3", "multiplication", "no MUL"),
    ("picorv32", "esp32-c3", "addition", "three cycles an instruction and more"),
    ("6502", "6809", "multiplication", "no MUL"),
    ("8086", "80286", "multiplication", "clocks an instruction"),
    ("80286", "80386", "addition", "16-bit words"),
    ("z80", "z180", "addition", "clocks an instruction"),
    ("z80", "z180", "multiplication", "no MLT"),
    ("sm83", "z80", "addition", "no index registers, calls"),
    ("6502", "hcs08", "multiplication", "no MUL"),
    ("8085", "z80", "addition", "no index registers, no shifts of registers"),
]


def _parts(part: Any, path: str) -> Iterator[tuple[str, Any]]:
    """Every dataclass in a loaded model, with where it is; models for other compilers are by themselves."""
    if isinstance(part, Mapping):
        for key, item in part.items():
            yield from _parts(item, f"{path}.{key}")
    elif isinstance(part, tuple):
        for index, item in enumerate(part):
            yield from _parts(item, f"{path}[{index}]")
    elif is_dataclass(part):
        yield path, part
        for each in (each for each in fields(part) if each.name != "described"):
            yield from _parts(getattr(part, each.name), f"{path}.{each.name}")


def _has_numbers(part: Any) -> bool:
    return any(type(getattr(part, each.name)) in (int, float) for each in fields(part))


def _origins(model: CostModel) -> Iterator[tuple[str, Origin | None]]:
    """The origin of every part of a model that holds numbers, None for one that has none; a CPU by itself has
    no habits of a compiler.
    """
    assert Habits() == model.machine.habits
    for path, part in _parts(model, model.name):
        if _has_numbers(part) and part != Habits():
            yield path, model.machine_origin if part is model.machine else getattr(part, "origin", None)


def _tally_of(operation: str) -> sf.Tally:
    """One operation on two of the buoy's samples."""
    x, y = sf.binary32(1.9375), sf.binary32(-0.3125)
    with sf.environment(options=sf.LEAN), sf.counting() as tally:
        sf.addition(x, y) if operation == "addition" else sf.multiplication(x, y)
    return tally


TALLIES = {operation: _tally_of(operation) for operation in ("addition", "multiplication")}


@pytest.mark.parametrize("name", NAMES)
def test_every_number_has_a_source_and_a_standing(name: str) -> None:
    """All that holds a number in a loaded model, for each compiler that it describes, says which document it
    is from and how it is known.
    """
    for model in cost_model(name).described.values():
        origins = dict(_origins(model))
        assert len(origins) > 20
        assert [] == [path for path, origin in origins.items() if not isinstance(origin, Origin)]
        for origin in filter(None, origins.values()):
            assert isinstance(origin.standing, Standing)
            assert origin.document.title.strip()


@pytest.mark.parametrize("name", NAMES)
def test_published_figures_are_in_an_edition_that_can_be_found(name: str) -> None:
    """A document of published figures has a number, a date or a commit by which others find its edition."""
    origins = [origin for _, origin in _origins(cost_model(name)) if origin is not None]
    documents = {origin.document for origin in origins if origin.standing is Standing.PUBLISHED}

    assert [] == [each.title for each in documents if not re.search(r"\d", each.revision)]


def test_names_and_titles_are_unique() -> None:
    """No two models are called alike, whatever the case of the letters, and none has another's title."""
    assert len(NAMES) == len({name.lower() for name in NAMES})
    assert len(NAMES) == len({cost_model(name).title.lower() for name in NAMES})


def test_abilities_are_those_of_the_instruction_sets() -> None:
    """Word, carry, shifts, product and leading-zero count are what each CPU's instructions provide."""
    machines = {name: cost_model(name).of_the_cpu.machine for name in NAMES}

    assert ABILITIES == {
        name: (m.word, m.carry_flag, m.barrel_shifter, m.multiplier_bits, m.leading_zero_count)
        for name, m in machines.items()
    }


# Widest dividend and divisor of DIVU, UDIV, DIV: of their instruction sets' manuals, from memory.
DIVIDERS = {
    **dict.fromkeys(("cortex-m3", "cortex-m4", "cortex-m23", "cortex-m33", "m4k", "r3000"), (32, 32)),
    **dict.fromkeys(("rv32imc-ibex", "rv32imc-hazard3", "rv32im-neorv32", "esp32-c3", "picorv32"), (32, 32)),
    **dict.fromkeys(("80286", "8086", "8088", "mc68000", "pic24", "rl78"), (32, 16)),
    **dict.fromkeys(("80386", "mc68020", "mc68030"), (64, 32)),
    **dict.fromkeys(("h8-300", "hcs08", "stm8"), (16, 8)),
}


def test_dividers_are_those_of_the_instruction_sets() -> None:
    """What one instruction divides by what is what each CPU has, and no other CPU divides."""
    machines = {name: cost_model(name).of_the_cpu.machine for name in NAMES}

    assert DIVIDERS == {
        name: (m.dividend_bits, m.divisor_bits) for name, m in machines.items() if m.divisor_bits
    }


@pytest.mark.parametrize(("clocks", "name", "kind", "width", "n"), PRINTED)
def test_steps_cost_what_is_printed(clocks: float, name: str, kind: str, width: int, n: int | None) -> None:
    """Steps of one instruction, or of a named few, cost what the model's document prints for them."""
    assert clocks == cost_model(name).of_the_cpu.cycles(kind, width, n)


@pytest.mark.parametrize("name", ACCUMULATOR_MACHINES)
def test_accumulator_machines_say_what_a_step_loads_and_stores(name: str) -> None:
    """Where all passes through an accumulator, the price of a step names its loads and stores."""
    steps = cost_model(name).of_the_cpu.steps

    for kind in ("add", "subtract", "and", "or", "xor", "not", "compare"):
        assert "," in steps[kind][0].origin.derivation


@pytest.mark.parametrize("name", ACCUMULATOR_MACHINES)
def test_accumulator_machines_overwrite_nothing(name: str) -> None:
    """Where a step's price holds a load and a store, its result has a place of its own at no more cost."""
    assert () == cost_model(name).surrounding_code.overwrites


def test_branches_compare_where_the_instruction_set_has_such_branches() -> None:
    """RISC-V, MIPS and Xtensa compare registers in their branches; all others have flags or a bit for it."""
    assert {
        "esp32-c3",
        "lx106",
        "m4k",
        "picorv32",
        "r3000",
        *(name for name in NAMES if name.startswith("rv32")),
    } == {name for name in NAMES if cost_model(name).surrounding_code.branches_compare}


@pytest.mark.parametrize("name", NAMES)
def test_registers_are_no_more_than_the_instruction_set_has(name: str) -> None:
    """A CPU keeps values in as many registers as its instructions can name, or in bytes they can name."""
    code = cost_model(name).of_the_cpu.surrounding_code

    assert code.scratch_registers.value <= code.registers.value <= REGISTERS[name]


@pytest.mark.parametrize("name", NAMES)
def test_moves_that_nobody_measured_are_none(name: str) -> None:
    """Moves beyond those that follow from a program come from measurements alone."""
    moves = cost_model(name).surrounding_code.moves_a_step

    assert moves.value == 0 or moves.origin.standing is Standing.MEASURED


@pytest.mark.parametrize("operation", TALLIES)
@pytest.mark.parametrize("name", NAMES)
def test_one_operation_has_a_price_on_every_cpu(name: str, operation: str) -> None:
    """An addition and a multiplication in binary32 take longer than their call on every CPU."""
    estimate = TALLIES[operation].estimate(name)

    assert 0 < estimate.around[AROUND_CALLS] < estimate.cycles


@pytest.mark.parametrize("name", [name for name in NAMES if cost_model(name).with_fpu])
def test_an_fpu_is_faster_than_doing_without(name: str) -> None:
    """The part with an FPU adds and multiplies in fewer cycles than the CPU beside it does with integers."""
    for tally in TALLIES.values():
        estimate = tally.estimate(name)
        assert estimate.fpu_cycles is not None
        assert 0 < estimate.fpu_cycles < estimate.cycles


@pytest.mark.parametrize(("dearer", "cheaper", "kind", "width", "n"), DEARER_STEPS)
def test_steps_stand_in_the_order_of_the_manuals(
    dearer: str, cheaper: str, kind: str, width: int, n: int | None
) -> None:
    """Of two siblings the one whose manual prints more clocks for an instruction has the dearer step."""
    ours, theirs = (cost_model(name).of_the_cpu for name in (cheaper, dearer))

    assert ours.cycles(kind, width, n) < theirs.cycles(kind, width, n)


@pytest.mark.parametrize(("dearer", "cheaper", "operation", "why"), DEARER_OPERATIONS)
def test_operations_stand_in_the_order_of_the_manuals(
    dearer: str, cheaper: str, operation: str, why: str
) -> None:
    """Of two siblings the one with the dearer instructions takes longer for a whole operation."""
    tally = TALLIES[operation]

    assert tally.estimate(cheaper).cycles < tally.estimate(dearer).cycles, why


def test_every_step_of_the_one_clock_part_is_cheaper() -> None:
    """No step takes as long on an 8051 of one clock a machine cycle as on one of twelve."""
    fast, slow = (cost_model(name).of_the_cpu for name in ("8051-one-clock", "8051"))

    assert [] == [kind for kind in slow.steps if fast.cycles(kind, 8, 1) >= slow.cycles(kind, 8, 1)]


# How far whole kernels of a CPU's own compiler may be from estimates with operands in memory, as a share of
# these; 15 % where nothing else stands here.
KERNELS_OFF_BY = {
    # A kernel of comparisons and sums alone takes up to 1.2, one of divisions 0.84; others are within 15 %.
    "80386": 0.2, "cortex-m3": 0.2, "cortex-m33": 0.2, "cortex-m4": 0.2, "lx106": 0.2, "m4k": 0.2,
    # Variables in external memory: which of them stay in registers for a while is not in the rules.
    "8051": 0.25,
    # Comparisons take less than the rules say, products in a loop more.
    "msp430": 0.4,
}  # fmt: skip
KERNELS_COMPARED = [name for name in NAMES if cost_model(name).kernel_comparisons(in_memory=True)]


@pytest.mark.parametrize("name", KERNELS_COMPARED)
def test_compiled_kernels_are_no_further_off_than_promised(name: str) -> None:
    """What a table records of whole kernels lies within the share that is promised for its CPU."""
    ratios = cost_model(name).kernel_ratios(in_memory=True)

    assert ratios is not None
    assert ratios == pytest.approx((1, 1), abs=KERNELS_OFF_BY.get(name, 0.15))


def test_guide_lists_every_model() -> None:
    """The list in the guide has each model once, in order, and says which have figures of an FPU."""
    guide = files("softfloat_py.costmodels").joinpath("README.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `([^`]+)` \| [^|]+ \| ([^|]+) \|$", guide.split("## ")[0], re.MULTILINE)

    assert NAMES == [name for name, _ in rows]
    assert [(name, cost_model(name).with_fpu is None) for name in NAMES] == [
        (name, fpu == "none") for name, fpu in rows
    ]


def test_tables_are_parsed_when_needed_and_once() -> None:
    """Importing the library and listing the names parse nothing; loading all parses each file once,
    those of their compilers too.
    """
    program = """
import tomllib
parsed = []
parse = tomllib.loads
tomllib.loads = lambda text: parsed.append(text) or parse(text)
import softfloat_py as sf
names = sf.cost_models()
print(len(parsed))
for name in names * 2:
    sf.cost_model(name)
print(len(parsed), len(set(parsed)))
"""
    described = {compiler for name in NAMES for compiler in cost_model(name).described}
    files_read = len(NAMES) + len(described | {"c"})  # all compilers are based on C in general
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)

    assert ["0", str(files_read), str(files_read)] == run.stdout.split()


OF_ALL_WIDTHS = [
    ("multiplication", sf.binary16),
    ("round_to_integral_ties_to_even", sf.binary16),
    ("addition", sf.binary32),
    ("division", sf.binary32),
    ("compare_quiet_less", sf.binary64),
    ("round_to_integral_ties_to_even", sf.binary64),
]


@pytest.mark.parametrize(("operation", "fmt"), OF_ALL_WIDTHS)
@pytest.mark.parametrize("name", NAMES)
def test_code_by_hand_is_no_slower_than_c(name: str, operation: str, fmt: sf.Format) -> None:
    """By the same prices, who needs no types may still do all that a compiler of C does."""
    model = cost_model(name).of_the_cpu
    habits = usual_compiler(), cost_model("pic16").compiler
    in_c, by_hand = (replace(model, compiler=compiler) for compiler in habits)
    operands = [fmt(1.59375), fmt(0.28125)]
    with sf.environment(options=LEAN), sf.counting() as tally:
        getattr(sf, operation)(*operands[: OPERATIONS[operation].arity])

    assert tally.estimate(by_hand).cycles <= tally.estimate(in_c).cycles
