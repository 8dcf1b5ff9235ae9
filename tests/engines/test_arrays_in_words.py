"""The array engine on encodings of several words: as exact, and as well counted, as one number at a time."""

from __future__ import annotations

import random
from collections import Counter
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softfloat_py.engines import arrays, plain, stepwise
from softfloat_py.engines.arrays.words import as_array, from_ints, int_of, storage_of, to_ints, words_of
from softfloat_py.environment import Flags, Rounding
from softfloat_py.formats import BinaryFormat
from softfloat_py.integer_form.counting import Entry, bill_of
from softfloat_py.integer_form.grammar import Program
from softfloat_py.integer_form.reader import read
from softfloat_py.numbers.formats import Format, binary64, binary128, extended80
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, LEAN, Options
from softfloat_py.routines.language import Bits, count_leading_zeros, field, resize, signal
from softfloat_py.uses import Use
from tests import strategies
from tests.engines.running import outcome_of, run_generated, used
from tests.references import multiprecision

LONG = Format("e6p113", exponent_bits=6, precision=113)
BARELY_WIDE = Format("e12p53", exponent_bits=12, precision=53)
FORMATS = [binary128, extended80, LONG, BARELY_WIDE]
ARITHMETIC = ["addition", "subtraction", "multiplication", "division", "square_root"]
EVEN = Rounding.TIES_TO_EVEN
ANY_WORDS = st.integers(1, 300).flatmap(
    lambda width: st.tuples(st.just(width), st.lists(st.integers(0, (1 << width) - 1)))
)


# -- encodings -----------------------------------------------------------------------------------------------


@given(ANY_WORDS)
def test_ints_survive_in_arrays(drawn: tuple[int, list[int]]) -> None:
    """Ints of any width come out of an array as they were put in, all together and one by one."""
    width, values = drawn
    array = from_ints(values, width)

    assert values == to_ints(array) == [int_of(element.item()) for element in array]
    assert array is as_array(array, width)
    assert values[:1] == [to_ints(as_array(value, width))[0] for value in values[:1]]


def test_words_lie_lowest_first() -> None:
    """An element of more than 64 bits has a field a word, the lowest first; a narrower one has none."""
    (low, high) = words_of(from_ints([0x123456789ABCDEF00FEDCBA987654321], 128))

    assert [[0x0FEDCBA987654321], [0x123456789ABCDEF0]] == [low.tolist(), high.tolist()]
    assert ("word0", "word1", "word2") == storage_of(129).names
    assert (np.dtype(np.uint64), np.dtype(np.uint32), np.dtype(bool)) == tuple(map(storage_of, (64, 17, 1)))


def test_narrower_integers_become_the_lowest_word() -> None:
    """An array of the host's integers stands for its values, where more than 64 bits are expected."""
    assert [[3, 2**64 - 1]] == [to_ints(as_array(np.array([3, 2**64 - 1], np.uint64), 100))]


# -- operations ----------------------------------------------------------------------------------------------


def outcomes(
    use: Use, rounding: Rounding, rows: list[tuple[int, ...]]
) -> tuple[list[tuple[Any, Flags]], Counter[Entry]]:
    """Results and flags of rows of operands as one run on arrays has them, and what was counted."""
    columns = [
        from_ints(column, parameter.width)
        for column, parameter in zip(zip(*rows, strict=True), use.program.operands, strict=True)
    ]
    outcome = arrays.compiled(use.program).run(columns, int(rounding), keep_counts=True)
    flags = [0] * len(rows) if outcome.element_flags is None else outcome.element_flags.tolist()
    assert outcome.usage is not None
    counts = bill_of(use.program).total(outcome.usage)
    results = zip(*map(to_ints, outcome.results), flags, strict=True)
    return [outcome_of(use, row) for row in results], +counts


def rows_of(use: Use, size: int) -> list[tuple[int, ...]]:
    """Operands: corners beside corners, near ones that cancel, and any encodings."""
    source, fmt = random.Random(size), use.format
    assert isinstance(fmt, BinaryFormat)
    corners = strategies.corner_encodings(fmt)
    rows = []
    for _ in range(size):
        x = source.choice(corners) if source.random() < 0.5 else source.getrandbits(fmt.width)
        near = (x ^ source.choice((0, fmt.sign_bit))) + source.randrange(-2, 3)
        others = (source.choice(corners), source.getrandbits(fmt.width), near % (1 << fmt.width))
        rows.append((x, source.choice(others))[: OPERATIONS[use.operation.name].arity])
    return rows


