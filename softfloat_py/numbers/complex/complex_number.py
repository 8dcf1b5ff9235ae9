"""One emulated complex number: two Numbers."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from typing import Any, Self

from softfloat_py.errors import OperandError
from softfloat_py.numbers.complex.complex_arithmetic import Pair, inequality
from softfloat_py.numbers.complex.complex_value import ComplexValue, pair_beside
from softfloat_py.numbers.constants import refusal
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.value_system import ValueSystem


class ComplexNumber(ComplexValue):
    """A complex number of a format. It never changes; operators give new ones and are counted part by part.

    Make it by `binary32.complex_number(1.5 - 2j)`, or of two real values. It has no hash.

    >>> from softfloat_py.numbers.formats import binary32
    >>> binary32.complex_number(1.5 - 2j) * 2
    binary32.complex_number(3.0, -4.0)
    """

    __slots__ = ()

    _real: Number
    _imag: Number

    @classmethod
    def from_values(cls, fmt: ValueSystem, value: Any, imag: Any) -> ComplexNumber:
        """The number with this value or, if `imag` is given, with these parts, each a constant or a Number.

        Constants are rounded in the current environment, not counted. Raises OperandError for anything else,
        MixedFormatsError for another format.
        """
        parts = _parts(fmt, value)
        if imag is not None:
            imaginary = _parts(fmt, imag)
            if parts.imag is not None or imaginary.imag is not None:
                raise OperandError(
                    f"{fmt.name}.complex_number needs two real parts, not {value!r} and {imag!r}"
                )
            parts = Pair(parts.real, imaginary.real)
        return cls._of(parts.real, fmt(0) if parts.imag is None else parts.imag)

    @property
    def real(self) -> Number:
        """The real part."""
        return self._real

    @property
    def imag(self) -> Number:
        """The imaginary part."""
        return self._imag

    def __complex__(self) -> complex:
        """The nearest host complex number, part by part; not counted."""
        return complex(float(self._real), float(self._imag))

    def __bool__(self) -> bool:
        """Whether the number differs from zero: two comparisons, as C's `if (z)`."""
        return bool(inequality(self.pair, Pair(self.format(0))))

    def __copy__(self) -> Self:
        return self

    def __deepcopy__(self, memo: object) -> Self:
        return self

    def __reduce__(self) -> tuple[Callable[..., ComplexNumber], tuple[Number, Number]]:
        return ComplexNumber._of, (self._real, self._imag)

    def __str__(self) -> str:
        """Both parts in shortest decimals, for example 1.5-2.0j."""
        return format(self)

    def __format__(self, text: str) -> str:
        """Both parts, each as a Number formats itself by this specification."""
        imag = format(self._imag, text)
        return f"{format(self._real, text)}{'' if imag.startswith(('-', '+')) else '+'}{imag}j"

    def __repr__(self) -> str:
        """An expression with this number as value, as long as constants are rounded to nearest."""
        return f"{self.format!r}.complex_number({_argument(self._real)}, {_argument(self._imag)})"

    def _repr_html_(self) -> str:
        return f"<p>{escape(self.format.name)}, complex</p><pre>{self}</pre>"


def _parts(fmt: ValueSystem, value: Any) -> Pair:
    pair = pair_beside(fmt, value, f"{fmt.name}.complex_number")
    if pair is NotImplemented or not isinstance(pair.real, Number):
        raise refusal("a complex constant", fmt.name, value)
    return Pair(*pair)


def _argument(part: Number) -> str:
    """A part as an argument: a Python number where the number's own repr has one, else that repr."""
    text = repr(part).removeprefix(repr(part.format))
    return text[1:-1] if text.startswith("(") else repr(part)
