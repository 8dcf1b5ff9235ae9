"""One emulated number."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Self, TypeAlias

from softfloat_py.errors import MixedFormatsError
from softfloat_py.formats import Format
from softfloat_py.numbers.constants import constant, is_real, refusal
from softfloat_py.numbers.decimal_text import decimal_text, repr_text
from softfloat_py.numbers.operands import Emulated, combined, install_operators, number_operator
from softfloat_py.operations import OPERATIONS

# A constant of the program, as Python has it.
Constant: TypeAlias = int | float | Fraction
IS_NOT_ZERO = OPERATIONS["compare_quiet_not_equal"]


class Number(Emulated):
    """A number of a format. It never changes; operators give new ones and are counted.

    Make it by calling a format, `binary32(1.5)`, or from its encoding, `binary32.from_bits(0x3FC00000)`.

    Equal numbers have equal hashes, that of the equal Python number. A constant beside a number is rounded to
    its format first, so binary32(0.1) == 0.1 holds although the two have different hashes.

    >>> from softfloat_py.formats import binary32
    >>> binary32(1.5) + binary32(0.25)
    binary32(1.75)
    """

    __slots__ = ()

    _bits: int

    @classmethod
    def from_value(cls, fmt: Format, value: Any) -> Number:
        """`value` (int, float, Fraction, numpy scalar), rounded in the current environment, not counted.

        A Number of the format is returned as it is. Raises MixedFormatsError for one of another format,
        OperandError for anything else.
        """
        if isinstance(value, Number):
            if value._format != fmt:
                raise MixedFormatsError("a constant", fmt.name, value._format.name)
            return value
        if not is_real(value):
            raise refusal("a constant", fmt, value)
        return cls._of(fmt, constant(fmt, value))

    @classmethod
    def from_bits(cls, fmt: Format, bits: int) -> Number:
        """The number with this encoding; FormatError where it does not fit the format."""
        return cls._of(fmt, fmt.check_encoding(bits))

    @classmethod
    def _of(cls, fmt: Format, bits: int) -> Number:
        """The door without a check."""
        number = object.__new__(cls)
        number._bits = bits
        number._format = fmt
        return number

    @property
    def bits(self) -> int:
        """The encoding."""
        return self._bits

    # -- as Python's numbers ------------------------------------------------------------------------

    def __float__(self) -> float:
        """The nearest host double (the exact value where it has one); not counted."""
        fmt = self._format
        if fmt.is_finite(self._bits):
            exact = fmt.decode(self._bits)
            magnitude = _nearest_double(abs(exact))
        else:
            magnitude = math.nan if fmt.is_nan(self._bits) else math.inf
        return math.copysign(magnitude, -1 if self._bits & fmt.sign_bit else 1)

    def __int__(self) -> int:
        """The whole part; not counted, unlike convert_to_integer.

        Raises OverflowError for an infinity, ValueError for a NaN.
        """
        if not self._format.is_finite(self._bits):
            return int(float(self))
        return int(self._format.decode(self._bits))

    def __bool__(self) -> bool:
        """Whether the number differs from zero, as C's `if (x)`: counted as a comparison."""
        return bool(combined(IS_NOT_ZERO, self._format, (self._bits, 0)))

    def __hash__(self) -> int:
        if self._format.is_finite(self._bits):
            return hash(self._format.decode(self._bits))
        return object.__hash__(self) if self._format.is_nan(self._bits) else hash(float(self))

    def __pos__(self) -> Number:
        return self

    def __copy__(self) -> Self:
        return self

    def __deepcopy__(self, memo: object) -> Self:
        return self

    def __reduce__(self) -> tuple[Callable[..., Number], tuple[Format, int]]:
        return Number.from_bits, (self._format, self._bits)

    # -- as text ------------------------------------------------------------------------------------

    def __str__(self) -> str:
        """The shortest decimal that is nearer to this number than to any other of its format."""
        return decimal_text(self._format, self._bits)

    def __repr__(self) -> str:
        """An expression with this number as value, as long as constants are rounded to nearest."""
        return f"{self._format!r}{repr_text(self._format, self._bits)}"

    def __format__(self, specification: str) -> str:
        return format(float(self), specification) if specification else str(self)

    def _repr_html_(self) -> str:
        from html import escape

        fmt = self._format
        digits = f"{self._bits:0{fmt.width}b}"
        fields = digits[0], digits[1 : 1 + fmt.exponent_bits], digits[1 + fmt.exponent_bits :]
        cells = "".join(f"<td><code>{field}</code></td>" for field in (str(self), *fields))
        names = fmt.name, "sign", "biased exponent", "trailing significand"
        heads = "".join(f"<th>{escape(name)}</th>" for name in names)
        return f"<table><tr>{heads}</tr><tr>{cells}</tr></table>"

    if TYPE_CHECKING:  # what install_operators adds

        def __add__(self, other: Number | Constant) -> Number: ...
        def __sub__(self, other: Number | Constant) -> Number: ...
        def __mul__(self, other: Number | Constant) -> Number: ...
        def __truediv__(self, other: Number | Constant) -> Number: ...
        def __radd__(self, other: Constant) -> Number: ...
        def __rsub__(self, other: Constant) -> Number: ...
        def __rmul__(self, other: Constant) -> Number: ...
        def __rtruediv__(self, other: Constant) -> Number: ...
        def __lt__(self, other: Number | Constant) -> bool: ...
        def __le__(self, other: Number | Constant) -> bool: ...
        def __gt__(self, other: Number | Constant) -> bool: ...
        def __ge__(self, other: Number | Constant) -> bool: ...
        def __neg__(self) -> Number: ...
        def __abs__(self) -> Number: ...


def _nearest_double(magnitude: Fraction) -> float:
    """Correctly rounded, beyond the largest double as well."""
    try:
        return float(magnitude)
    except OverflowError:
        return math.inf


install_operators(Number, number_operator(Number))
