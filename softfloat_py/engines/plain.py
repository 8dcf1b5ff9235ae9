"""The plain engine: a program as one generated Python function on ints.

The function takes the parameters and gives (results…, record). A record is a small tuple that says all a
count needs: which way each `if` went, as the bits of one number, how often each `if` inside a loop held,
how many rounds a loop of variable length made, the features met, and for each program that is called the
records of its calls. Turning records into counts is done later, once for all equal records.

Generated code keeps no step to itself that is used once: expressions nest as deeply as the routine lets
them, which is what makes it fast.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from softfloat_py.engines.python_text import PythonText, written
from softfloat_py.engines.registry import Delivered, Row, Task
from softfloat_py.engines.text import Text, count_uses, name_of
from softfloat_py.integer_form.counting import Bill, Entry, Usage, bill_of
from softfloat_py.integer_form.grammar import (
    Block,
    Call,
    Constant,
    If,
    Loop,
    Operand,
    Program,
    Return,
    Step,
    Variable,
)
from softfloat_py.keeping import kept
from softfloat_py.routines.steps import Feature

Run = tuple[int, ...]
LONGEST_NESTED = 200  # characters of an expression worth nesting: no gain beyond, and hard to read


PYTHON = PythonText()


@dataclass(frozen=True, slots=True, eq=False)
class Plain:
    """A program ready to run on ints: `run(*arguments)` gives (*results, record)."""

    program: Program
    run: Callable[..., Run]
    source: str
    layout: RecordLayout

    def usage(self, records: Mapping[tuple[int, ...], int] | Iterable[tuple[int, ...]]) -> Usage:
        """What all the runs that left these records did."""
        return self.layout.usage(Counter(records), bill_of(self.program))

    def count(self, records: Mapping[tuple[int, ...], int] | Iterable[tuple[int, ...]]) -> Counter[Entry]:
        """The steps of all the runs that left these records."""
        return bill_of(self.program).total(self.usage(records))


@dataclass(frozen=True, slots=True)
class RecordLayout:
    """What the places of a record mean: the path's bits, then loop counters, then sites."""

    program: Program
    path_bits: Mapping[int, int]  # stretch entered if the bit is set: bit
    loop_counters: tuple[int, ...]  # stretches counted in or as loops, in record order
    features: tuple[int, ...]  # for each site, the place of its feature in the record
    callees: tuple[int, ...]  # for each program that is called, the place of the records of its calls

    def usage(self, records: Counter[tuple[int, ...]], bill: Bill) -> Usage:
        """What all runs did, from records and how often each was left.

        Records of the same way through the program differ in their features alone.
        """
        total_runs = [0] * self.program.stretches
        features: list[Counter[int]] = [Counter() for _ in self.features]
        ways: defaultdict[Run, list[Run]] = defaultdict(list)
        for record in records:
            ways[record[: 1 + len(self.loop_counters)]].append(record)
        for way, alike in ways.items():
            runs, times = self.stretch_runs(way), sum(records[record] for record in alike)
            total_runs = [
                total + times * runs_of_one for total, runs_of_one in zip(total_runs, runs, strict=True)
            ]
            for site, place, histogram in zip(bill.sites, self.features, features, strict=True):
                if runs[site.stretch]:
                    for record in alike:
                        histogram[int(record[place])] += records[record]  # a truth is 0 or 1
        return Usage(records.total(), total_runs, features, self._usages_of_callees(records))

    def _usages_of_callees(self, records: Counter[tuple[Any, ...]]) -> tuple[Usage, ...]:
        """What was done by each program that is called."""
        usages: list[Usage] = []
        for callee, place in zip(self.program.callees, self.callees, strict=True):
            calls: Counter[Run] = Counter()
            for record, times in records.items():
                for call in record[place]:
                    calls[call] += times
            usages.append(compiled(callee).usage(calls))
        return tuple(usages)

    def stretch_runs(self, way: tuple[int, ...]) -> list[int]:
        """How often each stretch ran in a run whose record begins so: a path and loop counters."""
        runs = [0] * self.program.stretches
        path, *counters = way
        counted = dict(zip(self.loop_counters, counters, strict=True))
        self._enter(self.program.body, 1, path, counted, runs)
        return runs

    def _enter(self, block: Block, times: int, path: int, counted: dict[int, int], runs: list[int]) -> bool:
        """Note a block as run; True if the program returned in it."""
        runs[block.number] += times
        for statement in block.statements:
            match statement:
                case If(then=then, otherwise=otherwise) if then.number in counted:
                    held = counted[then.number]
                    self._enter(then, held, path, counted, runs)
                    self._enter(otherwise, times - held, path, counted, runs)
                case If(then=then, otherwise=otherwise, after=after):
                    taken = then if path & self.path_bits[then.number] else otherwise
                    if self._enter(taken, times, path, counted, runs):
                        return True
                    if after is not None:
                        runs[after] += times
                case Loop(count=count, body=body):
                    rounds = times * count if isinstance(count, int) else counted[body.number]
                    self._enter(body, rounds, path, counted, runs)
                case Return():
                    return True
        return False


