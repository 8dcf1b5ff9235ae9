"""What `cpus` prints of the cost models."""

from __future__ import annotations

import re

import pytest

from softfloat_py.pricing.table_reader import cost_model, cost_models
from tests.commands.running import printed_by


def test_cpus_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """The list has a line for each model: its name, abilities, clock, how much is known, and its title."""
    headings, *lines = printed_by(capsys, "cpus").split("\n\n")[0].splitlines()

    abilities = ["word", "product", "quotient", "carry", "shifts", "zeros"]
    assert ["name", *abilities, "MHz", "known", "code", "CPU"] == headings.split()
    assert cost_models() == [line.split()[0] for line in lines]
    assert all(line.endswith(cost_model(line.split()[0]).title) for line in lines)
    # Arm DDI0484C, Cortex-M0+ Technical Reference Manual: 32-bit words, exact products of halves, carry and
    # barrel shifter, neither divider nor leading-zero count.
    assert any(
        re.match(r"cortex-m0plus +32 +16 +- +yes +yes +- +1 to 200 +\d+ %  gcc-O2 +Arm", line)
        for line in lines
    )


def test_cpus_of_a_compiler_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """With a compiler, the list has the models that describe its code."""
    _, *lines = printed_by(capsys, "cpus", "--compiler", "sdcc").split("\n\n")[0].splitlines()

    assert lines
    assert [name for name in cost_models() if "sdcc" in cost_model(name).described] == [
        line.split()[0] for line in lines
    ]


def test_one_cpu_shows_every_figure(capsys: pytest.CaptureFixture[str]) -> None:
    """One model is shown with each figure, its standing and the number of its source."""
    text = printed_by(capsys, "cpus", "cortex-m0plus")

    # Arm DDI0484C, Cortex-M0+ Technical Reference Manual, Table 3.1: a branch that is taken, 2 cycles.
    assert re.search(r"^  branch taken +2 +\[2\]  published$", text, re.MULTILINE)
    assert (
        "\n32-bit words, 16-bit multiplier, carry flag, barrel shifter, no leading-zero count, no divider, "
        in text
    )
    assert re.search(
        r"^figures: \d+ published, \d+ measured, \d+ unverified \(recalled, no document read\)$",
        text,
        re.MULTILINE,
    )
    assert "\n  [2] Cortex-M0+ Technical Reference Manual, Arm DDI0484C, Table 3.1\n" in text
    range_ = r"\d\.\d\d to \d\.\d\d"
    compared = rf"^  {range_}, single calls {range_}  arm-none-eabi-gcc 12\.2, -O2\n    emitted C: "
    assert re.search(compared, text, re.MULTILINE)


def test_figures_that_few_cpus_have_are_shown(capsys: pytest.CaptureFixture[str]) -> None:
    """A Z80's instructions take operands in memory; RISC-V loads the upper bits of a constant at once."""
    memory = r"^  word in memory beyond a register +15 +\[2\]  unverified  LD A,\(IX\+d\), SUB \(IX\+d\)"

    assert re.search(memory, printed_by(capsys, "cpus", "z80"), re.MULTILINE)
    assert "constants of 11 bits in the instruction, of the upper 20 in one of their own\n" in printed_by(
        capsys, "cpus", "rv32ic-ibex"
    )


def test_one_cpu_shows_what_it_is_for(capsys: pytest.CaptureFixture[str]) -> None:
    """One model, found by the name of a chip, lists the cores, chips and boards that it is for."""
    text = printed_by(capsys, "cpus", "rp2040")

    assert text.startswith("cortex-m0plus: ")
    assert re.search(r"^for: .*RP2040\*, Raspberry Pi Pico, ", text, re.MULTILINE)


@pytest.mark.parametrize("name", cost_models())
def test_no_figure_reads_like_an_access_to_memory(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What was recalled is called unverified; 'from memory' is what an FPU's load does."""
    text = printed_by(capsys, "cpus", name).replace("from memory or a data register", "")

    assert "from memory" not in text
