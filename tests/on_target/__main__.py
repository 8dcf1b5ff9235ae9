"""The report: emitted C measured in simulators, and what the library predicts for the same calls.

python -m tests.on_target --cpus ATmega328P Z80 --formats binary32 --operations addition multiplication
python -m tests.on_target --kernels --cpus Cortex-M0+ --compiler gcc-Os
python -m tests.on_target --ablation --calls 100
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from softfloat_py.numbers.formats import KNOWN_FORMATS, Format
from tests.on_target import ablation_table
from tests.on_target.asked import NAMES, use_asked_for
from tests.on_target.cpus import CPUS, LARGE_ATMEGA, OTHER_PLACES, Cpu
from tests.on_target.division_of_cases import HELD_OUT, is_held_out
from tests.on_target.kernels import report as kernel_report
from tests.on_target.kernels.report import EXPLANATION
from tests.on_target.kernels.table_entries import entries
from tests.on_target.measuring import (
    MEASURED_OPERATIONS,
    Measured,
    expected,
    measured,
    predicted,
    simulator_of,
)
from tests.on_target.operands import COUNT, SETS, operands_of
from tests.on_target.recording import record

EVERY_CPU = (*CPUS, LARGE_ATMEGA, *OTHER_PLACES)
COMPILERS = ("gcc-O2", "gcc-Os", "clang-O2", "sdcc", "sdcc-large", "cc65")
TOO_WIDE = "skipped: {} is wider than values that are handed to this CPU here"


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.on_target", description=__doc__)
    for option, known, default in (
        ("--cpus", [cpu.name for cpu in EVERY_CPU], [cpu.name for cpu in CPUS]),
        ("--formats", list(KNOWN_FORMATS), ["binary32", "binary64"]),
        ("--operations", NAMES, list(MEASURED_OPERATIONS)),
    ):
        parser.add_argument(
            option, nargs="+", choices=known, default=default, metavar="NAME", help=f"of {', '.join(known)}"
        )
    parser.add_argument(
        "--compiler",
        choices=COMPILERS,
        metavar="NAME",
        help=f"for CPUs that have it, of {', '.join(COMPILERS)}",
    )
    parser.add_argument("--kernels", action="store_true", help="whole kernels instead of operations")
    parser.add_argument("--ablation", action="store_true", help="what each rule of pricing is worth instead")
    parser.add_argument("--toml", action="store_true", help="of kernels, entries for cost tables as well")
    parser.add_argument(
        "--record",
        action="store_true",
        help="measure operations and kernels by all compilers of the CPUs, and write what cost tables record",
    )
    parser.add_argument("--calls", type=int, default=COUNT, metavar="N", help=f"of each set ({COUNT})")
    parser.add_argument("--save", type=Path, metavar="FOLDER", help="keep what was measured")
    given = parser.parse_args()
    if given.record:
        for written in record([cpu for cpu in CPUS if cpu.name in given.cpus]):
            print(written, flush=True)
        return 0
    formats = [KNOWN_FORMATS[name] for name in given.formats]
    cpus = compiled_by(given.compiler, [cpu for cpu in EVERY_CPU if cpu.name in given.cpus])
    if given.ablation:
        return 1 if ablation_table.report(cpus, formats, given.operations, given.calls) else 0
    wrong = 0
    for cpu in cpus:
        print("\n".join(heading(cpu)))
        if given.kernels:
            wrong += report_on_kernels(cpu, formats, given.toml, given.save)
        else:
            wrong += report(cpu, formats, given.operations, given.calls, given.save)
    if given.kernels:
        print(f"\n{EXPLANATION}")
    return 1 if wrong else 0


def compiled_by(compiler: str | None, cpus: list[Cpu]) -> Iterator[Cpu]:
    """The CPUs with a compiler, or each with its own; a line says where there is none of that name."""
    for asked in cpus:
        cpu = asked.compiled_by(compiler or asked.toolchain.name)
        if cpu is None:
            print(f"\n{asked.name}: not compiled by {compiler} here")
        else:
            yield cpu


def report_on_kernels(cpu: Cpu, formats: list[Format], toml: bool, folder: Path | None) -> int:
    """Print one CPU's tables of kernels; gives the number of those with wrong results."""
    handed = [fmt for fmt in formats if fmt.width <= cpu.widest]
    for fmt in (fmt for fmt in formats if fmt not in handed):
        print(TOO_WIDE.format(fmt.name))
    with tempfile.TemporaryDirectory() as place:
        rows = kernel_report.report(cpu, handed, Path(place))
    if toml and rows:
        print(f"\n{entries(cpu, rows)}")
    if folder is not None:
        kernel_report.save(cpu, rows, folder)
    return sum(not row.right for row in rows)


