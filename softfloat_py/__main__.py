"""The command line: parse, call, print.

Exit status: 0, or 1 where a comparison found differences, or 2 where something given is wrong, with one
sentence on standard error.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

from softfloat_py.commands.answer import Answer, deliver, prepare_streams
from softfloat_py.commands.table import understood
from softfloat_py.errors import SoftFloatError


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; gives the exit status. SystemExit after a help, or arguments that cannot be read."""
    given = sys.argv[1:] if arguments is None else arguments
    prepare_streams()
    try:
        parsed = understood(given)
        answer: Answer = parsed.run(parsed)
    except SoftFloatError as error:
        answer = Answer(complaint=str(error), status=2)
    return deliver(answer)


if __name__ == "__main__":
    sys.exit(main())
