"""What a call takes in the program that calls, beside the call itself, which is the price of what is called.

What is needed after a call has to outlast it. As much of it as there are registers that what is called must
keep lies in those: the program that calls has them saved in turn, when it is called. The rest is put into
memory before the call and brought back after it (common practice, no source). A value that is only handed
over costs nothing here: `argument_passing` of the cost model is for that, once a call. What keeps the address
that a program returns to, on CPUs whose calls put it in a register, is in no figure and not counted.
"""

from __future__ import annotations

from softfloat_py.integer_form.grammar import Call
from softfloat_py.pricing.context import Context
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.loads import Loads


def put_away(call: Call, context: Context, model: CostModel) -> int:
    """The words that are put into memory before a call, and brought back after it."""
    return max(context.live.across[call] - _kept_by_callees(model), 0)


def words_held(context: Context, loads: Loads, model: CostModel) -> int:
    """The words of a program, which decide how many registers are saved when it is called: the most that it
    holds at once; or the scratch registers and, above them, what outlasts its calls.
    """
    scratch = int(model.surrounding_code.scratch_registers.value)
    outlasting = max(context.live.across.values(), default=0)
    return max(context.most_words, loads.most_words, scratch + min(outlasting, _kept_by_callees(model)))


def _kept_by_callees(model: CostModel) -> int:
    code = model.surrounding_code
    return int(code.registers.value) - int(code.scratch_registers.value)
