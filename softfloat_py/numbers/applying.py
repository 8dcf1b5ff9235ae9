"""The one gate between values and engines.

An operation on encodings is run in the environment's conventions and noted in the tally that is counting. So
are values that leave the emulation, and NaNs and infinities that come of operands that are none.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import reduce
from operator import or_
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Any, TypeVar

from softfloat_py.engines import plain
from softfloat_py.environment import current, raise_flags
from softfloat_py.keeping import kept
from softfloat_py.numbers.births import note_birth, special_results
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import Operation
from softfloat_py.tally.notes import THREAD
from softfloat_py.tally.tally import COUNTING, Line, counting_now
from softfloat_py.uses import Use, use_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Encodings = NDArray[Any]

T = TypeVar("T")

PACKAGE = str(Path(__file__).parent.parent) + os.sep
# Where the code of others lies: Python's own and that of installed packages.
INSTALLED = str(Path(os.__file__).parent) + os.sep, "site-packages", "dist-packages"
# Below so many elements, one by one through the plain engine is quicker than the array engine's fixed cost.
FEW = 128


@dataclass(frozen=True, slots=True, eq=False)
class Ready:
    """A use ready to run on ints.

    `run` takes the operands, and the direction if `directed`; it gives so many `results`, the flags if
    `flagged`, and the record of the run. A NaN or an infinity is a result whose magnitude, which is
    `result & magnitude`, is `special` or more.
    """

    use: Use
    run: Callable[..., Any]
    directed: bool
    flagged: bool
    results: int
    magnitude: int
    special: int


@kept
def ready(use: Use) -> Ready:
    """A use on the plain engine."""
    run = plain.compiled(use.program).run
    return Ready(
        use, run, use.takes_direction, use.options.flags, use.operation.results, *special_results(use)
    )


def apply(operation: Operation, fmt: ValueSystem, bits: tuple[int, ...], parameter: Any = None) -> Any:
    """The result's encoding (or truth, or integer) of an operation on encodings; a tuple of several results.

    Raises flags in the current environment and notes the run in the tally that is counting.
    """
    environment = current.conventions()
    prepared = ready(use_of(operation, fmt, environment.options, parameter))
    run = prepared.run
    outcome = run(*bits, environment.direction) if prepared.directed else run(*bits)
    results = prepared.results
    if prepared.flagged and outcome[results]:
        raise_flags(environment, outcome[results])
    tally = counting_now.get()
    if tally is not None:
        frame = user_frame()
        tally.note_runs(prepared.use, [outcome[-1]], frame)
        if outcome[0] & prepared.magnitude >= prepared.special:
            note_birth(tally, prepared.use, Line.of(frame), bits, outcome[0])
    elif COUNTING:
        note_uncounted(1)
    return outcome[0] if results == 1 else outcome[:results]


def apply_in_turn(
    operation: Operation, fmt: ValueSystem, compute: Callable[[Callable[..., Any]], T], parameter: Any = None
) -> T:
    """What `compute` makes of an operation that it may call on encodings as often as it likes.

    As `apply` for each call, except that flags and runs are passed on together at the end, from one line.
    """
    environment = current.conventions()
    prepared = ready(use_of(operation, fmt, environment.options, parameter))
    run, direction = prepared.run, (environment.direction,) if prepared.directed else ()
    results, magnitude, special = prepared.results, prepared.magnitude, prepared.special
    outcomes: list[tuple[Any, ...]] = []
    specials: list[tuple[tuple[int, ...], int]] = []

    def call(*bits: int) -> Any:
        outcome = run(*bits, *direction)
        outcomes.append(outcome)
        if outcome[0] & magnitude >= special:
            specials.append((bits, outcome[0]))
        return outcome[0] if results == 1 else outcome[:results]

    result = compute(call)
    if prepared.flagged:
        raise_flags(environment, reduce(or_, (outcome[results] for outcome in outcomes), 0))
    tally = counting_now.get()
    if tally is not None:
        frame = user_frame()
        tally.note_runs(prepared.use, (outcome[-1] for outcome in outcomes), frame)
        for operands, born in specials:
            note_birth(tally, prepared.use, Line.of(frame), operands, born)
    elif COUNTING:
        note_uncounted(len(outcomes))
    return result


def apply_arrays(
    operation: Operation, fmt: ValueSystem, bits: tuple[Encodings | int, ...], parameter: Any = None
) -> Any:
    """As `apply`, on encodings that broadcast to one shape, at least one of them an array.

    A result's dtype is the smallest unsigned one that holds it (bool for a truth), or that of
    `array_words.storage_of` beyond 64 bits.
    """
    from softfloat_py.engines import arrays
    from softfloat_py.engines.arrays import words as array_words
    from softfloat_py.numbers.array_births import may_be_born, note_births, watched_for

    environment = current.conventions()
    use = use_of(operation, fmt, environment.options, parameter)
    program = use.program
    operands = array_words.aligned(bits, (operand.width for operand in program.operands))
    tally = counting_now.get()
    counting = tally is not None
    if operands[0].size < FEW or (tally is not None and tally.each_call):
        return _apply_one_by_one(operation, fmt, operands, parameter, program.result_widths)
    watched = watched_for(use) if counting else None
    compiled = arrays.compiled(program)
    outcome = compiled.run(operands, environment.direction, keep_counts=counting, watched=watched)
    raise_flags(environment, outcome.flags)
    if tally is not None and outcome.usage is not None:
        line = Line.of(user_frame())
        tally.note_usage(use, outcome.usage, line)
        if may_be_born(use, outcome):
            note_births(tally, use, line, operands, outcome.results[0])
    elif COUNTING:
        note_uncounted(operands[0].size)
    return outcome.results[0] if operation.results == 1 else outcome.results


def _apply_one_by_one(
    operation: Operation,
    fmt: ValueSystem,
    operands: tuple[NDArray[Any], ...],
    parameter: Any,
    widths: tuple[int, ...],
) -> Any:
    """As `apply_arrays`, element by element."""
    from softfloat_py.engines.arrays.words import from_ints, to_ints

    elements, shape = [to_ints(operand) for operand in operands], operands[0].shape
    delivered = apply_in_turn(operation, fmt, lambda call: list(map(call, *elements)), parameter)
    if operation.results == 1:
        return from_ints(delivered, widths[0]).reshape(shape)
    return tuple(
        from_ints([values[place] for values in delivered], widths[place]).reshape(shape)
        for place in range(operation.results)
    )


class _Ours(dict[str, bool]):
    """Whether a file is of this library, remembered: all frames below the user's are asked."""

    def __missing__(self, file: str) -> bool:
        self[file] = ours = file.startswith(PACKAGE)
        return ours


