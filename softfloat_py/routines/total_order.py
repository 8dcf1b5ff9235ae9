"""The total order of all encodings (IEEE 754-2019, clause 5.10).

Numbers are ordered by value, -0 below +0. Beyond the infinities of their sign come the NaNs: signalling ones
nearer to the numbers than quiet ones, and of these the larger payload farther out. Since the quiet bit is the
first of the trailing significand and the payload stands below it (clause 6.2.1), that is the order of the
encodings as numbers with a sign. So neither operand is taken apart; nothing is signalled, nothing flushed.
"""

from __future__ import annotations

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.comparison import comes_after
from softfloat_py.routines.language import Bits, phase
from softfloat_py.routines.unpacking import magnitude_of


def total_order(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether x does not come after y in an order of all encodings: numbers by value with -0 below +0,
    negative NaNs below them, positive NaNs above. Signals nothing.
    """
    phase("compare")
    return ~comes_after(x, y, fmt)


def total_order_magnitude(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether x does not come after y in the total order of their absolute values. Signals nothing."""
    phase("compare")
    return magnitude_of(x, fmt) <= magnitude_of(y, fmt)
