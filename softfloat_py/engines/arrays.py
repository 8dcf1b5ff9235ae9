"""The array engine: a program as generated numpy code, run on pieces of the arrays that fit the cache.

How control flow becomes array code. Some elements take one side of an `if`, some the other:

- none or all take it: the other side is left out;
- few do: they are gathered, go through their side as a short array, and are put back, while everybody else
  goes through the other side (`support.Run.branch`);
- otherwise both sides run for all and the results are merged by the condition. Elements on the wrong side
  compute nonsense, which is harmless: a step never fails, and what it delivers there is neither merged nor
  counted.

Sides of a few steps are always merged, in line. A condition that is the same for all elements, such as the
rounding direction, is an ordinary Python `if`. Counting costs one sum of a mask a side; the features of steps
become histograms.

A variable is held in the smallest unsigned dtype its width fits, one-bit values as bool; wider ones than 64
bits are first rewritten in words by the lowering.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.engines.array_support import NAMES, Run, dtype_of
from softfloat_py.engines.array_writer import write
from softfloat_py.integer_form.counting import Entry, bill_of
from softfloat_py.integer_form.grammar import Program
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.program import in_words

# What numpy's own integers can do, as a machine.
NUMPY = Machine(
    word=64,
    carry_flag=False,
    barrel_shifter=True,
    multiplier_bits=32,
    leading_zero_count=True,
    immediate_bits=64,
)
PIECE_BYTES = 1 << 17  # of one operand: some ten values of a piece then stay in a second-level cache


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a run on arrays leaves: results and flags by element, all flags together, counts of all
    elements.
    """

    result: NDArray[Any]
    element_flags: NDArray[np.uint8] | None
    flags: int
    calls: int
    counts: Counter[Entry]


@dataclass(frozen=True, slots=True, eq=False)
class Compiled:
    """A program ready to run on arrays."""

    program: Program
    words: Program
    source: str
    body: Callable[..., Any]

    def run(self, operands: Sequence[NDArray[Any]], direction: int, *, keep_counts: bool = True) -> Outcome:
        """Run on unsigned arrays of one shape (or that broadcast to one), one an operand.

        `direction` is the rounding direction for all elements, ignored by programs that do not take it.
        """
        program = self.program
        shape = np.broadcast_shapes(*(operand.shape for operand in operands))
        flat = [
            np.ascontiguousarray(np.broadcast_to(operand, shape))
            .reshape(-1)
            .astype(dtype_of(p.width), copy=False)
            for operand, p in zip(operands, program.operands, strict=True)
        ]
        size = flat[0].size
        results = [np.empty(size, dtype_of(width)) for width in program.result_widths]
        run = Run(self.words.stretches, len(bill_of(program).sites), keep_counts)
        uniform = [direction] * len(program.uniform)
        length = PIECE_BYTES // max(flat[0].itemsize, 4)
        for start in range(0, size, length):
            piece = slice(start, start + length)
            run.piece(self.body, [operand[piece] for operand in flat], uniform, [r[piece] for r in results])
        flags = results[1] if len(results) > 1 else None
        return Outcome(
            results[0].reshape(shape),
            None if flags is None else flags.reshape(shape),
            0 if flags is None else int(np.bitwise_or.reduce(flags, initial=0)),
            size,
            bill_of(program).total(run.counts[: program.stretches], run.features())
            if keep_counts
            else Counter(),
        )


@cache
def compiled(program: Program) -> Compiled:
    """The array code of a program."""
    words = in_words(program, NUMPY)
    source = write(words)
    names: dict[str, Any] = dict(NAMES)
    exec(compile(source, f"<arrays {program.name}>", "exec"), names)
    return Compiled(program, words, source, names["block_0"])
