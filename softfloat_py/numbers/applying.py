"""The one gate between values and engines.

An operation on encodings is run in the environment's conventions and noted in the tally that is counting. So
are values that leave the emulation, and NaNs and infinities that come of operands that are none.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from functools import cache
from itertools import chain
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Any, TypeVar

from softfloat_py.environment import Environment, current, raise_flags
from softfloat_py.keeping import kept
from softfloat_py.numbers.births import note_birth
from softfloat_py.numbers.gates import gate_of
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import Operation
from softfloat_py.tally.logs import Log
from softfloat_py.tally.notes import THREAD
from softfloat_py.tally.tally import COUNTING, Line, Tally, counting_now
from softfloat_py.uses import Use, use_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Encodings = NDArray[Any]

T = TypeVar("T")

PACKAGE = str(Path(__file__).parent.parent) + os.sep
# Where the code of others lies: Python's own and that of installed packages.
INSTALLED = str(Path(os.__file__).parent) + os.sep, "site-packages", "dist-packages"
# Below so many elements, one by one through the plain engine is quicker than the array engine's fixed cost.
FEW = 160
WORD = 64  # bits of the widest element that the array engine computes with as one


def apply(operation: Operation, fmt: ValueSystem, bits: tuple[int, ...], parameter: Any = None) -> Any:
    """The result's encoding (or truth, or integer) of an operation on encodings; a tuple of several results.

    Raises flags in the current environment and notes the run in the tally that is counting.
    """
    environment = current.conventions()
    use = use_of(operation, fmt, environment.options, parameter)
    gate = gate_of(use)
    result, raised = gate.once(*bits, environment.direction)
    if raised:
        raise_flags(environment, raised)
    tally = counting_now.get()
    if tally is not None:
        log = tally.log_at(use, environment.direction if gate.directed else 0, user_frame())
        tally.note_runs(log, bits)
        if gate.may_bear(raised):
            _note_births(tally, log, (bits,), (result,))
    elif COUNTING:
        note_uncounted(1)
    return result


def apply_in_turn(
    operation: Operation, fmt: ValueSystem, compute: Callable[[Callable[..., Any]], T], parameter: Any = None
) -> T:
    """What `compute` makes of an operation that it may call on encodings as often as it likes.

    As `apply` for each call, except that flags and runs are passed on together at the end, from one line.
    """
    environment = current.conventions()
    use = use_of(operation, fmt, environment.options, parameter)
    once, direction, raised = gate_of(use).once, environment.direction, 0
    calls: list[tuple[int, ...]] = []
    results: list[Any] = []

    def call(*bits: int) -> Any:
        nonlocal raised
        result, flags = once(*bits, direction)
        raised |= flags
        calls.append(bits)
        results.append(result)
        return result

    computed = compute(call)
    raise_flags(environment, raised)
    _note_all(use, environment, calls, results, raised)
    return computed


def _note_all(
    use: Use, environment: Environment, calls: Sequence[tuple[int, ...]], results: Sequence[Any], raised: int
) -> None:
    """Note runs that one line started, by their operands, and what was born in them."""
    tally = counting_now.get()
    if tally is not None and calls:
        gate = gate_of(use)
        log = tally.log_at(use, environment.direction if gate.directed else 0, user_frame())
        tally.note_runs(log, chain.from_iterable(calls))
        if gate.may_bear(raised):
            _note_births(tally, log, calls, results)
    elif COUNTING:
        note_uncounted(len(calls))


def _note_births(tally: Tally, log: Log, calls: Sequence[tuple[int, ...]], results: Sequence[Any]) -> None:
    """Note the NaNs and infinities among results that come of operands that are none."""
    gate = gate_of(log.use)
    for bits, result in zip(calls, results, strict=True):
        first = result[0] if gate.several else result
        if first & gate.magnitude >= gate.special:
            note_birth(tally, log.use, log.line, bits, first)


def apply_arrays(
    operation: Operation, fmt: ValueSystem, bits: tuple[Encodings | int, ...], parameter: Any = None
) -> Any:
    """As `apply`, on encodings that broadcast to one shape, at least one of them an array.

    A result's dtype is the smallest unsigned one that holds it (bool for a truth), or that of
    `engines.arrays.words.storage_of` beyond 64 bits.
    """
    arrays, words, births = _of_arrays()
    environment = current.conventions()
    use = use_of(operation, fmt, environment.options, parameter)
    operands = words.aligned(bits, use.widths)
    size, tally = operands[0].size, counting_now.get()
    if size < _few(use) or (tally is not None and tally.each_call):
        return _apply_one_by_one(use, environment, operands)
    watched = births.watched_for(use) if tally is not None else None
    outcome = arrays.compiled(use.program).run_aligned(
        operands, environment.direction, keep_counts=tally is not None, watched=watched
    )
    raise_flags(environment, outcome.flags)
    if tally is not None:
        line = Line.of(user_frame())
        tally.note_usage(use, outcome.usage, line)
        if births.may_be_born(use, outcome):
            births.note_births(tally, use, line, operands, outcome.results[0])
    elif COUNTING:
        note_uncounted(size)
    return outcome.results[0] if len(outcome.results) == 1 else outcome.results


def _apply_one_by_one(use: Use, environment: Environment, operands: Sequence[NDArray[Any]]) -> Any:
    """As `apply_arrays`, element by element."""
    _, words, _ = _of_arrays()
    elements, shape = [words.to_ints(operand) for operand in operands], operands[0].shape
    results, raised = gate_of(use).each(*elements, environment.direction)
    raise_flags(environment, raised)
    _note_all(use, environment, list(zip(*elements, strict=True)), results, raised)
    widths, several = use.program.result_widths, use.operation.results
    if several == 1:
        return words.from_ints(results, widths[0]).reshape(shape)
    parts = list(zip(*results, strict=True)) or [()] * several
    return tuple(words.from_ints(parts[place], widths[place]).reshape(shape) for place in range(several))


@kept
def _few(use: Use) -> int:
    """FEW, and half of that for the loops of a routine whose values fit one element of an array."""
    has_loop = any(True for _ in use.program.body.all_loops())
    return FEW // 2 if has_loop and max(use.widths) <= WORD else FEW


@cache
def _of_arrays() -> tuple[Any, Any, Any]:
    """The modules that arrays need: imported, with numpy, when there is the first one."""
    from softfloat_py.engines import arrays
    from softfloat_py.engines.arrays import words
    from softfloat_py.numbers import array_births

    return arrays, words, array_births


class _Ours(dict[str, bool]):
    """Whether a file is of this library, remembered: all frames below the user's are asked."""

    def __missing__(self, file: str) -> bool:
        self[file] = ours = file.startswith(PACKAGE)
        return ours


_ours = _Ours()


def is_users(frame: FrameType) -> bool:
    """Whether a frame is not this library's."""
    return not _ours[frame.f_code.co_filename]


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
