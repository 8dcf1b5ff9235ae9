"""The printed form: compact, the same every time, the language of the form's tests.

addition(x:32, y:32; direction:3) -> 32, 5
  order:
    t.4:31 = and x.1 0x7fffffff
    if t.6
      ...
    else
      ...
    join x.9:32 = x.7 | x.1
"""

from __future__ import annotations

from collections.abc import Iterator

from softfloat_py.integer_form.grammar import Block, Call, If, Loop, Note, Program, Return, Statement, Step


def printed(program: Program) -> str:
    """The whole program as text, a statement a line, phases as headings where they change; after it each of
    those that it calls, once.
    """
    return "".join(_alone(each) for each in dict.fromkeys(_with_callees(program)))


def _with_callees(program: Program) -> Iterator[Program]:
    yield program
    for callee in program.callees:
        yield from _with_callees(callee)


def _alone(program: Program) -> str:
    operands = ", ".join(f"{v}:{v.width}" for v in program.operands)
    uniform = ", ".join(f"{v}:{v.width}" for v in program.parameters if v in program.uniform)
    heading = f"{program.name}({operands}{'; ' + uniform if uniform else ''})"
    results = ", ".join(str(width) for width in program.result_widths)
    return "\n".join([f"{heading} -> {results}", *_block(program.body, "  ")]) + "\n"


def _block(block: Block, indent: str) -> Iterator[str]:
    phase = None
    for statement in block.statements:
        if not isinstance(statement, Note) and statement.phase != phase:
            phase = statement.phase
            yield f"{indent}{phase}:"
        yield from _statement(statement, indent + "  ")


def _statement(statement: Statement, indent: str) -> Iterator[str]:
    match statement:
        case Step():
            operands = " ".join(str(operand) for operand in statement.operands)
            immediate = f", {statement.immediate}" if statement.immediate else ""
            target = statement.target
            yield f"{indent}{target}:{target.width} = {statement.kind.name} {operands}{immediate}"
        case Call():
            targets = " ".join(f"{target}:{target.width}" for target in statement.targets)
            operands = " ".join(str(operand) for operand in statement.operands)
            yield f"{indent}{targets} = call {statement.callee.name} {operands}"
        case Return():
            yield f"{indent}return {' '.join(str(result) for result in statement.results)}"
        case Note():
            yield f"{indent}note {statement.site} {' '.join(str(operand) for operand in statement.operands)}"
        case If():
            yield f"{indent}if {statement.condition}"
            yield from _block(statement.then, indent + "  ")
            yield f"{indent}else"
            yield from _block(statement.otherwise, indent + "  ")
            for join in statement.joins:
                sides = " | ".join(
                    "-" if side is None else str(side) for side in (join.if_true, join.if_false)
                )
                yield f"{indent}join {join.target}:{join.target.width} = {sides}"
        case Loop():
            for item in statement.carried:
                carried = f"{item.variable}:{item.variable.width}"
                yield f"{indent}carry {carried} = {item.initial}, then {item.following}"
            yield f"{indent}repeat {statement.count}"
            yield from _block(statement.body, indent + "  ")
