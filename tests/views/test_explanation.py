"""Explanations show what the stepwise engine recorded, for every operation and format."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape
from typing import Any

import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from softfloat_py.engines import direct, stepwise
from softfloat_py.environment import Flags, Rounding, environment
from softfloat_py.errors import MixedFormatsError, OperandError, UnknownNameError
from softfloat_py.formats import IntegerFormat
from softfloat_py.integer_form.grammar import Note, Step
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64, extended80, ofp8_e4m3
from softfloat_py.operations import OPERATIONS, Operation
from softfloat_py.options import COMPLETE, LEAN, Division, Elementary, Options, SquareRoot, Tables
from softfloat_py.routines.phases import CALL, PHASES, WHOLE
from softfloat_py.teaching.explanation import Explanation, explain, explain_encodings
from softfloat_py.teaching.rounded_sum import find_rounding
from softfloat_py.uses import INTEGER_BITS, Use, use_of
from softfloat_py.views.worksheet import Row, Worksheet
from tests.strategies import pairs

TINY = Format("tiny", exponent_bits=3, precision=4)
FORMATS = [TINY, binary16, bfloat16, binary32, binary64]
ELEMENTARY_FORMATS = [TINY, binary32]  # of functions: rounded in one phase, and in two
VARIANTS = [
    COMPLETE,
    LEAN,
    Options(subnormal_operands=False, special=False),
    Options(division=Division.RECIPROCAL, square_root=SquareRoot.RECIPROCAL),
]
SHIFTED = Options(elementary=Elementary.SHIFT_AND_ADD, tables=Tables.NONE)
UP = "up: one unit is added to the kept bits, because"
DOWN = "down: the kept bits stay as they are, because"
PARAMETERS: dict[str, Any] = {
    "convert_format": binary16,
    "convert_to_integer": IntegerFormat(8),
    "convert_to_integer_exact": IntegerFormat(8, signed=False),
    "convert_to_integer_toward_zero": IntegerFormat(8),
    "convert_from_integer": IntegerFormat(8),
}
ENDING_AT_1 = ("asin", "acos", "asin_pi", "acos_pi", "atanh")


def operand_sets(operation: Operation, fmt: Format) -> list[tuple[int, ...]]:
    """Operands that take different ways: ordinary, equal, subnormal, zero, infinite, NaN."""
    if operation.name == "convert_from_integer":
        return [(0,), (1,), (100,), (0x9C,)]
    one = fmt.one
    encodings = [
        one + 3, one + 1, 1, 0, fmt.sign_bit | one, fmt.first_special, fmt.quiet_nan, fmt.largest_finite
    ]  # fmt: skip
    integers = [n % (1 << INTEGER_BITS) for n in (3, -1, 0, 1, 2, -3, -(2**31), 2**31 - 1)]
    columns = [integers if name in operation.integer_operands else encodings for name in operation.operands]
    shifted = [column[place:] + column[:place] for place, column in enumerate(columns)]
    return list(zip(*shifted, strict=True))


def usual_operands(operation: Operation, fmt: Format) -> tuple[int, ...]:
    """Ordinary operands: a little more than 1, or less where the function ends at 1, and a small integer."""
    if operation.name == "convert_from_integer":
        return (100,)
    one = fmt.one
    first = one - 3 if operation.name in ENDING_AT_1 else one + 3
    return tuple(
        3 if name in operation.integer_operands else number
        for name, number in zip(operation.operands, (first, one + 1, one + 2), strict=False)
    )


def formats_for(operation: Operation) -> list[Format]:
    """The formats that an operation is explained in."""
    return ELEMENTARY_FORMATS if operation.elementary else FORMATS


def use_for(name: str, fmt: Format, options: Options = COMPLETE) -> Use:
    """An operation as the tests use it."""
    return use_of(OPERATIONS[name], fmt, options, PARAMETERS.get(name))


@pytest.mark.parametrize("name", OPERATIONS)
def test_every_operation_is_explained(name: str) -> None:
    """An explanation of every operation can be printed in formats of all kinds."""
    operation = OPERATIONS[name]
    for fmt in formats_for(operation):
        for operands in operand_sets(operation, fmt):
            explanation = explain_encodings(use_for(name, fmt), operands)
            assert str(explanation).startswith(f"{name} of ")
            assert "\nflags raised: " in str(explanation).replace("  flags", "flags")


@pytest.mark.parametrize("options", VARIANTS, ids=lambda options: options.name)
def test_every_variant_is_explained(options: Options) -> None:
    """Explanations work with any options, and name them."""
    with environment(options=options):
        for name in ("addition", "multiplication", "division", "square_root", "convert_to_integer"):
            for operands in operand_sets(OPERATIONS[name], binary32):
                if options.special or all(map(binary32.is_finite, operands)):
                    explanation = explain_encodings(use_for(name, binary32, options), operands)
                    assert f"\narithmetic: {options.name}" in str(explanation)


@pytest.mark.parametrize("options", VARIANTS, ids=lambda options: options.name)
@pytest.mark.parametrize("name", [name for name, row in OPERATIONS.items() if row.rounds])
def test_every_rounding_is_found(name: str, options: Options) -> None:
    """Where an operation rounds, the decision is told; for ordinary operands, all that round do."""
    for fmt in formats_for(OPERATIONS[name]):
        operands = usual_operands(OPERATIONS[name], fmt)
        with environment(options=options):
            explanation = explain_encodings(use_for(name, fmt, options), operands)
        assert "\n  decision: " in str(explanation)


@given(data=st.data(), name=st.sampled_from(["addition", "subtraction", "multiplication", "division"]))
def test_worksheet_shows_recorded_values(data: st.DataObject, name: str) -> None:
    """Each row is a value of the record, and the last one has the trailing significand of the result."""
    x, y = data.draw(pairs(binary16))
    explanation = explain_encodings(use_for(name, binary16), (x, y))
    rounding = find_rounding(explanation.record)
    if rounding is None:
        reject()
    rows = Worksheet(explanation.use.program, explanation.record, binary16, rounding).rows
    recorded = set()
    for event in explanation.record.events:
        if isinstance(event.statement, Step):
            operands = zip(event.statement.operands, event.values, strict=True)
            recorded |= {f"{value:0{operand.width}b}" for operand, value in operands}
            recorded.add(f"{event.result:0{event.statement.target.width}b}")

    assert {row.cells.strip() for row in rows} <= recorded
    assert rows[-1].cells.strip() == f"{rounding.rounded:0{rounding.kept + 1}b}"
    if binary16.is_finite(explanation.result):
        assert rounding.rounded & 0x3FF == explanation.result & 0x3FF


def _in_place(row: Row) -> int:
    """A row's number as its places have it, counted from far below the last one."""
    return int(row.cells.ljust(64).replace(" ", "0"), 2)


