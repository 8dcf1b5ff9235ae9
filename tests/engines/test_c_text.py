"""What emitted C looks like, and what the writer of it refuses."""

from __future__ import annotations

import itertools
import re
import textwrap
from pathlib import Path
from typing import Any

import pytest

from softfloat_py.__main__ import main
from softfloat_py.c_export import c_unit
from softfloat_py.commands.words import uses_asked_for, wanted
from softfloat_py.engines.c.files import Unit
from softfloat_py.engines.c.ranges import Ranges
from softfloat_py.engines.c.routines import cut_into_digits, product_of_digits
from softfloat_py.engines.c.spellings import Spelling, Term, bare
from softfloat_py.engines.c.target import Target, target_for
from softfloat_py.errors import ConventionError, UnknownNameError
from softfloat_py.integer_form.grammar import Constant, Position, Step, Variable
from softfloat_py.numbers.formats import Format, binary32, binary64
from softfloat_py.options import COMPLETE, LEAN, Options
from softfloat_py.routines.language import Bits
from softfloat_py.routines.steps import STEPS
from softfloat_py.routines.tables import Table
from tests.engines.c_cases import Case

NOWHERE = Position("", 0, 0)
# C has nothing like them.
EXPANDED = {
    "count_leading_zeros", "add_with_carry", "subtract_with_borrow", "shift_left_through_carry",
    "shift_right_through_carry", "join_words", "load_at",
}  # fmt: skip


def unit(fmt: Format, word: int, *names: str, options: Options = LEAN, multiplier: int | None = None) -> Unit:
    """The C of some operations."""
    return c_unit([wanted(name, fmt, options) for name in names], target_for(word, multiplier))


def step(name: str) -> Step:
    """A step of a kind on operands of 8 bits, or 1 where it must be."""
    kind = STEPS[name]
    widths = [1 if name == "select" and i == 0 else 8 for i in range(kind.arity)]
    operands = tuple(Variable("abc"[i], i, width) for i, width in enumerate(widths))
    immediate: Any = 3 if name.startswith(("shift", "low", "high")) else 8
    immediate = Table((1, 2, 200)) if name in ("look_up", "load_at") else immediate
    return Step(Variable("t", 9, kind.width(widths, immediate)), kind, operands, immediate, "", NOWHERE)


@pytest.mark.parametrize("name", sorted(name for name in STEPS.keys() - EXPANDED if not STEPS[name].renames))
def test_every_kind_of_step_has_a_spelling(name: str) -> None:
    """No kind that reaches the writer is left out; moves and widths are names only."""
    spelling = Spelling(target_for(32), lambda operand: Term(str(operand), 64))

    assert "a" in spelling.term(step(name)).text


@pytest.mark.parametrize("name", sorted(EXPANDED))
def test_what_c_has_not_is_not_spelled(name: str) -> None:
    """A step that should have been expanded is an error."""
    spelling = Spelling(target_for(32), lambda operand: Term(str(operand), 32))

    with pytest.raises(NotImplementedError, match=f"C has no step {name}"):
        spelling.term(step(name))


@pytest.mark.parametrize("word", [8, 16])
def test_narrow_words_use_no_wide_type(word: int) -> None:
    """With words of 8 and 16 bits no 64-bit type appears, not even in what is passed in and out."""
    made = unit(binary64, word, "addition", "multiplication", "division")

    assert "64_t" not in made.source() + made.header()
    assert "typedef struct { uint32_t word[2]; } binary64_encoding;" in made.header()


@pytest.mark.parametrize("word", [8, 32])
def test_no_division_and_no_floating_point(word: int) -> None:
    """C's own division and floating point are library calls on small CPUs; all operations do without."""
    made = c_unit(Case(binary32, word).wanted(), target_for(word))
    code = re.sub(r"/\*.*?\*/|#include <[a-z/.]*>", "", made.header() + made.source(), flags=re.DOTALL)

    assert [] == re.findall(r"[/%]|\b(?:float|double|malloc)\b", code)


def test_a_wide_type_only_where_it_is_asked_for() -> None:
    """With words of 32 bits, products of 64 bits appear only with a multiplier of 32."""
    assert "64_t" not in unit(binary32, 32, "multiplication").source()
    assert "(uint64_t)" in unit(binary32, 32, "multiplication", multiplier=32).source()


def test_no_products_without_a_multiplier() -> None:
    """A multiplier of 0 leaves no product to the compiler."""
    without_comments = re.sub(
        r"/\*.*?\*/", "", unit(binary32, 8, "multiplication", multiplier=0).source(), flags=re.S
    )

    assert "*" not in without_comments


@pytest.mark.parametrize("word", [8, 16])
def test_branches_take_carries_on_small_cpus(word: int) -> None:
    """Where a condition made a number is dear, a carry counts the next word up; elsewhere it is added."""
    by_branch = re.compile(r"if \((\w+) < \w+\) \{\n +(\w+) = \2 \+ 1u;")

    assert by_branch.search(unit(binary64, word, "addition").source())
    assert not by_branch.search(unit(binary64, 32, "addition").source())


