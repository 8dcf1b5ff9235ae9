"""Legal routines made at random, as text that Python and the reader take: to test the language itself."""

from __future__ import annotations

import linecache
from collections.abc import Callable
from itertools import count
from random import Random
from typing import NamedTuple

from softfloat_py.routines import language

# The parameters of all of them; the last is the same for all elements of an array.
WIDTHS = {"x": 8, "y": 8, "bit": 1, "z": 19, "direction": 3}
UNIFORM = "direction"
RESULT = 70  # bits of the result
WIDEST = 40  # bits of what an expression uses again
_numbers = count(1)


class Value(NamedTuple):
    """An expression and its width."""

    text: str
    width: int


class Maker:
    """Makes one routine."""

    def __init__(self, seed: int) -> None:
        self.random = Random(seed)
        self.lines: list[str] = []
        self.names = count(1)

    def routine(self) -> language.Routine:
        """The routine, whose source can be read as if it stood in a file."""
        known = [Value(name, width) for name, width in WIDTHS.items()]
        parameters = ", ".join(f"{name}: Bits" for name in WIDTHS)
        self.lines.append(f"def routine({parameters}) -> Bits:")
        self.block(known, 1, self.random.randint(3, 7), in_loop=False)
        self.give(known, 1)
        text = "\n".join(self.lines) + "\n"
        file = f"<random routine {next(_numbers)}>"
        linecache.cache[file] = len(text), None, text.splitlines(keepends=True), file
        names = dict(vars(language))
        exec(compile(text, file, "exec", flags=0x1000000, dont_inherit=True), names)  # annotations as texts
        made: language.Routine = names["routine"]
        return made

    def line(self, depth: int, text: str) -> None:
        """Add a line of the text."""
        self.lines.append("    " * depth + text)

    def give(self, known: list[Value], depth: int) -> None:
        """Add a return."""
        value = self.narrow(self.expression(known, 2), RESULT)
        self.line(depth, f"return resize({value.text}, {RESULT})")

    def block(self, known: list[Value], depth: int, statements: int, *, in_loop: bool) -> None:
        """Statements; `known` gets the names that they assign."""
        for _ in range(statements):
            kinds = ["assign"] * 4 + ["if"] * (depth < 4) + ["loop"] * (depth < 3 and not in_loop)
            kinds += ["return"] * (not in_loop and depth < 3)
            getattr(self, f"write_{self.random.choice(kinds)}")(known, depth, in_loop)

    def write_assign(self, known: list[Value], depth: int, in_loop: bool) -> None:
        """A name for an expression."""
        value = self.expression(known, 3, site=not in_loop)
        self.assign(known, depth, self.narrow(value, WIDEST))

    def assign(self, known: list[Value], depth: int, value: Value) -> None:
        """Add an assignment to a new name."""
        name = f"v{next(self.names)}"
        self.line(depth, f"{name} = {value.text}")
        known.append(Value(name, value.width))

    def write_return(self, known: list[Value], depth: int, in_loop: bool) -> None:
        """An early return."""
        self.line(depth, f"if {self.condition(known)}:")
        inner = list(known)
        self.block(inner, depth + 1, self.random.randint(0, 2), in_loop=in_loop)
        self.give(inner, depth + 1)

    def write_if(self, known: list[Value], depth: int, in_loop: bool) -> None:
        """Both sides leave a name with one width."""
        name = f"v{next(self.names)}"
        sides = []
        for heading in (f"if {self.condition(known)}:", "else:"):
            self.line(depth, heading)
            inner = list(known)
            self.block(inner, depth + 1, self.random.randint(0, 2), in_loop=in_loop)
            value = self.narrow(self.expression(inner, 1, site=not in_loop), WIDEST)
            sides.append((len(self.lines), value))
            self.lines.append("")
        width = max(value.width for _, value in sides)
        for place, value in sides:
            self.lines[place] = "    " * (depth + 1) + f"{name} = resize({value.text}, {width})"
        known.append(Value(name, width))

    def write_loop(self, known: list[Value], depth: int, in_loop: bool) -> None:
        """A name is carried from round to round, in its width."""
        self.assign(known, depth, self.narrow(self.expression(known, 1), WIDEST))
        name, width = known[-1]
        rounds = self.random.choice(["1", "3", "bit", "y & 3"])
        self.line(depth, f"for _ in range({rounds}):")
        inner = list(known)
        self.block(inner, depth + 1, self.random.randint(0, 2), in_loop=True)
        value = self.narrow(self.expression(inner, 2, site=False), width)
        self.line(depth + 1, f"{name} = resize({value.text}, {width})")

    # -- expressions -------------------------------------------------------------------------------

    def narrow(self, value: Value, width: int) -> Value:
        """What fits a width."""
        if value.width <= width:
            return value
        kept = self.random.choice([1, width])
        return Value(f"({value.text} & {(1 << kept) - 1})", kept)

    def operand(self, known: list[Value]) -> Value:
        """A name, or a constant."""
        if self.random.random() < 0.15:
            value = self.random.choice([0, 1, 1, 2, 5, 255, 1 << 18])
            width = max(value.bit_length(), 1)
            return Value(f"constant({value}, {width})", width)
        return self.random.choice(known)

    def condition(self, known: list[Value]) -> str:
        """One bit, often of the direction alone."""
        x, y = self.operand(known), self.operand(known)
        sign = self.random.choice(["==", "!=", "<", "<=", ">", ">="])
        bits = [value.text for value in known if value.width == 1]
        return self.random.choice([f"{x.text} {sign} {y.text}", self.random.choice(bits)])

    def expression(self, known: list[Value], depth: int, *, site: bool = True) -> Value:
        """A value; with `site`, the cost of its steps may depend on operands."""
        if depth == 0:
            return self.operand(known)
        x = self.narrow(self.expression(known, depth - 1, site=site), WIDEST)
        y = self.narrow(self.expression(known, depth - 1, site=site), WIDEST)
        makers: list[Callable[[], Value]] = [
            lambda: Value(f"({x.text} + {y.text})", max(x.width, y.width) + 1),
            lambda: Value(f"(({x.text} | {y.text}) - {y.text})", max(x.width, y.width)),
            lambda: Value(f"({x.text} & {y.text})", min(x.width, y.width)),
            lambda: Value(f"({x.text} | {y.text})", max(x.width, y.width)),
            lambda: Value(f"({x.text} ^ {y.text})", max(x.width, y.width)),
            lambda: Value(f"(~{x.text})", x.width),
            lambda: self.by_constant(x),
            lambda: Value(f"({self.condition([*known, x, y])})", 1),
            lambda: self.choice(known, x, y),
            lambda: self.modulo(x, y),
            lambda: Value(f"resize({x.text}, {x.width + 3})", x.width + 3),
            lambda: Value(f"move({x.text})", x.width),
        ]
        if site:
            makers += [
                lambda: Value(f"({x.text} * {y.text})", x.width + y.width),
                lambda: Value(f"({x.text} * {x.text})", 2 * x.width),
                lambda: self.by_distance(x, y),
                lambda: Value(f"count_leading_zeros({x.text})", x.width.bit_length()),
            ]
        return self.random.choice(makers)()

    def by_constant(self, x: Value) -> Value:
        """A shift by a constant, which may leave nothing."""
        distance = self.random.randint(0, 9)
        if self.random.random() < 0.5:
            return Value(f"({x.text} << {distance})", x.width + distance)
        return Value(f"({x.text} >> {distance})", max(x.width - distance, 1))

    def by_distance(self, x: Value, y: Value) -> Value:
        """A shift by a value."""
        largest = (1 << (x.width.bit_length() - 1)) - 1  # all ones, and less than the width
        distance = f"({y.text} & {largest})"
        if self.random.random() < 0.5:
            return Value(f"({x.text} >> {distance})", x.width)
        width = x.width + largest
        return Value(f"shift_left({x.text}, {distance}, {width})", width)

    def choice(self, known: list[Value], x: Value, y: Value) -> Value:
        """A select, also one that is a minimum."""
        condition = self.condition([*known, x, y])
        if self.random.random() < 0.3:
            return Value(f"select({x.text} < {y.text}, {x.text}, {y.text})", max(x.width, y.width))
        return Value(f"select({condition}, {x.text}, {y.text})", max(x.width, y.width))

    def modulo(self, x: Value, y: Value) -> Value:
        """Wrapping arithmetic, also in fewer bits than the operands have."""
        width = self.random.choice([1, 7, 8, max(x.width, y.width)])
        word = self.random.choice(["add_modulo", "subtract_modulo"])
        return Value(f"{word}({x.text}, {y.text}, {width})", width)
