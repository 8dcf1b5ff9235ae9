"""The reader refuses what has no integer form, and shows where: file, line, source line, carets."""

from __future__ import annotations

import linecache
from typing import Any

import pytest

from softfloat_py.errors import RoutineError
from softfloat_py.integer_form.reader import read
from tests.integer_form import faulty_routines

FILE = faulty_routines.__file__
LINES = [line.strip() for line in linecache.getlines(FILE)]

FIXED_CONDITION = "expected a condition fixed before the routine runs; join run-time bits by & | ~"
NO_STATEMENT = "expected an assignment, if, for, return or the call of a word, not a statement of kind While"

# The routine, its line at fault, and what is said about it.
FAULTS = [
    (
        "point_of_something_older",
        "return with_point(crest, 2)",
        "with_point must be given what was computed just then",
    ),
    ("unknown_name", "return x + swell", "expected a name that is known here, not 'swell'"),
    ("no_return", "def no_return(x: Bits) -> Bits:", "every path through a routine must end in a return"),
    (
        "return_on_one_side",
        "def return_on_one_side(x: Bits) -> Bits:",
        "every path through a routine must end in a return",
    ),
    ("unsupported_statement", "while x != 2:", NO_STATEMENT),
    ("unsupported_expression", "return [x, x]", "expected an expression of numbers, not one of kind List"),
    ("unsupported_assignment", "x.trough = 3", "only names and tuples of names can be assigned"),
    ("operator_without_a_step", "return x / 3", "bits have no operator Div"),
    ("negated_bits", "return -x", "bits have no operator USub; write ~x, or compare with zero"),
    ("logical_not_of_bits", "return not x", "bits have no operator Not; write ~x, or compare with zero"),
    ("membership_of_bits", "return x in (1, 2)", "bits have no comparison In"),
    ("chained_comparison", "return 1 < x < 5", FIXED_CONDITION),
    (
        "shift_without_a_width",
        "return x << y",
        "a shift left by a variable distance needs a stated width: shift_left(x, n, width)",
    ),
    ("conjunction_of_bits", "return x == 1 and x != 4", FIXED_CONDITION),
    ("choice_by_bits", "return x if x == 6 else constant(0, 8)", FIXED_CONDITION),
    ("attribute_of_bits", "return x + x.height", "bits have a width, not an attribute 'height'"),
    (
        "function_of_bits",
        "return constant(max(x, 3), 8)",
        "max is not a word or a routine, and cannot take bits",
    ),
    (
        "function_of_a_tuple_of_bits",
        "if all((x == 3, y == 4)):",
        "all is not a word or a routine, and cannot take bits",
    ),
    (
        "function_of_constant_bits",
        "if bool(constant(0, 1)):",
        "bool is not a word or a routine, and cannot take bits",
    ),
    (
        "comparison_of_tuples_of_bits",
        "if (x, 1) == (y, 1):",
        "tuples that have bits cannot be compared, only part by part",
    ),
    ("negative_number", "return x + (-1)", "expected bits or a non-negative whole number, not -1"),
    ("no_bit_left", "return resize(x, 0)", "resize of [8] bits must leave at least one bit, not 0"),
    ("constant_too_wide", "return x + constant(9, 3)", "constant 9 does not fit 3 bits"),
    (
        "constants_that_break_a_condition",
        "return x + resize(constant(9, 4), 3)",
        "a value must fit the stated width: resize of [9], 3",
    ),
    ("one_side_only", "return height", "height is assigned on one side of an if only"),
    (
        "sides_of_different_widths",
        "return depth",
        "depth is 9 bits wide on one side of an if and 8 on the other; even them out with resize",
    ),
    ("sides_of_different_things", "return resize(x, len(period))", "period is 'long' or 'short' after an if"),
    ("part_that_sides_disagree_about", "if tide[1]:", "tide is True or False after an if"),
    (
        "named_part_that_sides_disagree_about",
        "return resize(x, 9 if swell.period == 3 else 8)",
        "swell is 3 or 5 after an if",
    ),
    ("result_that_sides_disagree_about", "return sea", "sea is 'calm' or 'rough' after an if"),
    (
        "bits_or_something_else",
        "return motion",
        "motion differs after an if: expected bits or a non-negative whole number, not 'calm'",
    ),
    ("assertion_about_widths", "assert x.width == 9", "this assertion about widths does not hold"),
    (
        "returns_of_different_widths",
        "return x",
        # The second result is the flags.
        "expected results of the widths of the other returns, not [8, 5]",
    ),
    (
        "index_without_an_entry",
        "return look_up((1, 2), constant(2, 2))",
        "an index must be less than the number of entries: look_up of [2], table[2]",
    ),
    (
        "table_without_entries",
        "return look_up((), x)",
        "a table must have whole numbers of 0 and more as entries, not ()",
    ),
    (
        "table_that_a_run_makes",
        "return look_up(x, x)",
        "a table must be fixed, a Table or a sequence of whole numbers, not x.1",
    ),
    ("too_few_parts", "low, high = x, x, x", "expected 2 values to assign"),
    ("wrong_arguments", "return resize(width_of_eight(x), 8)", "width_of_eight takes x, y, not 1 arguments"),
    (
        "early_return_inside_a_value",
        "if x == 8:",  # in the routine that was called
        "a return inside an `if` that also falls through needs the call to be in a return statement itself",
    ),
    (
        "return_in_a_round_inside_a_value",
        "for i in unrolled(3):",  # in the routine that was called
        "a return inside a loop needs the call to be in a return statement itself",
    ),
    (
        "value_of_nothing",
        "buoy = x + 1",  # in the routine that was called
        "a routine called for its value must return one on every path",
    ),
    ("signal_in_a_loop", "for _ in range(3):", "a loop must not signal"),
    ("return_in_a_loop", "for _ in range(4):", "a loop must not return"),
    ("widening_in_a_loop", "for _ in range(5):", "x must keep its 8 bits from one round to the next"),
    (
        "growing_tuple_in_a_loop",
        "for _ in range(6):",
        "a tuple must keep its length from one round to the next",
    ),
    (
        "number_as_it_is_after_a_loop",
        "return x | waves",
        "waves is not bits before a loop that assigns it",
    ),
    (
        "number_from_the_round_before",
        "crests = crests | x",
        "crests is not bits before a loop that assigns it",
    ),
    ("mixed_tuple_after_a_loop", "return gauge[0]", "gauge is not bits before a loop that assigns it"),
    ("round_after_a_loop", "return x >> _round", "expected a name that is known here, not '_round'"),
    ("rounds_that_are_no_number", 'for _ in range("many"):', "expected the number of rounds, not 'many'"),
    (
        "refused_by_python",
        "wave = Wave(x, x, x)",
        "Wave.__new__() takes 3 positional arguments but 4 were given",
    ),
    (
        "unexplained_phase",
        'phase("alining")',
        "a phase must be one with a sentence in routines/phases.py, not 'alining'; did you mean 'align'?",
    ),
]


