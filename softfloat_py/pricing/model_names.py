"""Names that people type for a CPU, and the cost model that each stands for.

A table lists the cores, chips and boards that it prices as its `aliases`. One that ends in * stands for all
names that begin like it, such as order codes of a chip. Case, spaces, hyphens and underscores do not matter,
and + is the word plus.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from difflib import SequenceMatcher
from string import ascii_lowercase
from typing import NamedTuple

from softfloat_py.errors import UnknownNameError
from softfloat_py.pricing.figures import refuse

_ALL_LIKE_IT = "*"
_SLIP = 0.88  # how alike two names are of which one is a slip of the pen for the other
_SHORTEST_PART = 3  # letters and digits of a name that longer ones are looked up for
_SHORTEST_FAMILY = 3  # letters and digits that names of one family have in common at the least
_HOW = "python -m softfloat_py cpus lists all"


def normalised(name: str) -> str:
    """A name without what people write in different ways."""
    return "".join(c for c in name.casefold().replace("+", "plus") if c not in " -_")


class ModelName(NamedTuple):
    """A name that a model goes by: as it is written, and normalised without the * for all names like it."""

    model: str
    written: str
    plain: str
    all_like_it: bool

    @classmethod
    def of(cls, model: str, name: str) -> ModelName:
        """A name as a table lists it."""
        written = name.removesuffix(_ALL_LIKE_IT)
        return cls(model, written, normalised(written), written != name)

    def holds_for(self, plain: str) -> bool:
        """Whether a normalised name is this one, or one of all that begin like it."""
        return plain.startswith(self.plain) if self.all_like_it else plain == self.plain

    def __str__(self) -> str:
        return self.model if self.written == self.model else f"{self.written} ({self.model})"


class ModelNames:
    """All names that models go by: their own, and the aliases of each.

    Raises CostModelError listing each name that two models go by.
    """

    def __init__(self, aliases: Mapping[str, Sequence[str]]) -> None:
        self.models = list(aliases)
        self._names = [
            ModelName.of(model, name) for model, others in aliases.items() for name in (model, *others)
        ]
        refuse("names", self._faults())

    def model(self, typed: str) -> str:
        """The model that a name stands for; UnknownNameError, with names like it, where there is none."""
        plain = normalised(str(typed))  # a table of one's own may say 8051, which is no text
        for name in self._names:
            if name.holds_for(plain):
                return name.model
        raise self.unknown(typed)

    def unknown(self, typed: str) -> UnknownNameError:
        """The error for a name that no model goes by."""
        plain = normalised(str(typed))
        meant = self._longer(plain) or self._slip(plain)
        kin = [] if meant else self._kin(plain)
        alike = f"named alike, but other parts: {', '.join(map(str, kin))}; " if kin else ""
        required = "the name of one, or of a core or chip that one is for"
        near = [name.written for name in meant]
        return UnknownNameError("a cost model", typed, self.models, near, required, alike + _HOW)

    def _faults(self) -> Iterator[str]:
        taken: dict[str, ModelName] = {}
        for name in self._names:
            if name.model != taken.setdefault(name.plain, name).model:
                yield _two_models(name, taken[name.plain])
        for family in (name for name in self._names if name.all_like_it):
            for name in self._names:
                if name.model != family.model and name.plain != family.plain and family.holds_for(name.plain):
                    yield _two_models(name, family)

    def _slip(self, plain: str) -> list[ModelName]:
        """The name that one is a slip of the pen for.

        What comes from the first digit on is the same, or breaks off: a letter there makes it another part.
        """
        number = _from_first_digit(plain)
        likely = [
            name
            for name in self._names
            if _from_first_digit(name.plain).startswith(number)
            and _digits(name.plain) == _digits(plain)
            and _likeness(name.plain, plain) >= _SLIP
        ]
        return sorted(likely, key=lambda name: -_likeness(name.plain, plain))[:1]

    def _longer(self, plain: str) -> list[ModelName]:
        """Names that a shorter one is part of, the shortest of each model.

        A number in it is whole: an ATtiny26 is no beginning of an ATtiny261.
        """
        if len(plain) < _SHORTEST_PART:
            return []
        part = re.compile(rf"(?<!\d){re.escape(plain)}(?!\d)" if plain[-1].isdigit() else re.escape(plain))
        return _one_a_model(
            (name for name in self._names if part.search(name.plain)), key=lambda name: len(name.plain)
        )

    def _kin(self, plain: str) -> list[ModelName]:
        """The nearest of each model whose names begin like this one, as far as several do.

        None where that is one model alone: it would read as an answer, though the part is another.
        """
        for length in range(len(plain), _SHORTEST_FAMILY - 1, -1):
            family = [name for name in self._names if name.plain.startswith(plain[:length])]
            kin = _one_a_model(family, key=lambda name: -_likeness(name.plain, plain))
            if len(kin) > 1:
                return kin
        return []


def _one_a_model(names: Iterable[ModelName], key: Callable[[ModelName], float]) -> list[ModelName]:
    """The first name of each model by a key, sorted by model."""
    first: dict[str, ModelName] = {}
    for name in sorted(names, key=key):
        first.setdefault(name.model, name)
    return sorted(first.values())


def _two_models(name: ModelName, other: ModelName) -> str:
    return (
        f"aliases must lead to one model each, but {name.written!r} of {name.model} "
        f"is a name of {other.model} too, {other.written!r}"
    )


def _from_first_digit(name: str) -> str:
    return name.lstrip(ascii_lowercase)


def _digits(name: str) -> str:
    return "".join(c for c in name if c.isdigit())


def _likeness(one: str, other: str) -> float:
    return SequenceMatcher(None, one, other).ratio()
