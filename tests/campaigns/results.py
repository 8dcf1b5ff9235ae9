"""What campaigns have found so far: a file to go on from, and a table of it."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from datetime import date
from pathlib import Path

from softfloat_py.environment import Rounding
from softfloat_py.whole_files import write_text
from tests.campaigns.catalogue import Campaign
from tests.campaigns.checking import Found

FIRST = 8  # differences that are kept in words
Key = tuple[str, str, str, str]


@dataclass
class Entry:
    """A function in a format, on some operands, in one rounding direction: `done` of `blocks` blocks.

    `text` stands for the C of the function and for what it is held against: once either has changed, all
    begins anew. `doubtful` operands were decided in multiple precision. `version` is the library's, `machine`
    says what ran the blocks, `day` when the last one ended, `seconds` how long they took, all directions that
    ran together.
    """

    function: str
    format: str
    operands: str
    direction: str
    blocks: int
    text: str
    version: str
    done: int = 0
    checked: int = 0
    doubtful: int = 0
    wrong: int = 0
    seconds: float = 0.0
    first_wrong: list[str] = field(default_factory=list)
    machine: str = ""
    day: str = ""

    @property
    def key(self) -> Key:
        """What it is about."""
        return self.function, self.format, self.operands, self.direction

    @property
    def is_finished(self) -> bool:
        """Whether all blocks are done."""
        return self.done == self.blocks

    def add(self, campaign: Campaign, found: Found, machine: str, seconds: float) -> None:
        """Take what was found in the next block."""
        direction = Rounding[self.direction]
        self.done += 1
        self.checked += campaign.size
        self.doubtful += found.doubtful
        self.wrong += found.wrong[direction]
        words = [said for where, said in found.first if where == direction]
        self.first_wrong = [*self.first_wrong, *words][:FIRST]
        self.seconds = round(self.seconds + seconds, 3)
        if machine not in self.machine:
            self.machine = f"{self.machine}; {machine}" if self.machine else machine
        self.day = date.today().isoformat()


class Results:
    """The entries of a file, which need not be there yet.

    Raises ValueError for a file that has no entries of campaigns.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.entries: dict[Key, Entry] = {}
        if path.exists():
            try:
                found = [Entry(**each) for each in json.loads(path.read_text(encoding="utf-8"))]
            except (TypeError, ValueError) as error:
                raise ValueError(f"{path} must be the result file of a campaign: {error}") from error
            self.entries = {entry.key: entry for entry in found}

    def of(self, campaign: Campaign, directions: Iterable[Rounding], text: str, version: str) -> list[Entry]:
        """The entries of a campaign, new where there are none or where they are about another text."""
        found = []
        for direction in directions:
            key = _key(campaign, direction)
            entry = self.entries.get(key)
            if entry is None or (entry.text, entry.blocks) != (text, campaign.blocks):
                entry = self.entries[key] = Entry(*key, campaign.blocks, text, version)
            found.append(entry)
        return found

    def finished_text(self, campaign: Campaign, directions: Iterable[Rounding]) -> str | None:
        """The text with which a campaign is finished, if that is one text in all of some directions."""
        entries = [self.entries.get(_key(campaign, direction)) for direction in directions]
        texts = {entry.text if entry is not None and entry.is_finished else None for entry in entries}
        return texts.pop() if len(texts) == 1 else None

    def save(self) -> None:
        """Write the file."""
        rows = [asdict(entry) for entry in self.entries.values() if entry.done]
        write_text(self.path, json.dumps(rows, indent=1) + "\n")

    def table(self) -> str:
        """The entries in Markdown, a row a function, format and choice of operands."""
        rows: dict[tuple[str, str, str], list[Entry]] = {}
        for entry in self.entries.values():
            rows.setdefault(entry.key[:3], []).append(entry)
        lines = [
            "| Function | Format | Operands | Directions | Checked | Doubtful | Wrong | On | Day |",
            "|---|---|---|---:|---:|---:|---:|---|---|",
        ]
        return "\n".join([*lines, *(_row(_cells(entries)) for _, entries in sorted(rows.items()))]) + "\n"


def _key(campaign: Campaign, direction: Rounding) -> Key:
    return campaign.function.name, campaign.format.name, campaign.operands.value, direction.name


def _cells(entries: list[Entry]) -> list[str]:
    """A row of the table: what was checked, and was doubtful, in all directions together."""
    first = entries[0]
    finished = all(entry.is_finished for entry in entries)
    return [
        f"`{first.function}`",
        first.format,
        first.operands + ("" if finished else " (not all yet)"),
        str(len(entries)),
        f"{sum(entry.checked for entry in entries):,}".replace(",", " "),
        str(sum(entry.doubtful for entry in entries)),
        str(sum(entry.wrong for entry in entries)),
        "; ".join(dict.fromkeys(entry.machine for entry in entries)),
        max(entry.day for entry in entries),
    ]


def _row(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"
