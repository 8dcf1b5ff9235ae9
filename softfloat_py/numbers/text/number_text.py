"""A number's own texts: the shortest that gives it back, its repr, its exact value, its hexadecimal form."""

from __future__ import annotations

from softfloat_py.environment import Flags, Rounding
from softfloat_py.formats import BinaryFormat
from softfloat_py.numbers.encoding import encode
from softfloat_py.numbers.leading_bit import to_twin
from softfloat_py.numbers.text.decimal_digits import exact_digits
from softfloat_py.numbers.text.text_layout import Layout, general, hexadecimal
from softfloat_py.numbers.text.text_parsing import SIGNALING_PAYLOAD
from softfloat_py.numbers.text.text_specification import Specification

_SHORTEST = Specification()
_NEAREST = Rounding.TIES_TO_EVEN
_HEXADECIMAL_ZERO = Layout("0", "0", "p+0", "0x")


def shortest_text(fmt: BinaryFormat, bits: int) -> str:
    """The shortest decimals that give an encoding back, laid out as Python does a float's."""
    return _SHORTEST.text(fmt, bits)


def repr_text(fmt: BinaryFormat, bits: int) -> str:
    """What makes the number again, after its format: (1.5), .from_text('…') where no float does it, or
    .from_bits(0x…) for what is no number with one encoding.
    """
    if bits == fmt.quiet_nan:
        return "(float('nan'))"
    if fmt.is_nan(bits) or not fmt.is_canonical(bits):
        return f".from_bits({bits:#x})"
    text = shortest_text(fmt, bits)
    if not fmt.is_finite(bits):
        return f"(float({text!r}))"
    host = float(text)
    return f"({host!r})" if encode(fmt, host, _NEAREST)[0] == bits else f".from_text({text!r})"


def exact_text(fmt: BinaryFormat, bits: int) -> str:
    """All digits of a number's value."""
    if not fmt.is_finite(bits):
        return shortest_text(fmt, bits)
    return _sign(fmt, bits) + general(exact_digits(fmt, bits)).with_fraction().text()


def hexadecimal_text(fmt: BinaryFormat, bits: int) -> str:
    """The hexadecimal significand with all digits of the format, as Python's float.hex has it."""
    if not fmt.is_finite(bits):
        return shortest_text(fmt, bits)
    layout = hexadecimal(fmt, bits, None, _NEAREST, negative=False)
    return _sign(fmt, bits) + (_HEXADECIMAL_ZERO if layout.is_zero else layout).text()


def special_text(fmt: BinaryFormat, bits: int) -> str:
    """An infinity or a NaN without its sign, so that reading it gives the encoding back (clause 5.12.1)."""
    if not fmt.is_nan(bits):
        return "inf"
    trailing = to_twin(fmt, bits) & (fmt.leading_one - 1)
    quiet, payload = divmod(trailing, fmt.quiet_bit)
    if not fmt.has_infinity:
        quiet, payload = 1, 0
    if payload == (0 if quiet else SIGNALING_PAYLOAD):
        return "nan" if quiet else "snan"
    return f"{'nan' if quiet else 'snan'}({payload:#x})"


def converted_text(
    fmt: BinaryFormat, bits: int, specification: Specification, rounding: Rounding
) -> tuple[str, Flags]:
    """A number by a specification, rounded in a direction, and the flags that raises."""
    if not fmt.is_finite(bits):
        return specification.filled(fmt, bits, Layout(special_text(fmt, bits))), Flags.NONE
    layout = specification.layout(fmt, bits, rounding)
    exact = layout.value == abs(fmt.decode(bits))
    return specification.filled(fmt, bits, layout), Flags.NONE if exact else Flags.INEXACT


def _sign(fmt: BinaryFormat, bits: int) -> str:
    return "-" if bits & fmt.sign_bit else ""
