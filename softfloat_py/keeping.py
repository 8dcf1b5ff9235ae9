"""What is worked out from an object once and kept with it, so that it goes when the object goes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from functools import wraps
from typing import Any, Self, TypeVar, TypeVarTuple

T = TypeVar("T")
K = TypeVar("K", bound="Keeper")
Further = TypeVarTuple("Further")


class Keeper:
    """An object with which results are kept."""

    __slots__ = ("__weakref__", "_kept")

    _kept: dict[Any, Any]

    def __new__(cls, *arguments: object, **keywords: object) -> Self:
        """An object with nothing kept yet; what a class is called with is for its `__init__`."""
        keeper = super().__new__(cls)
        object.__setattr__(keeper, "_kept", {})  # most keepers are frozen
        return keeper


def kept(work_out: Callable[[K, *Further], T]) -> Callable[[K, *Further], T]:
    """A function whose results are kept with its first argument; the further ones must be hashable."""

    @wraps(work_out)
    def find(keeper: K, *further: *Further) -> T:
        key = (work_out, *further)
        try:
            found: T = keeper._kept[key]
        except KeyError:
            # Another thread may have been quicker: all are to have the same.
            found = keeper._kept.setdefault(key, work_out(keeper, *further))
        return found

    return find


class HashedOnce:
    """A frozen dataclass that is a key more often than made: its class says `__hash__ = hashed_once`."""

    __slots__ = ("_hash",)

    _hash: int


def hashed_once(self: Any) -> int:
    """The hash of all fields, worked out when it is first asked for."""
    try:
        found: int = self._hash
    except AttributeError:
        found = hash(tuple(getattr(self, field.name) for field in fields(self)))
        object.__setattr__(self, "_hash", found)
    return found
