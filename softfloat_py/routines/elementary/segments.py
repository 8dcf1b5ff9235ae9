"""A function in segments: a polynomial for each, whose coefficients are looked up.

An argument of [0, 1), or of less, has its segment j in its first t bits; the rest, b < 2^-t, is how far it
lies behind the beginning of the segment. Its value, which is not above 1, is

    c0 + b s,    s = c1 + b (c2 + b (c3 + ...)),

with coefficients of the segment's own. The function is odd: in the first segment c0 is 0, and s, the slope
from 0 on, a polynomial of b^2. From a b with its leading one this gives a result that is as good for its
size, however small it is.

Signs. No derivative of the function changes its sign, so coefficients have the signs of the derivatives in
all segments. Brackets are magnitudes then, each stage adds or subtracts always, and no number needs a sign.

Widths. c_k is multiplied by b^k < 2^(-t k) before it is part of the value, so it needs t k fraction bits
less. A bracket loses up to

- a unit of its last place for what is cut off its product, and half a unit for the coefficient;
- the bracket within, times what is cut off b before; b keeps so many bits that this is less than two units;
- what the bracket within is off by, times 2^-t.

What is cut off has one sign. Half of the most that it can be is put on the coefficient, and half is lost. The
value loses likewise, but b is whole there. An error of the argument counts as often as the derivative says.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import floor
from typing import NamedTuple

from softfloat_py.routines.elementary.polynomials import LEAST_PLACES, bits_before_point
from softfloat_py.routines.elementary.reals import fixed
from softfloat_py.routines.elementary.series import Economised, Series, economised
from softfloat_py.routines.language import Bits, look_up, resize, with_point
from softfloat_py.routines.tables import Table


class Stage(NamedTuple):
    """One step of Horner's method: a coefficient, plus or minus b times the bracket so far."""

    coefficients: Table
    width: int
    places: int  # fraction bits of the sum
    adds: bool  # the bracket has the sign of the coefficient
    drop: int  # lowest bits of b left out
    shift: int  # lowest bits of the product left out


@dataclass(frozen=True, slots=True)
class Segments:
    """A function in segments of the length 2^-index_bits.

    `base` has c0, with `fraction_bits`; `innermost`, and the stages from there outwards, give s, with
    index_bits less. A value in any segment but the first is off by at most `error` units of the last of those
    bits behind its leading one that were asked for; s in the first by at most `slope_error` units of its last
    place.
    """

    index_bits: int
    fraction_bits: int
    base: Table
    innermost: Table
    stages: tuple[Stage, ...]
    error: Fraction
    slope_error: Fraction


def slope_in(index: Bits, b: Bits, of: Segments) -> Bits:
    """s in a segment."""
    value = look_up(of.innermost, index)
    for stage in of.stages:
        product = ((b >> stage.drop) * value) >> stage.shift
        coefficient = look_up(stage.coefficients, index)
        if stage.adds:
            value = with_point(resize(coefficient + product, stage.width), stage.places)
        else:
            value = with_point(resize(coefficient - product, stage.width), stage.places)
    return value


def value_in(index: Bits, b: Bits, slope: Bits, of: Segments) -> Bits:
    """c0 + b s, below 1, with fraction_bits."""
    product = (b * slope) >> (of.fraction_bits - of.index_bits)
    value = resize(look_up(of.base, index) + product, of.fraction_bits)
    return with_point(value, of.fraction_bits)


# -- made when a routine is read ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Shape:
    """What the polynomials of all segments have in common. For each coefficient: its fraction bits, how many
    of b its bracket is multiplied with, and whether it has the sign of the next one.
    """

    index_bits: int
    places: tuple[int, ...]
    wanted: tuple[int, ...]
    adds: tuple[bool, ...]


@dataclass(frozen=True)
class Row:
    """The polynomial of one segment: magnitudes of its coefficients, a bound of each bracket, and how far it
    is from the function.
    """

    shape: Shape
    coefficients: tuple[Fraction, ...]
    largest: tuple[Fraction, ...]
    miss: Fraction

    def lost(self, k: int) -> Fraction:
        """What a bracket loses at most for what is cut off b and the product; nothing where it is 0."""
        if self.largest[k] == 0:
            return Fraction(0)
        cut = self.largest[k + 1] / 2 ** self.shape.wanted[k] if k else 0
        return Fraction(1, 1 << self.shape.places[k]) + cut

    def entry(self, k: int) -> int:
        """A coefficient in fixed point, changed by half of what is lost, so that errors have either sign.

        One so small that it became negative is of a bracket that is no larger, and comes out as 0.
        """
        value = self.coefficients[k]
        if k + 1 < len(self.coefficients):
            value += self.lost(k) / 2 if self.shape.adds[k] else -self.lost(k) / 2
        return max(fixed(value, self.shape.places[k]), 0)

    @cached_property
    def errors(self) -> tuple[Fraction, ...]:
        """How far each bracket is off at most; that of number 0 is the value."""
        last = len(self.coefficients) - 1
        errors = [Fraction(1, 2 << self.shape.places[last]) if self.largest[last] else Fraction(0)]
        for k in range(last - 1, -1, -1):
            own = (Fraction(1, 1 << self.shape.places[k]) + self.lost(k)) / 2 if self.largest[k] else 0
            errors.insert(0, own + errors[0] / 2**self.shape.index_bits)
        return tuple(errors)

    @property
    def steepest(self) -> Fraction:
        """A bound of the derivative, to which only the terms of its own sign count."""
        total, own = Fraction(0), True
        for k in range(1, len(self.coefficients)):
            total += k * self.coefficients[k] / 2 ** (self.shape.index_bits * (k - 1)) if own else 0
            own = own == self.shape.adds[k]
        return total


