"""Legal routines made at random, as text that Python and the reader take: to test the language itself.

To have more of the language in them: a further `write_…` among the statements of `Maker.block`, or a further
line among the expressions of `Maker.expression`. Each says how wide its value is.
"""

from __future__ import annotations

import linecache
from collections.abc import Callable
from dataclasses import dataclass
from itertools import count
from random import Random
from typing import NamedTuple

from softfloat_py.routines import language

# The parameters of all of them; the last is the same for all elements of an array.
WIDTHS = {"x": 8, "y": 16, "bit": 1, "z": 19, "w": 45, "direction": 3}
UNIFORM = "direction"
RESULTS = [(70,), (70,), (32,), (16,), (8,), (1,), (64, 9), (45, 70)]  # bits of what they deliver
PART = {"p": 12, "q": 20}  # the parameters of the routine that each of them may call
PART_RESULT = 16
CALLED = {"y": 16, "bit": 1, "q": 20}  # those of a routine that stays one, and what it may deliver
CALLED_RESULTS = [(8,), (70,), (1, 16), (40, 70, 1)]
WIDEST = 40  # bits of what an expression uses again
FLAGS = ("INVALID_OPERATION", "DIVISION_BY_ZERO", "OVERFLOW", "UNDERFLOW", "INEXACT")
_numbers = count(1)


@dataclass(frozen=True)
class Made:
    """A routine as text and as Python has it; `keeps_flags` says whether the flags it raises are kept."""

    text: str
    keeps_flags: bool

    @property
    def routine(self) -> language.Routine:
        """The routine, whose source can be read as if it stood in a file."""
        file = f"<random routine {next(_numbers)}>"
        linecache.cache[file] = len(self.text), None, self.text.splitlines(keepends=True), file
        names = dict(vars(language))
        exec(
            compile(self.text, file, "exec", flags=0x1000000, dont_inherit=True), names
        )  # annotations as texts
        routine: language.Routine = names["routine"]
        return routine


class Value(NamedTuple):
    """An expression and its width."""

    text: str
    width: int


Known = list[Value]


def made(seed: int) -> Made:
    """The routine of a seed."""
    return Maker(seed).made()


