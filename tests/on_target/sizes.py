"""Bytes of elementary functions as C on the CPUs it is for: correctly rounded, and the fast phase alone.

python -m tests.on_target.sizes --cpus Cortex-M0+ ATmega1284P
"""

from __future__ import annotations

import argparse
import subprocess
import tempfile
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from softfloat_py.numbers.formats import binary32
from softfloat_py.options import LEAN, ElementaryRounding, Options
from tests.on_target.cpus import CPUS, LARGE_ATMEGA, Cpu
from tests.on_target.images import Toolchain, unit_for

FUNCTIONS = ("exp", "log", "sin", "atan", "pow")
LEVELS = ("-O2", "-Os")
MEASURABLE = {cpu.name: cpu for cpu in (*CPUS, LARGE_ATMEGA) if cpu.toolchain.compiler.endswith("gcc")}


def main() -> None:
    """Compile and print: a line for each CPU, level of optimisation and rounding."""
    parser = argparse.ArgumentParser(prog="python -m tests.on_target.sizes", description=__doc__)
    parser.add_argument("--cpus", nargs="+", choices=MEASURABLE, default=["Cortex-M0+"], metavar="NAME")
    names = [*FUNCTIONS, "all in one"]
    print(f"{'bytes, binary32, lean':34}" + "".join(f"{name:>12}" for name in names))
    for cpu in (MEASURABLE[name] for name in parser.parse_args().cpus):
        for level in LEVELS:
            for rounding in ElementaryRounding:
                options = replace(LEAN, elementary_rounding=rounding)
                print(f"{cpu.name:12}{level:5}{rounding.value:17}{line(cpu, level, options)}", flush=True)


def line(cpu: Cpu, level: str, options: Options) -> str:
    """The bytes of each function by itself, and of all in one file."""
    sets = [*([function] for function in FUNCTIONS), list(FUNCTIONS)]
    return "".join(f"{size(cpu.toolchain, level, options, each):12,}" for each in sets)


def size(chain: Toolchain, level: str, options: Options, functions: Sequence[str]) -> int:
    """Bytes of code and constants of the C of functions, which share a file."""
    unit = unit_for(chain, binary32, options, functions)
    with tempfile.TemporaryDirectory() as folder:
        unit.save(Path(folder))
        command = [chain.find(), *chain.at(level).options, "-c", f"{unit.prefix}.c", "-o", "unit.o"]
        subprocess.run(command, cwd=folder, check=True)
        sizes = chain.find().removesuffix("gcc") + "size"
        shown = subprocess.run([sizes, "unit.o"], cwd=folder, check=True, capture_output=True, text=True)
    text, data, _ = shown.stdout.splitlines()[1].split()[:3]
    return int(text) + int(data)


if __name__ == "__main__":
    main()
