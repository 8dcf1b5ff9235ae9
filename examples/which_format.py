"""Which format is enough for wave height, and what does each cost?

The truth is the host's binary64. Emulated binary64 must agree with it to the last bit; in the short formats
the growing sum of squares swallows the waves that are added to it.

Run by `python examples/which_format.py`.
"""

from __future__ import annotations

from wave_height import inputs, kernel

import softfloat_py as sf


def main() -> None:
    """One line a format: height, error against the host, time a sample on a Cortex-M0+ at 16 MHz."""
    acceleration, settling = inputs()
    truth = float(kernel(acceleration, settling))
    print(f"host       {truth:.7f} m")
    for fmt in (sf.bfloat16, sf.binary16, sf.binary32, sf.binary64):
        with sf.environment(options=sf.LEAN), sf.counting() as tally:
            emulated = sf.emulated(kernel, fmt)(acceleration, settling)
        height = float(emulated)
        estimate = tally.estimate("cortex-m0plus", clock_hz=16e6)
        time = 1e6 * estimate.seconds / len(acceleration)
        print(f"{fmt.name:<9}  {height:.7f} m   error {height - truth:+.1e} m   {time:6.0f} µs a sample")


if __name__ == "__main__":
    from quiet_pipe import run

    run(main)
