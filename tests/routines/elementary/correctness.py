"""Elementary functions against their references in all directions; nothing is counted, which takes longer."""

from __future__ import annotations

from softfloat_py.engines.plain import compiled
from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format
from softfloat_py.options import COMPLETE, Options
from tests.engines.running import outcome_of, reference, used


def assert_correct(name: str, fmt: Format, *operands: int, options: Options = COMPLETE) -> None:
    """Result and flags are the reference's in every direction; operands are encodings, and integers."""
    use = used(name, fmt, options)
    bits = tuple(operand % (1 << width) for operand, width in zip(operands, use.widths, strict=True))
    for rounding in Rounding:
        *results, _ = compiled(use.program).run(*use.arguments(bits, int(rounding)))
        assert reference(use, rounding, bits) == outcome_of(use, tuple(results)), (rounding, *map(hex, bits))