@kept
def compiled(program: Program) -> Plain:
    """The generated function of a program."""
    writer = _Recorder(program)
    source = writer.write()
    names = functions_called_by(program)
    exec(compile(source, f"<plain {program.name}>", "exec"), names)
    return Plain(program, names["run"], source, writer.layout)


def deliver(task: Task, rows: Sequence[Row]) -> Delivered:
    """Rows of results, one after the other, and what they count."""
    function = compiled(task.program)
    outcomes: list[Any] = [function.run(*row) for row in rows]
    usage = function.usage([outcome[-1] for outcome in outcomes])
    return Delivered([outcome[:-1] for outcome in outcomes], bill_of(task.program).total(usage), usage)


def names_of_callees(program: Program) -> dict[Program, str]:
    """The names of the functions of the programs that one calls."""
    return {callee: f"{callee.name}_{index}_" for index, callee in enumerate(program.callees)}


def functions_called_by(program: Program) -> dict[str, Callable[..., Run]]:
    """Those functions, by their names; each gives its record too."""
    return {name: compiled(callee).run for callee, name in names_of_callees(program).items()}


class Writer:
    """Writes the body of a program, for a function that has the parameters in variables of their names.

    `give` writes what is to be done with the results, as text, where the program returns; it must leave the
    body.
    """

    def __init__(self, program: Program, text: Text, give: Callable[[list[str]], None]) -> None:
        self.program, self.text, self.give = program, text, give
        self.uses = count_uses(program)
        self.expressions: dict[Variable, str] = {}
        self.called = names_of_callees(program)

    def body(self) -> None:
        """Write the whole body."""
        self.block(self.program.body)

    def operand(self, operand: Operand) -> str:
        """An operand as text."""
        if isinstance(operand, Constant):
            return str(operand)
        return self.expressions.get(operand, name_of(operand))

    def block(self, block: Block) -> None:
        """Write a block."""
        for statement in block.statements:
            match statement:
                case Step():
                    self.step(statement)
                case If():
                    self.branch(statement)
                case Loop():
                    self.loop(statement)
                case Call():
                    self.call(statement)
                case Return():
                    self.give([self.operand(result) for result in statement.results])

    def step(self, step: Step) -> None:
        """Write a step, or keep its expression for the only place where it is used."""
        operands = [self.operand(operand) for operand in step.operands]
        expression = written(PYTHON, operands, step)
        self.before_step(step, operands)
        if self.uses[step.target] == 1 and len(expression) < LONGEST_NESTED:
            self.expressions[step.target] = expression
        else:
            self.text.line(f"{name_of(step.target)} = {expression}")

    def branch(self, statement: If) -> None:
        """Write an `if`."""
        with self.text.indented(f"if {self.operand(statement.condition)}:"):
            self.taken(statement)
            self.bring(statement, [join.if_true for join in statement.joins], statement.then)
        if statement.otherwise.statements or any(join.if_false is not None for join in statement.joins):
            with self.text.indented("else:"):
                self.block(statement.otherwise)
                self.bring(statement, [join.if_false for join in statement.joins], statement.otherwise)

    def taken(self, statement: If) -> None:
        """Write the first side of an `if`."""
        self.block(statement.then)

    def bring(self, statement: If, values: Sequence[Operand | None], side: Block) -> None:
        """Write what a side brings along where control meets again."""
        for join, value in zip(statement.joins, values, strict=True):
            if value is not None and not side.returns:
                self.text.line(f"{name_of(join.target)} = {self.operand(value)}")

    def loop(self, loop: Loop) -> None:
        """Write a loop."""
        for item in loop.carried:
            self.text.line(f"{name_of(item.variable)} = {self.operand(item.initial)}")
        rounds = str(loop.count) if isinstance(loop.count, int) else self.operand(loop.count)
        self.before_loop(loop, rounds)
        with self.text.indented(f"for _ in range({rounds}):"):
            self.block(loop.body)
            targets = ", ".join(name_of(item.variable) for item in loop.carried)
            values = ", ".join(self.operand(item.following) for item in loop.carried)
            self.text.line(f"{targets} = {values}")

    def call(self, call: Call) -> None:
        """Write a call."""
        targets = ", ".join(name_of(target) for target in call.targets)
        operands = ", ".join(self.operand(operand) for operand in call.operands)
        self.text.line(f"{targets}, record = {self.called[call.callee]}({operands})")

    def before_step(self, step: Step, operands: Sequence[str]) -> None:
        """Write what is to come before a step."""

    def before_loop(self, loop: Loop, rounds: str) -> None:
        """Write what is to come before a loop."""


