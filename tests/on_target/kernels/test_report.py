"""The report on kernels, with rows that are easily recognised: ratios, what is held out, table entries."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

import softfloat_py as sf
from tests.on_target.cpus import CPUS, Cpu
from tests.on_target.kernels.report import Row, line, summary
from tests.on_target.kernels.table_entries import entries

# 1200 cycles, 900 of them in functions that are estimated at 750 of the 1000 of the whole estimate.
ROW = Row("tide", "binary32", False, True, 1200, 900, 1000.0, 1600.0, 750.0)
QUICK = replace(ROW, kernel="swell", held_out=True, measured=900, in_functions=810)
SLOW = replace(ROW, kernel="spray", held_out=True, measured=1500, in_functions=None)


def test_ratios_of_a_row() -> None:
    """Measured by estimated cycles in both settings and of the functions alone, and the share outside."""
    assert {"whole": 1.2, "memory": 0.75, "arithmetic": 1.2, "own": 0.25} == ROW.ratios
    assert {"arithmetic": None, "own": None} == {key: SLOW.ratios[key] for key in ("arithmetic", "own")}


def test_lines_say_what_is_held_out_and_what_is_wrong() -> None:
    """A line has the mark of what is held out, a dash for what is not known, and says if bits were wrong."""
    assert ["tide", "1200", "1000", "1.20", "0.75", "1.20", "0.25"] == line(ROW).split()
    assert ["spray", "held", "out", "1500", "1000", "1.50", "0.94", "-", "-"] == line(SLOW).split()
    assert line(replace(ROW, right=False)).endswith("WRONG RESULTS")


def test_summary_has_extremes_and_median_of_all_and_of_what_is_held_out() -> None:
    """Both groups end the table; what is not known of a kernel is left out."""
    assert [
        "all, 3: lowest 0.90 0.56 1.08 0.10",
        "all, 3: highest 1.50 0.94 1.20 0.25",
        "all, 3: median 1.20 0.75 1.14 0.17",
        "held out, 2: lowest 0.90 0.56 1.08 0.10",
        "held out, 2: highest 1.50 0.94 1.08 0.10",
        "held out, 2: median 1.20 0.75 1.08 0.10",
    ] == [" ".join(each.split()) for each in summary([ROW, QUICK, SLOW])]


def cpu_compiled_here(level: str) -> Cpu:
    """The first CPU, with the compiler of this machine in place of its own."""
    return replace(CPUS[0], toolchain=replace(CPUS[0].toolchain, compiler="gcc", package="gcc").at(level))


@pytest.mark.on_target
def test_entries_are_read_by_cost_tables(tmp_path: Path) -> None:
    """The text is TOML that a table takes, whose ratios contain all that was measured."""
    path = tmp_path / "buoy.toml"
    path.write_text(f'based_on = "{CPUS[0].model}"\n{entries(cpu_compiled_here("-O2"), [QUICK, SLOW])}\n')
    model = sf.load_cost_model(path)

    assert (0.9, 1.5) == model.kernel_ratios(in_memory=False)
    assert (0.56, 0.94) == model.kernel_ratios(in_memory=True)
    (compared,) = model.kernel_comparisons(in_memory=True)
    assert "2 kernels that call emitted C; binary32, lean" == compared.operations
    assert compared.compiler.startswith("gcc ")
    assert compared.compiler.endswith(", -O2")


@pytest.mark.on_target
def test_code_of_a_compiler_that_is_not_described_has_no_entries() -> None:
    """What was measured of one compiler is not recorded for another."""
    text = entries(cpu_compiled_here("-O0"), [ROW])

    assert {} == tomllib.loads(text)
    assert "does not describe code of gcc-O0" in text
