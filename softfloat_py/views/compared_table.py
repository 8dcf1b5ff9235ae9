"""Which estimates have been held against compiled code, and how many times the estimate that took: a line for
each CPU and compiler.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.views.layout import columns

_HEADINGS = ("name", "code", "operations", "kernels", "kernels in memory", "functions")
_LEGEND = """\
Cycles of compiled code by those of estimates, lowest to highest of those compared: 1 where they agree.
operations: basic arithmetic by itself; kernels: whole ones, with their loops, loads and stores, by estimates
with operands in registers, or in memory (the option in_memory); functions: elementary ones;
python -m softfloat_py cpus NAME shows what was compared, with which compiler.
All other models, and compilers, have not been compared with anything."""


def compared(models: Sequence[CostModel], compiler: str | None) -> str:
    """The comparisons that models record of a compiler's code, or of all."""
    rows = [_HEADINGS, *(row for model in models for row in _rows(model, compiler))]
    return "\n".join([*columns(rows, "<<<<<<"), "", _LEGEND])


def _rows(model: CostModel, compiler: str | None) -> Iterator[tuple[str, ...]]:
    """A row for each compiler whose code was compared; the model's own comes first."""
    by_compiler = {model.compiled_by.id: model, **model.described}
    for name, each in by_compiler.items():
        if compiler not in (None, name):
            continue
        ratios = (
            each.compiled_ratios(elementary=False),
            each.kernel_ratios(in_memory=False),
            each.kernel_ratios(in_memory=True),
            each.compiled_ratios(elementary=True),
        )
        if any(ratios):
            yield (model.name, name, *map(_shown, ratios))


def _shown(ratios: tuple[float, float] | None) -> str:
    return "-" if ratios is None else f"{ratios[0]:.2f} to {ratios[1]:.2f}"
