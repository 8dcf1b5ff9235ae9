"""The array engine: a program as generated numpy code, run on pieces of the arrays that fit the cache.

How control flow becomes array code. Some elements take one side of an `if`, some the other:

- none or all take it: the other side is left out;
- few do: they are gathered, go through their side as a short array, and are put back, while everybody else
  goes through the other side (`support.Run.branch`);
- otherwise both sides run for all and the results are merged by the condition. Elements on the wrong side
  compute nonsense, which is harmless: a step never fails, and what it delivers there is neither merged nor
  counted.

What is returned before the end stays whole, beside the mask of those whose result it is, and all results are
merged at last; only what gathered elements return is put in their places.

Sides of a few steps are always merged, in line. A condition that is the same for all elements, such as the
rounding direction, is an ordinary Python `if`. A program that is called runs for the elements that call it,
gathered if they are few. Counting costs one sum of a mask a side; the features of steps
become histograms.

In a loop of variable length the elements stand in the order of their rounds, so that those with rounds left
are a slice at the front of each array (`support.Run.loop`).

A variable is held in the smallest unsigned dtype its width fits, one-bit values as bool; wider ones than 64
bits are first rewritten in words by the lowering, operands and results included (`words` says how a
wide one lies in memory).

Reading order: this file, analysis, writer, spellings, support, words.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from softfloat_py.engines.arrays.analysis import tables_of
from softfloat_py.engines.arrays.support import NAMES, Callee, Run, dtype_of
from softfloat_py.engines.arrays.words import WORD, aligned, from_ints, storage_of, to_ints, words_of
from softfloat_py.engines.arrays.writer import write
from softfloat_py.engines.registry import Delivered, Row, Task
from softfloat_py.integer_form.counting import Usage, bill_of
from softfloat_py.integer_form.grammar import Program
from softfloat_py.keeping import kept
from softfloat_py.lowering.in_words import in_words
from softfloat_py.lowering.machine import Machine

# What numpy's own integers can do, as a machine.
NUMPY = Machine(
    word=WORD,
    carry_flag=False,
    barrel_shifter=True,
    multiplier_bits=32,
    dividend_bits=WORD,
    divisor_bits=WORD,
    leading_zero_count=True,
    immediate_bits=64,
)
PIECE_BYTES = 1 << 17  # of one operand: some ten values of a piece then stay in a second-level cache


class Watched(Protocol):
    """What is looked for among the first results of a run."""

    def is_reached(self, results: NDArray[Any]) -> bool:
        """Whether one of some results is, or may be, what is looked for."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a run on arrays leaves: the results, one array a value that the operation delivers, and the flags
    by element, all flags together, counts of all elements, and whether a first result reached what was
    watched for.
    """

    results: tuple[NDArray[Any], ...]
    element_flags: NDArray[np.uint8] | None
    flags: int
    usage: Usage | None
    reached: bool


@dataclass(frozen=True, eq=False)
class Compiled:
    """A program ready to run on arrays."""

    program: Program
    words: Program
    source: str
    body: Callable[..., Any]
    callees: tuple[Compiled, ...]

    def run(
        self,
        operands: Sequence[NDArray[Any]],
        direction: int,
        *,
        keep_counts: bool = True,
        watched: Watched | None = None,
    ) -> Outcome:
        """Run on unsigned arrays of one shape (or that broadcast to one), one an operand.

        An operand of more than 64 bits has the dtype of `storage_of`. `direction` is the rounding direction
        for all elements, ignored by programs that do not take it.
        """
        arrays = aligned(operands, (parameter.width for parameter in self.program.operands))
        return self.run_aligned(arrays, direction, keep_counts=keep_counts, watched=watched)

    def run_aligned(
        self,
        operands: Sequence[NDArray[Any]],
        direction: int,
        *,
        keep_counts: bool,
        watched: Watched | None = None,
    ) -> Outcome:
        """As `run`, on arrays that `aligned` gave."""
        program, shape = self.program, operands[0].shape
        flat = [np.ascontiguousarray(array).reshape(-1) for array in operands]
        size = flat[0].size
        results = [np.empty(size, storage_of(width)) for width in program.result_widths]
        run = self._new_run(keep_counts)
        reached = self._run_pieces(run, flat, direction, results, watched)
        values, flags = (results[:-1], results[-1]) if program.keeps_flags else (results, None)
        usage = self._usage(run) if keep_counts else None
        return Outcome(
            tuple(value.reshape(shape) for value in values),
            None if flags is None else flags.reshape(shape),
            0 if flags is None else int(np.bitwise_or.reduce(flags, initial=0)),
            usage,
            reached,
        )

    def _new_run(self, counting: bool) -> Run:
        """A run of the program, and of each that it calls."""
        callees = [
            Callee(callee._new_run(counting), callee.body, [*map(dtype_of, callee.words.result_widths)])
            for callee in self.callees
        ]
        return Run(self.words.stretches, self.largest_features, counting, callees)

    def _usage(self, run: Run) -> Usage:
        """What a run did, and what was called in it."""
        callees = tuple(
            compiled._usage(called.run) for compiled, called in zip(self.callees, run.callees, strict=True)
        )
        return Usage(run.counts[0], run.counts[: self.program.stretches], run.features(), callees)

    @cached_property
    def largest_features(self) -> tuple[int, ...]:
        """What the feature of each site cannot exceed."""
        return tuple(site.largest_feature for site in bill_of(self.program).sites)

    @cached_property
    def word_dtypes(self) -> tuple[type[np.generic], ...]:
        """The dtype of each operand of the program in words."""
        return tuple(dtype_of(parameter.width) for parameter in self.words.operands)

    def _run_pieces(
        self,
        run: Run,
        operands: list[NDArray[Any]],
        direction: int,
        results: list[NDArray[Any]],
        watched: Watched | None,
    ) -> bool:
        """Fill the results from the operands, all with one axis, piece by piece and word by word; whether one
        reached what is watched for, which is asked while a piece is at hand.
        """
        reached = False
        words = [word for operand in operands for word in words_of(operand)]
        dtypes = self.word_dtypes
        result_words = [word for result in results for word in words_of(result)]
        uniform = [direction] * len(self.words.uniform)
        length = PIECE_BYTES // max(*(operand.itemsize for operand in operands), 4)
        for start in range(0, operands[0].size, length):
            piece = slice(start, start + length)
            # A word among others is copied out of their memory: what stands apart takes long to read often.
            cut = [np.asarray(w[piece], dtype, order="C") for w, dtype in zip(words, dtypes, strict=True)]
            filled = [result[piece] for result in result_words]
            run.piece(self.body, len(filled[0]), None, [*cut, *uniform], filled)
            reached = reached or (watched is not None and watched.is_reached(results[0][piece]))
        return reached


@kept
def compiled(program: Program) -> Compiled:
    """The array code of a program."""
    words = in_words(program, NUMPY)
    source = write(words)
    tables = [np.array(table.entries, dtype_of(table.width)) for table in tables_of(words)]
    names: dict[str, Any] = {**NAMES, "tables": tables}
    exec(compile(source, f"<arrays {program.name}>", "exec"), names)
    return Compiled(program, words, source, names["block_0"], tuple(map(compiled, program.callees)))


def deliver(task: Task, rows: Sequence[Row]) -> Delivered:
    """Rows of results, all at once, and what they count; ValueError for rows whose directions differ."""
    program = task.program
    by_parameter = zip(*rows, strict=True) if rows else [()] * len(program.parameters)
    columns = dict(zip(program.parameters, by_parameter, strict=True))
    uniform = {value for parameter in program.uniform for value in columns[parameter]}
    if len(uniform) > 1:
        raise ValueError(f"the direction must be the same for all elements of an array, not one of {uniform}")
    operands = [from_ints(list(columns[parameter]), parameter.width) for parameter in program.operands]
    outcome = compiled(program).run(operands, *(uniform or {0}))
    assert outcome.usage is not None, "counts are kept"
    flags = [] if outcome.element_flags is None else [outcome.element_flags]
    delivered = zip(*map(to_ints, (*outcome.results, *flags)), strict=True)
    return Delivered(list(delivered), bill_of(program).total(outcome.usage), outcome.usage)