@pytest.mark.parametrize("options", [COMPLETE, LEAN], ids=lambda options: options.name)
@pytest.mark.parametrize("fmt", FORMATS, ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", [*ARITHMETIC, "compare_signaling_less", "negate"])
def test_arrays_are_their_elements(name: str, fmt: Format, options: Options) -> None:
    """Results, flags and counts of an array are those of the plain engine on its elements."""
    use = used(name, fmt, options)
    rows = rows_of(use, 300)
    function = plain.compiled(use.program)
    for rounding in Rounding if options.all_directions else [EVEN]:
        runs = [run_generated(function, use.arguments(row, rounding)) for row in rows]

        results, counts = outcomes(use, rounding, rows)

        assert [outcome_of(use, delivered) for delivered, _ in runs] == results
        assert +function.count([record for _, record in runs]) == counts


@pytest.mark.parametrize("rounding", sorted(multiprecision.DIRECTIONS), ids=lambda rounding: rounding.name)
@pytest.mark.parametrize("fmt", [binary128, LONG, BARELY_WIDE], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", ARITHMETIC)
def test_arrays_agree_with_mpfr(name: str, fmt: Format, rounding: Rounding) -> None:
    """The five operations on arrays agree with MPFR in the four directions it has."""
    use = used(name, fmt)
    rows = rows_of(use, 200)

    expected = [multiprecision.expected(name, fmt, rounding, *row) for row in rows]

    assert expected == outcomes(use, rounding, rows)[0]


@pytest.mark.parametrize(
    ("source", "target"), [(binary64, binary128), (binary128, binary64), (extended80, binary128)]
)
def test_conversions_agree_with_numbers(source: Format, target: Format) -> None:
    """Conversions between formats of one and of two words deliver what the plain engine delivers."""
    use = used("convert_format", source, parameter=target)
    rows: list[tuple[int, ...]] = [(bits,) for bits in strategies.corner_encodings(source)]
    run = plain.compiled(use.program)
    expected = [outcome_of(use, run_generated(run, use.arguments(row, EVEN))[0]) for row in rows]

    assert expected == outcomes(use, EVEN, rows)[0]


def test_exact_cancellation_has_the_sign_of_the_direction() -> None:
    """x - x is -0 toward negative and +0 otherwise, for which one bit becomes the top of two words."""
    one = binary128.encode(1)[0]
    use = used("subtraction", binary128)

    for rounding in Rounding:
        zero = binary128.sign_bit if rounding is Rounding.TOWARD_NEGATIVE else 0
        assert [(zero, Flags.NONE)] * 3 == outcomes(use, rounding, [(one, one)] * 3)[0]


def test_pieces_are_put_together() -> None:
    """A wide array longer than a piece comes out whole, each operand broadcast to it."""
    length = arrays.PIECE_BYTES // 16 + 3
    x = from_ints([binary128.encode(value)[0] for value in range(length)], 128)
    outcome = arrays.compiled(used("addition", binary128).program).run((x, x[1]), int(EVEN))

    assert [binary128.encode(value + 1)[0] for value in range(length)] == to_ints(outcome.results[0])


# -- what a run leaves ---------------------------------------------------------------------------------------


def shifted_if_odd(x: Bits, n: Bits) -> Bits:
    """x moved to the right by an odd distance, left alone by an even one."""
    if field(n, 0, 1):
        return resize(x >> n, x.width)
    return x


def zeros_of(x: Bits) -> Bits:
    """The leading zeros of a number that is not below 16; of a smaller one, itself."""
    if x < 16:
        return resize(x, 9)
    return count_leading_zeros(x)


def sum_and_difference(x: Bits, y: Bits) -> tuple[Bits, Bits]:
    """Two results, neither of them flags; the second is zero where x is less than y, which is signalled."""
    total = resize(x + y, 101)
    if x < y:
        signal(Flags.INVALID_OPERATION)
        return total, resize(x & 0, 3)
    return total, field(x - y, 0, 3)


def program_of_routine(routine: Any, widths: dict[str, int], keep_flags: bool = False) -> Program:
    """The form of one of the routines above."""
    return read(routine, widths, {}, keep_flags=keep_flags)


@pytest.mark.parametrize(
    ("program", "rows"),
    [
        (program_of_routine(shifted_if_odd, {"x": 300, "n": 9}), [(2**300 - 1, n) for n in range(300)]),
        (program_of_routine(zeros_of, {"x": 300}), [((2**300 - 1) >> n,) for n in range(300)]),
    ],
    ids=["distances", "zeros"],
)
def test_features_of_wide_steps_are_counted(program: Program, rows: list[tuple[int, ...]]) -> None:
    """Distances and leading zeros beyond a byte are counted as the stepwise engine counts them, for all
    elements as for those that take one side.
    """
    widths = [parameter.width for parameter in program.operands]
    for some in (rows, rows[1::2], rows[::50], rows[:3]):
        columns = [from_ints(column, w) for column, w in zip(zip(*some, strict=True), widths, strict=True)]
        outcome = arrays.compiled(program).run(columns, 0)
        records = [stepwise.run(program, row) for row in some]
        counted: Counter[Entry] = Counter()
        for record in records:
            counted.update(record.counts)

        assert [record.results[0] for record in records] == to_ints(outcome.results[0])
        assert outcome.usage is not None
        assert +counted == +bill_of(program).total(outcome.usage)


@pytest.mark.parametrize("keep_flags", [False, True])
def test_several_results(keep_flags: bool) -> None:
    """A routine of two results leaves two arrays, and flags apart from them where it keeps them."""
    program = program_of_routine(sum_and_difference, {"x": 100, "y": 100}, keep_flags)
    x, y = [5 << 90, 2], [3, 4]

    outcome = arrays.compiled(program).run([from_ints(x, 100), from_ints(y, 100)], 0)

    assert [[(5 << 90) + 3, 6], [5, 0]] == [to_ints(result) for result in outcome.results]
    if keep_flags:
        assert outcome.element_flags is not None
        assert [Flags.NONE, Flags.INVALID_OPERATION] == outcome.element_flags.tolist()
    else:
        assert (None, 0) == (outcome.element_flags, outcome.flags)


def test_every_operation_says_how_many_results_it_has() -> None:
    """What the table says of results is what the programs deliver, apart from flags."""
    for name, operation in OPERATIONS.items():
        if not operation.parameters:
            assert operation.results == len(used(name, binary64, LEAN).program.result_widths), name
