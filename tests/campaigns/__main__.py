"""Campaigns: checks of more operands than a test run has time for.

python -m tests.campaigns functions --format binary16 --seconds 600

Each goes on where it stopped, by a result file, and prints that as a table with --report.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from softfloat_py.environment import Rounding
from tests.campaigns import functions
from tests.campaigns.catalogue import FORMATS, FUNCTIONS


def main() -> int:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(prog="python -m tests.campaigns", description=__doc__)
    commands = parser.add_subparsers(required=True)
    one = commands.add_parser(
        "functions", description=functions.__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    names = (("function", FUNCTIONS), ("format", FORMATS), ("directions", Rounding.__members__))
    for option, known in names:
        words = f"of {', '.join(known)} (default: all)"
        one.add_argument(f"--{option}", nargs="+", choices=known, metavar="NAME", help=words)
    add = one.add_argument
    add("--seconds", type=float, default=600.0, help="when to stop (default: 600)")
    add("--device", choices=("cpu", "cuda", "auto"), default="auto", help="(default: auto)")
    add("--result", type=Path, default=Path("functions.json"), metavar="FILE", help="to go on from")
    add("--report", action="store_true", help="print the result file as a table, and run nothing")
    one.set_defaults(run=functions.run)
    asked = parser.parse_args()
    return int(asked.run(asked))


if __name__ == "__main__":
    sys.exit(main())
