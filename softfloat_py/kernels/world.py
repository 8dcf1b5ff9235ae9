"""One emulated run of a program: its functions, classes, modules and values beside those of the host.

Nothing of the host's program is changed. Each function that the run reaches gets a *twin*, the same code with
the target's numbers (`rewriting`) and with names that mean twins again; each module, class and value gets one
as well, made when something first asks for it and only once, so that what was shared is shared. What the
program does to them is done to the twins alone.
"""

from __future__ import annotations

import builtins
import sys
from collections import deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import partial
from types import CodeType, FunctionType, ModuleType
from typing import Any

from softfloat_py.errors import KernelError
from softfloat_py.kernels.folding import folded_value
from softfloat_py.kernels.source import Source, source_of
from softfloat_py.numbers.applying import PACKAGE
from softfloat_py.numbers.integer_data import KERNEL, Literal, is_integer
from softfloat_py.numbers.making import MakesValues
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.operands import converted_integers

# What a program consists of; all else is its data.
PARTS = FunctionType | type | ModuleType


@dataclass(frozen=True, slots=True)
class Program:
    """What belongs to the user's program: the names of a module, or whatever lies in its folders."""

    names: dict[str, Any]
    folders: tuple[str, ...]

    def has(self, names: dict[str, Any]) -> bool:
        """Whether the module with these names is one of the program's."""
        return names is self.names or _is_within(names.get("__file__"), self.folders)

    def has_class(self, cls: type) -> bool:
        """Whether a class is one of the program's; an enumeration is not, whose members are what they are."""
        if issubclass(cls, Enum):
            return False
        modules = [vars(sys.modules[cls.__module__])] if cls.__module__ in sys.modules else []
        modules += [value.__globals__ for value in vars(cls).values() if isinstance(value, FunctionType)]
        return any(map(self.has, modules))


def lies_in(module: ModuleType, folders: tuple[str, ...]) -> bool:
    """Whether a module is a program's own: from its folders, not installed there nor of this library."""
    return _is_within(getattr(module, "__file__", None), folders)


def _is_within(file: str | None, folders: tuple[str, ...]) -> bool:
    if not file or not file.startswith(folders):
        return False
    return not file.startswith(PACKAGE) and "site-packages" not in file and "dist-packages" not in file


class EmulatedModule(ModuleType):
    """The twin of a module of the program, which `bring` gives each name when it is asked for."""

    def __init__(self, names: dict[str, Any], builtins: dict[str, Any], bring: Callable[[str], None]) -> None:
        super().__init__(names.get("__name__", "program"), names.get("__doc__"))
        own = ("__file__", "__package__", "__spec__", "__path__")
        vars(self).update({name: names[name] for name in own if name in names})
        vars(self).update(__builtins__=builtins, _bring=bring)

    def __getattr__(self, name: str) -> Any:
        vars(self)["_bring"](name)
        if name not in vars(self):
            raise AttributeError(f"module {self.__name__!r} has no attribute {name!r}")
        return vars(self)[name]


