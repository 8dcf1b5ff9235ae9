"""The engines by name: what each is for, whether it counts, and whether it is here.

An engine is a module with a function `deliver`. It is imported when it is first asked, and may need a package
that is not installed; then it says so. Who wants all there are, as the tests do, goes through `available()`.
"""

from __future__ import annotations

import importlib
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from importlib.util import find_spec
from typing import Any, NamedTuple, TypeAlias

from softfloat_py.integer_form.counting import Entry, Usage
from softfloat_py.integer_form.grammar import Program
from softfloat_py.routines.doors import Door
from softfloat_py.routines.language import Routine

# What a program is run on, or what it delivers: one number for each parameter, or result.
Row: TypeAlias = tuple[int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """What engines run: a program, and the call of the routine that it was read from.

    `widths` are those of the program's parameters, in their order; `fixed` are the routine's other arguments.
    """

    program: Program
    routine: Routine
    widths: Mapping[str, int]
    fixed: Mapping[str, Any] = field(default_factory=dict)
    entering: Mapping[str, Sequence[Door]] = field(default_factory=dict)
    leaving: Sequence[Door] = ()


class Delivered(NamedTuple):
    """What an engine makes of rows of arguments: rows of results, the flags last where a program keeps them.

    `counts` are the steps of all rows, None from an engine that counts nothing; `usage` is there where the
    counts follow from one.
    """

    rows: list[Row]
    counts: Counter[Entry] | None = None
    usage: Usage | None = None


@dataclass(frozen=True, slots=True)
class Engine:
    """A way to run a program; `needs` names what has to be installed for it."""

    name: str
    module: str
    about: str
    counts: bool
    needs: tuple[str, ...] = ()

    @property
    def why_missing(self) -> str:
        """Why it cannot run here, as a sentence; empty where it can."""
        missing = [package for package in self.needs if find_spec(package) is None]
        return f"the engine {self.name} needs {' and '.join(missing)} installed" if missing else ""

    def deliver(self, task: Task, rows: Sequence[Row]) -> Delivered:
        """Run a program on rows of arguments; those of its uniform parameters are the same in all rows.

        Raises ImportError where something is missing, WidthError where the engine finds that a step's side
        condition fails.
        """
        if self.why_missing:
            raise ImportError(self.why_missing)
        run: Callable[[Task, Sequence[Row]], Delivered]
        run = importlib.import_module(self.module).deliver
        return run(task, rows)


_ROOM = "softfloat_py.engines"
_ALL = (
    Engine("direct", f"{_ROOM}.direct", "the routine as Python runs it, no reader involved", counts=False),
    Engine(
        "plain", f"{_ROOM}.plain", "one set of operands after the other, as generated Python", counts=True
    ),
    Engine("arrays", f"{_ROOM}.arrays", "all sets of operands at once, as generated numpy code", counts=True),
    Engine(
        "stepwise", f"{_ROOM}.stepwise", "step by step, each recorded: the truth about counts", counts=True
    ),
)
ENGINES: dict[str, Engine] = {engine.name: engine for engine in _ALL}


def available() -> list[Engine]:
    """The engines that can run here."""
    return [engine for engine in _ALL if not engine.why_missing]
