"""Reference for bfloat16 and the 8-bit formats by ml_dtypes' number types for numpy: ties to even, arrays,
results only.

ml_dtypes computes in binary32 and rounds the result again. That is harmless for + - * / and the square root
because 24 >= 2 * 8 + 2 (S. Figueroa, "When is double rounding innocuous?", SIGNUM Newsletter 30(3), 1995).
Below the normal numbers it stays so. Both formats have the same emin, so binary32 keeps q + 16 bits of a
result that has q bits in bfloat16; sums are exact there, and quotients and products of 8-bit significands
come no nearer to a tie of q bits, without being one, than 8 + q + 1 bits show (worked here). The 8-bit
formats have at most 4 bits and far less range than binary32, so the same holds for them.
"""

from __future__ import annotations

from typing import Any

import ml_dtypes
import numpy as np

from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, ofp8_e4m3, ofp8_e5m2
from tests.references import host
from tests.references.host import Encodings

ML_FLOATS: dict[Format, np.dtype[Any]] = {
    bfloat16: np.dtype(ml_dtypes.bfloat16),
    ofp8_e4m3: np.dtype(ml_dtypes.float8_e4m3fn),
    ofp8_e5m2: np.dtype(ml_dtypes.float8_e5m2),
}
# binary64 is left out: ml_dtypes converts it by way of binary32, which rounds twice where 53 bits go to 8.
FLOATS: dict[Format, np.dtype[Any]] = {
    **ML_FLOATS,
    binary16: host.FLOATS[binary16],
    binary32: host.FLOATS[binary32],
}


def expected_array(operation: str, fmt: Format, *operands: Encodings) -> Encodings:
    """Encodings of the results (0 and 1 for a comparison) of an operation of one of `ML_FLOATS` on arrays.

    Raises KeyError for another operation or format.
    """
    return host.apply(operation, fmt, ML_FLOATS[fmt], *operands)


def convert_format_array(source: Format, target: Format, encodings: Encodings) -> Encodings:
    """Encodings in `target` of encodings of `source`, among `FLOATS`."""
    with np.errstate(all="ignore"):
        return host.encoded(target, host.floats_of(FLOATS[source], encodings).astype(FLOATS[target]))