class World:
    """The emulated side of a program in a format; `twin` gives what stands there for a value of the host's.

    `make` makes what stands for a value, `python_names` what is to be found under Python's own names; see
    `twins.emulated_world`.
    """

    def __init__(
        self,
        fmt: MakesValues,
        program: Program,
        make: Callable[[World, Any], Any],
        python_names: Callable[[World], Mapping[str, Any]],
    ) -> None:
        self.format, self.program, self._make = fmt, program, make
        self._twins: dict[int, tuple[Any, Any]] = {}  # by the original's id, and the original, which keeps it
        self._constants: dict[int, tuple[Number, float]] = {}
        self._sources: dict[str, Source | None] = {}
        self._modules: dict[int, ModuleType] = {}
        self._later: deque[Callable[[], None]] = deque()
        self._depth = 0  # of calls of `twin` within one another
        self._passing: list[int] | None = None  # ids of what a call is given, while it is taken in
        # What a function's code finds where neither it nor its module has a name, literals too.
        self.builtins: dict[str, Any] = {**vars(builtins), KERNEL: self, **python_names(self)}

    # -- values --------------------------------------------------------------------------------------

    def twin(self, value: Any) -> Any:
        """What stands for a value here; KernelError or OperandError for what cannot be emulated."""
        return self.made(value, self._make)

    def made(self, value: Any, make: Callable[[World, Any], Any]) -> Any:
        """What stands for a value here, made in this way if it is not there yet."""
        if id(value) in self._twins:
            return self._twins[id(value)][1]
        self._depth += 1
        try:
            twin = make(self, value)
            if twin is not value:
                self.remember(value, twin)
            while self._depth == 1 and self._later:
                passing, self._passing = self._passing, None  # what functions hold is the program's
                self._later.popleft()()
                self._passing = passing
        finally:
            self._depth -= 1
        return twin

    def taken_in(self, value: Any) -> Any:
        """What stands for what a call is given: data anew for each call, whatever may have become of it."""
        passing: list[int] = []
        self._passing = passing
        made = self.twin(value)
        self._passing = None
        for key in passing:
            del self._twins[key]
        return made

    def delivered(self, value: Any) -> Any:
        """What stands for the result of a function of the host, which is new each time and not shared."""
        if type(value) in (tuple, list):
            return type(value)(map(self.delivered, value))
        is_data = isinstance(value, float | complex) or hasattr(value, "dtype")
        return self._make(self, value) if is_data else value

    def twin_anew(self, value: Any) -> Any:
        """As `twin`, for what will not be met again."""
        return self._make(self, value)

    def remember(self, value: Any, made: Any) -> None:
        """Say what stands for a value before all of it is made, since it may hold itself."""
        if self._passing is not None and id(value) not in self._twins and not isinstance(value, PARTS):
            self._passing.append(id(value))
        self._twins[id(value)] = value, made

    def later(self, fill: Callable[[], None]) -> None:
        """Do something as soon as all that is being made now is there, and can be found."""
        self._later.append(fill)

    # -- constants -----------------------------------------------------------------------------------

    def constant(self, value: float) -> Number:
        """A constant of the program, rounded once; `written` still tells what the text has."""
        number = Number._of(self.format, self.format(value)._bits)
        self._constants[id(number)] = number, value
        return number

    def written(self, value: Any) -> Any:
        """A constant of the program as its text has it, a float or an int of the host; any other value as it
        is.
        """
        if type(value) is Literal:
            return int(value)
        found = self._constants.get(id(value))
        return value if found is None else found[1]

    def is_constant(self, value: Any) -> bool:
        """Whether a number is a constant of the program, as its text has it."""
        return id(value) in self._constants

    def part(self, value: Any) -> Any:
        """A real number for a place that takes no int: one of the run's, or what the target makes of it."""
        return self.converted(value) if is_integer(value) else self.twin_anew(value)

    def number(self, value: int | float | complex, plain: bool = False) -> Any:
        """What a number in the program's text is; a `plain` int is no literal, but a variable's value."""
        if isinstance(value, int):
            return int(value) if plain else Literal(value)
        return self.twin(value) if isinstance(value, complex) else self.constant(value)

    def converted(self, value: Any) -> Any:
        """An int, a numpy int or an array of ints as the target converts it, which is counted; a literal is
        a constant.
        """
        if isinstance(value, Literal):
            return self.format(int(value))
        return converted_integers(self.format, value)

    # -- code ----------------------------------------------------------------------------------------

    def code(self, code: CodeType, names: dict[str, Any]) -> CodeType:
        """The emulated code of a function of a module with these names.

        Raises KernelError where its text cannot be read and it has numbers in it; what Python writes by
        itself, as for dataclasses, has none.
        """
        source = self._source(code.co_filename, names)
        emulated = source.emulated(code) if source else None
        if emulated is None and any(isinstance(constant, float | complex) for constant in code.co_consts):
            raise KernelError(
                f"the text of {code.co_qualname} must be readable, so that its numbers can be the target's, "
                f"but {code.co_filename} has none; write it in a file, or in a notebook's cell"
            )
        return emulated or code

    def module(self, names: dict[str, Any]) -> ModuleType:
        """The twin of the module with these names; it is filled by `bring` as its functions need it."""
        if id(names) not in self._modules:
            bring = partial(self.bring, names)
            self._modules[id(names)] = EmulatedModule(names, self.builtins, bring)
        return self._modules[id(names)]

    def bring(self, names: dict[str, Any], name: str) -> None:
        """Give the twin of a module a name that it does not have yet, if the module has it."""
        emulated = vars(self.module(names))
        if name in emulated or name not in names:
            return
        value = names[name]
        file = names.get("__file__") or ""
        source = self._source(file, names) if file else None
        is_constant = source is not None and name in source.constants and type(value) in (int, float)
        emulated[name] = self.number(value) if is_constant else self.twin(value)

    def _source(self, file: str, names: dict[str, Any]) -> Source | None:
        """The emulated text of a file, whose literals are then known to every function."""
        if file not in self._sources:
            source = self._sources[file] = source_of(file)
            if source is not None:
                self._publish(source, names)
        return self._sources[file]

    def _publish(self, source: Source, names: dict[str, Any]) -> None:
        for name, value in source.literals.items():
            self.builtins.setdefault(name, self.number(value))
        for name, folded in source.folded.items():
            found = folded_value(folded, names)
            self.builtins[name] = None if found is None else self.number(found, folded.plain)
