"""Rounding twice beside rounding once: a number through formats in turn, and directly.

Rounded to nearest first to a wide format and from there to a narrow one, a value may end up on the other side
than rounded at once: the first rounding can move it onto the middle between two numbers of the narrow format,
and then the rule for ties decides, which does not know where the value came from.

What is known about it:

- *Operations.* The sum, difference, product, quotient or square root of numbers of precision p, rounded to
  nearest to a precision of 2p + 2 or more and then to p, is what rounding once gives (S. Figueroa, "When is
  double rounding innocuous?", SIGNUM Newsletter 30(3), 1995, from memory; for results in the normal range of
  both formats). So an addition of binary16 numbers may be computed in binary32, for 24 >= 2 × 11 + 2.
- *Conversions.* The theorem says nothing about them. What an operation can deliver keeps away from the
  middles between numbers; the operand of a conversion may lie as close to one as it likes. From binary64 to
  binary16, the way through binary32 is not harmless, 24 >= 2 × 11 + 2 or not.
- *Directions.* Rounding toward zero, up or down twice is as good as once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from softfloat_py.environment import Flags, Rounding, current, environment
from softfloat_py.errors import OperandError
from softfloat_py.numbers.formats import Format
from softfloat_py.numbers.functions import convert_format
from softfloat_py.numbers.number import Number
from softfloat_py.tally.tally import Tally, begin_counting, end_counting

HALF = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Conversion:
    """One conversion: what was converted, what came out, and the flags that raised."""

    operand: Number
    result: Number
    flags: Flags

    @property
    def error(self) -> Fraction | None:
        """Result less operand, in units of the result's last place; None if either is no finite number."""
        numbers = self.operand, self.result
        if not all(number.format.is_finite(number.bits) for number in numbers):
            return None
        before, after = (number.format.decode(number.bits) for number in numbers)
        return (after - before) / self.result.format.spacing(self.result.bits)


@dataclass(frozen=True, slots=True)
class ConversionInSteps:
    """A number converted in steps and directly; `print` it, or show it in a notebook."""

    start: Number
    rounding: Rounding
    steps: tuple[Conversion, ...]
    direct: Conversion

    @property
    def result(self) -> Number:
        """What comes out of the last step."""
        return self.steps[-1].result

    @property
    def differs(self) -> bool:
        """Whether the steps lead elsewhere than the direct way; two NaNs count as equal."""
        fmt, ours, direct = self.result.format, self.result.bits, self.direct.result.bits
        return ours != direct and not (fmt.is_nan(ours) and fmt.is_nan(direct))

    @property
    def units_apart(self) -> int:
        """By how many units in the last place the result lies above the direct one (below if negative):
        from number to number of the format, infinity being the one after the largest.
        """
        return _position(self.result) - _position(self.direct.result) if self.differs else 0

    @property
    def makes_a_tie(self) -> bool:
        """Whether the last step met the middle between two numbers, and the direct way did not."""
        error = self.steps[-1].error
        return error is not None and abs(error) == HALF and self.direct.error != error

    def __str__(self) -> str:
        from softfloat_py.views.conversion_in_steps import text

        return text(self)

    def _repr_html_(self) -> str:
        from softfloat_py.views.conversion_in_steps import html

        return html(self)


def convert_in_steps(x: Number, *formats: Format) -> ConversionInSteps:
    """x converted to each of the formats in turn, and directly to the last of them.

    In the rounding direction and with the options in force. This is a look at rounding, not a part of a
    kernel: it is not counted, and its flags are in the result alone. Raises OperandError for anything but a
    Number and two formats or more.

    >>> from softfloat_py.numbers.formats import binary16, binary32, binary64
    >>> convert_in_steps(binary64(1 + 2**-11 + 2**-40), binary32, binary16).differs
    True
    """
    if not isinstance(x, Number):
        raise OperandError(f"convert_in_steps needs a Number, not {x!r}")
    if len(formats) < 2 or not all(isinstance(fmt, Format) for fmt in formats):
        given = ", ".join(map(repr, formats)) or "none"
        raise OperandError(f"convert_in_steps needs two formats or more, not {given}")
    steps: list[Conversion] = []
    for fmt in formats:
        steps.append(_converted(steps[-1].result if steps else x, fmt))
    return ConversionInSteps(x, current.get().rounding, tuple(steps), _converted(x, formats[-1]))


def _converted(x: Number, target: Format) -> Conversion:
    """A conversion that leaves neither counts nor flags behind."""
    options = replace(current.get().options, flags=True)
    aside = Tally()
    begin_counting(aside, None)
    try:
        with environment(options=options) as env:
            result = convert_format(x, target)
    finally:
        end_counting(aside)
    return Conversion(x, result, env.flags)


def _position(number: Number) -> int:
    """Where a number stands among all of its format: encodings of magnitudes are consecutive."""
    return number.format.rank(number.bits)
