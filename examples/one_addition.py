"""What happens, step by step, when the buoy adds two accelerations?

Run by `python examples/one_addition.py`.
"""

from __future__ import annotations

import softfloat_py as sf


def main() -> None:
    """Explain a wave's acceleration plus the offset of the accelerometer, both in m/s²."""
    wave = sf.binary32(-1.375)
    offset = sf.binary32(0.02)
    print(sf.explain("addition", wave, offset))


if __name__ == "__main__":
    from quiet_pipe import run

    run(main)
