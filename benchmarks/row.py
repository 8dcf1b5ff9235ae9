"""One row of the table: a figure of ours beside those of the peers, and the target it is held against."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple


class Target(NamedTuple):
    """The most a figure may be: so many times that of `peer` or, without one, so much in its own unit."""

    limit: float
    peer: str | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """What was measured, in `unit` (smaller is better), by us and by peers."""

    what: str
    options: str
    unit: str
    ours: float
    peers: Mapping[str, float] = field(default_factory=dict)
    target: Target | None = None

    @property
    def ratios(self) -> dict[str, float]:
        """Our figure as a multiple of each peer's."""
        return {peer: self.ours / figure for peer, figure in self.peers.items()}

    @property
    def met(self) -> bool | None:
        """Whether the target is met; None where there is none."""
        if self.target is None:
            return None
        reached = self.ours if self.target.peer is None else self.ratios[self.target.peer]
        return reached <= self.target.limit
