"""A parser of command lines that refuses with one sentence, and takes an option that has a value once."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any, NoReturn

from softfloat_py.commands.answer import Answer, deliver


class StoredOnce(argparse.Action):
    """Keep the value of an option; given again, it is not clear which one is meant."""

    def __call__(
        self,
        parser: argparse.ArgumentParser,
        namespace: argparse.Namespace,
        values: Any,
        option_string: str | None = None,
    ) -> None:
        """Note the value; ArgumentError where there is one already."""
        met: set[str] = vars(namespace).setdefault("options_met", set())
        if self.option_strings and self.dest in met:
            raise argparse.ArgumentError(self, "must be given once, not twice")
        met.add(self.dest)
        setattr(namespace, self.dest, values)


class Parser(argparse.ArgumentParser):
    """A parser that refuses with one sentence; `add_argument` stores values once unless told otherwise."""

    def __init__(self, **how: Any) -> None:
        super().__init__(**how)
        self.register("action", None, StoredOnce)

    def parse_known_args(  # type: ignore[override]
        self, args: Sequence[str] | None = None, namespace: argparse.Namespace | None = None
    ) -> tuple[argparse.Namespace, list[str]]:
        """Refuse what is left over here, where it is known whose help tells what there is."""
        parsed, unknown = super().parse_known_args(args, namespace)
        if unknown:
            self.error(f"unrecognized arguments: {' '.join(map(str.strip, unknown))}")
        return parsed, unknown

    def print_help(self, file: Any = None) -> NoReturn:
        """Print the help as any answer is printed, then exit."""
        raise SystemExit(deliver(Answer(self.format_help().rstrip())))

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and where to read more, then exit with status 2."""
        raise SystemExit(deliver(Answer(complaint=f"{message}; see {self.prog} --help", status=2)))
