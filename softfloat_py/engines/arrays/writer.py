"""Writes a program as numpy code: one function a block that is worth one, see `engines.arrays`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import takewhile

from softfloat_py.engines.arrays.analysis import changes_of, live_into, tables_of, uniform_variables
from softfloat_py.engines.arrays.spellings import NumpyText, delivered_dtype, dtype_name, working_width
from softfloat_py.engines.python_text import ClippedText, written
from softfloat_py.engines.text import Text, count_uses, name_of
from softfloat_py.integer_form.grammar import (
    Block,
    Call,
    Constant,
    If,
    Join,
    Loop,
    Note,
    Operand,
    Program,
    Return,
    Statement,
    Step,
    Variable,
)
from softfloat_py.routines.steps import Feature
from softfloat_py.routines.tables import Table

UNIFORM = ClippedText()
LONGEST_NESTED = 1000  # characters of an expression that goes into another: Python takes 200 parentheses
IN_LINE_STEPS = 14  # an if whose sides have no more steps than this is merged in line


def write(program: Program) -> str:
    """The text of a module whose `block_0(run, n, active, lanes, *parameters)` runs the program."""
    return _Writer(program).write()


class _Writer:
    def __init__(self, program: Program) -> None:
        self.program = program
        self.uniform = uniform_variables(program)
        self.uses = count_uses(program)
        self.algebra = NumpyText(tables_of(program))
        self.functions: list[str] = []
        self._used_in_steps: dict[int, frozenset[Operand]] = {}

    def used_in_steps(self, block: Block) -> frozenset[Operand]:
        """What the steps of a block use, those within its statements left out."""
        if block.number not in self._used_in_steps:
            steps = (s for s in block.statements if isinstance(s, Step))
            self._used_in_steps[block.number] = frozenset(o for step in steps for o in step.operands)
        return self._used_in_steps[block.number]

    def write(self) -> str:
        self.function(self.program.body, list(self.program.parameters), ())
        return "\n\n".join(self.functions)

    def function(
        self, block: Block, parameters: Sequence[Variable], results: Sequence[Operand | None]
    ) -> None:
        """A block as a function of the values it uses."""
        writer = _FunctionWriter(self, block, parameters)
        writer.write(results)
        self.functions.append(writer.text.render())


class _FunctionWriter:
    """Writes one block, and those merged into it, as the body of one function."""

    def __init__(self, module: _Writer, block: Block, parameters: Sequence[Variable]) -> None:
        self.module = module
        self.block = self.current_block = block
        self.parameters = parameters
        self.text = Text()
        self.active, self.n = "active", "n"
        self.expressions: dict[Variable, str] = {}
        self.shifted: dict[Variable, tuple[str, str]] = {}  # top bits as they come by shifting: dtype, text
        self.noted: set[Note] = set()
        self.absorbed: set[Variable] = set()  # what is computed in the merging of a join

    def write(self, results: Sequence[Operand | None]) -> None:
        names = ", ".join(["run", "n", "active", "lanes", *(name_of(p) for p in self.parameters)])
        with self.text.indented(f"def block_{self.block.number}({names}):"):
            self.stretch(self.block.number)
            self.statements(self.block)
            if not self.block.returns:
                values = "".join(f"{'None' if r is None else self.cast(r, r.width)}, " for r in results)
                self.text.line(f"return active, n, ({values})")
        release(self.text.lines)

    def stretch(self, number: int, times: str = "") -> None:
        self.text.line(f"run.counts[{number}] += {self.n}{times}")

    def statements(self, block: Block) -> None:
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
                    self.give(statement)
                case Note():
                    self.note(statement)

    # -- steps -------------------------------------------------------------------------------------

    def operand(self, operand: Operand) -> str:
        if isinstance(operand, Constant):
            return str(operand)
        return self.expressions.get(operand, name_of(operand))

    def is_uniform(self, operand: Operand) -> bool:
        return isinstance(operand, Constant) or operand in self.module.uniform

    def cast(self, operand: Operand, width: int) -> str:
        """An operand as text, in the dtype of a width."""
        if isinstance(operand, Constant) and width == 1:
            return str(operand.value == 1)  # a number beside truths would make numbers of them
        if operand in self.shifted and self.shifted[operand][0] == dtype_name(width):
            return self.shifted[operand][1]
        text = self.operand(operand)
        if self.is_uniform(operand) or dtype_name(operand.width) == dtype_name(width):
            return text
        return f"{text}.astype({dtype_name(width)})"

    def lowest_bits(self, operand: Operand, width: int) -> str:
        """As `cast`, where what lies above the width is not used: a number of Python's must fit the dtype."""
        mask = (1 << width) - 1
        if isinstance(operand, Constant):
            return self.cast(Constant(operand.value & mask, min(operand.width, width)), width)
        if self.is_uniform(operand) and operand.width > width:
            return f"({self.operand(operand)} & {mask:#x})"
        return self.cast(operand, width)

    def step(self, step: Step) -> None:
        if step.target in self.absorbed:
            return
        uniform = step.target in self.module.uniform
        expression = self.uniform_expression(step) if uniform else self.expression(step)
        once = not uniform and self.module.uses[step.target] == 1 and self.used_here(step.target)
        if once and len(expression) <= LONGEST_NESTED:
            self.expressions[step.target] = expression
            if step.kind.name == "shift_right" and step.target.width == 1 < step.operands[0].width:
                shifted = self.operand(step.operands[0])
                dtype = dtype_name(step.operands[0].width)
                self.shifted[step.target] = dtype, f"({shifted} >> {step.immediate})"
        else:
            self.text.line(f"{name_of(step.target)} = {expression}")

    def used_here(self, variable: Variable) -> bool:
        """Whether a variable's one use is in a step of the block it is computed in."""
        return variable in self.module.used_in_steps(self.current_block)

    def uniform_expression(self, step: Step) -> str:
        """A step as Python computes it. One-bit values are truths, so that they meet masks as masks."""
        wide = step.target.width > 1
        operands = [
            f"int({self.operand(o)})" if wide and o.width == 1 else self.operand(o) for o in step.operands
        ]
        text = written(UNIFORM, operands, step)
        return text if wide else f"bool({text})"

    def expression(self, step: Step) -> str:
        kind, target = step.kind.name, step.target
        if kind == "select":
            return self.select(step)
        width = working_width(step)
        if kind == "shift_right" and target.width == 1:
            return f"({self.cast(step.operands[0], width)} >= {1 << step.immediate:#x})"
        if kind == "and" and target.width == 1 and width > 1:
            return f"(({' & '.join(self.lowest_bits(o, width) for o in step.operands)}) != 0)"
        # An operand may be wider where its lowest bits alone are used, and so may an index.
        may_be_cut = step.kind.modular or isinstance(step.immediate, Table)
        brought = self.lowest_bits if may_be_cut else self.cast
        operands = [brought(operand, width) for operand in step.operands]
        text = written(self.module.algebra, operands, step)
        delivered = delivered_dtype(step, width)
        return text if delivered == dtype_name(target.width) else f"{text}.astype({dtype_name(target.width)})"

    def select(self, step: Step) -> str:
        """A choice; the smaller or larger of two numbers has a quicker spelling."""
        condition, if_true, if_false = step.operands
        width = step.target.width
        less = self.module_step(condition)
        if less is not None and less.kind.name == "less" and set(less.operands) == {if_true, if_false}:
            function = "minimum" if less.operands[0] == if_true else "maximum"
            return f"np.{function}({self.cast(if_true, width)}, {self.cast(if_false, width)})"
        chosen, other = self.cast(if_true, width), self.cast(if_false, width)
        if self.is_uniform(condition):
            chosen, other = (
                self.array_or_uniform(step.target, side) if self.is_uniform(side) else text
                for side, text in ((if_true, chosen), (if_false, other))
            )
            return f"({chosen} if {self.operand(condition)} else {other})"
        return written(self.module.algebra, [self.operand(condition), chosen, other], step)

    def module_step(self, operand: Operand) -> Step | None:
        for statement in self.current_block.statements:
            if isinstance(statement, Step) and statement.target == operand:
                return statement
        return None

    def note(self, note: Note) -> None:
        """Note a feature. Shifts by the same distance in one stretch are noted at once."""
        if note in self.noted:
            return
        statements = self.current_block.statements
        stretch = takewhile(_is_within_a_stretch, statements[statements.index(note) :])
        alike = [
            other
            for other in stretch
            if isinstance(other, Note) and (other.feature, other.operands) == (note.feature, note.operands)
        ]
        self.noted.update(alike)
        words = [self.operand(operand) for operand in note.operands]
        if note.feature is Feature.SET_BITS:
            words = [self.set_bits(operand) for operand in note.operands]
            if sum(operand.width for operand in note.operands) > 255:
                words = [f"np.uint16({word})" for word in words]  # a word's count fits a byte, all do not
        sites = tuple(other.site for other in alike)
        self.text.line(f"run.note({sites}, {' + '.join(words)}, {self.n}, {self.active})")

    def set_bits(self, operand: Operand) -> str:
        if isinstance(operand, Constant):
            return str(operand.value.bit_count())
        text = self.operand(operand)
        return f"{text}.bit_count()" if self.is_uniform(operand) else f"np.bitwise_count({text})"

    # -- control flow ------------------------------------------------------------------------------

    def branch(self, statement: If) -> None:
        if statement.condition in self.module.uniform:
            self.uniform_branch(statement)
        elif self.in_line(statement):
            self.merged_branch(statement)
        else:
            self.called_branch(statement)

    def in_line(self, statement: If) -> bool:
        return _is_small(statement)

    def uniform_branch(self, statement: If) -> None:
        for heading, block, arriving in (
            (f"if {self.operand(statement.condition)}:", statement.then, "if_true"),
            ("else:", statement.otherwise, "if_false"),
        ):
            with self.text.indented(heading):
                self.stretch(block.number)
                self.inner(block)
                for join in statement.joins:
                    value = getattr(join, arriving)
                    if value is not None and not block.returns:
                        brought = self.array_or_uniform(join.target, value)
                        self.text.line(f"{name_of(join.target)} = {brought}")
        if statement.after is not None:
            self.stretch(statement.after)

    def array_or_uniform(self, target: Variable, value: Operand) -> str:
        """A value for a variable, as an array unless the variable is the same for all elements."""
        if self.is_uniform(value) and target not in self.module.uniform:
            return f"run.full(lanes, {self.operand(value)}, {dtype_name(target.width)})"
        return self.cast(value, target.width)

    def inner(self, block: Block) -> None:
        outer = self.current_block
        self.current_block = block
        self.statements(block)
        self.current_block = outer

    def merged_branch(self, statement: If) -> None:
        """Both sides for all elements, then a merge a join."""
        number = statement.then.number
        mask, n, outer_n = f"mask_{number}", f"n_{number}", self.n
        self.text.line(f"{mask} = {self.operand(statement.condition)}")
        self.text.line(f"{n} = run.hits({mask}, {self.active})")
        changes = [step for join in statement.joins for step in changes_of(join, statement)]
        self.absorbed.update(step.target for step in changes if self.module.uses[step.target] == 1)
        for block, self.n in ((statement.then, n), (statement.otherwise, f"({outer_n} - {n})")):
            self.stretch(block.number)
            self.inner(block)
        self.n = outer_n
        for dtype in dict.fromkeys(dtype_name(join.target.width) for join in statement.joins):
            self.text.line(f"chosen_{number}_{dtype} = spread({mask}, {dtype})")
        for join in statement.joins:
            self.text.line(f"{name_of(join.target)} = {self.merged(join, statement)}")

    def merged(self, join: Join, statement: If) -> str:
        """What a join is for all elements."""
        assert join.if_true is not None
        assert join.if_false is not None
        width = join.target.width
        chosen = f"chosen_{statement.then.number}_{dtype_name(width)}"
        changes = changes_of(join, statement)
        if changes:
            text = self.cast(join.if_false, width)
            for step in changes:
                seconds = [f"({self.lowest_bits(o, width)} & {chosen})" for o in step.operands[1:]]
                text = written(self.module.algebra, [text, *seconds], step)
            return text
        return f"merge({chosen}, {self.cast(join.if_true, width)}, {self.cast(join.if_false, width)})"

    def called_branch(self, statement: If) -> None:
        """Sides as functions, run for those elements that take them."""
        number = statement.then.number
        joins = statement.joins
        arriving = [value for join in joins for value in (join.if_true, join.if_false)]
        live = live_into((statement.then, statement.otherwise), arriving)
        self.module.function(statement.then, live, [join.if_true for join in joins])
        self.module.function(statement.otherwise, live, [join.if_false for join in joins])
        sides = f"(block_{number}, block_{statement.otherwise.number})"
        dtypes = "".join(f"{dtype_name(join.target.width)}, " for join in joins)
        values = "".join(f"{self.operand(v)}, " for v in live)
        condition = self.operand(statement.condition)
        self.text.line(
            f"end = run.branch({self.n}, {self.active}, lanes, {condition}, {sides}, ({dtypes}), ({values}))"
        )
        if statement.then.may_return or statement.otherwise.may_return:
            with self.text.indented("if end is None:"):
                self.text.line("return None")
        targets = "".join(f"{name_of(join.target)}, " for join in joins)
        self.text.line(f"active, n, ({targets}) = end" if joins else "active, n, _ = end")
        if statement.after is not None:
            self.stretch(statement.after)

    def loop(self, loop: Loop) -> None:
        if isinstance(loop.count, Variable):
            self.variable_loop(loop, loop.count)
            return
        for item in loop.carried:
            self.text.line(f"{name_of(item.variable)} = {self.array_or_uniform(item.variable, item.initial)}")
        self.stretch(loop.body.number, f" * {loop.count}")
        with self.text.indented(f"for _ in range({loop.count}):"):
            self.inner(loop.body)
            for item in loop.carried:
                following = self.array_or_uniform(item.variable, item.following)
                self.text.line(f"following_{item.variable.number} = {following}")
            for item in loop.carried:
                self.text.line(f"{name_of(item.variable)} = following_{item.variable.number}")

    def variable_loop(self, loop: Loop, rounds: Variable) -> None:
        """The body as a function, run for those elements that have rounds left."""
        carried = [item.variable for item in loop.carried]
        followings = [item.following for item in loop.carried]
        live = [v for v in live_into((loop.body,), followings) if v not in carried]
        self.module.function(loop.body, [*carried, *live], followings)
        initial = "".join(f"{self.array_or_uniform(i.variable, i.initial)}, " for i in loop.carried)
        outside = "".join(f"{self.operand(v)}, " for v in live)
        self.text.line(
            f"({''.join(f'{name_of(v)}, ' for v in carried)}) = run.loop({self.active}, lanes, "
            f"{self.operand(rounds)}, block_{loop.body.number}, ({initial}), ({outside}))"
        )

    def call(self, call: Call) -> None:
        """A call, in which an operand is an array unless the callee takes it as the same for all."""
        callee = self.module.program.callees.index(call.callee)
        values = "".join(
            f"run.full(lanes, {self.operand(value)}, {dtype_name(value.width)}), "
            if self.is_uniform(value) and parameter not in call.callee.uniform
            else f"{self.operand(value)}, "
            for parameter, value in zip(call.callee.parameters, call.operands, strict=True)
        )
        targets = "".join(f"{name_of(target)}, " for target in call.targets)
        self.text.line(f"({targets}) = run.call({callee}, {self.n}, {self.active}, lanes, ({values}))")

    def give(self, statement: Return) -> None:
        widths = self.module.program.result_widths
        values = "".join(f"{self.cast(r, w)}, " for r, w in zip(statement.results, widths, strict=True))
        if self.current_block is self.module.program.body:
            self.text.line(f"run.finish(({values}))")
        else:
            self.text.line(f"run.early({self.active}, lanes, ({values}))")
        self.text.line("return None")