@given(
    data=st.data(),
    name=st.sampled_from(["addition", "subtraction", "multiplication", "division", "square_root"]),
    rounding=st.sampled_from(Rounding),
)
def test_worksheet_adds_up(data: st.DataObject, name: str, rounding: Rounding) -> None:
    """Digits stand where they count: every sum and difference on the sheet is right by columns."""
    operands = data.draw(pairs(binary16))[: OPERATIONS[name].arity]
    with environment(rounding=rounding):
        explanation = explain_encodings(use_for(name, binary16), operands)
    if (found := find_rounding(explanation.record)) is None:
        reject()
    rows = Worksheet(explanation.use.program, explanation.record, binary16, found).rows

    assert len(rows) > 1
    for first, second, result in zip(rows, rows[1:], rows[2:], strict=False):
        if result.sign == "=":
            sign = 1 if second.sign == "+" else -1
            assert _in_place(result) == _in_place(first) + sign * _in_place(second)


def test_every_phase_has_a_sentence() -> None:
    """Each phase that a routine names is described, and no phase is described that none names but two."""
    variants = [*((binary32, options) for options in VARIANTS), (extended80, Options(in_memory=True))]
    elementary_variants = [(binary32, COMPLETE), (binary16, SHIFTED)]
    programs = [
        use_for(name, fmt, options).program
        for name, row in OPERATIONS.items()
        for fmt, options in (elementary_variants if row.elementary else variants)
    ]
    blocks = [block for program in programs for block in program.body.walk()]
    statements = [statement for block in blocks for statement in block.statements]
    assert {s.phase for s in statements if not isinstance(s, Note)} == set(PHASES) - {CALL, WHOLE}