def segments(
    name: str,
    first: Series,
    others: Sequence[Series],
    signs: Sequence[int],
    index_bits: int,
    bits: int,
    argument_error: Fraction,
) -> Segments:
    """The segments of a function for so many bits behind the leading one of a value.

    In the first one it is the argument times `first`, a series of its square; in each of the others a series
    of what lies behind the beginning. `signs` are those of its derivatives from number 0 on, again and again.
    The argument is off by `argument_error` units of the last of fraction_bits.
    """
    rows = _rows(first, others, signs, index_bits, bits)
    fraction_bits = rows[0].shape.places[0]
    unit = Fraction(1, 1 << fraction_bits)
    errors = [row.errors[0] + row.miss + row.steepest * argument_error * unit for row in rows]
    base = [row.entry(0) for row in rows]
    lowered = floor(errors[-1] / unit) + 1  # next to 1 a value must stay below
    base[-1] -= lowered
    errors[-1] += lowered * unit
    in_units = [
        error * 2 ** (bits + fraction_bits - entry.bit_length() + 1)
        for error, entry in zip(errors[1:], base[1:], strict=True)
    ]
    last = len(rows[0].coefficients) - 1
    return Segments(
        index_bits,
        fraction_bits,
        Table(tuple(base), fraction_bits, f"{name}_0_{bits}"),
        _table(name, rows, last, bits),
        tuple(_stage(name, rows, k, bits) for k in range(last - 1, 0, -1)),
        max(in_units),
        (rows[0].errors[1] + rows[0].miss) * 2 ** (fraction_bits - index_bits),
    )


def _rows(
    first: Series, others: Sequence[Series], signs: Sequence[int], index_bits: int, bits: int
) -> list[Row]:
    """The polynomials: in the first segment nearer to s than a unit of 2^-bits; in others, than a fourth of
    the last of `bits` bits behind the leading one of the value at the beginning.
    """
    fraction_bits = bits + index_bits - 1
    near = economised(first, 2 * index_bits, bits)
    of_first = [Fraction(0)]
    for coefficient in near.coefficients:
        of_first += [coefficient, Fraction(0)]
    polynomials = [Economised(tuple(of_first[:-1]), near.error)]
    for series in others:
        zeros = fraction_bits - series.coefficient(0, fraction_bits).bit_length()
        polynomials.append(economised(series, index_bits, bits + zeros + 3))
    count = max(len(polynomial.coefficients) for polynomial in polynomials)
    adds = [signs[k % len(signs)] == signs[(k + 1) % len(signs)] for k in range(count)]
    magnitudes = []
    for polynomial in polynomials:
        of_one = [signs[k % len(signs)] * value for k, value in enumerate(polynomial.coefficients)]
        magnitudes.append((*of_one, *[Fraction(0)] * (count - len(of_one))))
    largest = [_brackets(coefficients, adds, index_bits) for coefficients in magnitudes]
    shape = _shape([max(sizes) for sizes in zip(*largest, strict=True)], adds, index_bits, fraction_bits)
    misses = [polynomial.error for polynomial in polynomials]
    return [Row(shape, *row) for row in zip(magnitudes, largest, misses, strict=True)]


def _brackets(
    coefficients: Sequence[Fraction], adds: Sequence[bool], index_bits: int
) -> tuple[Fraction, ...]:
    """A bound of each bracket; where it subtracts, that is its coefficient."""
    sizes = [coefficients[-1]]
    for k in range(len(coefficients) - 2, -1, -1):
        sizes.insert(0, coefficients[k] + (sizes[0] / 2**index_bits if adds[k] else 0))
    return tuple(sizes)


def _shape(largest: Sequence[Fraction], adds: Sequence[bool], index_bits: int, fraction_bits: int) -> Shape:
    """Fraction bits of coefficients, and of b: so many that cutting the others off costs less than two units
    of a bracket.
    """
    places = [max(fraction_bits - index_bits * k, LEAST_PLACES) for k in range(len(largest))]
    wanted = [
        min(places[k] + max(bits_before_point(within) - 1, 0), fraction_bits)
        for k, within in enumerate(largest[1:])
    ]
    return Shape(index_bits, tuple(places), tuple(wanted), tuple(adds))


def _table(name: str, rows: Sequence[Row], k: int, bits: int) -> Table:
    return Table(tuple(row.entry(k) for row in rows), name=f"{name}_{k}_{bits}")


def _stage(name: str, rows: Sequence[Row], k: int, bits: int) -> Stage:
    """The stage that adds coefficient k."""
    shape = rows[0].shape
    places, within = shape.places[k], shape.places[k + 1]
    room = 0
    for row in rows:
        product = floor((row.largest[k + 1] + row.errors[k + 1]) * 2 ** (places - shape.index_bits))
        room = max(room, row.entry(k) + product if shape.adds[k] else row.entry(k))
        assert shape.adds[k] or product <= row.entry(k)
    drop, shift = shape.places[0] - shape.wanted[k], shape.wanted[k] + within - places
    return Stage(_table(name, rows, k, bits), room.bit_length(), places, shape.adds[k], drop, shift)