def release(lines: list[str]) -> None:
    """Let go of each array after the line that uses it last, so that its memory, still cached, is used
    again.
    """
    last_use: dict[str, int] = {}
    for index, line in enumerate(lines):
        for word in re.findall(r"[a-z_]+_[0-9]+", line):
            last_use[word] = index
    assigned = {line.split(" = ")[0].strip() for line in lines if re.match(r" {4}[a-z_]+_[0-9]+ = ", line)}
    for index in reversed(range(len(lines))):
        done = sorted(word for word in assigned if last_use[word] == index)
        # Inside an indented part the line may run again or not at all.
        if (
            done
            and re.match(r" {4}\S", lines[index])
            and not re.match(r" {4}(return|if|else|for)", lines[index])
        ):
            lines.insert(index + 1, f"    del {', '.join(done)}")


def _is_within_a_stretch(statement: Statement) -> bool:
    """Whether what follows a statement runs as often as what comes before it."""
    return not (isinstance(statement, If) and statement.after is not None)


def _is_small(statement: If) -> bool:
    """Whether an if is to be merged in line: few steps and nothing else."""
    steps = [inner for block in (statement.then, statement.otherwise) for inner in block.statements]
    return len(steps) <= IN_LINE_STEPS and all(isinstance(inner, Step) for inner in steps)
