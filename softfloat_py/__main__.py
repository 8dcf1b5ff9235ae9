"""The command line: parse, call, print.

Exit status: 0, or 1 where a comparison found differences, or 2 where something given is wrong, with one
sentence on standard error.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import sys
from collections.abc import Callable, Sequence
from contextlib import nullcontext, redirect_stdout
from pathlib import Path
from textwrap import fill, indent
from typing import TYPE_CHECKING, Any, TypeAlias

from softfloat_py.c_export import EMIT, MULTIPLIER_HELP, WORD_HELP, asked_for, wanted, without_parameter
from softfloat_py.command_parser import Parser
from softfloat_py.command_words import (
    chosen,
    clock_in_hertz,
    model_named,
    operand,
    operation_and_operands,
    shielded,
    time_in_seconds,
    whole,
)
from softfloat_py.engines.c.target import target_for
from softfloat_py.environment import Rounding, environment
from softfloat_py.errors import SoftFloatError
from softfloat_py.formats import format_named
from softfloat_py.kernels import load_kernel_file
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import NAMED_OPTIONS
from softfloat_py.pricing.bounds import Bounds
from softfloat_py.pricing.estimate import Estimate
from softfloat_py.pricing.table_reader import cost_model, cost_models
from softfloat_py.studies.comparing import HOST_FLOATS, compare_with_host
from softfloat_py.tally.tally import Tally, work_of
from softfloat_py.views import bounds_table, cpu_table, estimate_comparison, estimate_table
from softfloat_py.views.estimate_data import as_data
from softfloat_py.views.explanation import explain
from softfloat_py.views.layout import LINE, counted, grouped
from softfloat_py.views.remarks import born_records, left_records, what_left
from softfloat_py.views.returned import returned
from softfloat_py.views.waiting import sign_of_life

if TYPE_CHECKING:
    Commands: TypeAlias = "argparse._SubParsersAction[Parser]"

Command = Callable[[argparse.Namespace], int]

ABOUT = """\
IEEE 754 arithmetic done with integers only, counted step by step, and priced for CPUs without an FPU.
"""

ESTIMATE = """\
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

CPUS = """\
List the cost models, or show every figure of one with its source, and the cores, chips and boards it is for:

    python -m softfloat_py cpus cortex-m0plus
"""

EXPLAIN = """\
Show one operation step by step. Operands are decimal numbers, or encodings in hexadecimal; operations are
signs or names. Put < > * in quotes, the shell has other uses for them.

    python -m softfloat_py explain 6.25 + -0.1 --format binary32
    python -m softfloat_py explain sqrt 2.0
    python -m softfloat_py explain division 0x3f800000 3 --rounding toward_zero
    python -m softfloat_py explain convert_format 0.1 --target binary16
    python -m softfloat_py explain scale_b 0.75 -3
    python -m softfloat_py explain convert_to_integer 200.5 --width 8 --unsigned

The operations, by the names of IEEE 754-2019 where it has them, in snake case:

"""

COMPARE = """\
Run operations on random and corner operands here and on this machine's own floating point. The exit
status is 1 if any result differs.

    python -m softfloat_py compare-with-host --format binary32 --operations addition,division
"""

A_MODEL = "a cost model, core, chip or board, such as RP2040, or a file of one's own ending in .toml"
CPU_HELP = f"{A_MODEL}; repeated, they stand side by side; without it, one line for each cost model"
CLOCK_HELP = "clock, such as 16MHz, 32.768kHz or 16 (MHz); default: the model's usual one"

SORT_KEYS: dict[str, Callable[[Estimate], Any]] = {
    "name": lambda estimate: estimate.cpu.name,
    "cycles": lambda estimate: estimate.cycles,
    "time": lambda estimate: estimate.seconds,
}

