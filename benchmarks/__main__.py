"""The benchmarks' command line: parse, measure, print one table of ratios to peers, all from one run.

Run by `python -m benchmarks`.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Sequence
from importlib.util import find_spec
from typing import TYPE_CHECKING

from benchmarks.sizes import FULL, QUICK, Sizes

if TYPE_CHECKING:
    from benchmarks.row import Row

REQUIRED = ("gmpy2", "mpmath")


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure and print; gives the exit status."""
    parsed = parser().parse_args(arguments)
    missing = [name for name in REQUIRED if find_spec(name) is None]
    if missing:
        print(missing_sentence(missing), file=sys.stderr)
        return 2
    from benchmarks.report import json_text, text  # late, for it needs the peers

    sizes = QUICK if parsed.quick else FULL
    rows = list(measured(sizes))
    print(json_text(rows, sizes) if parsed.json else text(rows, sizes))
    return 0


def parser() -> argparse.ArgumentParser:
    """The options."""
    made = argparse.ArgumentParser(prog="python -m benchmarks", description="Speed beside that of peers.")
    made.add_argument("--quick", action="store_true", help="a tenth of the sizes")
    made.add_argument("--json", action="store_true", help="print JSON in place of the table")
    return made


def measured(sizes: Sizes) -> Iterator[Row]:
    """All rows, each announced on standard error when it has been measured."""
    from benchmarks.arrays import array_rows, wide_rows  # late, for they need the peers
    from benchmarks.conversions import conversion_rows
    from benchmarks.elementary import elementary_rows
    from benchmarks.imports import import_rows
    from benchmarks.pricing import pricing_rows
    from benchmarks.scalars import scalar_rows
    from benchmarks.texts import text_rows

    print("measuring arrays, numbers, elementary functions, texts, pricing and imports:", file=sys.stderr)
    measurements: tuple[Callable[[Sizes], Iterator[Row]], ...] = (
        array_rows, wide_rows, conversion_rows, scalar_rows, elementary_rows, text_rows, pricing_rows,
        import_rows,
    )  # fmt: skip
    for rows in measurements:
        for row in rows(sizes):
            print(f"  {row.what} {row.options}".rstrip(), file=sys.stderr)
            yield row


def missing_sentence(missing: Sequence[str]) -> str:
    """What to do about peers that are not installed."""
    return (
        f"the benchmarks compare with {' and '.join(REQUIRED)}, which must be installed, but "
        f"{' and '.join(missing)} cannot be found; install the test extra: pip install -e '.[test]'"
    )


if __name__ == "__main__":
    sys.exit(main())