def test_bytes_move_and_places_are_few_on_8_bits() -> None:
    """A wide value is shifted by whole bytes, or by less than one."""
    source = unit(binary64, 8, "addition", "multiplication", "division", "square_root").source()
    distances = {int(n) for n in re.findall(r"(?:<<|>>) (\d+)", source)}

    assert set() == {n for n in distances if n > 7 and n % 8}
    assert re.search(r"for \(rounds.*\n(.*\n)?.* = \w+ (<<|>>) 1;\n +if \(.*\) \{", source)


def test_a_bit_of_a_wide_value_is_taken_from_its_word() -> None:
    """The bit that decides how to round, and the one that makes a NaN quiet, are looked at where they lie: no
    wide value is shifted for them.
    """
    rounding = unit(binary64, 8, "addition").source().split("/* round */")[1]
    classes = unit(binary64, 8, "classify").source()

    assert re.match(r"\s+increment = .*\(\w+_0 & 8u\) >> 3\) \+ 3\);", rounding)
    assert re.search(r"\(x_1 >> 16\) >> 3\) & 1\)", classes)


def test_factors_come_out_of_an_if_in_digits() -> None:
    """On a CPU of bytes, each side of the `if` around unpacking cuts the significands that are multiplied."""
    source = unit(binary32, 8, "multiplication").source()
    either_side = re.findall(r"(\w+) = \(uint8_t\)\((\w+) >> 16\);", source.split("/* multiply */")[0])
    factors = set(re.findall(r"\(uint16_t\)(\w+) \* (\w+)\)", source))

    digits = {digit for digit, _ in either_side}
    assert 4 == len(either_side) == 2 * len(digits)
    assert 9 == len(factors)
    assert 2 * 3 - 1 == sum(bool(digits & set(pair)) for pair in factors)


def test_what_a_round_leaves_takes_the_place_of_what_it_found() -> None:
    """A loop changes in place what it begins with, in an order in which nothing is needed as it was."""
    source = unit(binary32, 8, "multiplication", multiplier=0).source()
    rounds = source[source.index("    for (rounds") :].split("\n    }\n")[0]

    assert textwrap.dedent(rounds).splitlines()[1:] == [
        "    if (b_2 & 1u) {",
        "        upper = upper + a_2;",
        "    }",
        "    b_2 = b_2 >> 1;",
        "    if (upper & 1u) {",
        "        b_2 = b_2 | 0x80000000u;",
        "    }",
        "    upper = upper >> 1;",
    ]


def test_what_comes_out_of_an_if_inside_another_has_one_variable() -> None:
    """Where a shift picks whole bytes, each of its ways sets the same variables, and none are copied."""
    source = unit(binary32, 8, "addition").source()
    aligned = source.split("/* align */")[1].split(" >> distance;")[0]

    assert 4 == aligned.count("x_2 = ") == aligned.count("distance = ")
    assert "result" not in aligned


def test_types_are_those_of_the_operands() -> None:
    """Encodings are unsigned integers that hold them, integers signed ones, comparisons give truth."""
    header = unit(
        binary32, 32, "addition", "compare_quiet_less", "convert_to_integer:int8", "convert_format:binary16"
    ).header()

    assert "uint32_t binary32_addition(uint32_t x, uint32_t y);" in header
    assert "bool binary32_compare_quiet_less(uint32_t x, uint32_t y);" in header
    assert "int8_t binary32_convert_to_integer_int8(uint32_t x);" in header
    assert "uint16_t binary32_convert_format_binary16(uint32_t x);" in header


def test_variables_only_for_what_the_options_keep() -> None:
    """Lean C has no state; complete C has the direction and the flags, both explained in the header."""
    lean, complete = unit(binary32, 32, "addition"), unit(binary32, 32, "addition", options=COMPLETE)

    assert "extern uint" not in lean.header()
    assert "extern uint32_t binary32_rounding_direction;" in complete.header()
    assert "extern uint32_t binary32_status_flags;" in complete.header()
    assert "BINARY32_TOWARD_ZERO = 4" in complete.header()
    assert "BINARY32_DIVISION_BY_ZERO = 2" in complete.header()


def test_text_is_the_same_every_time() -> None:
    """Emitting twice gives the same text."""
    assert unit(binary32, 8, "division").source() == unit(binary32, 8, "division").source()


def test_source_is_ascii_and_keeps_the_routines_phases() -> None:
    """Comments name the phases of the routine, in an encoding every compiler reads."""
    source = unit(binary32, 32, "addition").source()
    phases = re.findall(r"/\* (.*) \*/", source)[1:6]

    assert source.isascii()
    # Special operands are those with the largest exponent, and zeros.
    assert ["order", "unpack", "special operands", "special operands", "align"] == phases