class Maker:
    """Makes one routine."""

    def __init__(self, seed: int) -> None:
        self.random = Random(seed)
        self.lines: list[str] = []
        self.names = count(1)
        self.results: tuple[int, ...] = ()
        self.called: tuple[int, ...] = ()  # what the routine that stays one delivers, once it is there

    def made(self) -> Made:
        """The routine, behind one that is written out or called, and maybe one that is called."""
        self.write_part()
        if self.random.random() < 0.5:
            self.called = self.write_called()
        self.results = self.random.choice(RESULTS)
        known = [Value(name, width) for name, width in WIDTHS.items()]
        parameters = ", ".join(f"{name}: Bits" for name in WIDTHS)
        self.line(0, f"def routine({parameters}) -> Bits:")
        self.block(known, 1, self.random.randint(3, 7), in_loop=False)
        self.give(known, 1)
        return Made("\n".join(self.lines) + "\n", self.random.random() < 0.5)

    def write_part(self) -> None:
        """A routine that can be called for its value: it returns early or at its end."""
        known = [Value(name, width) for name, width in PART.items()]
        if self.random.random() < 0.3:
            self.line(0, "@called")
        self.line(0, f"def part({', '.join(f'{name}: Bits' for name in PART)}) -> Bits:")
        if self.random.random() < 0.3:
            self.write_signal(known, 1, in_loop=False)
        if self.random.random() < 0.6:
            self.line(1, f"if {self.condition(known)}:")
            self.line(2, f"return {self.fitted(known, PART_RESULT)}")
        self.write_assign(known, 1, in_loop=False)
        self.line(1, f"return {self.fitted(known, PART_RESULT)}")

    def write_called(self) -> tuple[int, ...]:
        """A routine that stays one and is called; gives the widths of what it delivers."""
        known = [Value(name, width) for name, width in CALLED.items()]
        self.results = self.random.choice(CALLED_RESULTS)
        self.line(0, "@called")
        self.line(0, f"def staying({', '.join(f'{name}: Bits' for name in CALLED)}) -> tuple[Bits, ...]:")
        self.block(known, 1, self.random.randint(1, 4), in_loop=False)
        self.give(known, 1)
        return self.results

    def line(self, depth: int, text: str) -> None:
        """Add a line of the text."""
        self.lines.append("    " * depth + text)

    def fitted(self, known: Known, width: int, *, site: bool = True) -> str:
        """An expression in a width."""
        value = self.narrow(self.expression(known, 2, site=site), width)
        return f"resize({value.text}, {width})"

    # -- statements --------------------------------------------------------------------------------

    def block(self, known: Known, depth: int, statements: int, *, in_loop: bool) -> None:
        """Statements; `known` gets the names that they assign. A loop neither signals nor returns."""
        writers = [self.write_assign] * 6 + [self.write_phase, self.write_entry, self.write_quotient]
        if depth < 4:
            writers += [self.write_if] * 2
        if depth < 3:
            writers += [self.write_loop, self.write_unrolled]
        if not in_loop:
            writers += [self.write_signal]
        if depth < 3 and not in_loop:
            writers += [self.write_return] * 2
        if self.called and not (in_loop and self.signals):
            writers += [self.write_call] * 3
        for _ in range(statements):
            self.random.choice(writers)(known, depth, in_loop=in_loop)

    def inner(self, known: Known, depth: int, *, in_loop: bool) -> Known:
        """A few statements inside another; what is known behind them there."""
        inner = list(known)
        self.block(inner, depth + 1, self.random.randint(0, 2), in_loop=in_loop)
        return inner

    def give(self, known: Known, depth: int) -> None:
        """Add a return: of what the routine delivers, or of what another routine makes of something."""
        if self.results == (PART_RESULT,) and self.random.random() < 0.5:
            self.line(depth, f"return {self.call_of_part(known).text}")
        else:
            self.line(depth, f"return {', '.join(self.fitted(known, width) for width in self.results)}")

    def write_assign(self, known: Known, depth: int, *, in_loop: bool) -> None:
        """A name for an expression."""
        self.assign(known, depth, self.narrow(self.expression(known, 3, site=not in_loop), WIDEST))

    def assign(self, known: Known, depth: int, value: Value) -> None:
        """Add an assignment to a new name."""
        name = f"v{next(self.names)}"
        self.line(depth, f"{name} = {value.text}")
        known.append(Value(name, value.width))

    @property
    def signals(self) -> bool:
        """Whether anything may signal so far."""
        return any("signal(" in line for line in self.lines)

    def write_call(self, known: Known, depth: int, *, in_loop: bool) -> None:
        """Names for what a call delivers."""
        arguments = [self.fitted(known, width, site=not in_loop) for width in CALLED.values()]
        names = [f"v{next(self.names)}" for _ in self.called]
        self.line(depth, f"{', '.join(names)} = staying({', '.join(arguments)})")
        known += map(Value, names, self.called)

    def write_phase(self, known: Known, depth: int, *, in_loop: bool) -> None:
        """A name for what follows."""
        self.line(depth, f'phase("{self.random.choice(["align", "add", "round"])}")')

    def write_signal(self, known: Known, depth: int, *, in_loop: bool) -> None:
        """A flag, raised always or on a condition."""
        when = f", {self.condition(known)}" if self.random.random() < 0.7 else ""
        self.line(depth, f"signal(Flags.{self.random.choice(FLAGS)}{when})")

    def write_return(self, known: Known, depth: int, *, in_loop: bool) -> None:
        """An early return."""
        self.line(depth, f"if {self.condition(known)}:")
        self.give(self.inner(known, depth, in_loop=in_loop), depth + 1)

    def write_entry(self, known: Known, depth: int, *, in_loop: bool) -> None:
        """An entry of a table where the index has one, something else where it has none."""
        name, index = f"v{next(self.names)}", self.random.choice(known)
        entries = tuple(self.random.getrandbits(9) | 256 for _ in range(self.random.randint(1, 6)))
        self.line(depth, f"if {index.text} < {len(entries)}:")
        self.line(depth + 1, f"{name} = look_up({entries}, {index.text})")
        self.line(depth, "else:")
        self.line(depth + 1, f"{name} = constant({self.random.getrandbits(9)}, 9)")
        known.append(Value(name, 9))

    def write_quotient(self, known: Known, depth: int, *, in_loop: bool) -> None:
        """A quotient where there is one, something else where the divisor is zero."""
        name, x, y = f"v{next(self.names)}", self.random.choice(known), self.random.choice(known)
        self.line(depth, f"if {y.text} != 0:")
        self.line(depth + 1, f"{name} = divide({x.text}, {y.text}, {x.width})")
        self.line(depth, "else:")
        self.line(depth + 1, f"{name} = constant(0, {x.width})")
        known.append(self.narrow(Value(name, x.width), WIDEST))

    def write_if(self, known: Known, depth: int, *, in_loop: bool) -> None:
        """Both sides leave a name with one width."""
        name = f"v{next(self.names)}"
        sides = []
        for heading in (f"if {self.condition(known)}:", "else:"):
            self.line(depth, heading)
            inner = self.inner(known, depth, in_loop=in_loop)
            value = self.narrow(self.expression(inner, 1, site=not in_loop), WIDEST)
            sides.append((len(self.lines), value))
            self.lines.append("")
        width = max(value.width for _, value in sides)
        for place, value in sides:
            self.lines[place] = "    " * (depth + 1) + f"{name} = resize({value.text}, {width})"
        known.append(Value(name, width))

    def write_loop(self, known: Known, depth: int, *, in_loop: bool) -> None:
        """A name is carried from round to round, in its width."""
        rounds = self.random.choice(["1", "3", "bit", "y & 3", "2, 4"])
        self.carry(known, depth, f"for _ in range({rounds}):", in_loop=True)

    def write_unrolled(self, known: Known, depth: int, *, in_loop: bool) -> None:
        """A loop that is written out, in which its counter is a number."""
        counter = f"i{next(self.names)}"
        self.carry(known, depth, f"for {counter} in unrolled(3):", in_loop=in_loop, counter=counter)

    def carry(self, known: Known, depth: int, heading: str, *, in_loop: bool, counter: str = "1") -> None:
        """A loop that changes a name."""
        self.assign(known, depth, self.narrow(self.expression(known, 1, site=not in_loop), WIDEST))
        name, width = known[-1]
        self.line(depth, heading)
        inner = self.inner(known, depth, in_loop=in_loop)
        changed = f"add_modulo({name}, {self.fitted(inner, width, site=not in_loop)} >> {counter}, {width})"
        self.line(depth + 1, f"{name} = {changed}")

    # -- expressions -------------------------------------------------------------------------------

    def expression(self, known: Known, depth: int, *, site: bool = True) -> Value:
        """A value; with `site`, the cost of its steps may depend on operands."""
        if depth == 0:
            return self.operand(known)
        x = self.narrow(self.expression(known, depth - 1, site=site), WIDEST)
        y = self.narrow(self.expression(known, depth - 1, site=site), WIDEST)
        wider = max(x.width, y.width)
        makers: list[Callable[[], Value]] = [
            lambda: Value(f"({x.text} + {y.text})", wider + 1),
            lambda: Value(f"(({x.text} | {y.text}) - {y.text})", wider),
            lambda: Value(f"({x.text} & {y.text})", min(x.width, y.width)),
            lambda: Value(f"divide({x.text}, {y.text} | 1, {x.width})", x.width),
            lambda: Value(f"({x.text} | {y.text})", wider),
            lambda: Value(f"({x.text} ^ {y.text})", wider),
            lambda: Value(f"(~{x.text})", x.width),
            lambda: self.beside_a_number(x),
            lambda: self.by_constant(x),
            lambda: Value(f"({self.condition([*known, x, y])})", 1),
            lambda: self.choice(known, x, y),
            lambda: self.modulo(x, y),
            lambda: self.part_of(x),
            lambda: self.entry(x),
            lambda: Value(f"concatenate({x.text}, {y.text})", x.width + y.width),
            lambda: Value(f"resize({x.text}, {x.width + 3})", x.width + 3),
            lambda: Value(f"{self.random.choice(['move', 'load', 'store'])}({x.text})", x.width),
        ]
        if site:
            makers += [
                lambda: Value(f"({x.text} * {y.text})", x.width + y.width),
                lambda: Value(f"({x.text} * {x.text})", 2 * x.width),
                lambda: self.by_distance(x, y),
                lambda: Value(f"count_leading_zeros({x.text})", x.width.bit_length()),
                lambda: self.call_of_part([*known, x, y]),
            ]
        return self.random.choice(makers)()

    def narrow(self, value: Value, width: int) -> Value:
        """What fits a width."""
        if value.width <= width:
            return value
        kept = self.random.choice([1, width])
        return Value(f"({value.text} & {(1 << kept) - 1})", kept)

    def operand(self, known: Known) -> Value:
        """A name, or a constant."""
        if self.random.random() < 0.15:
            value = self.random.choice([0, 1, 1, 2, 5, 255, 1 << 18])
            width = max(value.bit_length(), 1)
            return Value(f"constant({value}, {width})", width)
        return self.random.choice(known)

    def condition(self, known: Known) -> str:
        """One bit, often of the direction alone."""
        x, y = self.operand(known), self.operand(known)
        sign = self.random.choice(["==", "!=", "<", "<=", ">", ">="])
        bits = [value.text for value in known if value.width == 1]
        return self.random.choice(
            [f"{x.text} {sign} {y.text}", self.random.choice(bits or ["constant(1, 1)"])]
        )

    def beside_a_number(self, x: Value) -> Value:
        """A number of Python's, of as many bits as it needs, on either side of an operator."""
        number = self.random.choice([0, 1, 6, 255])
        wider = max(x.width, number.bit_length(), 1)
        sign, width = self.random.choice([("+", wider + 1), ("|", wider), ("^", wider)])
        sides = [x.text, str(number)]
        self.random.shuffle(sides)
        return Value(f"({f' {sign} '.join(sides)})", width)

    def entry(self, x: Value) -> Value:
        """An entry of a table, at an index that has one."""
        bits = self.random.choice([1, 5, 8, 33, WIDEST, 70])
        index = self.random.randint(1, min(x.width, 4))
        entries = [self.random.getrandbits(bits) for _ in range((1 << index) + self.random.choice([0, 3]))]
        width = max(1, max(entries).bit_length())
        return Value(f"look_up({tuple(entries)}, {x.text} & {(1 << index) - 1})", width)

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

    def part_of(self, x: Value) -> Value:
        """Some bits out of a value."""
        low, width = self.random.randint(0, x.width - 1), self.random.randint(1, 12)
        return Value(f"field({x.text}, {low}, {width})", min(width, x.width - low))

    def choice(self, known: Known, x: Value, y: Value) -> Value:
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

    def call_of_part(self, known: Known) -> Value:
        """The other routine, called for its value; inside itself, no call."""
        if not any(value.text in WIDTHS for value in known):
            return self.operand(known)
        arguments = []
        for width in PART.values():
            value = self.narrow(self.operand(known), width)
            arguments.append(f"resize({value.text}, {width})")
        return Value(f"part({', '.join(arguments)})", PART_RESULT)
