"""One emulated number."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Self

from softfloat_py.errors import MixedFormatsError, NotEmulatedError
from softfloat_py.numbers.applying import note_departure
from softfloat_py.numbers.composed_operators import install_composed_operators
from softfloat_py.numbers.constants import Constant, constant, is_real, refusal
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.integer_data import variable_for
from softfloat_py.numbers.operands import combined, install_operators
from softfloat_py.numbers.operators import number_operator
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import OPERATIONS

IS_NOT_ZERO, TO_INTEGER = OPERATIONS["compare_quiet_not_equal"], OPERATIONS["convert_to_integer"]
TRUNCATION = OPERATIONS["convert_to_integer_toward_zero"]
CLASSES = 256  # formats whose numbers have operators at hand


class Number(Emulated):
    """A number of a format. It never changes; operators give new ones and are counted.

    Make it by calling a format, `binary32(1.5)`, from its encoding, `binary32.from_bits(0x3FC00000)`, or from
    a text of any length, `binary32.from_text("0.1")`.

    Equal numbers have equal hashes, that of the equal Python number. A constant beside a number is rounded to
    its format first, so binary32(0.1) == 0.1 holds although the two have different hashes.

    A number of another format is never equal, so that both may be in one set, be keys of one dictionary and
    arguments of one functools.lru_cache. While a tally is counting, == and != are operations of a kernel, and
    raise MixedFormatsError for a number of another format, as all other operators always do.

    >>> from softfloat_py.numbers.formats import binary32
    >>> binary32(1.5) + binary32(0.25)
    binary32(1.75)
    """

    __slots__ = ()

    _bits: int

    @classmethod
    def from_value(cls, fmt: ValueSystem, value: Any) -> Number:
        """`value` (int, float, Fraction, numpy scalar), rounded in the current environment, not counted.

        A Number of the format is returned as it is. Raises MixedFormatsError for one of another format,
        OperandError for anything else.
        """
        if isinstance(value, Number):
            if value._format != fmt:
                raise MixedFormatsError("a constant", fmt.name, value._format.name)
            return value
        if not is_real(value):
            raise refusal("a constant", fmt.name, value)
        return cls._of(fmt, constant(fmt, value))

    @classmethod
    def from_bits(cls, fmt: ValueSystem, bits: int) -> Number:
        """The number with this encoding; FormatError where it does not fit the format."""
        return cls._of(fmt, fmt.check_encoding(bits))

    @classmethod
    def from_text(cls, fmt: ValueSystem, text: str) -> Number:
        """The number that a text says, rounded in the current environment; see `Format.from_text`."""
        return cls._of(fmt, fmt.encode_text(text)[0])

    @classmethod
    def _of(cls, fmt: ValueSystem, bits: int) -> Number:
        """The door without a check."""
        number = numbers_of(fmt)()
        number._bits = bits
        return number

    @property
    def bits(self) -> int:
        """The encoding."""
        return self._bits

    # -- as Python's numbers ------------------------------------------------------------------------

    def __float__(self) -> float:
        """The nearest host double (the exact value where it has one); not counted.

        What becomes of it is not counted either, so a tally that is counting notes that it left.
        """
        note_departure("float")
        return self._host_float()

    def _host_float(self) -> float:
        return self._format.host_float(self._bits)

    def __int__(self) -> int:
        """The whole part, as C converts a number to an int: convert_to_integer_toward_zero, to a variable of
        32 or else 64 bits.

        Raises OverflowError for what 64 bits do not hold, ValueError for a NaN.
        """
        return int(combined(TRUNCATION, self._format, (self._bits,), variable_for(self._whole(), self)))

    def __floor__(self) -> int:
        """The largest int that is not above. Counted as round_to_integral_toward_negative and, as a program
        has the int in a variable of 32 or else 64 bits, convert_to_integer.

        Raises OverflowError for what 64 bits do not hold, ValueError for a NaN.
        """
        return self._integer("round_to_integral_toward_negative")

    def __ceil__(self) -> int:
        """The smallest int that is not below; as math.floor otherwise."""
        return self._integer("round_to_integral_toward_positive")

    def __trunc__(self) -> int:
        """The int without the fraction; as math.floor otherwise."""
        return self._integer("round_to_integral_toward_zero")

    def __round__(self, ndigits: int | None = None) -> int:
        """The nearest int, the even one of two; as math.floor otherwise.

        Raises NotEmulatedError for a number of decimal digits.
        """
        if ndigits is not None:
            raise NotEmulatedError(
                "round to decimal digits", "multiplication, round_to_integral_ties_to_even and division"
            )
        return self._integer("round_to_integral_ties_to_even")

    def _integer(self, rounding: str) -> int:
        whole: Number = combined(OPERATIONS[rounding], self._format, (self._bits,))
        return int(combined(TO_INTEGER, self._format, (whole._bits,), variable_for(whole._whole(), self)))

    def _whole(self) -> int:
        """The whole part, which the host looks at; the errors are those of int() for a float."""
        finite = self._format.is_finite(self._bits)
        return int(self._format.decode(self._bits) if finite else self._host_float())

    def __bool__(self) -> bool:
        """Whether the number differs from zero, as C's `if (x)`: counted as a comparison."""
        return bool(combined(IS_NOT_ZERO, self._format, (self._bits, 0)))

    def __hash__(self) -> int:
        if self._format.is_finite(self._bits):
            return hash(self._format.decode(self._bits))
        return object.__hash__(self) if self._format.is_nan(self._bits) else hash(self._host_float())

    def __pos__(self) -> Number:
        return self

    def __copy__(self) -> Self:
        return self

    def __deepcopy__(self, memo: object) -> Self:
        return self

    def __reduce__(self) -> tuple[Callable[..., Number], tuple[ValueSystem, int]]:
        return Number.from_bits, (self._format, self._bits)

    # -- as text ------------------------------------------------------------------------------------

    def __str__(self) -> str:
        """The shortest decimal that is nearer to this number than to any other of its format."""
        return self._format.text(self._bits)

    def __repr__(self) -> str:
        """An expression with this number as value, as long as constants are rounded to nearest."""
        return f"{self._format!r}{self._format.expression(self._bits)}"

    def __format__(self, text: str) -> str:
        """As Python formats a float, but rounded to nearest from the exact value, whatever the format.

        The types are e E f F g G %, and a A for C's hexadecimal significand; see `text_specification`. Raises
        TextError, a ValueError, for a specification that is none.
        """
        return self._format.text(self._bits, text)

    def exact_decimal(self) -> str:
        """All decimal digits of the value, which are finitely many; laid out as str() does.

        >>> from softfloat_py.numbers.formats import binary16
        >>> binary16(0.1).exact_decimal()
        '0.0999755859375'
        """
        return self._format.exact_text(self._bits)

    def hex(self) -> str:
        """The hexadecimal significand and the binary exponent, as Python's float.hex() has them.

        >>> from softfloat_py.numbers.formats import binary32
        >>> binary32(0.1).hex()
        '0x1.99999ap-4'
        """
        return self._format.hexadecimal_text(self._bits)

    def _repr_html_(self) -> str:
        from html import escape

        fields = [(self._format.name, str(self)), *self._format.fields(self._bits)]
        cells = "".join(f"<td><code>{digits}</code></td>" for _, digits in fields)
        heads = "".join(f"<th>{escape(name)}</th>" for name, _ in fields)
        return f"<table><tr>{heads}</tr><tr>{cells}</tr></table>"

    if TYPE_CHECKING:  # what install_operators adds

        def __add__(self, other: Number | Constant) -> Number: ...
        def __sub__(self, other: Number | Constant) -> Number: ...
        def __mul__(self, other: Number | Constant) -> Number: ...
        def __truediv__(self, other: Number | Constant) -> Number: ...
        def __floordiv__(self, other: Number | Constant) -> Number: ...
        def __mod__(self, other: Number | Constant) -> Number: ...
        def __divmod__(self, other: Number | Constant) -> tuple[Number, Number]: ...
        def __pow__(self, other: float) -> Number: ...
        def __radd__(self, other: Constant) -> Number: ...
        def __rsub__(self, other: Constant) -> Number: ...
        def __rmul__(self, other: Constant) -> Number: ...
        def __rtruediv__(self, other: Constant) -> Number: ...
        def __rfloordiv__(self, other: Constant) -> Number: ...
        def __rmod__(self, other: Constant) -> Number: ...
        def __rdivmod__(self, other: Constant) -> tuple[Number, Number]: ...
        def __lt__(self, other: Number | Constant) -> bool: ...
        def __le__(self, other: Number | Constant) -> bool: ...
        def __gt__(self, other: Number | Constant) -> bool: ...
        def __ge__(self, other: Number | Constant) -> bool: ...
        def __neg__(self) -> Number: ...
        def __abs__(self) -> Number: ...


@lru_cache(CLASSES)
def numbers_of(fmt: ValueSystem) -> type[Number]:
    """The class of the numbers of one format, which gets operators of its own; to users it is Number."""
    names = {"__slots__": (), "__module__": Number.__module__, "__doc__": Number.__doc__}
    return type("Number", (Number,), {**names, "_format": fmt, "_operators": {}})


install_operators(Number, number_operator)
install_composed_operators(Number)
