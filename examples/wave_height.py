"""What does significant wave height cost on a buoy's microcontroller, and does it keep up with the sea?

Each sample of vertical acceleration passes two leaky integrators, to velocity and to elevation; the height is
four times the standard deviation of the elevation. A plain integrator would turn the accelerometer's offset
into a parabola. The leaky one is restrained by a damper and a spring that act on its output y:

    dy/dt = x - sqrt(2) w y - w² p,    dp/dt = y,    hence    Y/X = s / (s² + sqrt(2) w s + w²)

which is 1/s times a second-order Butterworth high-pass with the corner w: waves are integrated, drift is not.
The trapezoidal rule at the interval T, which is the bilinear transform s = (2/T) (1 - z^-1) / (1 + z^-1),
makes it a recurrence. With h = T/2, u = y[n-1] + h y'[n-1] and q = p[n-1] + h y[n-1]:

    y[n] = (u + h x - h w² q) / (1 + sqrt(2) h w + h² w²),    next u = 2 y[n] - u,    next q = q + 2 h y[n]

and h w = tan(pi corner T) puts the corner where it was asked for. The trapezoidal rule understates each
integration by a / tan(a), a = pi f T: 0.3 % at the peak of the demo sea, 5 % at 0.5 Hz.

The demo sea's 2 m are read as 1.95 m: the first minute, which is not counted in, happens to be rougher than
the rest (1.5 %), and the integrators take the remainder (1.2 %).

    python examples/wave_height.py
    python -m softfloat_py estimate examples/wave_height.py --cpu cortex-m0plus
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

import softfloat_py as sf

INTERVAL = 0.25  # s between samples
CORNER = 0.03  # Hz, below the longest waves of interest
SETTLING = 240  # samples, one minute, until the offset has died away

# Constants of the program: computed here once, by the host.
HALF = INTERVAL / 2
CORNER_ANGLE = math.tan(math.pi * CORNER * INTERVAL)  # h w
SPRING = CORNER_ANGLE**2 / HALF  # h w²
GAIN = 1 / (1 + math.sqrt(2) * CORNER_ANGLE + CORNER_ANGLE**2)


def integrate(x: Any, u: Any, q: Any) -> tuple[Any, Any, Any]:
    """One sample x through one leaky integrator with the state (u, q): its output and its next state."""
    y = GAIN * (u + HALF * x - SPRING * q)
    return y, y + y - u, q + INTERVAL * y


def kernel(acceleration: Any, settling: int) -> Any:
    """Significant wave height in m of a record in m/s²; its first `settling` samples are not counted in.

    Written for the host's numbers, and run on the target's unchanged: 21 operations a sample.
    """
    velocity_u = velocity_q = elevation_u = elevation_q = 0.0
    total = squares = 0.0
    for i in range(len(acceleration)):
        velocity, velocity_u, velocity_q = integrate(acceleration[i], velocity_u, velocity_q)
        elevation, elevation_u, elevation_q = integrate(velocity, elevation_u, elevation_q)
        if i >= settling:
            total = total + elevation
            squares = squares + elevation * elevation
    count = len(acceleration) - settling
    mean = total / count
    return 4 * np.sqrt(squares / count - mean * mean)


def inputs() -> tuple[NDArray[np.float64], int]:
    """The demo record and its settling time."""
    record = np.loadtxt(Path(__file__).with_name("sea.csv"), encoding="utf-8")
    return record, SETTLING


def main() -> None:
    """The height by the host and by emulated binary32, and the price of the latter."""
    acceleration, settling = inputs()
    by_host = float(kernel(acceleration, settling))
    with sf.environment(options=sf.LEAN), sf.counting() as tally:
        height = sf.emulated(kernel, sf.binary32)(acceleration, settling)
    by_emulation = float(height)
    estimate = tally.estimate("cortex-m0plus", clock_hz=16e6)
    samples = len(acceleration)
    record = samples * INTERVAL

    print(f"significant wave height, {samples} samples of a sea made for 2 m")
    print(f"  by the host's binary64   {by_host:.7f} m")
    print(f"  by emulated binary32     {by_emulation:.7f} m, difference {by_emulation - by_host:+.1e} m")
    print("time on a Cortex-M0+ at 16 MHz")
    print(f"  a sample     {1e3 * estimate.seconds / samples:.3f} ms of {1e3 * INTERVAL:.0f} ms")
    print(f"  the record   {estimate.seconds:.2f} s of {record:.0f} s, {estimate.seconds / record:.2%}\n")
    print(estimate)


if __name__ == "__main__":
    from quiet_pipe import run

    run(main)
