"""Two depth filters, by hand: a difference, a product, a sum and a product by the gain a sample."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32


def filtered(samples: list[sf.Number], cutoff: sf.Number, gain: sf.Number) -> Any:
    """All that the filter has delivered, and its state."""
    state = b(0.0)
    history = []
    for x in samples:
        state = sf.addition(state, sf.multiplication(cutoff, sf.subtraction(x, state)))
        history.append(sf.multiplication(state, gain))
    return history, state


def kernel(samples: list[float], settings: Any) -> Any:
    """The order is an integer field: a conversion where it meets the blend."""
    values = [b(x) for x in samples]
    fine, _ = filtered(values, b(settings.cutoff), b(settings.gain))
    coarse, state = filtered(values, b(0.3), b(2.0))
    blend = b(0)
    for weight, x in zip((b(0.25), b(0.5), b(0.25)), coarse[-3:], strict=True):
        blend = sf.addition(blend, sf.multiplication(weight, x))
    return fine, sf.multiplication(blend, real(settings.order)), state
