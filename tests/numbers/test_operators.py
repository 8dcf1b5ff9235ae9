"""Operators that are generated for the numbers of a format, and what they note."""

from __future__ import annotations

from softfloat_py import binary16, binary32, binary128, counting, environment
from softfloat_py.numbers.formats import Format
from softfloat_py.numbers.operators import source
from softfloat_py.options import COMPLETE, LEAN, Options
from softfloat_py.uses import Use


def test_the_text_of_an_operator_has_the_run_in_it() -> None:
    """The source is that of one function, in which no other computes."""
    text = source(Use.named("negate", binary16, LEAN))

    assert text.startswith("def operator(self, level=1):\n")
    assert "result = (x_1 ^ 0x8000)\n" in text


def test_each_operator_obeys_the_options_in_force() -> None:
    """One place computes under options that take turns, and under equal ones that are not the same object."""
    heave, tenth = binary32(1.5), binary32(0.1)
    seen = []
    with counting() as tally:
        for options in (COMPLETE, LEAN, Options(), LEAN, Options(all_directions=False, flags=False)):
            with environment(options=options) as inner:
                seen.append(((heave * tenth).bits, inner.flags.inexact))

    product = binary32(0.15000000223517418).bits
    assert [(product, True), (product, False), (product, True), (product, False), (product, False)] == seen
    assert {"complete": 2, "lean": 3} == {o.options: n for o, n in tally.calls_by_origin.items()}


def test_equal_formats_meet() -> None:
    """Numbers of two formats that say the same are numbers of one."""
    first, second = (Format("swell", exponent_bits=6, precision=9) for _ in range(2))

    assert first(1.5) + second(0.25) == first(1.75)


def test_operands_of_several_words_are_counted() -> None:
    """What a log keeps of wide operands gives the counts of each alone."""
    values = [binary128(n) for n in (3, 0.1, 1e300)]
    with counting() as together:
        for value in values:
            value * value
    steps = 0
    for value in values:
        with counting() as alone:
            value * value
        steps += alone.total_steps

    assert steps == together.total_steps
