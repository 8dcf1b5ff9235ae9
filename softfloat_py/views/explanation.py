"""One operation told from its recorded steps: what the lecturer's blackboard would show."""

from __future__ import annotations

from collections.abc import Iterator

from softfloat_py.engines.stepwise import Record
from softfloat_py.integer_form.grammar import Program
from softfloat_py.numbers.operands import integers
from softfloat_py.operations import Operation, Result
from softfloat_py.routines.phases import PHASES
from softfloat_py.routines.sign_and_class import FloatClass
from softfloat_py.teaching.explanation import Explanation, phase_of
from softfloat_py.teaching.rounded_sum import RoundedSum, find_rounding
from softfloat_py.views.encodings import described, field_lines
from softfloat_py.views.fixed_point import fixed_point_lines
from softfloat_py.views.layout import (
    Section,
    arithmetic,
    binary,
    columns,
    counted,
    grouped,
    sections_html,
    sections_text,
)
from softfloat_py.views.listing import step_sections
from softfloat_py.views.rounding_words import DIRECTIONS, letters_explained, rounding_words
from softfloat_py.views.worksheet import Worksheet


def text(explanation: Explanation) -> str:
    """Operands, significands place by place, the rounding in words, the result, all steps and counts."""
    return sections_text(_heading(explanation), _sections(explanation))


def html(explanation: Explanation) -> str:
    """The same for a notebook."""
    return sections_html(_heading(explanation), _sections(explanation))


def title(explanation: Explanation) -> str:
    """What is explained: the operation, its operands, their format and another one where there is one."""
    operation, fmt = explanation.use.operation, explanation.use.format
    operands = " and ".join(_operand_values(explanation))
    match explanation.use.parameter:
        case None:
            return f"{operation.name} of {operands} in {fmt.name}"
        case target if operation.result in (Result.TARGET_NUMBER, Result.INTEGER):
            return f"{operation.name} of {operands} from {fmt.name} to {target.name}"
        case integer:
            return f"{operation.name} of {operands} from {integer.name} to {fmt.name}"


def _operand_values(explanation: Explanation) -> list[str]:
    use = explanation.use
    return [
        str(integers(bits, use.integer)) if is_integer else described(explanation.format, bits)
        for _, bits, is_integer in _operands(explanation)
    ]


def _operands(explanation: Explanation) -> Iterator[tuple[str, int, bool]]:
    """Each operand's name and bits, and whether it is an integer."""
    operation = explanation.use.operation
    for name, bits in zip(operation.operands, explanation.operands, strict=True):
        yield name, bits, name in operation.integer_operands


def _has_direction(operation: Operation) -> bool:
    return operation.rounds or "rounding" in operation.fixed or operation.result is Result.PAIR


def _heading(explanation: Explanation) -> list[str]:
    use = explanation.use
    lines = [title(explanation), f"arithmetic: {arithmetic(use.options.name)}"]
    if _has_direction(use.operation):
        lines.append(f"rounding: {DIRECTIONS[explanation.rounding]}")
    return [*lines, f"source: {use.operation.source}"]


def _sections(explanation: Explanation) -> Iterator[Section]:
    yield Section("Operands", _operand_lines(explanation))
    yield from _fixed_point_sections(explanation)
    yield from _significand_sections(explanation)
    yield Section("Result", _result_lines(explanation))
    yield Section("Steps, in the order they were taken", [])
    yield from step_sections(explanation.use.program, explanation.record)
    yield Section("Steps counted", _count_lines(explanation))


def _operand_lines(explanation: Explanation) -> list[str]:
    use = explanation.use
    numbers = [(name, bits) for name, bits, is_integer in _operands(explanation) if not is_integer]
    lines = field_lines(explanation.format, numbers) if numbers else []
    for name, bits, is_integer in _operands(explanation):
        if is_integer:
            lines.append(f"{name}  {binary(bits, use.integer.width)}  {integers(bits, use.integer)}")
    return lines


def _fixed_point_sections(explanation: Explanation) -> Iterator[Section]:
    lines = fixed_point_lines(explanation.record)
    if lines:
        yield Section("In fixed point", lines)


def _significand_sections(explanation: Explanation) -> Iterator[Section]:
    found = _rounding_of(explanation)
    if found is None:
        if _has_direction(explanation.use.operation):
            yield Section("Rounding", [_nothing_added(explanation)])
        return
    program, record, rounding = found
    if not rounding.in_place:
        sheet = Worksheet(program, record, explanation.format, rounding)
        yield Section("Significands, place by place", [*sheet.lines(), letters_explained(rounding.extra)])
    words = rounding_words(rounding, explanation.rounding)
    passed = explanation.steps_by_phase
    remarks = [f"{phase}: {PHASES[phase]}" for phase in ("below normal range", "overflow") if phase in passed]
    yield Section("Rounding", [*words, *remarks])


def _rounding_of(explanation: Explanation) -> tuple[Program, Record, RoundedSum] | None:
    """The rounding, and the run that it is in: that of the operation, or of what it called."""
    for program, record in explanation.record.runs(explanation.use.program):
        if (rounding := find_rounding(record)) is not None:
            return program, record, rounding
    return None


def _nothing_added(explanation: Explanation) -> str:
    if "round" in explanation.steps_by_phase:
        return "nothing is added: the bits below the kept ones are dropped, whatever they are worth"
    phase = phase_of(explanation.record.events[-1])
    if phase == "below one":
        return f"{phase}: {PHASES[phase]}"
    return f"there was nothing to round: the result was settled in phase {phase!r}"


def _result_lines(explanation: Explanation) -> list[str]:
    use, result, kind = explanation.use, explanation.result, explanation.use.operation.result
    if (fmt := explanation.result_format) is not None:
        lines = field_lines(fmt, zip(("result", "error"), explanation.results, strict=False))
    elif kind is Result.TRUTH:
        lines = ["true" if result else "false"]
    elif kind is Result.CLASS:
        lines = [FloatClass(result).name.lower().replace("_", " ")]
    else:
        lines = [f"{integers(result, use.integer)}  {binary(result, use.integer.width)}"]
    return [
        *lines,
        "flags raised: " + ("not recorded" if explanation.flags is None else str(explanation.flags)),
    ]


def _count_lines(explanation: Explanation) -> list[str]:
    total = sum(explanation.record.counts.values())
    tables = [("by phase", explanation.steps_by_phase), ("by kind", explanation.steps_by_kind)]
    lines = [counted(total, "step") + " with the loads of constants, the branches, the call and the return"]
    for title, counts in tables:
        lines += [title, *columns([(f"  {name}", grouped(n)) for name, n in counts.items()], "<>")]
    return lines
