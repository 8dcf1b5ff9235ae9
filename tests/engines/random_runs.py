"""A routine made at random, run on every engine and as C; Python itself says what is right."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from random import Random
from typing import Any

from softfloat_py.engines.c.files import Function, Unit
from softfloat_py.engines.c.target import WORDS, Target
from softfloat_py.engines.registry import ENGINES, Row, Task, available
from softfloat_py.engines.signature import RESULTS, Meaning, Signature, Value
from softfloat_py.integer_form.counting import Entry
from softfloat_py.integer_form.grammar import Program
from softfloat_py.integer_form.plausible import fault_of
from softfloat_py.integer_form.reader import read
from softfloat_py.routines.language import Routine
from tests.engines.compiled_c import compile_unit, numbers_of, table_of
from tests.engines.random_routines import UNIFORM, WIDTHS, Made, made

ROWS = 40
DIRECTIONS = (0, 4)
TARGETS = [Target(word, each) for word, facts in WORDS.items() for each in facts.multipliers]
# What nobody would write: comparisons with one outcome, also of what can only be 0 or 1, bytes that gcc takes
# for complements of an int, truths shifted by nothing as conditions.
MEANT = (
    "-Wno-type-limits", "-Wno-tautological-compare", "-Wno-sign-compare", "-Wno-bool-operation",
    "-Wno-bool-compare", "-Wno-int-in-bool-context",
)  # fmt: skip
# In one routine of some hundreds, gcc makes a mask of a comparison, or 0 of a product, and warns of its type.
MEANT_IN_MANY = (*MEANT, "-Wno-conversion", "-Wno-sign-conversion", "-Wno-overflow")


@dataclass(frozen=True)
class Sample:
    """A routine, the widths of its parameters, and rows of operands, a list for each direction."""

    routine: Routine
    widths: Mapping[str, int]
    rows: Mapping[int, list[Row]]
    keeps_flags: bool = False

    @cached_property
    def program(self) -> Program:
        """The integer form."""
        return read(self.routine, self.widths, {}, uniform=(UNIFORM,), keep_flags=self.keeps_flags)

    @cached_property
    def task(self) -> Task:
        """What engines run."""
        return Task(self.program, self.routine, self.widths)

    @cached_property
    def expected(self) -> dict[int, list[Row]]:
        """What Python itself makes of each row: results, and the flags if they are kept."""
        return {each: ENGINES["direct"].deliver(self.task, rows).rows for each, rows in self.rows.items()}


def sample_of(
    routine: Routine,
    widths: Mapping[str, int],
    seed: int,
    directions: Sequence[int] = DIRECTIONS,
    *,
    keeps_flags: bool = False,
) -> Sample:
    """A routine with rows of operands."""
    random = Random(seed)
    rows = {each: list(rows_for(widths, random, each)) for each in directions}
    return Sample(routine, widths, rows, keeps_flags)


def random_sample(seed: int, one: Made | None = None) -> Sample:
    """The routine of a seed, or one like it, with rows of operands."""
    one = one or made(seed)
    return sample_of(one.routine, WIDTHS, seed, keeps_flags=one.keeps_flags)


def rows_for(widths: Mapping[str, int], random: Random, direction: int) -> Iterator[Row]:
    """Operands: corners of each width and others, and one direction for all."""
    for _ in range(ROWS):
        yield tuple(
            direction if name == UNIFORM else corner_or_any(width, random) for name, width in widths.items()
        )


def corner_or_any(width: int, random: Random) -> int:
    """A number of a width, often the lowest or the highest."""
    return random.choice([0, 1, (1 << width) - 1, random.getrandbits(width)])


# -- engines -----------------------------------------------------------------------------------------


def differences(sample: Sample) -> list[str]:
    """What each engine does otherwise than Python itself, and where counts are not those of the steps."""
    return [text for direction in sample.rows for text in _differences(sample, direction)]


def _differences(sample: Sample, direction: int) -> Iterator[str]:
    task, rows, expected = sample.task, sample.rows[direction], sample.expected[direction]
    steps = ENGINES["stepwise"].deliver(task, rows).counts
    assert steps is not None
    for engine in available():
        delivered = engine.deliver(task, rows)
        yield from differing(engine.name, rows, expected, delivered.rows)
        if delivered.counts is not None:
            yield from miscounted(engine.name, steps, delivered.counts)
        fault = None if delivered.usage is None else fault_of(delivered.usage, sample.program)
        if fault is not None:
            yield f"{engine.name}: {fault}"


def differing(engine: str, rows: list[Row], expected: list[Row], delivered: list[Any]) -> Iterator[str]:
    """A sentence if an engine delivers anything else than what is right."""
    wrong = [i for i, one in enumerate(expected) if one != tuple(map(int, delivered[i]))]
    if wrong:
        i = wrong[0]
        yield f"{engine}: {len(wrong)} rows differ, {rows[i]} gives {delivered[i]}, not {expected[i]}"


def miscounted(engine: str, steps: Counter[Entry], counted: Counter[Entry]) -> Iterator[str]:
    """A sentence if an engine counts anything else than the steps that ran."""
    if +steps != +counted:
        yield f"{engine}: counts {dict(+counted - +steps)} too many, {dict(+steps - +counted)} too few"


# -- C -----------------------------------------------------------------------------------------------


def differences_in_c(
    samples: Sequence[Sample], target: Target, folder: Path, meant: Sequence[str] = MEANT
) -> list[str]:
    """What the C of some routines, compiled as one unit without a warning but those that are `meant`, does
    otherwise than Python itself.
    """
    functions = tuple(function_of(sample, f"routine_{number}") for number, sample in enumerate(samples))
    unit = Unit("random", "Made at random.", "", target, functions)
    compiled = compile_unit(unit, folder, meant)
    found: list[str] = []
    for sample, function in zip(samples, functions, strict=True):
        for direction, rows in sample.rows.items():
            columns = list(zip(*rows, strict=True))
            operands = [table_of(columns[i]) for i in range(len(function.signature.operands))]
            tables, flags = compiled.run(function, operands, direction)
            delivered = list(
                zip(*map(numbers_of, tables), *([flags] if sample.keeps_flags else []), strict=True)
            )
            where = f"{function.name} in C, {target}"
            found += differing(where, rows, sample.expected[direction], delivered)
    return found


def function_of(sample: Sample, name: str) -> Function:
    """A routine as a function in C."""
    widths = sample.program.result_widths
    results = widths[:-1] if sample.keeps_flags else widths
    signature = Signature(
        tuple(value_of(name, width) for name, width in sample.widths.items() if name != UNIFORM),
        tuple(
            Value(name, 1, Meaning.TRUTH) if width == 1 else value_of(name, width)
            for name, width in zip(RESULTS, results, strict=False)
        ),
        UNIFORM in sample.widths,
        sample.keeps_flags,
    )
    return Function(name, "Made at random.", sample.program, signature)


def value_of(name: str, width: int) -> Value:
    """An operand or a result; some are signed integers, as conversions have them."""
    return Value(name, width, Meaning.SIGNED if width in (16, 32) else Meaning.UNSIGNED, f"bits{width}")
