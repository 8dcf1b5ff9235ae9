"""Names that people type find their model, and none leads to a part with another core."""

from __future__ import annotations

import pickle

import pytest

import softfloat_py as sf
from softfloat_py.errors import CostModelError, UnknownNameError
from softfloat_py.pricing.model_names import ModelNames
from softfloat_py.pricing.table_reader import cost_model, cost_models

SEE_ALL = "python -m softfloat_py cpus lists all"

# Chips and boards with their cores, as every practitioner knows them (common practice, no source).
KNOWN = {
    "Cortex-M0+": "cortex-m0plus",
    "Arm Cortex-M0+": "cortex-m0plus",
    "CORTEX M0 plus": "cortex-m0plus",
    "cortex m4": "cortex-m4",
    "cortex_m3": "cortex-m3",
    "esp8266": "lx106",
    "ESP-12F": "lx106",
    "ATmega328P": "atmega",
    "ATmega328P-PU": "atmega",
    "Arduino Uno": "atmega",
    "Arduino Mega": "atmega2560",
    "ATmega2561": "atmega2560",
    "ATxmega32A4U": "avrxm",
    "ATmega4809": "avrxt",
    "Arduino Nano Every": "avrxt",
    "ATtiny85": "attiny",
    "ATtiny1634": "attiny",
    "ATtiny1614": "avrxt",
    "RP2040": "cortex-m0plus",
    "Raspberry Pi Pico": "cortex-m0plus",
    "ATSAMD21G18A-AU": "cortex-m0plus",
    "STM32F103": "cortex-m3",
    "LPC2148": "arm7tdmi",
    "Cortex-M33": "cortex-m33",
    "STM32F103C8T6": "cortex-m3",
    "STM32F030F4": "cortex-m0",
    "nRF52810": "cortex-m4",
    "68000": "mc68000",
    "MC68020": "mc68020",
    "68030": "mc68030",
    "386": "80386",
    "i8086": "8086",
    "286": "80286",
    "i8088": "8088",
    "MC68B09": "6809",
    "AT89S52": "8051",
    "MSP430G2553": "msp430",
    "MSP430F1611": "msp430-multiplier",
    "PIC16F1829-I/P": "pic16",
    "PIC18F4550": "pic18",
    "PIC24FJ64GA002": "pic24",
    "dsPIC33FJ128MC802": "pic24",
    "PIC32MX250F128B": "m4k",
    "CH32V003F4P6": "rv32ec-qingke",
    "ESP32-C3": "esp32-c3",
    "STM8S003F3": "stm8",
    "RL78/G14": "rl78",
    "R5F104LE": "rl78",
    "Z80A": "z80",
    "Z8S180": "z180",
    "LR35902": "sm83",
    "MC9S08QG8": "hcs08",
    "H8/3292": "h8-300",
    "8085A": "8085",
}

# Parts with another core, with an FPU, or with a core whose multiplier nobody has told.
OTHERS = [
    "ESP32-S3", "ESP32-C6", "STM32F407", "STM32F303", "STM32H743", "STM32L432", "RP2350",
    "Raspberry Pi Pico 2", "nRF52832", "nRF52840", "nRF51822", "SAMD51", "TM4C123", "LPC4088",
    "Teensy 4.0", "Teensy 3.5", "Arduino Uno R4", "ATmega8U2", "ATmega16U2", "ATtiny10", "ATtiny26",
    "ATtiny40", "486", "68008", "68010", "68040", "65C02", "65816", "eZ80", "MSP430F5529", "MSP430FR5969",
    "PIC16F84", "PIC16F877A", "PIC24EP64", "dsPIC33EP64", "dsPIC33CK64", "dsPIC30F4011", "PIC32MZ2048",
    "CH32V203", "GD32VF103", "Cortex-M4F", "Cortex-M7", "C8051F320", "R4000", "RL78/G13", "LPC2880",
    "SH-4", "PSoC 4100S", "EFM32GG11", "STM32WB55", "ATxmega128A1", "8080",
    "H8/3048", "MC9S12C32", "MC68HC11",
]  # fmt: skip


@pytest.mark.parametrize("name", KNOWN)
def test_known_names_find_their_model(name: str) -> None:
    """A core, chip or board is found, however its name is written."""
    assert KNOWN[name] == cost_model(name).name


@pytest.mark.parametrize("name", OTHERS)
def test_parts_with_another_core_are_not_claimed(name: str) -> None:
    """A part that none of the tables is for finds none, and no single name is offered in its place."""
    with pytest.raises(UnknownNameError) as caught:
        cost_model(name)

    assert () == caught.value.near
    alike, _, _ = caught.value.further.rpartition("; ")
    assert 1 != len(alike.split(", ")) or not alike


@pytest.mark.parametrize("name", cost_models())
def test_every_alias_leads_to_its_own_model(name: str) -> None:
    """No name of a table is one of another, and none is the model's own name again."""
    model = cost_model(name)

    assert model.aliases
    for alias in model.aliases:
        assert model is cost_model(alias.removesuffix("*").upper())


def test_estimates_and_models_take_these_names() -> None:
    """Wherever a program names a CPU, the name of a chip will do."""
    with sf.counting() as tally:
        sf.binary32(1.5) + sf.binary32(0.25)

    assert "cortex-m0plus" == tally.estimate("Cortex-M0+").cpu.name
    assert sf.cost_model("rp2040") is sf.cost_model("cortex-m0plus")


def test_names_of_two_models_are_refused() -> None:
    """A name that two tables claim, also by all names that begin like one, is a fault that says which."""
    with pytest.raises(CostModelError) as caught:
        ModelNames({"ebb": ["Drift-1", "Swell*"], "flood": ["drift 1", "SWELL 20", "ebb"]})

    assert (
        "aliases must lead to one model each, but 'drift 1' of flood is a name of ebb too, 'Drift-1'",
        "aliases must lead to one model each, but 'ebb' of flood is a name of ebb too, 'ebb'",
        "aliases must lead to one model each, but 'SWELL 20' of flood is a name of ebb too, 'Swell'",
    ) == caught.value.faults


NAMES = ModelNames({
    "ebb-1": ["Drift 100*", "Drift 110"],
    "ebb-2": ["Drift 200"],
    "flood": ["Swell", "Tideway 7", "Swell+"],
})  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "end"),
    [
        ("swel", "; did you mean 'Swell'?"),
        ("swwell", "; did you mean 'Swell'?"),
        ("drift", "; did you mean 'Drift 100' or 'Drift 200'?"),
        ("drift 300", "; named alike, but other parts: Drift 100 (ebb-1), Drift 200 (ebb-2);"),
        ("tideway 8", ";"),  # one part alone is near, and it is another
        ("nothing", ";"),
    ],
)
def test_unknown_names_show_what_is_near(typed: str, end: str) -> None:
    """Slips and beginnings of names are asked about, kin of several models listed, never one other part."""
    with pytest.raises(UnknownNameError) as caught:
        NAMES.model(typed)

    required = "a cost model must be the name of one, or of a core or chip that one is for"
    assert f"{required}, not {typed!r}{end} {SEE_ALL}" == str(caught.value)
    assert str(caught.value) == str(pickle.loads(pickle.dumps(caught.value)))
