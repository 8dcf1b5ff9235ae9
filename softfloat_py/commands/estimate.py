"""The command `estimate`: run a kernel file once, price it on CPUs."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from contextlib import nullcontext, redirect_stdout
from dataclasses import replace
from typing import Any

from softfloat_py.commands.answer import Answer
from softfloat_py.commands.arguments import A_MODEL, add_compiler, add_format, add_json, add_options
from softfloat_py.commands.command import Command
from softfloat_py.commands.parser import Parser
from softfloat_py.commands.words import chosen, clock_in_hertz, models_named, time_in_seconds
from softfloat_py.environment import environment
from softfloat_py.errors import KernelError
from softfloat_py.kernels import load_kernel_file
from softfloat_py.numbers.formats import format_named
from softfloat_py.options import NAMED_OPTIONS
from softfloat_py.pricing.estimate import Estimate
from softfloat_py.tally.tally import Tally
from softfloat_py.views import estimate_comparison, estimate_table
from softfloat_py.views.estimate_data import as_data
from softfloat_py.views.layout import counted, grouped
from softfloat_py.views.remarks import born_records, left_records, what_left
from softfloat_py.views.returned import returned
from softfloat_py.views.waiting import sign_of_life

ABOUT = """\
Run a kernel file in emulated arithmetic and say what it costs on CPUs without an FPU.

A kernel file is ordinary Python with two functions: kernel(...), the computation, and inputs(), which
returns the tuple of arguments for it. It runs unchanged: every float in it is one of the format, in lists,
literals, constants, and in what math and numpy deliver; ints that meet them are converted, which is counted.
What leaves the emulation, as float() does, is not; each such place is named before the total. For a buoy
that measures waves, drift.py:

    import numpy as np

    def kernel(acceleration, interval):        # m/s2, s
        velocity = 0.0
        for sample in acceleration:
            velocity = velocity + interval * sample
        return velocity

    def inputs():
        return np.array([0.12, -0.31, 0.25]), 0.25

    python -m softfloat_py estimate drift.py --cpu cortex-m0plus --clock 16MHz --deadline 250ms
"""

CPU_HELP = (
    f"{A_MODEL}; repeated, they stand side by side; "
    "without it, one line for each cost model, or for each that describes the compiler"
)
IN_MEMORY_HELP = "operands and results in memory: for a whole kernel, whose loads and stores these stand for"
CLOCK_HELP = "clock, such as 16MHz, 32.768kHz or 16 (MHz); default: the model's usual one"

SORT_KEYS: dict[str, Callable[[Estimate], Any]] = {
    "name": lambda estimate: estimate.cpu.name,
    "cycles": lambda estimate: estimate.cycles,
    "time": lambda estimate: estimate.seconds,
}


def add_arguments(parser: Parser) -> None:
    """What `estimate` takes."""
    add = parser.add_argument
    add("kernel", metavar="KERNEL.py", help="the kernel file")
    add("--cpu", action="append", metavar="NAME", help=CPU_HELP)
    add_compiler(parser)
    add("--clock", type=clock_in_hertz, metavar="CLOCK", help=CLOCK_HELP)
    add_format(parser, "all floats")
    add_options(parser)
    add("--in-memory", action="store_true", help=IN_MEMORY_HELP)
    a_time = "time there is: 250ms, 20min, 1200 (seconds)"
    add("--deadline", type=time_in_seconds, metavar="TIME", help=a_time)
    orders = f"order of the CPUs: {', '.join(SORT_KEYS)} (default: name)"
    add("--sort", default="name", metavar="BY", help=orders)
    add("--details", action="store_true", help="show all phases, steps and lines, for each CPU")
    add("--strict", action="store_true", help="exit with status 2 if values left the emulation")
    add_json(parser)


def run(parsed: argparse.Namespace) -> Answer:
    """What a kernel costs; with --strict, values that left the emulation are a complaint."""
    models = models_named(parsed.cpu, parsed.compiler)
    key = chosen("order", parsed.sort, SORT_KEYS)
    try:
        result, tally = _kernel_run(parsed)
    except KernelError as error:
        if parsed.json or not isinstance(error.__cause__, BrokenPipeError):
            raise
        # If it is standard output that nobody reads, this is not read either, and all ends quietly.
        return Answer(f"{parsed.kernel}: no estimate", str(error), 2)
    asked = [tally.estimate(model, clock_hz=parsed.clock, deadline=parsed.deadline) for model in models]
    with sign_of_life(f"pricing {parsed.kernel}"):
        estimates = sorted(asked, key=key)
        text = _text(parsed, result, tally, estimates)
    left = what_left(tally)
    if parsed.strict and left:
        return Answer(text, f"with --strict, no value may leave the emulation, but {left}", 2)
    return Answer(text)


def _kernel_run(parsed: argparse.Namespace) -> tuple[Any, Tally]:
    """What the kernel returns, and the tally of it; with --json, what it prints is kept out of the JSON."""
    fmt = format_named(parsed.format)
    options = replace(chosen("options", parsed.options, NAMED_OPTIONS), in_memory=parsed.in_memory)
    printed = redirect_stdout(sys.stderr) if parsed.json else nullcontext()
    with printed, environment(options=options), sign_of_life(f"running {parsed.kernel}"):
        return load_kernel_file(parsed.kernel).counted_run(fmt)


def _text(parsed: argparse.Namespace, result: Any, tally: Tally, estimates: Sequence[Estimate]) -> str:
    """All that is said of a run, as JSON or to be read; what is priced is priced here."""
    if parsed.json:
        return json.dumps(_data(parsed, result, tally, estimates), indent=2)
    heading = f"{parsed.kernel} in {format_named(parsed.format).name}: {_calls(tally)}"
    return "\n".join([heading, f"kernel returned {returned(result)}", "", _shown(parsed, estimates)])


def _shown(parsed: argparse.Namespace, estimates: Sequence[Estimate]) -> str:
    """All of each estimate, or as much as fits a screen."""
    if parsed.details:
        return estimate_table.details(estimates)
    if parsed.cpu is None:
        return estimate_comparison.summary_table(estimates)
    if len(estimates) == 1:
        return estimate_table.overview(estimates[0])
    return estimate_comparison.side_by_side(estimates)


def _data(
    parsed: argparse.Namespace, result: Any, tally: Tally, estimates: Sequence[Estimate]
) -> dict[str, Any]:
    return {
        "kernel": parsed.kernel,
        "format": format_named(parsed.format).name,
        "options": parsed.options,
        "returned": returned(result),
        "left_emulation": left_records(tally),
        "born": born_records(tally),
        "estimates": [as_data(each) for each in estimates],
    }


def _calls(tally: Tally) -> str:
    """All calls, the most frequent first."""
    counts = sorted(tally.calls.items(), key=lambda item: (-item[1], item[0]))
    parts = ", ".join(f"{grouped(n)} {name}" for (name, _), n in counts)
    return counted(tally.total_calls, "call") + (f" ({parts})" if parts else "")


ESTIMATE = Command("estimate", ABOUT, add_arguments, run)
