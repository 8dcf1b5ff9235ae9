"""What arrays compute where numpy's own types would have it otherwise: truths, constants, one-bit values; and
how their code is written.
"""

from __future__ import annotations

import numpy as np
import pytest

from softfloat_py.engines import arrays
from softfloat_py.engines.arrays.words import to_ints
from softfloat_py.environment import Rounding
from softfloat_py.formats import IntegerFormat
from softfloat_py.integer_form.reader import read
from softfloat_py.numbers.formats import Format
from softfloat_py.routines.language import Bits, add_modulo, unrolled
from tests.engines.running import run_direct, run_on_arrays, used

# A short exponent and a long significand: integers overflow, and in the lower word of infinity the top bit
# is set.
STEEP = Format("steep", exponent_bits=5, precision=60)


@pytest.mark.parametrize("rounding", Rounding)
@pytest.mark.parametrize("value", [2**32 - 1, 2**8 + 1, 1])
def test_encodings_from_the_upper_half_of_64_bits_are_compared_as_integers(
    value: int, rounding: Rounding
) -> None:
    """A constant that no signed integer of numpy holds stands beside a truth about the direction."""
    use = used("convert_from_integer", STEEP, parameter=IntegerFormat(32, signed=False))
    outcome = run_direct(use, rounding, (value,)).outcome
    results, flags = run_on_arrays(use, rounding, np.full(128, value, np.uint32))
    assert [outcome[0]] * 128 == to_ints(results)
    assert [outcome[1]] * 128 == np.broadcast_to(flags, 128).tolist()


def added_up(x: Bits) -> Bits:
    """x, 300 times."""
    total = x
    for _ in unrolled(299):
        total = add_modulo(total, x, 16)
    return total


def test_expressions_nest_no_deeper_than_python_takes() -> None:
    """A long sum, each part of which is used once, is written on several lines."""
    program = read(added_up, {"x": 16}, {})
    (result,) = arrays.compiled(program).run([np.arange(128, dtype=np.uint16)], 0).results

    assert [300 * n for n in range(128)] == to_ints(result)