class _Recorder(Writer):
    """Writes one program as one function, which returns its record as well."""

    def __init__(self, program: Program) -> None:
        super().__init__(program, Text(), self.give_with_record)
        self.bill = bill_of(program)
        looped = _blocks_in_loops(program)
        in_loops = {s.then.number for block in looped for s in block.statements if isinstance(s, If)}
        self.loop_counters = tuple(sorted(in_loops | _bodies_of_variable_loops(program)))
        branches = [s.then.number for s in program.body.all_statements() if isinstance(s, If)]
        path = [number for number in branches if number not in self.loop_counters]
        self.path_bits = {number: 1 << index for index, number in enumerate(path)}
        self.pending = 0  # path bits of the sides being written that the return in them will set
        self.measured = [_measured(site.step) for site in self.bill.sites]
        self.features = list(dict.fromkeys(self.measured))  # a feature that several steps share is noted once
        self.uses.update(variable for variable, bits in self.features if not bits)  # so that it has a name
        first = 1 + len(self.loop_counters)
        places = tuple(first + self.features.index(feature) for feature in self.measured)
        calls = tuple(first + len(self.features) + index for index in range(len(self.called)))
        self.layout = RecordLayout(program, self.path_bits, self.loop_counters, places, calls)
        if {site.stretch for site in self.bill.sites} & {block.number for block in looped}:
            raise NotImplementedError(
                f"{program.name}: a step whose cost depends on an operand stands in a loop"
            )

    def write(self) -> str:
        """The text of the function."""
        parameters = ", ".join(name_of(parameter) for parameter in self.program.parameters)
        with self.text.indented(f"def run({parameters}):"):
            counters = [f"n{number}" for number in self.loop_counters]
            known = {name_of(parameter) for parameter in self.program.parameters}
            features = [name for f in self.features if (name := self.feature(*f)) not in known]
            if started := [*(["path"] if self.path_bits else []), *counters, *features]:
                self.text.line(f"{' = '.join(started)} = 0")
            if self.called:
                self.text.line(f"{' = '.join(map(_calls_of, self.called.values()))} = ()")
            self.body()
        return self.text.render()

    def feature(self, variable: Variable, set_bits: bool) -> str:
        """The name under which a feature is kept: the variable's own, unless it is its set bits."""
        return f"bits_of_{name_of(variable)}" if set_bits else name_of(variable)

    def before_step(self, step: Step, operands: Sequence[str]) -> None:
        """Note the set bits of an operand whose product costs by them."""
        if step.kind.feature is Feature.SET_BITS and isinstance(step.operands[1], Variable):
            self.text.line(f"{self.feature(step.operands[1], True)} = {operands[1]}.bit_count()")

    def taken(self, statement: If) -> None:
        """Note the way; a side that returns leaves that to its return."""
        then = statement.then
        bit = self.path_bits.get(then.number, 0)
        outside = self.pending
        if not bit:
            self.text.line(f"n{then.number} += 1")
        elif then.returns:
            self.pending |= bit
        else:
            self.text.line(f"path |= {bit}")
        self.block(then)
        self.pending = outside

    def before_loop(self, loop: Loop, rounds: str) -> None:
        """Note the rounds of a loop of variable length."""
        if not isinstance(loop.count, int):
            self.text.line(f"n{loop.body.number} += {rounds}")

    def call(self, call: Call) -> None:
        """Keep the record of the call."""
        super().call(call)
        self.text.line(f"{_calls_of(self.called[call.callee])} += (record,)")

    def give_with_record(self, results: list[str]) -> None:
        """Return the results, and the record."""
        path = "path" if self.path_bits else "0"
        if self.pending:
            path = f"{path} | {self.pending}"
        record = [
            path,
            *(f"n{number}" for number in self.loop_counters),
            *(self.feature(*f) for f in self.features),
            *map(_calls_of, self.called.values()),
        ]
        self.text.line(f"return {', '.join(results)}, ({', '.join(record)},)")


def _measured(step: Step) -> tuple[Variable, bool]:
    """The variable that a step's feature is, and whether it is the number of its set bits."""
    variable = step.target if step.kind.feature is Feature.RESULT else step.operands[1]
    assert isinstance(variable, Variable)
    return variable, step.kind.feature is Feature.SET_BITS


def _calls_of(function: str) -> str:
    """The name under which the records of a function's calls are kept."""
    return f"calls_of_{function}"


def _bodies_of_variable_loops(program: Program) -> set[int]:
    return {loop.body.number for loop in program.body.all_loops() if not isinstance(loop.count, int)}


def _blocks_in_loops(program: Program) -> set[Block]:
    return {block for loop in program.body.all_loops() for block in loop.body.walk()}
