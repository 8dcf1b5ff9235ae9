"""Writes a program as numpy code: one function a block that is worth one, see `engines.arrays`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from softfloat_py.engines import plain
from softfloat_py.engines.array_spellings import SPELLINGS, delivered_dtype, dtype_name, name, working_width
from softfloat_py.engines.text import Text, count_uses, operands_of
from softfloat_py.integer_form.grammar import (
    Block,
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

IN_LINE_STEPS = 8  # an if whose sides have no more steps than this is merged in line
_CHANGED_BY_NOTHING = ("subtract", "or", "xor")  # kinds that deliver their first operand if the second is 0


def write(program: Program) -> str:
    """The text of a module whose `block_0(run, n, active, lanes, *parameters)` runs the program."""
    return _Writer(program).write()


class _Writer:
    def __init__(self, program: Program) -> None:
        self.program = program
        self.uniform = _uniform_variables(program)
        self.uses = count_uses(program)
        self.functions: list[str] = []

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
        self.noted: set[Note] = set()
        self.absorbed: set[Variable] = set()  # what is computed in the merging of a join

    def write(self, results: Sequence[Operand | None]) -> None:
        names = ", ".join(["run", "n", "active", "lanes", *(name(p) for p in self.parameters)])
        with self.text.indented(f"def block_{self.block.number}({names}):"):
            self.stretch(self.block.number)
            self.statements(self.block)
            if not self.block.returns:
                values = "".join(f"{'None' if r is None else self.operand(r)}, " for r in results)
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
                case Return():
                    self.give(statement)
                case Note():
                    self.note(statement)

    # -- steps -------------------------------------------------------------------------------------

    def operand(self, operand: Operand) -> str:
        if isinstance(operand, Constant):
            return str(operand)
        return self.expressions.get(operand, name(operand))

    def is_uniform(self, operand: Operand) -> bool:
        return isinstance(operand, Constant) or operand in self.module.uniform

    def cast(self, operand: Operand, width: int) -> str:
        """An operand as text, in the dtype of a width."""
        text = self.operand(operand)
        if self.is_uniform(operand) or dtype_name(operand.width) == dtype_name(width):
            return text
        return f"{text}.astype({dtype_name(width)})"

    def step(self, step: Step) -> None:
        if step.target in self.absorbed:
            return
        uniform = step.target in self.module.uniform
        expression = self.uniform_expression(step) if uniform else self.expression(step)
        if not uniform and self.module.uses[step.target] == 1 and self.used_here(step.target):
            self.expressions[step.target] = expression
        else:
            self.text.line(f"{name(step.target)} = {expression}")

    def used_here(self, variable: Variable) -> bool:
        """Whether a variable's one use is in a step of the block it is computed in."""
        block_steps = (s for s in self.current_block.statements if isinstance(s, Step))
        return any(variable in step.operands for step in block_steps)

    def uniform_expression(self, step: Step) -> str:
        text = plain.SPELLINGS[step.kind.name]([self.operand(operand) for operand in step.operands], step)
        return f"bool({text})" if step.target.width == 1 else text

    def expression(self, step: Step) -> str:
        kind, target = step.kind.name, step.target
        if kind == "select":
            return self.select(step)
        width = working_width(step)
        if kind == "and" and isinstance(step.operands[1], Constant) and step.operands[1].width > width:
            # A mask wider than what it masks does not fit that dtype.
            mask = Constant(step.operands[1].value & ((1 << width) - 1), width)
            step = replace(step, operands=(step.operands[0], mask))
        if kind == "shift_right" and target.width == 1:
            return f"({self.cast(step.operands[0], width)} >= {1 << step.immediate:#x})"
        if kind == "and" and target.width == 1 and width > 1:
            return f"(({' & '.join(self.cast(o, width) for o in step.operands)}) != 0)"
        text = SPELLINGS[kind]([self.cast(operand, width) for operand in step.operands], step)
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
        choices = f"{self.cast(if_true, width)}, {self.cast(if_false, width)}"
        if self.is_uniform(condition):
            a, b = choices.split(", ", 1)
            return f"({a} if {self.operand(condition)} else {b})"
        return f"merge(spread({self.operand(condition)}, {dtype_name(width)}), {choices})"

    def module_step(self, operand: Operand) -> Step | None:
        for statement in self.current_block.statements:
            if isinstance(statement, Step) and statement.target == operand:
                return statement
        return None

    def note(self, note: Note) -> None:
        """Note a feature. Shifts by the same distance share a histogram."""
        if note in self.noted:
            return
        alike = [
            other
            for other in self.current_block.statements
            if isinstance(other, Note) and (other.feature, other.operands) == (note.feature, note.operands)
        ]
        self.noted.update(alike)
        words = [self.operand(operand) for operand in note.operands]
        if note.feature is Feature.SET_BITS:
            words = [self.set_bits(operand) for operand in note.operands]
        sites = tuple(other.site for other in alike)
        self.text.line(f"run.note({sites}, {' + '.join(words)}, {self.n}, {self.active})")

    def set_bits(self, operand: Operand) -> str:
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
                        self.text.line(f"{name(join.target)} = {self.array_or_uniform(join.target, value)}")
        if statement.after is not None:
            self.stretch(statement.after)

    def array_or_uniform(self, target: Variable, value: Operand) -> str:
        """A value for a variable, as an array unless the variable is the same for all elements."""
        if self.is_uniform(value) and target not in self.module.uniform:
            return f"run.full(lanes, {self.operand(value)}, {dtype_name(target.width)})"
        return self.operand(value)

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
        changes = (_change(join, statement) for join in statement.joins)
        self.absorbed.update(s.target for s in changes if s is not None and self.module.uses[s.target] == 1)
        for block, self.n in ((statement.then, n), (statement.otherwise, f"({outer_n} - {n})")):
            self.stretch(block.number)
            self.inner(block)
        self.n = outer_n
        for dtype in dict.fromkeys(dtype_name(join.target.width) for join in statement.joins):
            self.text.line(f"chosen_{number}_{dtype} = spread({mask}, {dtype})")
        for join in statement.joins:
            self.text.line(f"{name(join.target)} = {self.merged(join, statement)}")

    def merged(self, join: Join, statement: If) -> str:
        """What a join is for all elements."""
        assert join.if_true is not None
        assert join.if_false is not None
        width = join.target.width
        chosen = f"chosen_{statement.then.number}_{dtype_name(width)}"
        step = _change(join, statement)
        if step is not None:
            first, second = (self.cast(operand, width) for operand in step.operands)
            return SPELLINGS[step.kind.name]([first, f"({second} & {chosen})"], step)
        return f"merge({chosen}, {self.cast(join.if_true, width)}, {self.cast(join.if_false, width)})"

    def called_branch(self, statement: If) -> None:
        """Sides as functions, run for those elements that take them."""
        number = statement.then.number
        joins = statement.joins
        live = _live_into(statement)
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
        targets = "".join(f"{name(join.target)}, " for join in joins)
        self.text.line(f"active, n, ({targets}) = end" if joins else "active, n, _ = end")
        if statement.after is not None:
            self.stretch(statement.after)

    def loop(self, loop: Loop) -> None:
        assert isinstance(loop.count, int), "array code has no loops of variable length"
        for item in loop.carried:
            self.text.line(f"{name(item.variable)} = {self.array_or_uniform(item.variable, item.initial)}")
        self.stretch(loop.body.number, f" * {loop.count}")
        with self.text.indented(f"for _ in range({loop.count}):"):
            self.inner(loop.body)
            for item in loop.carried:
                self.text.line(
                    f"following_{item.variable.number} = {self.cast(item.following, item.variable.width)}"
                )
            for item in loop.carried:
                self.text.line(f"{name(item.variable)} = following_{item.variable.number}")

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


