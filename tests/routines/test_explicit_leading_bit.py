"""Formats that store the leading bit: what makes no sense in them comes in as a signalling NaN."""

from __future__ import annotations

import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers import leading_bit
from softfloat_py.numbers.formats import Format
from tests.engines.running import run_plain, used
from tests.references import leading_bit as reference

NARROWEST = Format("e3p3 with its leading bit", exponent_bits=3, precision=3, explicit_leading_bit=True)


def unsupported(fmt: Format) -> list[int]:
    """Encodings with an exponent field that is not 0 beside a leading bit that is."""
    fields = range(1, 1 << fmt.exponent_bits)
    return [field << fmt.precision | trailing for field in fields for trailing in range(fmt.leading_one)]


def test_unsupported_encodings_signal() -> None:
    """In the narrowest such format all of them are signalling NaNs, which arithmetic and comparing show."""
    one = reference.from_twin(NARROWEST, NARROWEST.bias << NARROWEST.trailing_bits)
    assert 7 * 4 == len(unsupported(NARROWEST))  # fields that are not 0, and what may lie below the bit
    for bits in unsupported(NARROWEST):
        assert (1, 0) == run_plain(used("is_signaling", NARROWEST), Rounding.TIES_TO_EVEN, (bits,)).outcome
        for name in ("addition", "multiplication", "compare_quiet_equal"):
            outcome = run_plain(used(name, NARROWEST), Rounding.TIES_TO_EVEN, (bits, one)).outcome
            assert Flags.INVALID_OPERATION == outcome[1], (name, hex(bits))


@pytest.mark.parametrize("bits", range(1 << NARROWEST.width))
def test_what_an_encoding_means_is_what_its_twin_means(bits: int) -> None:
    """In the narrowest such format the routines go the reference's way to the twin and back, and the format's
    own word on every encoding, read where it lies, is that of the twin.
    """
    twin, there = NARROWEST.twin, reference.to_twin(NARROWEST, bits)

    assert there == leading_bit.to_twin(NARROWEST, bits)
    assert reference.from_twin(NARROWEST, there) == leading_bit.from_twin(NARROWEST, there)
    assert twin.is_nan(there) == NARROWEST.is_nan(bits)
    assert twin.is_finite(there) == NARROWEST.is_finite(bits)
    assert (reference.from_twin(NARROWEST, there) == bits) == NARROWEST.is_canonical(bits)
    if twin.is_finite(there):
        assert twin.decode(there) == NARROWEST.decode(bits)
        assert twin.spacing(there) == NARROWEST.spacing(bits)


def test_limits_are_those_of_the_twin() -> None:
    """The format's own limits, worked out where the bit lies, are the twin's brought to it."""
    for limit in ("infinity", "first_special", "quiet_nan", "largest_finite", "smallest_normal"):
        expected = reference.from_twin(NARROWEST, getattr(NARROWEST.twin, limit))
        assert hex(expected) == hex(getattr(NARROWEST, limit)), limit
