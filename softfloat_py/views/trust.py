"""How far compiled code was from estimates, in simulators and on boards, in words.

Elementary functions are compared by themselves: what was measured of sums and products says nothing of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from softfloat_py.operations import ELEMENTARY
from softfloat_py.pricing.cost_model import CompiledCode, CostModel
from softfloat_py.pricing.measured_sets import MeasuredSet
from softfloat_py.pricing.silicon import beside_estimates
from softfloat_py.views.layout import columns, counted, grouped

COMPARED = " +"  # the mark of an estimate whose like has been held against compiled code

if TYPE_CHECKING:
    from softfloat_py.pricing.estimate import Estimate


def kinds_among(calls: Iterable[tuple[str, str]]) -> list[bool]:
    """The kinds of operation among calls by (operation, format): True for elementary functions, False, which
    comes first, for all others. Without calls the latter.
    """
    return sorted({operation in ELEMENTARY for operation, _ in calls}) or [False]


def ratios_in_words(model: CostModel, elementary: bool) -> str:
    """How many times its estimate compiled code of a kind took, or that nobody has looked."""
    ratios = model.compiled_ratios(elementary)
    if ratios is None:
        return f"{'elementary functions ' if elementary else ''}not yet compared with compiled code"
    code = "elementary functions" if elementary else "code"
    return f"compiled {code} took {ratios[0]:.2f} to {ratios[1]:.2f} times the estimate"


def comparisons_of_some(estimate: Estimate) -> list[CompiledCode]:
    """The comparisons that speak of some of the operations called, and of no other."""
    called = {operation for operation, _ in estimate.calls}
    return [each for each in estimate.cpu.compared_with_compiled_code if called & set(each.only)]


def some_in_words(estimate: Estimate) -> Iterator[str]:
    """How many times its estimate compiled code of some operations took, where these lie apart."""
    called = {operation for operation, _ in estimate.calls}
    for each in comparisons_of_some(estimate):
        names = ", ".join(name for name in each.only if name in called)
        yield f"compiled {names}: {each.lowest_ratio:.2f} to {each.highest_ratio:.2f} times the estimate"


def silicon_in_words(model: CostModel, measured: MeasuredSet) -> str:
    """How many times its estimate the C of operations took on a board; by whom and when that was measured."""
    ratios = [each.ratio for each in beside_estimates(model, measured)]
    number = counted(len(ratios), "operation")
    return f"{number} took {min(ratios):.2f} to {max(ratios):.2f} times the estimate on {measured.made}"


def silicon_lines(model: CostModel, measured: MeasuredSet) -> Iterator[str]:
    """The same, with the compiler and the cycles of each operation, without call and return."""
    yield f"{silicon_in_words(model, measured)}:"
    yield f"  {measured.cpu} at {measured.clock_mhz:g} MHz, {measured.build}; {measured.timer}"
    rows: list[tuple[str, ...]] = [("cycles without the call", "lowest", "mean", "highest", "estimated")]
    for each in beside_estimates(model, measured):
        reading = each.reading
        cycles = map(measured.cycles, (reading.lowest, reading.mean, reading.highest))
        rows.append((reading.name, *map(grouped, (*cycles, each.estimated))))
    yield from (f"  {line}" for line in columns(rows, "<>>>>"))


def code_in_words(model: CostModel) -> str:
    """Whose code a model describes."""
    return f"code as {model.compiled_by.title} makes it"


def code_cell(estimate: Estimate) -> str:
    """Whose code an estimate is of, by its id, with a mark where estimates of all such operations have been
    held against code that this compiler made.
    """
    model = estimate.cpu
    is_compared = all(model.comparisons(kind) for kind in kinds_among(estimate.calls))
    return f"{model.compiled_by.id}{COMPARED if is_compared else ''}"


def times_that_miss(estimate: Estimate) -> float | None:
    """How many times its estimate compiled code took at the most, where the estimate holds its deadline and
    that would not; None otherwise.
    """
    ratios = [estimate.cpu.compiled_ratios(kind) for kind in kinds_among(estimate.calls)]
    ratios.append(kernel_ratios(estimate))
    most = max((highest for _, highest in filter(None, ratios)), default=0.0)
    used = estimate.deadline_share
    return most if used is not None and used <= 1 < used * most else None


def kernel_comparisons(estimate: Estimate) -> list[CompiledCode]:
    """The comparisons of whole kernels that speak of an estimate: operands are where they are in it, and it
    has no elementary functions, which were not among what these kernels call.
    """
    if estimate.in_memory is None or True in kinds_among(estimate.calls):
        return []
    return estimate.cpu.kernel_comparisons(estimate.in_memory)


def kernel_ratios(estimate: Estimate) -> tuple[float, float] | None:
    """The lowest and highest ratio of these comparisons; None without any."""
    return estimate.cpu.kernel_ratios(bool(estimate.in_memory)) if kernel_comparisons(estimate) else None


def kernels_in_words(estimate: Estimate) -> list[str]:
    """A line on whole kernels, if any were compared."""
    ratios = kernel_ratios(estimate)
    if ratios is None:
        return []
    kernels = "compiled kernels, with their loops, loads and stores,"
    return [f"{kernels} took {ratios[0]:.2f} to {ratios[1]:.2f} times the estimate"]