def test_numbers_are_those_of_the_record() -> None:
    """Result, flags and counts of an explanation are those of a stepwise run and of the direct engine."""
    x, y = 0x40C80000, 0xBDCCCCCD
    explanation = explain("addition", binary32.from_bits(x), binary32.from_bits(y))
    record = stepwise.run(
        use_of(OPERATIONS["addition"], binary32, COMPLETE).program, (x, y, Rounding.TIES_TO_EVEN)
    )

    assert record.results == (explanation.result, explanation.flags)
    assert record.counts.total() == sum(explanation.steps_by_phase.values())
    assert record.counts.total() == sum(explanation.steps_by_kind.values())
    operands = {"x": (x, 32), "y": (y, 32), "direction": (0, 3)}
    fixed = {"fmt": binary32, "options": COMPLETE}
    assert direct.run(OPERATIONS["addition"].routine, operands, fixed) == (
        explanation.results,
        explanation.flags,
    )


def test_every_recorded_step_is_listed_once() -> None:
    """The listing has one line for each step that the engine recorded, rounds of loops included."""
    explanation = explain("division", binary16(1.0), binary16(3.0))
    listing = str(explanation).split("Steps, in the order they were taken")[1].split("Steps counted")[0]
    recorded = [event.statement for event in explanation.record.events]

    lines = [line.split()[0] for line in listing.splitlines() if line.startswith("  ")]
    assert [str(step.target) for step in recorded if isinstance(step, Step)] == [
        word for word in lines if word not in ("if", "return", "round")
    ]
    assert [f"  round {n} of 11" for n in range(1, 12)] == [
        line for line in listing.splitlines() if line.startswith("  round ")
    ]


def test_one_addition(golden: Callable[[str], None]) -> None:
    """A difference of a wave's acceleration and an offset, as a lecturer would write it down."""
    golden(str(explain("addition", binary32(6.25), binary32(-0.1))))


def test_one_root(golden: Callable[[str], None]) -> None:
    """A square root found digit by digit, in a format short enough to read."""
    with environment(options=LEAN):
        golden(str(explain("square_root", binary16(2.0))))


@pytest.mark.parametrize(
    ("rounding", "x", "decision"),
    [
        (Rounding.TIES_TO_EVEN, 2.5, f"{DOWN} the last kept bit is 0, and a tie goes to the even neighbour"),
        (Rounding.TIES_TO_EVEN, 3.5, f"{UP} the last kept bit is 1, and a tie goes to the even neighbour"),
        (Rounding.TIES_TO_EVEN, 2.75, f"{UP} that is the nearer side"),
        (Rounding.TIES_TO_EVEN, 2.25, f"{DOWN} that is the nearer side"),
        (Rounding.TIES_TO_EVEN, 2.0, "the kept bits stay as they are; nothing is lost"),
        (Rounding.TIES_TO_AWAY, 2.5, f"{UP} a tie goes away from zero"),
        (Rounding.TOWARD_POSITIVE, 2.25, f"{UP} the result is positive"),
        (Rounding.TOWARD_POSITIVE, -2.25, f"{DOWN} the result is negative"),
        (Rounding.TOWARD_NEGATIVE, 2.25, f"{DOWN} the result is positive"),
        (Rounding.TOWARD_NEGATIVE, -2.25, f"{UP} the result is negative"),
        (Rounding.TOWARD_ZERO, -2.75, f"{DOWN} the magnitude must not grow"),
    ],
)
def test_rounding_decision(rounding: Rounding, x: float, decision: str) -> None:
    """Each direction's decision is told with its reason (IEEE 754-2019, clause 4.3)."""
    with environment(rounding=rounding):
        text = str(explain("convert_to_integer", binary32(x), width=8))

    assert f"  decision: {decision}\n" in text


def test_carry_out_of_rounding_is_told() -> None:
    """Where all kept bits are ones and one is added, the growing exponent is mentioned."""
    with environment(rounding=Rounding.TOWARD_POSITIVE):
        text = str(explain("addition", binary16.from_bits(0x3FFF), binary16.from_bits(1)))

    assert "\n  the increment carries out of the leading place, so the exponent grows by one\n" in text


