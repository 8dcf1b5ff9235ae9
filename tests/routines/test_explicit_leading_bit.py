"""Formats that store the leading bit: what makes no sense in them comes in as a signalling NaN."""

from __future__ import annotations

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format
from tests.engines.running import run_plain, used
from tests.references.leading_bit import from_twin

NARROWEST = Format("e3p3 with its leading bit", exponent_bits=3, precision=3, explicit_leading_bit=True)


def unsupported(fmt: Format) -> list[int]:
    """Encodings with an exponent field that is not 0 beside a leading bit that is."""
    fields = range(1, 1 << fmt.exponent_bits)
    return [field << fmt.precision | trailing for field in fields for trailing in range(fmt.leading_one)]


def test_unsupported_encodings_signal() -> None:
    """In the narrowest such format all of them are signalling NaNs, which arithmetic and comparing show."""
    one = from_twin(NARROWEST, NARROWEST.bias << NARROWEST.trailing_bits)
    for bits in unsupported(NARROWEST):
        assert (1, 0) == run_plain(used("is_signaling", NARROWEST), Rounding.TIES_TO_EVEN, (bits,)).outcome
        for name in ("addition", "multiplication", "compare_quiet_equal"):
            outcome = run_plain(used(name, NARROWEST), Rounding.TIES_TO_EVEN, (bits, one)).outcome
            assert Flags.INVALID_OPERATION == outcome[1], (name, hex(bits))
