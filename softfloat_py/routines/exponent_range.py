"""How far exponents reach between two roundings, in a format that is fixed before anything runs."""

from __future__ import annotations

from softfloat_py.formats import BinaryFormat


def signed_exponent_bits(fmt: BinaryFormat) -> int:
    """Bits of a two's complement number that holds any exponent met between two roundings.

    Products and quotients of subnormal numbers reach about twice the exponent range and the precision
    below it.
    """
    return (2 * (fmt.largest_exponent_field + fmt.precision)).bit_length() + 1


def overflowing_exponent_less_one(fmt: BinaryFormat) -> int:
    """The smallest biased exponent, less one, with which every number is too large."""
    return fmt.largest_exponent_field - 1 if fmt.has_infinity else fmt.largest_exponent_field
