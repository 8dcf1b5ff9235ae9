"""What an operand goes through before any routine has it, and a result after: to and from memory, and where a
format stores the leading bit. `Use.call` puts the doors there; no other routine knows of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from softfloat_py.routines.language import Routine


@dataclass(frozen=True, slots=True)
class Door:
    """A routine of one value that an operand or a result of another goes through; `fixed` are its other
    parameters.
    """

    routine: Routine
    fixed: Mapping[str, Any]

    def arguments(self, value: Any) -> dict[str, Any]:
        """The routine's arguments, by name; the value is its first parameter, x."""
        return {"x": value, **self.fixed}