def _change(join: Join, statement: If) -> Step | None:
    """The step that makes a join's one value from its other, where changing it by 0 would leave it alone.

    Then x - y or x is x - (y or 0), which saves computing both and choosing.
    """
    for step in statement.then.statements:
        if isinstance(step, Step) and step.target == join.if_true and step.kind.name in _CHANGED_BY_NOTHING:
            return step if step.operands[0] == join.if_false else None
    return None


def _uniform_variables(program: Program) -> set[Variable]:
    """The variables that are the same for all elements."""
    uniform = set(program.uniform)

    def same(operand: Operand | None) -> bool:
        return operand is None or isinstance(operand, Constant) or operand in uniform

    def visit(block: Block) -> None:
        for statement in block.statements:
            if isinstance(statement, Step) and all(same(operand) for operand in statement.operands):
                uniform.add(statement.target)
            elif isinstance(statement, If):
                visit(statement.then)
                visit(statement.otherwise)
                if statement.condition in uniform:
                    uniform.update(j.target for j in statement.joins if same(j.if_true) and same(j.if_false))
            elif isinstance(statement, Loop):
                visit(statement.body)

    visit(program.body)
    return uniform


def _is_small(statement: If) -> bool:
    """Whether an if is to be merged in line: few steps and nothing else."""
    steps = [inner for block in (statement.then, statement.otherwise) for inner in block.statements]
    return len(steps) <= IN_LINE_STEPS and all(isinstance(inner, Step) for inner in steps)


def _live_into(statement: If) -> list[Variable]:
    """The variables from outside that the sides of an if use, joins included."""
    used: dict[Variable, None] = {}
    defined: set[Variable] = set()
    for block in (*statement.then.walk(), *statement.otherwise.walk()):
        used.update((o, None) for o in operands_of(block) if isinstance(o, Variable))
        for inner in block.statements:
            defined.update(_defined_by(inner))
    for join in statement.joins:
        used.update((o, None) for o in (join.if_true, join.if_false) if isinstance(o, Variable))
    return [variable for variable in used if variable not in defined]


def _defined_by(statement: Statement) -> list[Variable]:
    match statement:
        case Step(target=target):
            return [target]
        case If(joins=joins):
            return [join.target for join in joins]
        case Loop(carried=carried):
            return [item.variable for item in carried]
        case _:
            return []