def shown(routine: str, line: str, message: str) -> str:
    """A fault as the error shows it, at the first such line of the routine, or of one it calls."""
    start = next(number for number, text in enumerate(LINES) if text.startswith(f"def {routine}("))
    number = LINES.index(line, start if line in LINES[start:] else 0) + 1
    return f"{FILE}:{number}: {message}\n    {line}\n    {'^' * len(line)}"


def refusal_of(routine: str) -> RoutineError:
    """The error that reading a faulty routine raises, all its parameters 8 bits wide."""
    function: Any = getattr(faulty_routines, routine)
    operands = {name: 8 for name in function.__annotations__ if name != "return"}
    with pytest.raises(RoutineError) as caught:
        read(function, operands, {}, keep_flags=True)
    return caught.value


@pytest.mark.parametrize(("routine", "line", "message"), FAULTS, ids=[fault[0] for fault in FAULTS])
def test_broken_rule_is_shown_in_its_place(routine: str, line: str, message: str) -> None:
    """Each broken rule is refused with its file, its line, the line's text and carets below it."""
    expected = f"routine {routine} is not a legal routine:\n{shown(routine, line, message)}"

    assert expected == str(refusal_of(routine))


def test_all_faults_are_reported_at_once() -> None:
    """One error lists every fault once, and not the lines that only use a faulty name."""
    expected = [
        shown("many_faults", "first = x + foam", "expected a name that is known here, not 'foam'"),
        shown(
            "many_faults",
            "fourth = x + (place - 1)",
            "expected bits or a non-negative whole number, not -1",
        ),
    ]

    assert expected == list(refusal_of("many_faults").faults)


def test_carets_stand_below_the_statement() -> None:
    """The shown fault reads as one expects of Python itself."""
    message = str(refusal_of("unknown_name"))

    assert message.endswith(
        ": expected a name that is known here, not 'swell'\n    return x + swell\n    ^^^^^^^^^^^^^^^^"
    )
