"""Options and the names that reports give them."""

from __future__ import annotations

from typing import Any

import pytest

from softfloat_py.errors import ConventionError
from softfloat_py.numbers.formats import Format, binary32, extended80, ofp8_e4m3
from softfloat_py.options import (
    COMPLETE,
    LEAN,
    NAMED_OPTIONS,
    Division,
    IntegerOverflow,
    LeadingZeros,
    NaNResult,
    Options,
    Payload,
    Product,
    SquareRoot,
    Tininess,
)


@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("complete", Options()),
        ("lean", Options(all_directions=False, flags=False)),
        ("complete, ties to even only", Options(all_directions=False)),
        ("complete, no flags", Options(flags=False)),
        ("complete, subnormal operands flushed", Options(subnormal_operands=False)),
        ("complete, subnormal results flushed", Options(subnormal_results=False)),
        ("complete, underflow detected before rounding", Options(tininess=Tininess.BEFORE_ROUNDING)),
        (
            "complete, NaN results: the first operand that is a NaN, made quiet, negative default NaN",
            Options(nan=NaNResult.FIRST_OPERAND, negative_nan=True),
        ),
        ("complete, default NaN with payload of all ones", Options(nan_payload=Payload.ONES)),
        (
            "complete, integer overflow: only the top bit set",
            Options(integer_overflow=IntegerOverflow.INDEFINITE),
        ),
        ("complete, overflow saturates", Options(saturate=True)),
        ("complete, leading zeros by a binary search", Options(leading_zeros=LeadingZeros.HALVING)),
        ("complete, multiplication by partial products of halves", Options(product=Product.PARTIAL)),
        ("complete, division digit by digit in radix 4", Options(division=Division.RADIX_4)),
        ("complete, no special operands", Options(special=False)),
        ("complete, division by reciprocal", Options(division=Division.RECIPROCAL)),
        ("complete, division by a divider, from leading bits", Options(division=Division.BY_DIVIDER)),
        ("complete, square root by reciprocal root", Options(square_root=SquareRoot.RECIPROCAL)),
        (
            "complete, ties to even only, no flags, subnormal operands flushed",
            Options(all_directions=False, flags=False, subnormal_operands=False),
        ),
    ],
)
def test_options_are_named_by_how_they_differ(name: str, options: Options) -> None:
    """Options are called complete or lean, or by what they leave out or choose."""
    assert name == options.name


def test_complete_leaves_nothing_out() -> None:
    """The defaults are the complete set, and lean drops only directions and flags."""
    assert Options() == COMPLETE
    assert {"complete": COMPLETE, "lean": LEAN} == NAMED_OPTIONS
    assert (True, True, True) == (LEAN.subnormal_operands, LEAN.subnormal_results, LEAN.special)


def test_options_of_the_same_choices_are_equal() -> None:
    """Options are values: equal by their choices, fit to be keys, and not to be changed."""
    assert Options(flags=False) == Options(flags=False)
    assert 1 == len({Options(saturate=True), Options(saturate=True)})
    with pytest.raises(AttributeError):
        COMPLETE.flags = False  # type: ignore[misc]


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"division": "digits"}, "division must be a member of Division, not 'digits'"),
        ({"flags": "no"}, "flags must be True or False, not 'no'"),
        (
            {"square_root": None, "all_directions": 1, "special": "yes"},
            "all_directions must be True or False, not 1\nspecial must be True or False, not 'yes'\n"
            "square_root must be a member of SquareRoot, not None",
        ),
    ],
)
def test_value_of_another_kind_is_refused(wrong: dict[str, Any], message: str) -> None:
    """A text in place of a truth or of a member of an enumeration is refused, with the field named."""
    with pytest.raises(ConventionError) as refused:
        Options(**wrong)

    assert message == str(refused.value)


@pytest.mark.parametrize(
    ("encoding", "fmt", "options"),
    [
        # Intel 64 and IA-32 SDM, volume 1, table 4-3 (from memory): the real indefinite of binary32.
        (0xFFC00000, binary32, Options(negative_nan=True)),
        # RISC-V unprivileged ISA, "NaN Generation and Propagation" (from memory).
        (0x7FC00000, binary32, COMPLETE),
        # MC68881 user's manual: the default NaN has a significand of all ones (from memory).
        (0x7FFFFFFF, binary32, Options(nan_payload=Payload.ONES)),
        (0x7FFFC000000000000000, extended80, COMPLETE),
        (0xFF, ofp8_e4m3, Options(negative_nan=True, nan_payload=Payload.ONES)),
    ],
)
def test_default_nan_has_the_sign_and_payload_chosen(encoding: int, fmt: Format, options: Options) -> None:
    """The default NaN is the one the ISA's manual prescribes, once its sign and payload are chosen."""
    assert hex(encoding) == hex(options.default_nan(fmt))