def test_what_fell_off_is_shown() -> None:
    """What alignment shifts out stands behind the sticky place: 10011111111000 by five places here."""
    text = str(explain("addition", binary16(1.0), binary16.from_bits(0x28FF)))

    assert "\n  align   shifted                  0000 0100 111  111  11000 fell off\n" in text


def test_places_begin_at_the_last_number_with_a_point() -> None:
    """What came before a fixed-point number has other places: the sheet has none of it."""
    sheet = str(explain("sin", binary32(0.7))).split("Significands, place by place")[1].split("Rounding")[0]
    phases = [line[2:].split()[0] for line in sheet.splitlines() if re.match("  [a-z]", line)]

    assert ["polynomial", "certain", "round"] == phases


@pytest.mark.parametrize("operation", ["sin", "exp2", "log", "rootn"])
@pytest.mark.parametrize("fmt", [binary32, binary64], ids=repr)
def test_lines_have_an_end(operation: str, fmt: Format) -> None:
    """However wide the numbers of a function's accurate phase are, a line is not."""
    operands = (fmt(3), 3) if operation == "rootn" else (fmt(3),)

    assert max(map(len, str(explain(operation, *operands)).splitlines())) <= 180


def test_widest_values_are_hexadecimal() -> None:
    """The product of 1.5 and 1.5, 106 bits in binary64, is 9 times a power of two."""
    listing = str(explain("multiplication", binary64(1.5), binary64(1.5)))

    assert re.search(rf"^  exact\.\d+ +106 bits +{9 << 102:#029x} ", listing, re.MULTILINE)


def test_result_without_rounding_says_so() -> None:
    """A result that needs no rounding names the phase that settled it."""
    text = str(explain("division", binary32(1.0), binary32(0.0)))

    assert (
        "\nRounding\n  there was nothing to round: the result was settled in phase 'special operands'\n"
        in text
    )


def test_flags_are_not_invented() -> None:
    """With options that record no flags, none are reported, not even as lowered."""
    with environment(options=LEAN):
        explanation = explain("addition", binary32(6.25), binary32(-0.1))

    assert explanation.flags is None
    assert "\n  flags raised: not recorded\n" in str(explanation)


def test_integer_operands_and_results() -> None:
    """Integers of conversions are shown in binary and as signed numbers."""
    assert "\n  value  1001 1100  -100\n" in str(
        explain("convert_from_integer", -100, target=binary16, width=8)
    )
    assert "\n  -3  1111 1101\n" in str(explain("convert_to_integer", binary16(-2.75), width=8))
    assert "\n  200  1100 1000\n" in str(explain("convert_to_integer", binary16(200), width=8, signed=False))
    assert "\n  n  1111 1111 1111 1111 1111 1111 1111 1101  -3\n" in str(explain("scale_b", binary16(6), -3))


def test_pairs_of_results() -> None:
    """The error that comes with a result is shown below it, and flags are told apart from both."""
    explanation = explain("augmented_multiplication", binary16(0.1), binary16(3))

    assert 2 == len(explanation.results)
    assert binary16.decode(0x2E66) * 3 == sum(map(binary16.decode, explanation.results))
    assert Flags.NONE == explanation.flags
    assert re.search(r"\n  result  0x.*\n  error   0x", str(explanation))
    assert "\nrounding: to the nearest, ties toward zero\n" in str(explanation)


def test_the_direction_of_a_name_is_told() -> None:
    """Where an operation has its own direction, that one is told, not the environment's."""
    with environment(rounding=Rounding.TOWARD_NEGATIVE):
        upward = str(explain("round_to_integral_toward_positive", binary32(2.25)))
        inward = str(explain("round_to_integral_toward_zero", binary32(2.25)))

    assert f"\n  decision: {UP} the result is positive\n" in upward
    assert "\n  nothing is added: the bits below the kept ones are dropped, whatever" in inward


