"""Elementary functions against their references in all directions; nothing is counted, which takes longer."""

from __future__ import annotations

from softfloat_py.engines.plain import compiled
from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, binary64
from softfloat_py.options import COMPLETE, Options
from tests.engines.running import outcome_of, reference, run_plain, used


def assert_correct(name: str, fmt: Format, *operands: int, options: Options = COMPLETE) -> None:
    """Result and flags are the reference's in every direction; operands are encodings, and integers."""
    use = used(name, fmt, options)
    bits = tuple(operand % (1 << width) for operand, width in zip(operands, use.widths, strict=True))
    for rounding in Rounding:
        *results, _ = compiled(use.program).run(*use.arguments(bits, int(rounding)))
        assert reference(use, rounding, bits) == outcome_of(use, tuple(results)), (rounding, *map(hex, bits))


def assert_exact(name: str, x: float, expected: float, flags: Flags = Flags.NONE) -> None:
    """In binary64 the result is this one, with its sign and these flags, in every direction."""
    for rounding in Rounding:
        outcome = run_plain(used(name, binary64), rounding, (binary64(x).bits,)).outcome

        assert (binary64(expected).bits, flags) == outcome
