"""The one gate between values and engines.

An operation on encodings is run in the environment's conventions and noted in the tally that is counting.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Any, TypeVar

from softfloat_py.engines import plain
from softfloat_py.environment import current
from softfloat_py.formats import Format
from softfloat_py.operations import Operation, program_of
from softfloat_py.options import Options
from softfloat_py.tally import Line, Work, counting_now, work_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softfloat_py.integer_form.counting import Usage

    Encodings = NDArray[Any]

T = TypeVar("T")

PACKAGE = str(Path(__file__).parent.parent) + os.sep
# Below so many elements, one by one through the plain engine is quicker than the array engine's fixed cost.
FEW = 128


@dataclass(frozen=True, slots=True, eq=False)
class Prepared:
    """An operation ready to run on ints, with what its runs are filed under.

    `run` takes the operands, and the direction if `directed`; it gives so many `results`, the flags if
    `flagged`, and the record of the run.
    """

    format: Format
    options: Options
    parameter: Any
    plain: plain.Plain
    run: Callable[..., Any]
    work: Work
    directed: bool
    flagged: bool
    results: int

    def __reduce__(self) -> tuple[Any, ...]:
        """A copy, or what another process reads, is again the one of its kind."""
        return prepare, (self.work.operation, self.format, self.options, self.parameter)

    def usage(self, records: Mapping[tuple[int, ...], int]) -> Usage:
        """What runs did, from the records they left and how often each was left."""
        return self.plain.usage(records)


@cache
def prepare(operation: Operation, fmt: Format, options: Options, parameter: Any = None) -> Prepared:
    """An operation on the plain engine."""
    compiled = plain.compiled(program_of(operation, fmt, options, parameter))
    work = work_of(operation, fmt, options, parameter)
    directed = operation.rounds and options.all_directions
    return Prepared(
        fmt, options, parameter, compiled, compiled.run, work, directed, options.flags, operation.results
    )


# What each operation was last prepared for: looking it up by format and options means hashing both.
_last_prepared: dict[Operation, Prepared] = {}


def prepared_now(operation: Operation, fmt: Format, parameter: Any = None) -> Prepared:
    """An operation on the plain engine with the options in force."""
    options = current.get().options
    last = _last_prepared.get(operation)
    if last is None or last.format is not fmt or last.options is not options or last.parameter != parameter:
        last = _last_prepared[operation] = prepare(operation, fmt, options, parameter)
    return last


def apply(operation: Operation, fmt: Format, bits: tuple[int, ...], parameter: Any = None) -> Any:
    """The result's encoding (or truth, or integer) of an operation on encodings; a tuple of several results.

    Raises flags in the current environment and notes the run in the tally that is counting.
    """
    prepared = prepared_now(operation, fmt, parameter)
    environment = current.get()
    run = prepared.run
    outcome = run(*bits, environment.direction) if prepared.directed else run(*bits)
    results = prepared.results
    if prepared.flagged:
        environment.raised |= outcome[results]
    tally = counting_now.get()
    if tally is not None:
        tally.note_runs(prepared, [outcome[-1]], user_frame())
    return outcome[0] if results == 1 else outcome[:results]


def apply_in_turn(
    operation: Operation, fmt: Format, compute: Callable[[Callable[..., Any]], T], parameter: Any = None
) -> T:
    """What `compute` makes of an operation that it may call on encodings as often as it likes.

    As `apply` for each call, except that flags and runs are passed on together at the end, from one line.
    """
    prepared = prepared_now(operation, fmt, parameter)
    environment = current.get()
    run, direction = prepared.run, (environment.direction,) if prepared.directed else ()
    results = prepared.results
    outcomes: list[tuple[Any, ...]] = []

    def call(*bits: int) -> Any:
        outcome = run(*bits, *direction)
        outcomes.append(outcome)
        return outcome[0] if results == 1 else outcome[:results]

    result = compute(call)
    if prepared.flagged:
        for outcome in outcomes:
            environment.raised |= outcome[results]
    tally = counting_now.get()
    if tally is not None:
        tally.note_runs(prepared, (outcome[-1] for outcome in outcomes), user_frame())
    return result


def apply_arrays(
    operation: Operation, fmt: Format, bits: tuple[Encodings | int, ...], parameter: Any = None
) -> Any:
    """As `apply`, on encodings that broadcast to one shape, at least one of them an array.

    A result's dtype is the smallest unsigned one that holds it (bool for a truth), or that of
    `array_words.storage_of` beyond 64 bits.
    """
    from softfloat_py.engines import array_words, arrays

    environment = current.get()
    options = environment.options
    program = program_of(operation, fmt, options, parameter)
    operands = array_words.aligned(bits, (operand.width for operand in program.operands))
    tally = counting_now.get()
    counting = tally is not None
    if operands[0].size < FEW or (tally is not None and tally.each_call):
        return _apply_one_by_one(operation, fmt, operands, parameter, program.result_widths)
    outcome = arrays.compiled(program).run(operands, environment.direction, keep_counts=counting)
    environment.raised |= outcome.flags
    if tally is not None and outcome.usage is not None:
        tally.note_usage(work_of(operation, fmt, options, parameter), outcome.usage, Line.of(user_frame()))
    return outcome.results[0] if operation.results == 1 else outcome.results


def _apply_one_by_one(
    operation: Operation,
    fmt: Format,
    operands: tuple[NDArray[Any], ...],
    parameter: Any,
    widths: tuple[int, ...],
) -> Any:
    """As `apply_arrays`, element by element."""
    from softfloat_py.engines.array_words import from_ints, to_ints

    elements, shape = [to_ints(operand) for operand in operands], operands[0].shape
    delivered = apply_in_turn(operation, fmt, lambda call: list(map(call, *elements)), parameter)
    if operation.results == 1:
        return from_ints(delivered, widths[0]).reshape(shape)
    return tuple(
        from_ints([values[place] for values in delivered], widths[place]).reshape(shape)
        for place in range(operation.results)
    )


def user_frame() -> FrameType:
    """The innermost frame that is not this library's."""
    frame = sys._getframe(1)
    while frame.f_back is not None and frame.f_code.co_filename.startswith(PACKAGE):
        frame = frame.f_back
    return frame


def note_departure(how: str, values: int = 1) -> None:
    """TEMPORARY until the tally room lands."""
