"""A structured array row by row, by hand: a comparison a row, a product and a sum for those that pull."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def kernel(log: Any) -> Any:
    """One difference in the end."""
    tension = [b(x) for x in log["tension"].tolist()]
    payout = [b(x) for x in log["payout"].tolist()]
    work = b(0.0)
    pulls = 0
    for n in range(len(tension)):
        if sf.compare_signaling_greater(tension[n], b(1.5)):
            work = sf.addition(work, sf.multiplication(tension[n], payout[n]))
            pulls += 1
    return work, pulls, sf.subtraction(tension[-1], tension[0])
