"""How `explain` reads operations and operands, and what it refuses."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from softfloat_py.operations import OPERATIONS
from tests.commands.running import printed_by

SAME_SUM = [
    ["6.25", "+", "-0.1"],
    ["addition", "6.25", "-0.1"],
    ["6.25", "addition", "-0.1"],
    ["+", "0x40c80000", "0xbdcccccd"],
    ["6.25", "+", "-1e-1", "--format", "binary32"],
]


@pytest.mark.parametrize("words", SAME_SUM)
def test_explain_takes_signs_names_and_encodings(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """An operation may stand between its operands or before them; operands are numbers or encodings."""
    text = printed_by(capsys, "explain", *words)

    assert text.startswith("addition of 6.25 and -0.1 in binary32\n")
    assert re.search(
        r"^  result  0x40c4cccd  0 +10000001  10001001100110011001101  6\.15", text, re.MULTILINE
    )


@pytest.mark.parametrize("symbol", [row.symbol for row in OPERATIONS.values() if row.symbol])
def test_explain_takes_every_sign(symbol: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Each sign in the table of operations can be used."""
    words = [symbol, "2.0"] if symbol == "sqrt" else ["2.0", symbol, "-1.0"]

    assert "\nResult\n" in printed_by(capsys, "explain", *words)


@pytest.mark.parametrize(
    ("words", "title"),
    [
        ("sqrt 2.0", "square_root of 2.0 in binary32"),
        ("-inf - inf --format bfloat16", "subtraction of -infinity and infinity in bfloat16"),
        ("-0 / nan", "division of -0.0 and quiet NaN in binary32"),
        ("convert_format 0.1 --target binary16", "convert_format of 0.1 from binary32 to binary16"),
        ("convert_to_integer -2.5 --width 8", "convert_to_integer of -2.5 from binary32 to int8"),
        ("convert_from_integer -100 --width 8", "convert_from_integer of -100 from int8 to binary32"),
    ],
)
def test_explain_titles(words: str, title: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Conversions, special operands and negative numbers are read as they are written."""
    assert title == printed_by(capsys, "explain", *words.split()).splitlines()[0]


def test_explain_with_direction_and_options(capsys: pytest.CaptureFixture[str]) -> None:
    """Rounding direction and options are those asked for."""
    text = printed_by(capsys, "explain", "1", "/", "3", "--rounding", "toward_zero")
    assert "\nrounding: toward zero\n" in text

    text = printed_by(capsys, "explain", "1", "/", "3", "--options", "lean")
    assert "\narithmetic: lean: ties to even only, no flags\n" in text


def test_explain_refusals(refusal: Callable[..., str]) -> None:
    """What cannot be explained is refused in one sentence; a number that is none, at its character."""
    for words in (
        ["6.25", "+", "much"],
        ["much", "+", "6.25"],
        ["much", "addition", "6.25"],
        ["sqrt", "much"],
    ):
        assert refusal("explain", *words) == (
            "the text of a number needs a sign, a digit, a point, inf or nan at the caret, not 'm':\n"
            "  much\n"
            "  ^"
        )
    assert refusal("explain", "6.25", "+", "0x1ffffffff") == (
        "an encoding of binary32 must lie between 0 and 0xffffffff (32 bits), not 0x1ffffffff"
    )
    for words in (["adition", "1", "2"], ["1", "adition", "2"]):
        assert refusal("explain", *words).endswith(", not 'adition'; did you mean 'addition'?")
    assert refusal("explain", "compare", "1", "2") == (
        "an operation must be named as IEEE 754-2019 names it, in snake case, not 'compare'; "
        "there are compare_… (22); python -m softfloat_py explain --help lists all"
    )
    assert refusal("explain", "add", "1", "2") == (
        "an operation must be named as IEEE 754-2019 names it, in snake case, not 'add'; "
        "did you mean 'addition', 'fused_multiply_add' or 'augmented_addition'?"
    )
    for words in (["1.5", "x", "0.02"], ["x", "1.5", "0.02"], ["1.5", "÷", "2"], ["1.5", "0.02"], ["", "2"]):
        sign = next((word for word in ("x", "÷", "0.02") if word in words), "")
        assert refusal("explain", *words) == (
            f"the sign of an operation must be one of +, -, *, /, sqrt, ==, !=, >, >=, <, <=, not {sign!r}"
        )
    families = refusal("explain", "plus", "1", "2")
    assert "; there are addition, subtraction, " in families
    assert ", compare_… (22), " in families
    assert len(families) < len(", ".join(OPERATIONS)) / 2
    assert refusal("explain", "addition", "1") == "addition takes 2 operands, not 1"
    assert refusal("explain", "1", "+", "2", "--rounding", "toward_zerro") == (
        "the rounding must be one of ties_to_even, ties_to_away, toward_positive, toward_negative, "
        "toward_zero, not 'toward_zerro'; did you mean 'toward_zero'?"
    )
    assert refusal("explain", "1", "+", "2", "--rounding", "toward_zero", "--options", "lean") == (
        "options 'lean' round ties to even only, not TOWARD_ZERO; use options with all_directions=True"
    )