_ours = _Ours()


def user_frame() -> FrameType:
    """The innermost frame that is not this library's."""
    frame = sys._getframe(1)
    while _ours[frame.f_code.co_filename] and frame.f_back is not None:
        frame = frame.f_back
    return frame


def note_departure(how: str, values: int = 1) -> None:
    """Note that values left the emulation at the user's line; nothing where no tally is counting here."""
    tally = counting_now.get()
    if tally is not None:
        tally.note_departure(_line_of_program(), how, values)


def note_uncounted(values: int) -> None:
    """Note work that no tally counts, where others count elsewhere in this process: all of those are told."""
    line = _line_of_program()
    for tally in tuple(COUNTING.values()):
        tally.note_departure(line, THREAD, values)


def note_operand(value: object) -> None:
    """Note what of the host's stood beside emulated values at the user's line; it may be no constant."""
    tally = counting_now.get()
    if tally is not None:
        tally.notes.operand(value, user_frame())


def _line_of_program() -> Line:
    """The innermost line of the user's that is in no installed package, if there is one."""
    innermost = user_frame()
    frame: FrameType | None = innermost
    while frame is not None and _is_installed(frame.f_code.co_filename):
        frame = frame.f_back
    return Line.of(frame or innermost)


def _is_installed(file: str) -> bool:
    library, *packages = INSTALLED
    return file.startswith(library) or any(folder in file for folder in packages)
