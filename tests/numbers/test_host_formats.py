"""Host dtypes that are formats of this library: ml_dtypes by their bits, the 80-bit longdouble exactly."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import ml_dtypes
import numpy as np
import pytest

import softfloat_py as sf
from tests import strategies
from tests.references.leading_bit import from_twin

SHORT: list[tuple[Any, sf.Format]] = [
    (ml_dtypes.bfloat16, sf.bfloat16),
    (ml_dtypes.float8_e4m3fn, sf.ofp8_e4m3),
    (ml_dtypes.float8_e5m2, sf.ofp8_e5m2),
]
has_extended = np.finfo(np.longdouble).nmant == 63
needs_extended = pytest.mark.skipif(not has_extended, reason="the host's longdouble is another format")


def all_encodings(dtype: Any) -> Any:
    """Every value of a short dtype."""
    width = np.dtype(dtype).itemsize
    return np.arange(1 << 8 * width, dtype=f"u{width}").view(dtype)


@pytest.mark.parametrize(("dtype", "fmt"), SHORT, ids=lambda one: getattr(one, "__name__", repr(one)))
def test_short_formats_go_there_and_back_by_their_bits(dtype: Any, fmt: sf.Format) -> None:
    """Every encoding of an ml_dtypes format, NaNs too, stays as it is both ways; the result is a copy."""
    host = all_encodings(dtype)
    array = fmt.array(host)
    assert host.view(f"u{host.itemsize}").tolist() == array.bits.tolist()
    again = array[:200].reshape(4, 50).to_numpy(dtype)
    assert (np.dtype(dtype), (4, 50)) == (again.dtype, again.shape)
    assert array.bits[:200].tolist() == again.view(f"u{host.itemsize}").ravel().tolist()
    array[0] = 1
    assert 0.0 == float(host[0])


@pytest.mark.parametrize("order", "<>")
@pytest.mark.parametrize(
    "dtype", [np.float16, np.float32, np.float64, np.longdouble, *(dtype for dtype, _ in SHORT)]
)
def test_either_byte_order_has_the_same_values(dtype: Any, order: str) -> None:
    """A dtype of the other byte order is filled with the same values, and read back from there."""
    fmt = sf.ofp8_e5m2 if dtype is ml_dtypes.float8_e5m2 else sf.ofp8_e4m3
    ordered, values = np.dtype(dtype).newbyteorder(order), [1.5, -0.25, 0.0, 64.0]
    host = fmt.array(values).to_numpy(ordered)
    assert ordered.isnative == host.dtype.isnative
    assert values == [float(value) for value in host]
    np.testing.assert_array_equal(values, fmt.array(host).to_numpy())


@pytest.mark.filterwarnings("ignore::RuntimeWarning")
@pytest.mark.parametrize("size", [3, 256])
@pytest.mark.parametrize(("dtype", "fmt"), SHORT, ids=lambda one: getattr(one, "__name__", repr(one)))
def test_short_formats_are_converted_to_others(dtype: Any, fmt: sf.Format, size: int) -> None:
    """In another format an ml_dtypes array has the values that ml_dtypes itself gives, short or long."""
    host = all_encodings(dtype)[-size:]
    np.testing.assert_array_equal(host.astype(np.float32), sf.binary32.array(host).to_numpy())
    np.testing.assert_array_equal(host.astype(np.float64), fmt.array(host).to_numpy(np.float64))


def test_short_formats_hold_only_what_fits() -> None:
    """to_numpy never rounds: E5M2 fits into bfloat16, but neither does binary32, nor E5M2 into E4M3."""
    array = sf.ofp8_e5m2.array([1.5, math.inf, -0.25])
    assert [1.5, math.inf, -0.25] == array.to_numpy(ml_dtypes.bfloat16).tolist()
    assert np.float16 == array.to_numpy(np.float16).dtype
    with pytest.raises(
        sf.FormatError, match=r"^to_numpy needs a dtype with all values of binary32, and bfloat16"
    ):
        sf.binary32.array([1.5]).to_numpy(ml_dtypes.bfloat16)
    with pytest.raises(
        sf.FormatError, match=r"all values of ofp8_e5m2, and float8_e4m3fn \(ofp8_e4m3\) has not"
    ):
        array.to_numpy(ml_dtypes.float8_e4m3fn)
    with pytest.raises(
        sf.FormatError, match=r"^to_numpy needs a float dtype that is a format here, not int32"
    ):
        array.to_numpy(np.int32)
    with pytest.raises(
        sf.OperandError, match=r"^binary32\.array needs an array of numbers, not of float8_e3m4"
    ):
        sf.binary32.array(np.zeros(2, ml_dtypes.float8_e3m4))


@needs_extended
def test_longdouble_is_the_80_bit_format() -> None:
    """Numbers of extended80 go to longdouble and back by their bits, in any shape and memory order."""
    fmt = sf.extended80
    bits = [one for one in strategies.corner_encodings(fmt.twin) if not fmt.twin.is_nan(one)] * 2
    stored = [from_twin(fmt, one) for one in bits]
    array = fmt.array_from_bits(stored).reshape(2, -1).T
    host = array.to_numpy()
    assert np.longdouble == host.dtype
    expected = [fmt.decode(one) if fmt.is_finite(one) else math.inf for one in stored]
    found = [Fraction(*one.as_integer_ratio()) if np.isfinite(one) else abs(one) for one in host.T.ravel()]
    assert expected == found
    assert array.bits.tolist() == fmt.array(host).bits.tolist()


@needs_extended
@pytest.mark.parametrize("size", [3, 300])
def test_longdouble_arrays_are_rounded_once(size: int) -> None:
    """A longdouble becomes the nearest number of another format without a detour through a double."""
    host = np.full(size, np.longdouble(1) + np.longdouble(2) ** -24 + np.longdouble(2) ** -60)
    assert {sf.binary32(1).bits + 1} == set(sf.binary32.array(host).bits.tolist())
    assert float(host.astype(np.float64).astype(np.float32)[0]) == 1.0
    wide = sf.binary128.array(host)
    assert Fraction(*host[0].as_integer_ratio()) == sf.binary128.decode(wide[0].bits)


@needs_extended
def test_formats_beyond_float64_may_ask_for_longdouble() -> None:
    """A format of our own with a long exponent has no usual host dtype, but longdouble holds it."""
    far = sf.Format("far", exponent_bits=14, precision=60)
    array = far.array([2.0**1000]) * 2.0**1000
    with pytest.raises(sf.FormatError, match=r"^to_numpy needs a format whose values float64 has"):
        array.to_numpy()
    assert np.longdouble(2) ** 2000 == array.to_numpy(np.longdouble)[0]
    with pytest.raises(sf.FormatError, match=r"^to_numpy needs a dtype with all values of binary128"):
        sf.binary128.array([1.5]).to_numpy(np.longdouble)


def test_saturation_is_the_same_in_short_and_long_arrays() -> None:
    """Where options saturate, what is too large becomes the largest number, however many there are."""
    with sf.environment(options=sf.Options(saturate=True)):
        for size in (3, 300):
            for value in (1e6, -1e6, math.inf):
                expected = sf.ofp8_e4m3(value).bits
                assert {expected} == set(sf.ofp8_e4m3.array(np.full(size, value)).bits.tolist())
                assert {sf.ofp8_e4m3(10**6).bits} == set(
                    sf.ofp8_e4m3.array(np.full(size, 10**6)).bits.tolist()
                )
