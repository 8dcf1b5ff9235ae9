"""Structured arrays of a kernel: columns by name, whose floats are the target's."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any


class Records:
    """A structured array in an emulated run: `records["name"]` is a column, `records[3]` a row.

    What else an index names (a slice, a mask, a list of names) gives records again. A row has its fields by
    name and by place.
    """

    def __init__(self, columns: dict[str, Any]) -> None:
        self._columns = columns

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the columns."""
        return tuple(self._columns)

    @property
    def dtype(self) -> Records:
        """What has the `names`, as a structured dtype does."""
        return self

    @property
    def shape(self) -> tuple[int, ...]:
        """The length of each axis."""
        shape: tuple[int, ...] = next(iter(self._columns.values())).shape
        return shape

    @property
    def size(self) -> int:
        """How many rows there are."""
        return int(next(iter(self._columns.values())).size)

    def __len__(self) -> int:
        return self.shape[0]

    def __iter__(self) -> Iterator[Any]:
        return (self[place] for place in range(len(self)))

    def __getitem__(self, index: Any) -> Any:
        if isinstance(index, str):
            return self._columns[index]
        if isinstance(index, list) and index and isinstance(index[0], str):
            return Records({name: self._columns[name] for name in index})
        picked = {name: column[index] for name, column in self._columns.items()}
        return Records(picked) if all(getattr(part, "shape", ()) for part in picked.values()) else Row(picked)

    def __getattr__(self, name: str) -> Any:
        columns = self.__dict__.get("_columns", {})
        if name not in columns:
            raise AttributeError(f"these records have no column {name!r}, only {', '.join(columns)}")
        return columns[name]

    def __repr__(self) -> str:
        return f"Records({self._columns!r})"


class Row:
    """One row of records: its fields by name, by place, or one after the other."""

    def __init__(self, fields: dict[str, Any]) -> None:
        self._fields = fields

    def __getitem__(self, index: Any) -> Any:
        return self._fields[index] if isinstance(index, str) else tuple(self._fields.values())[index]

    def __len__(self) -> int:
        return len(self._fields)

    def __iter__(self) -> Iterator[Any]:
        return iter(self._fields.values())

    def __getattr__(self, name: str) -> Any:
        fields = self.__dict__.get("_fields", {})
        if name not in fields:
            raise AttributeError(f"this row has no field {name!r}, only {', '.join(fields)}")
        return fields[name]

    def __repr__(self) -> str:
        return f"Row({self._fields!r})"
