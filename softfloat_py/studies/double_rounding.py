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
from html import escape

from softfloat_py.environment import Flags, Rounding, current, environment
from softfloat_py.errors import OperandError
from softfloat_py.formats import Format
from softfloat_py.numbers.functions import convert_format
from softfloat_py.numbers.number import Number
from softfloat_py.tally.tally import Tally, begin_counting, end_counting
from softfloat_py.views.layout import columns, counted, table_html
from softfloat_py.views.rounding_words import DIRECTIONS

HALF = Fraction(1, 2)
NEAREST = (Rounding.TIES_TO_EVEN, Rounding.TIES_TO_AWAY)
_HEADINGS = ("", "result", "rounded by, in units of its last place")


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

    def __str__(self) -> str:
        table = columns([_HEADINGS, *self._rows()], "<<<")
        return "\n".join([self._title(), *(f"  {line}" for line in table), *self._sentences()])

    def _repr_html_(self) -> str:
        sentences = "".join(f"<p>{escape(sentence)}</p>" for sentence in self._sentences())
        table = table_html(_HEADINGS, self._rows())
        return f"<div><p><b>{escape(self._title())}</b></p>{table}{sentences}</div>"

    def _title(self) -> str:
        return f"{self.start} of {self.start.format.name}, rounded {DIRECTIONS[self.rounding]}"

    def _rows(self) -> list[tuple[str, str, str]]:
        named = [(f"to {step.result.format.name}", step) for step in self.steps]
        named.append((f"directly to {self.result.format.name}", self.direct))
        return [(name, str(step.result), _rounded_by(step)) for name, step in named]

    def _sentences(self) -> list[str]:
        """What the difference is, and why there is one or not."""
        if not self.differs:
            return ["The steps and the direct way give the same number.", self._why_equal()]
        side = "above" if self.units_apart > 0 else "below"
        apart = counted(abs(self.units_apart), "unit")
        name = self.result.format.name
        return [
            f"The steps end {apart} in the last place of {name} {side} the direct result.",
            self._why_different(),
        ]

    def _why_equal(self) -> str:
        if sum(step.flags.inexact for step in self.steps) < 2:
            return "Fewer than two of the steps rounded anything."
        if self.rounding not in NEAREST:
            return "Rounding twice in one direction is as good as once."
        return "That is so for this value; another one may be rounded onto the middle between two numbers."

    def _why_different(self) -> str:
        before, last = self.steps[-2:]
        name, name_before = self.result.format.name, before.result.format.name
        if last.error is not None and abs(last.error) == HALF and self.direct.error != last.error:
            return (
                f"The step to {name_before} moved the value onto the middle between two numbers of {name}; "
                "the last step then broke a tie that was none."
            )
        return f"A step before the last had rounded away what decides in {name}."


def convert_in_steps(x: Number, *formats: Format) -> ConversionInSteps:
    """x converted to each of the formats in turn, and directly to the last of them.

    In the rounding direction and with the options in force. This is a look at rounding, not a part of a
    kernel: it is not counted, and its flags are in the result alone. Raises OperandError for anything but a
    Number and two formats or more.

    >>> from softfloat_py.formats import binary16, binary32, binary64
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
    twin, bits = number.format.twin, number.format.to_twin(number.bits)
    magnitude = bits & (twin.sign_bit - 1)
    return -magnitude if bits & twin.sign_bit else magnitude


def _rounded_by(step: Conversion) -> str:
    error = step.error
    if error is None:
        return "overflow" if step.flags.overflow else ""
    if error == 0:
        return "exact"
    sign, magnitude = "+" if error > 0 else "-", abs(error)
    if magnitude == HALF:
        return f"{sign}1/2, a tie"
    gap = magnitude - HALF
    if abs(gap) < Fraction(1, 1000):
        return f"{sign}1/2 {'and' if gap > 0 else 'less'} {float(abs(gap)):.2g}"
    return f"{sign}{float(magnitude):.3g}"
