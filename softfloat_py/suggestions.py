"""'Did you mean': the nearest known name."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


def nearest_name(name: str, known: Iterable[str]) -> str | None:
    """The known name most like this one, if any is like it."""
    matches = get_close_matches(name, list(known), n=1)
    return matches[0] if matches else None
