"""What stands around a kernel in C: the header that it includes, and what calls it.

`numbers.h` has the type `number`, the constants of the Python file, and for each operation a macro that
begins with where its result goes: `addition(sum, sum, x[i])`. Where the emitted functions take integers by
value, that is `sum = binary32_addition(sum, x[i])`; where they take structures, it passes their addresses.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from softfloat_py.engines.signature import Meaning
from softfloat_py.numbers.formats import Format
from softfloat_py.operations import Result
from softfloat_py.uses import Use

PREFIX = "buoy"  # of the functions by which a kernel is called
OPERANDS = ("x", "y", "z")


@dataclass(frozen=True)
class Numbers:
    """How numbers of a format are passed: by value, or as structures by their address; `prefix` is that of
    the functions, and the name of their header.
    """

    format: Format
    prefix: str
    by_address: bool

    @property
    def words(self) -> int:
        """How many words of 32 bits a number is."""
        return -(-self.format.width // 32)

    @property
    def type(self) -> str:
        """The type in C."""
        return f"{self.prefix}_encoding" if self.by_address else f"uint{self.format.width}_t"

    def text(self, value: float) -> str:
        """What a value is initialised with."""
        bits = self.format(value).bits
        if not self.by_address:
            return f"UINT{self.format.width}_C({bits:#x})"
        return (
            f"{{{{{', '.join(f'UINT32_C({bits >> 32 * n & 0xFFFFFFFF:#x})' for n in range(self.words))}}}}}"
        )

    def constant(self, name: str, value: Any) -> str:
        """The definition of a constant of the Python file."""
        if isinstance(value, tuple):
            return f"static const number {name}[] = {{{', '.join(map(self.text, value))}}};"
        if isinstance(value, int):
            return f"#define {name} {value}"
        if self.by_address:
            return f"static const number {name} = {self.text(value)};"
        return f"#define {name} {self.text(value)}"

    def macro(self, use: Use) -> str:
        """The macro of an operation."""
        operands = OPERANDS[: len(use.signature.operands)]
        numbers = [operand.meaning is Meaning.NUMBER for operand in use.signature.operands]
        given = [
            f"&({operand})" if self.by_address and is_number else operand
            for operand, is_number in zip(operands, numbers, strict=True)
        ]
        function = f"{self.prefix}_{name_of(use)}"
        if use.operation.result is Result.TRUTH:
            return f"#define {name_of(use)}({', '.join(operands)}) {function}({', '.join(given)})"
        called = f"{function}({', '.join((*given, '&(to)'))})"
        if not self.by_address:
            called = f"((to) = {function}({', '.join(given)}))"
        return f"#define {name_of(use)}({', '.join(('to', *operands))}) {called}"

    def header(self, uses: Iterable[Use], constants: Mapping[str, Any]) -> str:
        """The text of numbers.h."""
        word = (
            "(x).word[n]" if self.by_address else f"(uint32_t)((x) >> {'32 * (n)' if self.words > 1 else 0})"
        )
        lines = [
            f'#include "{self.prefix}.h"',
            f"typedef {self.type} number;",
            f"#define WORDS {self.words}",
            f"#define WORD(x, n) {word}",
            *(self.constant(name, value) for name, value in {"ZERO": 0.0, **constants}.items()),
            *map(self.macro, uses),
        ]
        return "\n".join(lines) + "\n"

    def caller(self, values: Sequence[Any], outputs: int) -> str:
        """The text of a source with a kernel's inputs, which calls it and gives the words of its outputs."""
        integers = isinstance(values[0], np.integer)
        kind = f"{values[0].dtype}_t" if integers else "number"
        texts = [str(value) if integers else self.text(value) for value in values]
        return f"""\
#include "numbers.h"

static const {kind} in[] = {{
    {("," + chr(10) + "    ").join(texts)}
}};
static number out[{outputs}];

void kernel(const {kind} *in, number *out);

uint32_t {PREFIX}_kernel(uint32_t given)
{{
    kernel(in, out);
    return given;
}}

uint32_t {PREFIX}_word(uint32_t place)
{{
    return WORD(out[place / WORDS], place % WORDS);
}}
"""


def name_of(use: Use) -> str:
    """The name of an operation in C, without the format's."""
    name = use.operation.name
    return name if use.parameter is None else f"{name}_{use.parameter.name}"
