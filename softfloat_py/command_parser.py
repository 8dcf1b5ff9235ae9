"""A parser of command lines that refuses with one sentence, and takes an option that has a value once."""

from __future__ import annotations

import argparse
from typing import Any, NoReturn


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

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and where to read more, then exit with status 2."""
        self.exit(2, f"{message}; see {self.prog} --help\n")
