"""What a cost table records of whole kernels, as TOML that is ready to be put into it."""

from __future__ import annotations

import json
import re
import subprocess
from collections.abc import Iterator, Sequence
from math import ceil, floor

import softfloat_py as sf
from softfloat_py.pricing.table_layers import IN_GENERAL
from tests.on_target.cpus import Cpu
from tests.on_target.images import Toolchain
from tests.on_target.kernels.report import Row

DOCUMENT = "kernels"
TITLE = "Kernels in C that call what this library emits with lean options, compiled for the CPU"
NOTE = "simulated, with data in memory and with loops of their own, without wait states"
SETTINGS = {
    "whole": False,
    "memory": True,
}  # by ratio, whether the estimates are those with operands in memory


def entries(cpu: Cpu, rows: Sequence[Row]) -> str:
    """The document, and an entry for each setting of the estimates."""
    key = key_of(cpu)
    if key is None:
        return f"# the cost model of {cpu.name} does not describe code of {cpu.toolchain.name}"
    note = f"{NOTE}; cycles are a bracket: {cpu.bracket}" if cpu.bracket else NOTE
    document = [f"[documents.{DOCUMENT}]", f"title = {_text(TITLE)}", f"note = {_text(note)}"]
    return "\n".join([*document, *(line for ratio in SETTINGS for line in _entry(key, cpu, rows, ratio))])


def key_of(cpu: Cpu) -> str | None:
    """Where a cost table has comparisons with code of a CPU's compiler; None where that is not described."""
    if cpu.model is None:
        return None
    model, compiler = sf.cost_model(cpu.model), cpu.toolchain.name
    if model.compiled_by.id in (compiler, IN_GENERAL):
        return "compared_with_compiled_code"
    return f"compilers.{compiler}.compared_with_compiled_code" if compiler in model.described else None


def _entry(key: str, cpu: Cpu, rows: Sequence[Row], ratio: str) -> Iterator[str]:
    ratios = [value for row in rows if (value := row.ratios[ratio]) is not None]
    kernels = {row.kernel for row in rows}
    formats = " and ".join(dict.fromkeys(row.format for row in rows))
    yield from ("", f"[[{key}]]")
    yield f"compiler = {_text(version(cpu.toolchain))}"
    yield f"operations = {_text(f'{len(kernels)} kernels that call emitted C; {formats}, lean')}"
    yield "kernels = true"
    if SETTINGS[ratio]:
        yield "in_memory = true"
    yield f"lowest_ratio = {floor(100 * min(ratios)) / 100}"
    yield f"highest_ratio = {ceil(100 * max(ratios)) / 100}"
    yield f"source = {_text(DOCUMENT)}"
    yield 'standing = "measured"'


def version(chain: Toolchain) -> str:
    """A compiler with its version and level of optimisation: avr-gcc 5.4, -O2."""
    shown = subprocess.run([chain.find(), "--version"], capture_output=True, text=True, check=True).stdout
    number = re.search(r"\d+\.\d+", shown)
    levels = [option for option in chain.options if re.fullmatch("-O.", option)]
    return ", ".join([f"{chain.compiler} {number.group() if number else ''}".strip(), *levels])


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