ROUNDINGS = {rounding.name.lower(): rounding for rounding in Rounding}


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; gives the exit status."""
    given = sys.argv[1:] if arguments is None else list(arguments)
    try:
        return _status(given)
    except BrokenPipeError:
        # Whoever read the output has seen enough; Python would complain when it closes the streams.
        for stream in (sys.stdout, sys.stderr):
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
        return 0


def _status(given: Sequence[str]) -> int:
    try:
        parsed = parser().parse_args([shielded(argument) for argument in given])
        status: int = parsed.command(parsed)
    except SoftFloatError as error:
        print(error, file=sys.stderr)
        return 2
    finally:
        sys.stdout.flush()  # the help as well, which leaves by SystemExit
    return status


# -- commands ------------------------------------------------------------------------------------------


def estimate(parsed: argparse.Namespace) -> int:
    """Run a kernel and print what it costs."""
    models = dict.fromkeys(map(model_named, parsed.cpu or cost_models()))
    key = chosen("order", parsed.sort, SORT_KEYS)
    result, tally = _kernel_run(parsed)
    asked = [tally.estimate(model, clock_hz=parsed.clock, deadline=parsed.deadline) for model in models]
    estimates = sorted(asked, key=key)
    if parsed.json:
        print(json.dumps(_estimate_data(parsed, result, tally, estimates), indent=2))
    else:
        heading = f"{parsed.kernel} in {format_named(parsed.format).name}: {_calls(tally)}"
        print(heading, f"kernel returned {returned(result)}", "", _shown(parsed, estimates), sep="\n")
    left = what_left(tally)
    if parsed.strict and left:
        print(f"with --strict, no value may leave the emulation, but {left}", file=sys.stderr)
        return 2
    return 0


def _kernel_run(parsed: argparse.Namespace) -> tuple[Any, Tally]:
    """What the kernel returns, and the tally of it; with --json, what it prints is kept out of the JSON."""
    fmt = format_named(parsed.format)
    options = chosen("options", parsed.options, NAMED_OPTIONS)
    printed = redirect_stdout(sys.stderr) if parsed.json else nullcontext()
    with printed, environment(options=options), sign_of_life(f"running {parsed.kernel}"):
        return load_kernel_file(parsed.kernel).counted_run(fmt)


def _shown(parsed: argparse.Namespace, estimates: Sequence[Estimate]) -> str:
    """All of each estimate, or as much as fits a screen."""
    if parsed.details:
        return estimate_table.details(estimates)
    if parsed.cpu is None:
        return estimate_comparison.summary_table(estimates)
    if len(estimates) == 1:
        return estimate_table.overview(estimates[0])
    return estimate_comparison.side_by_side(estimates)


def _estimate_data(
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


def cpus(parsed: argparse.Namespace) -> int:
    """Print the list of cost models, or one of them."""
    if parsed.name is None:
        print(cpu_table.listing([cost_model(name) for name in cost_models()]))
    else:
        print(cpu_table.figures(model_named(parsed.name)))
    return 0


def explain_operation(parsed: argparse.Namespace) -> int:
    """Print one operation step by step."""
    name, texts = operation_and_operands([word.strip() for word in parsed.words])
    fmt = format_named(parsed.format)
    target = None if parsed.target is None else format_named(parsed.target)
    rounding = chosen("rounding", parsed.rounding, ROUNDINGS)
    row = OPERATIONS[name]
    if row.operands == row.integer_operands and target is None:
        target = fmt  # no operand says which format is meant
    with environment(rounding=rounding, options=chosen("options", parsed.options, NAMED_OPTIONS)):
        operands = [operand(row, place, text, fmt) for place, text in enumerate(texts)]
        print(explain(name, *operands, target=target, width=parsed.width, signed=not parsed.unsigned))
    return 0


def compare(parsed: argparse.Namespace) -> int:
    """Print a comparison with the host; 1 if anything differs."""
    fmt = format_named(parsed.format)
    operations = None if parsed.operations is None else parsed.operations.split(",")
    comparison = compare_with_host(fmt, operations=operations, samples=parsed.samples, seed=parsed.seed)
    print(comparison)
    return 0 if comparison.ok else 1


def bound(parsed: argparse.Namespace) -> int:
    """Print best, typical and worst cycles of operations."""
    fmt = format_named(parsed.format)
    options = chosen("options", parsed.options, NAMED_OPTIONS)
    asked = parsed.operations
    operations = dict.fromkeys(map(wanted, asked.split(","))) if asked else without_parameter()
    works = [work_of(each.operation, fmt, options, each.parameter) for each in operations]
    found = [[Bounds(work, model) for work in works] for model in map(model_named, parsed.cpu)]
    if parsed.json:
        print(json.dumps(bounds_table.as_data([each for on_cpu in found for each in on_cpu]), indent=2))
    else:
        print("\n\n".join([*map(bounds_table.table, found), bounds_table.CAUTION]))
    return 0


def emit_c(parsed: argparse.Namespace) -> int:
    """Write a header and a source, and print their names."""
    fmt = format_named(parsed.format)
    options = chosen("options", parsed.options, NAMED_OPTIONS)
    target = target_for(parsed.word, parsed.multiplier)
    unit = asked_for(fmt, options, target, parsed.operations)
    try:
        print(*unit.save(Path(parsed.output)), sep="\n")
    except OSError as error:
        print(
            f"output must be a directory to write to, not {parsed.output!r}: {error.strerror}",
            file=sys.stderr,
        )
        return 2
    return 0


# -- what is given -------------------------------------------------------------------------------------


def parser() -> Parser:
    """The parser of all commands."""
    top = Parser(prog="python -m softfloat_py", description=ABOUT)
    commands = top.add_subparsers(required=True, metavar="command")
    for add in (_add_estimate, _add_bounds, _add_cpus, _add_explain, _add_compare, _add_c):
        add(commands)
    return top


def _command(commands: Commands, name: str, command: Command, about: str) -> Parser:
    added = commands.add_parser(
        name,
        help=_first_sentence(about),
        description=about,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    added.set_defaults(command=command)
    return added


def _add_estimate(commands: Commands) -> None:
    add = _command(commands, "estimate", estimate, ESTIMATE).add_argument
    add("kernel", metavar="KERNEL.py", help="the kernel file")
    add("--cpu", action="append", metavar="NAME", help=CPU_HELP)
    add("--clock", type=clock_in_hertz, metavar="CLOCK", help=CLOCK_HELP)
    add("--format", default="binary32", metavar="NAME", help="format of all floats (default: binary32)")
    add(
        "--options", default="lean", metavar="NAME", help=f"one of {', '.join(NAMED_OPTIONS)} (default: lean)"
    )
    add(
        "--deadline",
        type=time_in_seconds,
        metavar="TIME",
        help="time there is: 250ms, 20min, 1200 (seconds)",
    )
    add(
        "--sort",
        default="name",
        metavar="BY",
        help=f"order of the CPUs: {', '.join(SORT_KEYS)} (default: name)",
    )
    add("--details", action="store_true", help="show all phases, steps and lines, for each CPU")
    add("--strict", action="store_true", help="exit with status 2 if values left the emulation")
    add("--json", action="store_true", help="print everything as JSON")


def _add_bounds(commands: Commands) -> None:
    add = _command(commands, "bounds", bound, bounds_table.ABOUT).add_argument
    add("--cpu", action="append", required=True, metavar="NAME", help=f"{A_MODEL}; may be repeated")
    add("--format", default="binary32", metavar="NAME", help="format of the operands (default: binary32)")
    add("--operations", metavar="NAMES", help="names joined by commas (default: all that are no conversions)")
    add(
        "--options", default="lean", metavar="NAME", help=f"one of {', '.join(NAMED_OPTIONS)} (default: lean)"
    )
    add("--json", action="store_true", help="print everything as JSON")


def _add_cpus(commands: Commands) -> None:
    add = _command(commands, "cpus", cpus, CPUS).add_argument
    add("name", nargs="?", metavar="NAME", help=A_MODEL)


def _add_explain(commands: Commands) -> None:
    about = EXPLAIN + indent(fill(", ".join(OPERATIONS), LINE - 4), "    ")
    add = _command(commands, "explain", explain_operation, about).add_argument
    add("words", nargs="+", metavar="WORD", help="OPERAND SIGN OPERAND, or OPERATION OPERAND...")
    add("--format", default="binary32", metavar="NAME", help="format of the operands (default: binary32)")
    add("--target", metavar="NAME", help="format of a conversion's result")
    add("--width", type=int, default=32, metavar="BITS", help="bits of an integer (default: 32)")
    add("--unsigned", action="store_true", help="a conversion is from or to an unsigned integer")
    add("--rounding", default="ties_to_even", metavar="NAME", help=f"one of {', '.join(ROUNDINGS)}")
    add("--options", default="complete", metavar="NAME", help=f"one of {', '.join(NAMED_OPTIONS)}")


def _add_compare(commands: Commands) -> None:
    add = _command(commands, "compare-with-host", compare, COMPARE).add_argument
    names = ", ".join(fmt.name for fmt in HOST_FLOATS)
    add("--format", default="binary32", metavar="NAME", help=f"one of {names} (default: binary32)")
    add("--operations", metavar="NAMES", help="names joined by commas (default: all that the host has)")
    add(
        "--samples",
        type=whole,
        default=100_000,
        metavar="N",
        help="random samples an operation, 0 for the corner operands alone (default: 100000)",
    )
    add("--seed", type=whole, default=1, metavar="N", help="of the random samples (default: 1)")


def _add_c(commands: Commands) -> None:
    add = _command(commands, "c", emit_c, EMIT).add_argument
    add("--format", default="binary32", metavar="NAME", help="format of the operands (default: binary32)")
    add("--operations", metavar="NAMES", help="names joined by commas (default: all but conversions)")
    add(
        "--options", default="lean", metavar="NAME", help=f"one of {', '.join(NAMED_OPTIONS)} (default: lean)"
    )
    add("--word", type=int, default=32, metavar="BITS", help=WORD_HELP)
    add("--multiplier", type=int, metavar="BITS", help=MULTIPLIER_HELP)
    add("--output", default=".", metavar="DIR", help="where to write NAME.h and NAME.c (default: here)")


def _first_sentence(about: str) -> str:
    return re.split(r"[.:](?:\s|$)", about.replace("\n", " "), maxsplit=1)[0]


# -- what is shown -------------------------------------------------------------------------------------


def _calls(tally: Tally) -> str:
    """All calls, the most frequent first."""
    counts = sorted(tally.calls.items(), key=lambda item: (-item[1], item[0]))
    parts = ", ".join(f"{grouped(n)} {name}" for (name, _), n in counts)
    return counted(tally.total_calls, "call") + (f" ({parts})" if parts else "")


if __name__ == "__main__":
    sys.exit(main())
