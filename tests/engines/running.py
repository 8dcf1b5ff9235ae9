"""One way to run any operation on any engine, and one way to ask the rational reference about it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from functools import cache, partial
from typing import Any, NamedTuple

from softfloat_py.engines import arrays, plain
from softfloat_py.engines.registry import Engine, Task, available
from softfloat_py.environment import DIRECTION_BITS, Flags, Rounding
from softfloat_py.formats import IntegerFormat
from softfloat_py.integer_form.counting import Entry
from softfloat_py.numbers.formats import Format
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, Options
from softfloat_py.routines.language import Bits
from softfloat_py.uses import INTEGER_BITS, Use, use_of
from tests.references import integers, rational
from tests.references.exact_rounding import Outcome


def used(name: str, fmt: Format, options: Options = COMPLETE, parameter: Any = None) -> Use:
    """An operation by name, in a format, with options; `parameter` is a target format, or an integer
    format, which its width in bits stands for if it is signed.
    """
    fixed = IntegerFormat(parameter) if isinstance(parameter, int) else parameter
    return use_of(OPERATIONS[name], fmt, options, fixed)


def outcome_of(use: Use, results: tuple[int, ...]) -> Outcome:
    """Result (a tuple if there are several) and flags from a program's results; no flags where the options
    keep none.
    """
    delivered = results[: use.operation.results]
    result = delivered[0] if len(delivered) == 1 else delivered
    return result, Flags(results[len(delivered)]) if use.options.flags else Flags.NONE


class Run(NamedTuple):
    """What an engine delivered; `counts` is None for an engine that does not count."""

    outcome: Outcome
    counts: Counter[Entry] | None


def task_of(use: Use) -> Task:
    """A use as engines take it."""
    call, fixed = use.call, dict(use.call.fixed)
    if use.operation.rounds and not use.takes_direction:
        fixed["direction"] = Bits(0, DIRECTION_BITS)
    return Task(use.program, use.operation.routine, call.widths, fixed, call.entering, call.leaving)


def run_on(engine: Engine, use: Use, rounding: Rounding, operands: tuple[int, ...]) -> Run:
    """A use on an engine."""
    rows, counts, _ = engine.deliver(task_of(use), [use.arguments(operands, int(rounding))])
    return Run(outcome_of(use, rows[0]), None if counts is None else without_zeros(counts))


Runner = Callable[[Use, Rounding, tuple[int, ...]], Run]
ENGINES: dict[str, Runner] = {engine.name: partial(run_on, engine) for engine in available()}
run_direct, run_plain, run_stepwise = ENGINES["direct"], ENGINES["plain"], ENGINES["stepwise"]


def assert_engines_agree(use: Use, rounding: Rounding, operands: tuple[int, ...]) -> None:
    """Every engine delivers what Python itself does, and those that count count what the steps add up to."""
    runs = {engine: run(use, rounding, operands) for engine, run in ENGINES.items()}
    counts = {engine: run.counts for engine, run in runs.items() if run.counts is not None}

    assert dict.fromkeys(runs, runs["direct"].outcome) == {
        engine: run.outcome for engine, run in runs.items()
    }
    assert dict.fromkeys(counts, counts["stepwise"]) == counts


def run_generated(function: plain.Plain, arguments: Iterable[int]) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """What a generated function delivers: its results, and apart from them its record."""
    delivered: Any = function.run(*arguments)
    *results, record = delivered
    return tuple(results), record


def without_zeros(counts: Counter[Entry]) -> Counter[Entry]:
    """Counts with only the entries that occurred."""
    return +counts


def reference(use: Use, rounding: Rounding, operands: tuple[int, ...]) -> Outcome:
    """What the rational reference expects, flags included; its formats taken from the use."""
    options, fmt, integer = use.options, use.format, use.integer
    assert isinstance(fmt, Format)
    match use.operation.name:
        case "convert_format":
            assert isinstance(use.delivered, Format)
            return rational.convert_format(fmt, use.delivered, rounding, *operands, options=options)
        case "convert_to_integer":
            return integers.convert_to_integer(fmt, rounding, integer, *operands, options=options)
        case "convert_to_integer_exact":
            return integers.convert_to_integer_exact(fmt, rounding, integer, *operands, options=options)
        case "convert_to_integer_toward_zero":
            toward_zero = Rounding.TOWARD_ZERO
            return integers.convert_to_integer(fmt, toward_zero, integer, *operands, options=options)
        case "convert_from_integer":
            value = as_integer(operands[0], integer)
            return integers.convert_from_integer(fmt, rounding, value, integer, options=options)
        case "scale_b":
            n = as_integer(operands[1], IntegerFormat(INTEGER_BITS))
            return integers.scale_b(fmt, rounding, operands[0], n, options=options)
        case "pown" | "compound" | "rootn":
            n = as_integer(operands[1], IntegerFormat(INTEGER_BITS))
            return integers.elementary(use.operation.name, fmt, rounding, operands[0], n, options=options)
        case "log_b":
            return integers.log_b(fmt, *operands, options=options)
    return rational.expected(use.operation.name, fmt, rounding, *operands, options=options)


def as_integer(pattern: int, integer: IntegerFormat) -> int:
    """The integer with these bits."""
    return pattern - (1 << integer.width) if pattern > integer.highest else pattern


@cache
def array_runner(use: Use) -> Any:
    """The array engine's form of a use, kept because tests run it on many arrays."""
    return arrays.compiled(use.program)


def run_on_arrays(use: Use, rounding: Rounding, *operands: Any) -> tuple[Any, Any]:
    """Results and flags, element by element, of the array engine on arrays of encodings."""
    outcome = array_runner(use).run(operands, int(rounding), keep_counts=False)
    return outcome.results[0], outcome.element_flags
