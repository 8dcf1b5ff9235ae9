"""'Did you mean': the nearest known names, and long lists of names by family."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from difflib import get_close_matches

_SHORTEST_PART = 3  # letters of a name that are taken for a part of a longer one


def nearest_name(name: str, known: Iterable[str]) -> str | None:
    """The known name most like this one, if any is like it."""
    matches = get_close_matches(name, list(known), n=1)
    return matches[0] if matches else None


def nearest_names(name: str, known: Iterable[str], most: int = 4) -> list[str]:
    """Up to so many known names like this: the one it is a slip of the pen for, or those it is part of."""
    names = list(known)
    alike = get_close_matches(name, names, n=1, cutoff=0.8)
    longer = names_with(name, names)
    if alike or not longer:
        return alike or get_close_matches(name, names, n=most)
    return longer if len(longer) <= most else []


def names_with(part: str, names: Iterable[str]) -> list[str]:
    """Names that this is part of, if it is long enough to tell them from others."""
    return [name for name in names if len(part) >= _SHORTEST_PART and part.lower() in name]


def families(names: Iterable[str]) -> list[str]:
    """Names that begin with the same word, or with a word that is one of them, as one family: next_up and
    next_down as next_… (2), exp, exp2 and expm1 as exp… (3).
    """
    known = list(names)
    by_word: dict[str, list[str]] = {}
    for name in known:
        by_word.setdefault(_first_word(name, known), []).append(name)
    return [
        f"{shared_beginning(each)}… ({len(each)})" if len(each) > 1 else each[0] for each in by_word.values()
    ]


def _first_word(name: str, known: Sequence[str]) -> str:
    word = name.split("_")[0]
    shorter = [each for each in known if len(each) >= _SHORTEST_PART and word.startswith(each)]
    return min(shorter, key=len, default=word)


def shared_beginning(names: Sequence[str]) -> str:
    """The letters that all names begin with."""
    for place, letters in enumerate(zip(*names, strict=False)):
        if len(set(letters)) > 1:
            return names[0][:place]
    return min(names, key=len)
