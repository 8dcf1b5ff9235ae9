"""What a Number and an array ask of the number system that they are in.

A binary format is one (`numbers/formats.py`). It says what encodings mean and makes values of them, so that
nothing else needs to know which systems there are, or which classes hold encodings.
"""

from __future__ import annotations

from abc import abstractmethod
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from softfloat_py.number_systems import NumberSystem

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softfloat_py.environment import Flags, Rounding
    from softfloat_py.numbers.text.text_parsing import Notation
    from softfloat_py.numbers.text.text_specification import Specification
    from softfloat_py.options import Options


class ValueSystem(NumberSystem):
    """A number system that makes values: encodings of some width, and what they mean.

    Encodings are ints from 0 up, or arrays of them. Where `making.MakesValues` can do without an answer, it
    has the method itself.
    """

    __slots__ = ()

    # -- what encodings mean ---------------------------------------------------------------------------

    @abstractmethod
    def check_encoding(self, bits: Any) -> int:
        """`bits` as an int, or FormatError where it is not an encoding of this system."""

    @abstractmethod
    def decode(self, bits: int) -> Fraction:
        """Exact value of a finite encoding; FormatError for another."""

    @abstractmethod
    def rank(self, bits: int) -> int:
        """A whole number that orders encodings as their values are; neighbours are one apart."""

    @abstractmethod
    def infinity_of_sign(self, negative: bool) -> int:
        """Encoding of an infinity, or of what equals no number; NotEmulatedError where there is neither."""

    @abstractmethod
    def extremes(self) -> tuple[int, int]:
        """Encodings of the lowest and of the highest number."""

    # -- constants of the program -------------------------------------------------------------------------

    @abstractmethod
    def encode(
        self, value: Any, rounding: Rounding | None = None, *, options: Options | None = None
    ) -> tuple[int, Flags]:
        """Encoding of an int, float, Fraction or numpy scalar, correctly rounded, and the flags raised.

        `rounding` and `options` default to those of the environment.
        """

    @abstractmethod
    def encode_host_array(self, values: NDArray[Any]) -> NDArray[Any]:
        """Encodings of a host array of floats, of integers or of Python numbers; not counted."""

    @abstractmethod
    def encode_text(self, text: str, notation: Notation | None = None) -> tuple[int, Flags]:
        """The encoding that a text says, rounded in the current environment, and the flags raised.

        Raises TextError for a text that is none in the notation, or in any if nothing is stated.
        """

    # -- values ------------------------------------------------------------------------------------------

    @abstractmethod
    def value_of(self, bits: Any) -> Any:
        """A Number or, for an array with dimensions, a FloatArray with encodings known to be legal."""

    @abstractmethod
    def complex_value_of(self, real: Any, imag: Any) -> Any:
        """The complex number or, of arrays of one shape, the complex array with these parts."""

    @abstractmethod
    def __call__(self, value: Any) -> Any:
        """A number of this system: `value` correctly rounded in the current environment, not counted."""

    @abstractmethod
    def array(self, values: Any) -> Any:
        """An array of this system: each value rounded in the current environment, not counted."""

    # -- outside the emulation -----------------------------------------------------------------------------

    @abstractmethod
    def host_float(self, bits: int) -> float:
        """The nearest host double."""

    @abstractmethod
    def host_array(self, bits: NDArray[Any], dtype: Any) -> NDArray[Any]:
        """The exact values in a new host array of the dtype, if one is wanted; FormatError for a loss."""

    # -- texts -------------------------------------------------------------------------------------------

    @abstractmethod
    def text(self, bits: int, specification: str = "") -> str:
        """The number by Python's specification: without one, the shortest text that gives it back."""

    @abstractmethod
    def converted_text(
        self, bits: int, specification: Specification, rounding: Rounding
    ) -> tuple[str, Flags]:
        """The number by a specification, rounded in a direction, and the flags raised."""

    @abstractmethod
    def expression(self, bits: int) -> str:
        """What stands behind the system in an expression of the number, such as (1.5)."""

    @abstractmethod
    def exact_text(self, bits: int) -> str:
        """All digits of the value."""

    @abstractmethod
    def hexadecimal_text(self, bits: int) -> str:
        """The hexadecimal significand and the binary exponent."""

    @abstractmethod
    def fields(self, bits: int) -> list[tuple[str, str]]:
        """The parts of an encoding: what each is called, and its digits."""
