"""What a command is."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import NamedTuple

from softfloat_py.commands.answer import Answer
from softfloat_py.commands.parser import Parser


class Command(NamedTuple):
    """A command: its name, its help with an example, the arguments it takes, and what it does with them.

    `run` may raise any SoftFloatError, whose sentence is then the answer.
    """

    name: str
    about: str
    add_arguments: Callable[[Parser], None]
    run: Callable[[argparse.Namespace], Answer]
