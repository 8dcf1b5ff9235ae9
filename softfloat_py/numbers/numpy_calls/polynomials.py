"""Values of polynomials, by Horner's rule."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.errors import OperandError
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.functions import addition, multiplication
from softfloat_py.numbers.operands import format_of


def polyval(p: Any, x: Any) -> Any:
    """The polynomial with the coefficients p, that of the highest power first, at x (numpy.polyval).

    Horner's rule: it starts with p[0], where numpy starts with a zero times x, so nothing is spent on that
    zero; then it goes on with result × x + p[i]. Coefficients are constants or emulated values. Counted for
    each element of x, with n coefficients: n - 1 multiplications and n - 1 additions.
    """
    fmt = format_of((p, x))
    coefficients = FloatArray._of(fmt, encodings_for(fmt, p, "numpy.polyval"))
    if coefficients.ndim != 1 or len(coefficients) == 0:
        raise OperandError(
            "numpy.polyval needs a sequence of at least one coefficient, "
            f"not an array of shape {coefficients.shape}"
        )
    place = fmt.value_of(encodings_for(fmt, x, "numpy.polyval"))
    value: Any = coefficients[0]
    for coefficient in coefficients[1:]:
        value = addition(multiplication(value, place), coefficient)
    return value if len(coefficients) > 1 else +np.broadcast_to(value, np.shape(place))


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {np.polyval: polyval}