def test_a_tie_between_integers_is_told() -> None:
    """Rounded to an integer, 2.5 has 22 bits below the point, which are half a unit, and 2 is even."""
    text = str(explain("round_to_integral_ties_to_even", binary32(2.5)))

    assert (
        f"\n  the 22 extra bits 1{'0' * 21} are worth exactly half a unit in the last place, a tie\n" in text
    )
    assert "\n  decision: down: the kept bits stay as they are, because the last kept bit is 0, and" in text


def test_what_becomes_one_is_told() -> None:
    """Of a number below one it is said how it becomes zero or one."""
    text = str(explain("round_to_integral_ties_to_even", binary32(0.75)))

    assert f"\n  below one: {PHASES['below one']}\n" in text


def test_classes_are_named() -> None:
    """A class is told by its name."""
    assert "\nResult\n  negative zero\n" in str(explain("classify", binary32(-0.0)))


@pytest.mark.parametrize("fmt", [ofp8_e4m3, extended80], ids=repr)
@pytest.mark.parametrize("name", OPERATIONS)
def test_every_operation_is_explained_in_other_formats(name: str, fmt: Format) -> None:
    """Formats without infinity, or with a leading bit that is stored, are explained too."""
    for operands in operand_sets(OPERATIONS[name], fmt):
        explanation = explain_encodings(use_for(name, fmt), operands)
        assert str(explanation).startswith(f"{name} of ")


def test_constants_stand_beside_numbers() -> None:
    """A Python number beside an emulated one is rounded to its format."""
    assert 0x3FA00000 == explain("subtraction", binary32(1.5), 0.25).result


def test_format_of_the_result() -> None:
    """The result's format is the target's for a conversion, none for a truth."""
    assert binary16 == explain("convert_format", binary32(0.1), target=binary16).result_format
    assert explain("is_nan", binary32(0.1)).result_format is None


def test_flags_of_an_explanation() -> None:
    """The flags raised are a set of Flags, and the environment's own stay as they were."""
    with environment() as env:
        explanation = explain("division", binary32(1.0), binary32(0.0))

    assert Flags.DIVISION_BY_ZERO == explanation.flags
    assert Flags.NONE == env.flags


def test_html_says_what_the_text_says() -> None:
    """In a notebook, the same sections appear, with their lines unchanged."""
    explanation = explain("addition", binary32(6.25), binary32(-0.1))
    html = unescape(explanation._repr_html_())

    for line in str(explanation).splitlines():
        assert line.strip() in html


def test_repr_is_short() -> None:
    """The repr names the operation and its operands."""
    assert "<Explanation: addition of 6.25 and -0.1 in binary32>" == repr(
        explain("addition", binary32(6.25), binary32(-0.1))
    )


def _refusals() -> list[tuple[Callable[[], Explanation], type[Exception], str]]:
    return [
        (lambda: explain("addition", binary32(1.0)), OperandError, "addition takes 2 operands, not 1"),
        (
            lambda: explain("addition", 1.0, 2.0),
            OperandError,
            "addition needs an emulated operand, for example binary32(1.5), to know a format",
        ),
        (
            lambda: explain("addition", binary32(1.0), binary16(1.0)),
            MixedFormatsError,
            "addition needs operands of one format, not binary32 and binary16; "
            "convert one of them first, for example convert_format(x, binary32)",
        ),
        (
            lambda: explain("convert_format", binary32(1.0)),
            OperandError,
            "convert_format needs the format of its result, for example target=binary16",
        ),
        (
            lambda: explain("convert_from_integer", 300, target=binary16, width=8),
            OperandError,
            "convert_from_integer takes an int8, not 300; give its width, or signed=False",
        ),
        (
            lambda: explain("scale_b", binary32(1.5), binary32(2.0)),
            OperandError,
            "scale_b takes an int32, not binary32(2.0)",
        ),
    ]


@pytest.mark.parametrize("index", range(len(_refusals())))
def test_refusals(index: int) -> None:
    """What cannot be explained is refused with a sentence that says what to give instead."""
    call, error, message = _refusals()[index]
    with pytest.raises(error) as caught:
        call()

    assert message == str(caught.value)


def test_unknown_operation_is_refused() -> None:
    """A misspelt operation is refused, the nearest name suggested."""
    with pytest.raises(UnknownNameError, match=r"not 'additon'; did you mean 'addition'\?$"):
        explain("additon", binary32(1.0), binary32(1.0))
