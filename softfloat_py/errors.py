"""What can go wrong, one class a kind of fault.

Every error has the root `SoftFloatError` and also the built-in class that fits, keeps its parts as
attributes, survives pickling, and words its sentence the same way: what must hold, what came instead,
what to do about it.
"""

from __future__ import annotations

from collections.abc import Sequence

_SHOWN = 40  # characters of a faulty text on each side of the fault


class SoftFloatError(Exception):
    """Root of every error this library raises on purpose."""


class FormatError(SoftFloatError, ValueError):
    """A format with parameters that no encoding can have, or a value that is not an encoding of it."""


class ConventionError(SoftFloatError, ValueError):
    """Options or an environment that are none, or contradict themselves."""


class QuantityError(SoftFloatError, ValueError):
    """A quantity beside the arithmetic (a clock, a deadline, a number of samples) that cannot be."""

    def __init__(self, name: str, required: str, value: object) -> None:
        super().__init__(name, required, value)
        self.name, self.required, self.value = name, required, value

    def __str__(self) -> str:
        return f"{self.name} must be {self.required}, not {self.value!r}"


class OperandError(SoftFloatError, TypeError):
    """An operand of a kind that has no place in emulated arithmetic."""


class MixedFormatsError(OperandError):
    """Two operands of different formats met in one operation."""

    def __init__(self, operation: str, first: str, second: str) -> None:
        super().__init__(operation, first, second)
        self.operation, self.first, self.second = operation, first, second

    def __str__(self) -> str:
        return (
            f"{self.operation} needs operands of one format, not {self.first} and {self.second}; "
            f"convert one of them first, for example convert_format(x, {self.first})"
        )


class HostFloatError(OperandError):
    """A host floating-point array stood beside an emulated one."""

    def __init__(self, operation: str, dtype: str, format_name: str) -> None:
        super().__init__(operation, dtype, format_name)
        self.operation, self.dtype, self.format_name = operation, dtype, format_name

    def __str__(self) -> str:
        maker = "complex_array" if "complex" in self.dtype else "array"
        return (
            f"{self.operation} needs emulated operands, not a host array of {self.dtype}; "
            f"convert it where it enters the kernel: {self.format_name}.{maker}(values)"
        )


class NotEmulatedError(SoftFloatError, TypeError):
    """A function that would have to fall back to the host's floating point."""

    def __init__(self, function: str, nearest: str) -> None:
        super().__init__(function, nearest)
        self.function, self.nearest = function, nearest

    def __str__(self) -> str:
        return (
            f"{self.function} is not emulated, and nothing here falls back to the host's floating point; "
            f"the nearest that is emulated: {self.nearest}"
        )


class TextError(SoftFloatError, ValueError):
    """A text that does not say what it should; `place` is the index of the character where that shows."""

    def __init__(self, what: str, text: str, place: int, expected: str) -> None:
        super().__init__(what, text, place, expected)
        self.what, self.text, self.place, self.expected = what, text, place, expected

    def __str__(self) -> str:
        came = repr(self.text[self.place]) if self.place < len(self.text) else "the end"
        before, after = self.text[: self.place], self.text[self.place :]
        if len(before) > _SHOWN:
            before = "…" + before[1 - _SHOWN :]
        if len(after) > _SHOWN:
            after = after[: _SHOWN - 1] + "…"
        # A tab or a line break would put the caret elsewhere.
        shown = "".join(character if character.isprintable() else "·" for character in before + after)
        caret = " " * len(before) + "^"
        return f"{self.what} needs {self.expected} at the caret, not {came}:\n  {shown}\n  {caret}"


class RoutineError(SoftFloatError, ValueError):
    """A routine that the reader cannot turn into integer steps; lists every fault with its place."""

    def __init__(self, routine: str, faults: Sequence[str]) -> None:
        super().__init__(routine, tuple(faults))
        self.routine, self.faults = routine, tuple(faults)

    def __str__(self) -> str:
        return f"routine {self.routine} is not a legal routine:\n" + "\n".join(self.faults)


class WidthError(SoftFloatError, ArithmeticError):
    """A step whose operands break its side condition, such as a difference below zero."""


class CostModelError(SoftFloatError, ValueError):
    """A cost table with faults; all of them are listed, each with its key."""

    what = "cost table"

    def __init__(self, source: str, faults: Sequence[str]) -> None:
        super().__init__(source, tuple(faults))
        self.source, self.faults = source, tuple(faults)

    def __str__(self) -> str:
        count = "1 fault" if len(self.faults) == 1 else f"{len(self.faults)} faults"
        return f"{self.what} {self.source} has {count}:\n" + "\n".join(f"  {fault}" for fault in self.faults)


class MeasurementsError(CostModelError):
    """A file of measurements with faults, listed in the same way."""

    what = "file of measurements"


class NotInstalledError(SoftFloatError, ImportError):
    """Run from its source folder without being installed, the library cannot find its cost tables."""

    def __str__(self) -> str:
        return (
            "the library must be installed before its cost tables can be found, not only lie in the folder; "
            "run python -m pip install --editable . there"
        )


class UnknownNameError(SoftFloatError, LookupError):
    """A name (of a CPU, a format, an operation, a set of options) that is not in its list.

    The sentence lists all `known` names, unless `required` says in other words what the name must be, as it
    does where they are many. `near` are those that may have been meant, `further` is what else helps.
    """

    def __init__(
        self,
        what: str,
        name: str,
        known: Sequence[str],
        near: Sequence[str] = (),
        required: str = "",
        further: str = "",
    ) -> None:
        super().__init__(what, name, tuple(known), tuple(near), required, further)
        self.what, self.name, self.known, self.near = what, name, tuple(known), tuple(near)
        self.required, self.further = required, further

    def __str__(self) -> str:
        required = self.required or f"one of {', '.join(self.known)}"
        *others, last = map(repr, self.near or ("",))
        meant = f"{', '.join(others)} or {last}" if others else last
        ends = [f"; did you mean {meant}?" if self.near else ";", self.further]
        end = " ".join(filter(None, ends)).removesuffix(";")
        return f"{self.what} must be {required}, not {self.name!r}{end}"


class TallyFileError(SoftFloatError, ValueError):
    """A saved tally that cannot be read back."""


class ArrayFileError(SoftFloatError, ValueError):
    """A file of saved arrays that cannot be read back."""


class KernelError(SoftFloatError, RuntimeError):
    """A kernel file that cannot be run as one."""
