"""A longer campaign: the C of every operation, in every format that has a name, for every word and
multiplier, lean and complete. Compiled here without a warning, it must deliver what the plain engine does.
Elementary functions, which are long, come on demand.

python -m tests.engines.every_c [--formats binary32 extended80] [--elementary]
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

from softfloat_py.engines.c.target import WORDS
from softfloat_py.numbers.formats import KNOWN_FORMATS
from softfloat_py.operations import ELEMENTARY
from softfloat_py.options import COMPLETE, LEAN
from tests.engines.c_cases import Case
from tests.engines.compiled_c import compile_unit
from tests.engines.test_c_results import differences, unit_of


def main() -> int:
    """Run it, a line a case; 1 if any differs or does not compile."""
    parser = argparse.ArgumentParser(prog="python -m tests.engines.every_c", description=__doc__)
    known = list(KNOWN_FORMATS)
    parser.add_argument(
        "--formats", nargs="+", choices=known, default=known, metavar="NAME", help=f"of {', '.join(known)}"
    )
    parser.add_argument("--elementary", action="store_true", help="the elementary functions, and no others")
    wrong = 0
    parsed = parser.parse_args()
    operations = ELEMENTARY if parsed.elementary else ()
    for name in parsed.formats:
        for word, facts in WORDS.items():
            for multiplier in facts.multipliers:
                for options in (LEAN, COMPLETE):
                    wrong += fails(Case(KNOWN_FORMATS[name], word, options, multiplier, operations))
    return 1 if wrong else 0


def fails(case: Case) -> bool:
    """Print how a case ends; whether it is wrong."""
    print(case.name, end=": ", flush=True)
    with tempfile.TemporaryDirectory() as folder:
        try:
            found = differences(compile_unit(unit_of(case), Path(folder)), case)
        except AssertionError as refused:  # by the compiler
            found = [str(refused)]
    print("right" if not found else f"{len(found)} WRONG: {found[0][:500]}", flush=True)
    return bool(found)


if __name__ == "__main__":
    sys.exit(main())
