"""Hypothesis strategies for formats, rounding directions and encodings, weighted to the corners.

Strategies are kept for each format: building one takes longer than drawing from it.
"""

from __future__ import annotations

from functools import cache, partial

from hypothesis import strategies as st

from softfloat_py.environment import Rounding
from softfloat_py.formats import BinaryFormat
from softfloat_py.numbers.formats import Format
from tests.references.exact_rounding import Destination
from tests.references.leading_bit import from_twin


def corner_encodings(fmt: BinaryFormat) -> list[int]:
    """About forty encodings at which arithmetic changes its course, both signs, in ascending order."""
    if fmt.explicit_leading_bit:
        return [from_twin(fmt, bits) for bits in corner_encodings(fmt.twin)] + _unsupported(fmt)
    one = fmt.one
    half_range = (fmt.bias // 2) << fmt.trailing_bits
    magnitudes = {
        0, 1, 2, fmt.leading_one >> 1, fmt.leading_one - 2, fmt.leading_one - 1,
        fmt.leading_one, fmt.leading_one + 1, 2 * fmt.leading_one,
        half_range, one - 1, one, one + 1, one + fmt.leading_one, one + (fmt.leading_one >> 1),
        fmt.largest_finite - fmt.leading_one + 1, fmt.largest_finite - 1, fmt.largest_finite,
        fmt.first_special, fmt.quiet_nan, fmt.sign_bit - 1,
    }  # fmt: skip
    if fmt.trailing_bits > 1 and fmt.has_infinity:
        magnitudes |= {fmt.infinity + 1, fmt.quiet_nan - 1}
    return sorted(magnitudes | {fmt.sign_bit | magnitude for magnitude in magnitudes})


def _unsupported(fmt: BinaryFormat) -> list[int]:
    """Encodings whose stored leading bit does not fit the exponent: none set, or set beside exponent 0."""
    return [
        1 << fmt.precision,
        fmt.infinity ^ fmt.leading_one,
        fmt.leading_one,
        fmt.sign_bit | fmt.leading_one,
    ]


@cache
def encodings(fmt: Format) -> st.SearchStrategy[int]:
    """Any encoding; corners, the neighbourhood of powers of two, and subnormals come up often."""
    if fmt.explicit_leading_bit:
        return st.sampled_from(_unsupported(fmt)) | encodings(fmt.twin).map(partial(from_twin, fmt))
    return st.one_of(
        st.sampled_from(corner_encodings(fmt)),
        _near_powers_of_two(fmt),
        _signed(fmt, st.integers(1, fmt.leading_one - 1)),
        st.integers(0, (1 << fmt.width) - 1),
    )


@cache
def finite_encodings(fmt: Format) -> st.SearchStrategy[int]:
    """Any encoding of zero, a subnormal or a normal number."""
    return encodings(fmt).filter(fmt.is_finite)


@cache
def pairs(fmt: Format) -> st.SearchStrategy[tuple[int, int]]:
    """Two encodings: independent, nearly cancelling, far apart, or aligned about a significand apart."""
    if fmt.explicit_leading_bit:
        stored = pairs(fmt.twin).map(lambda pair: (from_twin(fmt, pair[0]), from_twin(fmt, pair[1])))
        return stored | st.tuples(encodings(fmt), encodings(fmt))
    return st.one_of(
        st.tuples(encodings(fmt), encodings(fmt)),
        _nearly_cancelling(fmt),
        _far_apart(fmt),
        _at_the_edge_of_alignment(fmt),
    )


@cache
def triples(fmt: Format) -> st.SearchStrategy[tuple[int, int, int]]:
    """Three encodings: a pair beside any, or the third near the product of the others, in value or place."""
    if fmt.explicit_leading_bit:
        stored = triples(fmt.twin).map(
            lambda drawn: (from_twin(fmt, drawn[0]), from_twin(fmt, drawn[1]), from_twin(fmt, drawn[2]))
        )
        return stored | st.tuples(encodings(fmt), encodings(fmt), encodings(fmt))
    beside_any = st.tuples(pairs(fmt), encodings(fmt)).map(lambda drawn: (*drawn[0], drawn[1]))
    return beside_any | _with_nearby_addend(fmt)


@st.composite
def formats(draw: st.DrawFn) -> Format:
    """A small format of our own, exponent of 2 to 8 bits and precision of 2 to 16."""
    exponent_bits, precision = draw(st.integers(2, 8)), draw(st.integers(2, 16))
    return Format(f"e{exponent_bits}p{precision}", exponent_bits=exponent_bits, precision=precision)


def roundings() -> st.SearchStrategy[Rounding]:
    """Any of the five directions."""
    return st.sampled_from(Rounding)


def _signed(fmt: Format, magnitudes: st.SearchStrategy[int]) -> st.SearchStrategy[int]:
    return st.builds(int.__or__, magnitudes, st.sampled_from([0, fmt.sign_bit]))


def _near_powers_of_two(fmt: Format) -> st.SearchStrategy[int]:
    powers = st.integers(1, fmt.largest_exponent_field - 1).map(lambda field: field << fmt.trailing_bits)
    return _signed(fmt, st.builds(int.__add__, powers, st.integers(-1, 1)))


@st.composite
def _nearly_cancelling(draw: st.DrawFn, fmt: Format) -> tuple[int, int]:
    """x and a number at most three encodings from -x or x, so that sums and differences cancel."""
    magnitude = draw(st.integers(0, fmt.largest_finite))
    other = min(max(magnitude + draw(st.integers(-3, 3)), 0), fmt.largest_finite)
    return draw(_signed(fmt, st.just(magnitude))), draw(_signed(fmt, st.just(other)))


@st.composite
def _far_apart(draw: st.DrawFn, fmt: Format) -> tuple[int, int]:
    """One number among the smallest and one among the largest quarter of the exponents, in either order."""
    top, within_a_quarter = fmt.largest_exponent_field - 1, st.integers(0, fmt.largest_exponent_field // 4)
    low = _with_exponent_field(fmt, draw(encodings(fmt)), draw(within_a_quarter))
    high = _with_exponent_field(fmt, draw(encodings(fmt)), top - draw(within_a_quarter))
    return (low, high) if draw(st.booleans()) else (high, low)


@st.composite
def _at_the_edge_of_alignment(draw: st.DrawFn, fmt: Format) -> tuple[int, int]:
    """Exponents that differ by about the precision, where guard, round and sticky decide a sum."""
    low, high = draw(finite_encodings(fmt)), draw(encodings(fmt))
    field = (low % fmt.sign_bit >> fmt.trailing_bits) + fmt.precision + draw(st.integers(-2, 3))
    high = _with_exponent_field(fmt, high, min(field, fmt.largest_exponent_field - 1))
    return (low, high) if draw(st.booleans()) else (high, low)


@st.composite
def _with_nearby_addend(draw: st.DrawFn, fmt: Format) -> tuple[int, int, int]:
    """Two numbers, and one a few encodings from their product, or that about p or 2p places up or down."""
    x, y = draw(finite_encodings(fmt)), draw(finite_encodings(fmt))
    product = fmt.decode(x) * fmt.decode(y)
    rounded = Destination(fmt, Rounding.TIES_TO_EVEN).round(product)[0] if product else 0
    near = rounded % fmt.sign_bit + draw(st.integers(-3, 3))
    if draw(st.booleans()):
        places = draw(st.sampled_from([0, fmt.precision, 2 * fmt.precision])) + draw(st.integers(-1, 2))
        near += draw(st.sampled_from([-1, 1])) * places * fmt.leading_one
    return x, y, draw(_signed(fmt, st.just(min(max(near, 0), fmt.largest_finite))))


def _with_exponent_field(fmt: Format, bits: int, field: int) -> int:
    """An encoding's sign and trailing significand beside another exponent field."""
    return bits & ~(fmt.largest_exponent_field << fmt.trailing_bits) | field << fmt.trailing_bits
