"""What runs a use on encodings: functions generated for it, in which the run is written out.

A run delivers its results, then the flags if they are kept; this file is the only one that knows where they
stand. In a generated function they are `result` (a tuple where there are several) and `raised` (0 where none
are kept).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import Any

from softfloat_py.engines.plain import Writer, functions_called_by
from softfloat_py.engines.text import Text, name_of
from softfloat_py.keeping import kept
from softfloat_py.numbers.births import TELLING, flags_tell, special_results
from softfloat_py.uses import Use


class Gate:
    """A use, ready to run on ints.

    Of several results the first tells: a NaN or an infinity is one whose magnitude, which is
    `result & magnitude`, is `special` or more.
    """

    def __init__(self, use: Use) -> None:
        self.use = use
        self.several = use.operation.results > 1
        self.directed = use.takes_direction
        self.magnitude, self.special = special_results(use)
        self.bears_silently = self.magnitude > 0 and not flags_tell(use)
        self.telling = TELLING if self.magnitude > 0 else 0

    @cached_property
    def once(self) -> Callable[..., tuple[Any, int]]:
        """A function of the operands and the direction that gives the result and the flags raised."""
        return compiled(self.use, once_source(self.use), "once", {})

    @cached_property
    def each(self) -> Callable[..., tuple[list[Any], int]]:
        """A function of lists of operands and the direction that gives a list of results, and all flags."""
        return compiled(self.use, each_source(self.use), "each", {})

    def may_bear(self, raised: int) -> bool:
        """Whether a NaN or an infinity may come of finite operands in runs that raised these flags."""
        return self.bears_silently or raised & self.telling > 0


@kept
def gate_of(use: Use) -> Gate:
    """The gate of a use."""
    return Gate(use)


def compiled(use: Use, source: str, name: str, known: Mapping[str, Any]) -> Callable[..., Any]:
    """A function of a text generated for a use, with the names that it knows beside those of its run."""
    names = {**functions_called_by(use.program), **known}
    # A file of this folder, so that its frames are taken for the library's.
    exec(compile(source, str(Path(__file__).with_name(f"<{name}>")), "exec"), names)
    function: Callable[..., Any] = names[name]
    return function


def once_source(use: Use) -> str:
    """The text of `Gate.once`."""
    text = Text()
    with text.indented(f"def once({', '.join(parameters_of(use))}):"):
        write_run(use, text, lambda result, raised: text.line(f"return {result}, {raised}"))
    return text.render()


def each_source(use: Use) -> str:
    """The text of `Gate.each`."""
    *operands, direction = parameters_of(use)
    text = Text()

    def give(result: str, raised: str) -> None:
        text.line(f"results.append({result})")
        if raised != "0":
            text.line(f"raised |= {raised}")
        text.line("continue")

    columns = [f"all_{name}" for name in operands]
    with text.indented(f"def each({', '.join([*columns, direction])}):"):
        text.line("results, raised = [], 0")
        with text.indented(f"for {', '.join(operands)}, in zip({', '.join(columns)}):"):
            write_run(use, text, give)
        text.line("return results, raised")
    return text.render()


def parameters_of(use: Use) -> list[str]:
    """The names of the operands in generated text, and of the direction, which not every run needs."""
    names = [name_of(parameter) for parameter in use.program.parameters]
    return names if use.takes_direction else [*names, "direction"]


def write_run(use: Use, text: Text, give: Callable[[str, str], None]) -> None:
    """Write a run; `give` writes what is to be done with the result and the flags, and leaves the run."""
    count = use.operation.results

    def returned(results: Sequence[str]) -> None:
        several = f"({', '.join(results[:count])})"
        give(results[0] if count == 1 else several, results[count] if use.options.flags else "0")

    Writer(use.program, text, returned).body()
