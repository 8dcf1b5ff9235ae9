"""A program in the steps that C has: no value wider than a C type, no count of leading zeros, no product of
factors wider than the target multiplies.

Values of several words come from `lowering.in_words`. What is left after it is expanded here by the same
routines that price those steps, and products by one more.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from softfloat_py.engines.c.picking import Picking
from softfloat_py.engines.c.rewriting import InC
from softfloat_py.engines.c.target import Target
from softfloat_py.engines.c.unseen import SeenAlone
from softfloat_py.integer_form.finishing import useful_part
from softfloat_py.integer_form.grammar import Program
from softfloat_py.lowering.in_words import in_words
from softfloat_py.lowering.machine import Machine


@lru_cache
def in_c_steps(program: Program, target: Target) -> Program:
    """The program in steps that C has, and so those that it calls; parameters and results in words of the
    widest type, lowest first.
    """
    callees = {callee: in_c_steps(callee, target) for callee in program.callees}
    if target.narrow:
        program = replace(program, body=Picking(program, target).block(program.body))
    words = in_words(program, target.machine, callees) if callees else _in_words(program, target.machine)
    for _ in range(2):  # what is expanded brings carries and constants of its own
        words = replace(words, body=InC(words, target).block(words.body))
    words = replace(words, body=SeenAlone(words, target).block(words.body))
    return replace(words, body=useful_part(words.body, with_all_calls=False))


@lru_cache
def _in_words(program: Program, machine: Machine) -> Program:
    return in_words(program, machine)  # the same for several targets