def test_a_format_of_ones_own_has_a_name_that_c_takes() -> None:
    """What C has no letters for becomes an underscore."""
    header = unit(Format("buoy-10", exponent_bits=4, precision=6), 8, "addition").header()

    assert "uint16_t buoy_10_addition(uint16_t x, uint16_t y);" in header


def test_wrong_targets_are_refused() -> None:
    """A word that no CPU here has, and a product that no type holds."""
    with pytest.raises(ConventionError) as word:
        target_for(9)
    with pytest.raises(ConventionError) as multiplier:
        Target(8, 32)

    assert "word must be one of 8, 16, 32, 64 bits, not 9" == str(word.value)
    assert "with words of 8 bits, the multiplier must be one of 0, 8, 16 bits, not 32" == str(
        multiplier.value
    )


def test_unknown_operations_are_refused() -> None:
    """A conversion must name what it converts to, any other operation nothing."""
    with pytest.raises(UnknownNameError, match="not 'convert_to_integer'; did you mean 'convert_to_integer:"):
        wanted("convert_to_integer", binary32, LEAN)
    with pytest.raises(UnknownNameError, match="operation must be one of addition, not 'addition:int32'"):
        wanted("addition:int32", binary32, LEAN)


def test_operation_asked_for_by_two_names_comes_once() -> None:
    """A conversion to a format is one function, by whatever names of the format it is asked for."""
    names = "convert_format:double,convert_format:binary64,convert_format:Double"

    assert 1 == len(c_unit(uses_asked_for(names, binary32, LEAN), target_for(32)).functions)


def test_products_of_digits_are_products() -> None:
    """Multiplication by hand, run directly, on all operands of 5 and 3 bits in digits of 2."""
    wrong = [
        (x, y)
        for x, y in itertools.product(range(32), range(8))
        if product_of_digits(cut_into_digits(Bits(x, 5), 2), cut_into_digits(Bits(y, 3), 2), 2, 8, 8).value
        != x * y
    ]

    assert [] == wrong


@pytest.mark.parametrize(
    ("kind", "bound", "constant", "first", "outcome"),
    [
        ("less", 9, 10, False, True),
        ("less", 10, 10, False, None),
        ("less", 9, 0, False, False),
        ("less_or_equal", 9, 10, True, False),
        ("less_or_equal", 9, 0, True, True),
        ("equal", 9, 10, False, False),
        ("not_equal", 9, 10, True, True),
        ("not_equal", 9, 9, True, None),
    ],
)
def test_comparisons_decided_by_ranges(
    kind: str, bound: int, constant: int, first: bool, outcome: bool | None
) -> None:
    """A comparison with a constant beyond the bound, or with 0, has one outcome; others are left."""
    ranges, x = Ranges(32), Variable("x", 1, 8)
    ranges.note(x, bound)
    operands = (Constant(constant, 8), x) if first else (x, Constant(constant, 8))

    assert outcome is ranges.outcome(Step(Variable("t", 2, 1), STEPS[kind], operands, 0, "", NOWHERE))


def test_an_entry_is_no_larger_than_the_largest() -> None:
    """What is known of an index says nothing about entries, but the table does."""
    reading = Step(
        Variable("t", 2, 12), STEPS["look_up"], (Variable("x", 1, 2),), Table((5, 9), 12), "", NOWHERE
    )

    assert 9 == Ranges(32).result(reading)


def test_what_is_shifted_out_is_nothing() -> None:
    """A shift beyond the bound delivers 0, and is left out; a shorter one is kept."""
    ranges, x = Ranges(32), Variable("x", 1, 8)
    ranges.note(x, 0b1111)
    shifts = [Step(Variable("t", 2, 8 - n), STEPS["shift_right"], (x,), n, "", NOWHERE) for n in (3, 4)]

    assert [None, Constant(0, 1)] == [ranges.equivalent(shift) for shift in shifts]


def test_parentheses_around_all_are_left_out() -> None:
    """Only a pair that encloses the whole text goes."""
    assert "a + b" == bare("(a + b)")
    assert "(a) + (b)" == bare("(a) + (b)")


def test_the_command_writes_both_files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`c` writes header and source, prints their names, and says in them how they were made."""
    status = main(["c", "--operations", "addition", "--word", "8", "--output", str(tmp_path / "made")])

    written = [tmp_path / "made" / "binary32.h", tmp_path / "made" / "binary32.c"]
    assert 0 == status
    assert "".join(f"{path}\n" for path in written) == capsys.readouterr().out
    asked = "--format binary32 --operations addition --options lean --word 8 --multiplier 8"
    assert all(asked in re.sub(r"\n \* ", " ", path.read_text()) for path in written)


def test_the_command_refuses_a_place_that_is_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file cannot take the place of the directory: one sentence, status 2."""
    (tmp_path / "taken").write_text("")

    assert 2 == main(["c", "--operations", "negate", "--output", str(tmp_path / "taken")])
    assert "output must be a directory to write to, not" in capsys.readouterr().err
