"""One table of a file: values by key, each with the shape it must have, faults noted with their key path."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, TypeVar

from softfloat_py.errors import CostModelError
from softfloat_py.suggestions import nearest_name

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Shape:
    """A kind of value a key may have: how it is said, and the test for it."""

    said: str
    holds: Callable[[Any], bool]


TEXT = Shape("a text that is not empty", lambda value: isinstance(value, str) and bool(value.strip()))
FLAG = Shape("true or false", lambda value: isinstance(value, bool))
WHOLE = Shape("a whole number", lambda value: type(value) is int)
NUMBER = Shape("a number below 1e9", lambda value: type(value) in (int, float) and abs(value) < 1e9)
TABLE = Shape("a table", lambda value: isinstance(value, dict))
WHOLES = Shape(
    "a list of whole numbers",
    lambda value: isinstance(value, list) and all(map(WHOLE.holds, value)),
)
TEXTS = Shape("a list of texts", lambda value: isinstance(value, list) and all(map(TEXT.holds, value)))
TABLES = Shape("a list of tables", lambda value: isinstance(value, list) and all(map(TABLE.holds, value)))
PRICES = Shape(
    "a price { cycles = ... } or a list of prices",
    lambda value: TABLE.holds(value) or (TABLES.holds(value) and bool(value)),
)
REQUIRED = object()


class Curable(str):
    """A fault that the entries of a base may take away: none while it is not known which base is meant."""

    __slots__ = ()


class Section:
    """One table of a file: hands out values by key, and notes each fault with its key path."""

    def __init__(self, table: dict[str, Any], path: str, faults: list[str]) -> None:
        self.table, self.path, self.faults = table, path, faults
        self.known: list[str] = []
        self._faults_before = len(faults)

    def note(self, key: str, sentence: str, kind: type[str] = str) -> None:
        """Note a fault of a key."""
        self.faults.append(kind(f"{self.path}{key} {sentence}"))

    def take(self, key: str, shape: Shape, default: Any = REQUIRED) -> Any:
        """The value of a key; where it is missing or misshapen that is noted, and what comes is of no use."""
        self.known.append(key)
        if key not in self.table:
            if default is REQUIRED:
                # An entry that states its source is taken whole, so no base completes it.
                kind = str if "source" in self.table else Curable
                self.note(key, f"must be {shape.said}, and is missing", kind)
            return default
        value = self.table[key]
        if not shape.holds(value):
            self.note(key, f"must be {shape.said}, not {value!r}")
        return value

    def take_texts(self, key: str, default: Any = ()) -> tuple[str, ...]:
        """The texts in the list under a key; none where it is misshapen, which is noted."""
        value = self.take(key, TEXTS, default)
        return tuple(value) if TEXTS.holds(value) else ()

    def choose(self, key: str, legal: Iterable[str], kind: type[str] = str) -> str | None:
        """The value of a key that must be one of some texts, None where it is not."""
        value = self.take(key, TEXT)
        legal = list(legal)
        if value in legal:
            return str(value)
        if TEXT.holds(value):
            self.note(key, f"must be one of {', '.join(legal)}, not {value!r}{hint(value, legal)}", kind)
        return None

    def read(self, key: str, reader: Callable[[Section], T | None], default: Any = REQUIRED) -> T | None:
        """What a reader makes of the table under a key."""
        table = self.take(key, TABLE, default)
        return self._inside(table, f"{key}.", reader) if isinstance(table, dict) else None

    def read_list(self, key: str, reader: Callable[[Section], T | None]) -> tuple[T | None, ...]:
        """What a reader makes of each table in the list under a key, nothing where the key is missing."""
        tables = self.take(key, TABLES, default=[])
        return self._each_inside(key, tables, reader) if TABLES.holds(tables) else ()

    def read_prices(self, key: str, reader: Callable[[Section], T | None]) -> tuple[T | None, ...]:
        """What a reader makes of the one price under a key, or of each in a list."""
        value = self.take(key, PRICES)
        if isinstance(value, dict):
            return (self._inside(value, f"{key}.", reader),)
        return self._each_inside(key, value, reader) if PRICES.holds(value) else (None,)

    def read_all(self, reader: Callable[[Section], T | None]) -> dict[str, T | None]:
        """What a reader makes of the tables under all keys, whatever they are."""
        return {key: self.read(key, reader) for key in self.table}

    def build(self, make: Callable[..., T], **parts: Any) -> T | None:
        """A part made of values taken here, or None where one of them has a fault."""
        if len(self.faults) > self._faults_before:
            return None
        try:
            return make(**parts)
        except CostModelError as error:
            self.faults.extend(f"{self.path}{fault}" for fault in error.faults)
            return None

    def refuse_unknown_keys(self) -> None:
        """Note a fault for each key that nobody asked for."""
        for key in self.table:
            if key not in self.known:
                self.note(key, f"is not a key that belongs here{hint(key, self.known)}")

    def _inside(self, table: dict[str, Any], step: str, reader: Callable[[Section], T | None]) -> T | None:
        section = Section(table, self.path + step, self.faults)
        result = reader(section)
        section.refuse_unknown_keys()
        return result

    def _each_inside(
        self, key: str, tables: list[dict[str, Any]], reader: Callable[[Section], T | None]
    ) -> tuple[T | None, ...]:
        return tuple(self._inside(table, f"{key}[{index}].", reader) for index, table in enumerate(tables))


def hint(name: str, known: Iterable[str]) -> str:
    """The end of a fault's sentence: the nearest name that is known, if one is near."""
    closest = nearest_name(name, known)
    return f"; did you mean {closest!r}?" if closest else ""