def report(cpu: Cpu, formats: list[Format], operations: list[str], calls: int, save: Path | None) -> int:
    """Print one CPU's lines; gives the number of wrong results."""
    names = max(len(operation) for operation in operations) + 1
    print(
        f"{'operation':{names}}{'format':10}{'set':6}{'measured mean (min-max)':>34}"
        f"{'predicted':>11}{'ratio':>8}{'corr.':>7}"
    )
    wrong = 0
    with tempfile.TemporaryDirectory() as folder:
        for fmt in formats:
            if fmt.width > cpu.widest:
                print(TOO_WIDE.format(fmt.name))
                continue
            for operation in operations:
                widest = max(fmt.width, use_asked_for(operation, fmt).signature.results[0].width)
                if widest > cpu.widest:
                    print(f"skipped: {operation} gives what is wider than values handed to this CPU here")
                    continue
                try:
                    simulator = simulator_of(cpu, operation, fmt, Path(folder))
                except pytest.skip.Exception as reason:
                    print(f"skipped: {reason}")
                    return wrong
                for which in SETS:
                    run = measured(simulator, operation, operands_of(operation, fmt, which, calls))
                    wrong += int(np.sum(run.results != expected(operation, fmt, run.operands)))
                    print(f"{operation:{names}}{line(run, operation, fmt, which, cpu)}", flush=True)
                    if save is not None:
                        save.mkdir(parents=True, exist_ok=True)
                        run.save(save / f"{cpu.name}-{cpu.toolchain.name}-{fmt.name}-{operation}-{which}.npz")
    if wrong:
        print(f"{wrong} WRONG RESULTS")
    return wrong


def heading(cpu: Cpu) -> Iterator[str]:
    """What the lines of a CPU are about."""
    chain = cpu.toolchain
    yield f"\n{cpu.name}, {chain.name}: {chain.command}; {priced_by(cpu)}"
    if cpu.bracket:
        yield f"measured cycles are a bracket: {cpu.bracket}"


def priced_by(cpu: Cpu) -> str:
    """What prices its code, and which compiler's code that describes."""
    if cpu.model is None:
        return "priced by no cost model"
    return f"priced by {cpu.model}, code of {cpu.cost_model.compiled_by.title}"


def line(run: Measured, operation: str, fmt: Format, which: str, cpu: Cpu) -> str:
    """What a line of the report says of an operation."""
    cycles = run.cycles
    spread = f"{cycles.mean():.1f} ({cycles.min()}-{cycles.max()})"
    text = f"{fmt.name:10}{which:6}{spread:>34}"
    mark = f"  {HELD_OUT}" if is_held_out(operation, fmt.name) else ""
    if cpu.model is None:
        return f"{text}{mark}"
    estimate = predicted(operation, fmt, run.operands, cpu.cost_model)
    together = np.corrcoef(cycles, estimate)[0, 1] if cycles.std() and estimate.std() else float("nan")
    return f"{text}{estimate.mean():11.1f}{cycles.mean() / estimate.mean():8.2f}{together:7.2f}{mark}"


if __name__ == "__main__":
    sys.exit(main())
