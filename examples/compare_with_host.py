"""Do the emulated operations agree, bit for bit, with the floating-point unit of this machine?

Run by `python examples/compare_with_host.py`.
"""

from __future__ import annotations

import softfloat_py as sf


def main() -> None:
    """Compare the buoy's two most frequent operations on random binary32 operands."""
    operations = ["addition", "multiplication"]
    print(sf.compare_with_host(sf.binary32, operations=operations, samples=100_000, seed=1))


if __name__ == "__main__":
    from quiet_pipe import run

    run(main)
