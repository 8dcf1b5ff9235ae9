"""Cost models as text: the list of CPUs, a line each, and every figure of one of them with its source."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from textwrap import wrap

from softfloat_py.lowering.machine import Machine
from softfloat_py.pricing.compiler import Compiler
from softfloat_py.pricing.cost_model import CompiledCode, CostModel, SurroundingCode
from softfloat_py.pricing.figures import Document, Origin, Price, Standing
from softfloat_py.views.layout import LINE, Section, columns, sections_text
from softfloat_py.views.trust import code_in_words, silicon_lines

_STANDINGS = {
    Standing.PUBLISHED: "published",
    Standing.MEASURED: "measured",
    Standing.MEMORY: "unverified",
}
# What is recalled is not called 'from memory' here, where memory is what loads and stores go to.
UNVERIFIED = "unverified (recalled, no document read)"

_HEADINGS = ("name", "word", "product", "quotient", "carry", "shifts", "zeros", "MHz", "known", "code", "CPU")
_LEGEND = """\
word: bits of a register; product: widest bits of factors multiplied at once, - for none;
quotient: widest bits of a divisor of the instruction that divides, - for none;
carry: additions take a carry in; shifts: by any distance at once; zeros: leading zeros counted at once;
known: share of the figures that were published or measured, the others are {unverified};
code: the compiler whose code is described, c for C in general;
python -m softfloat_py cpus NAME shows every figure of one with its source, and the cores, chips and boards
that it is for; where a model is asked for, their names will do"""


def listing(models: Sequence[CostModel]) -> str:
    """All models, a line each: abilities, usual clock, and how much of the figures is known for sure."""
    rows = [_HEADINGS, *map(_row, models)]
    return "\n".join([*columns(rows, "<>>>>>>>><<"), "", _LEGEND.format(unverified=UNVERIFIED)])


def figures(model: CostModel) -> str:
    """Every figure of a model with its source and standing."""
    heading = [f"{model.name}: {model.title}", *_summary(model)]
    return sections_text(heading, [section for section in _sections(model) if section.lines])


def comparisons(every: Iterable[CompiledCode]) -> list[str]:
    """For each comparison with compiled code the ratios, the compiler, and what was compared."""
    lines = []
    for compared in every:
        ratios = f"{compared.lowest_ratio:.2f} to {compared.highest_ratio:.2f}"
        lines += [f"{ratios}{_single_calls(compared)}  {compared.compiler}", f"  {_compared(compared)}"]
    return lines


def _compared(compared: CompiledCode) -> str:
    """What was compared; of kernels, with which estimates."""
    if not compared.kernels:
        return compared.operations
    operands = "operands in memory" if compared.in_memory else "operands in registers"
    return f"whole kernels, {operands}: {compared.operations}"


def _single_calls(compared: CompiledCode) -> str:
    if compared.lowest_call_ratio is None and compared.highest_call_ratio is None:
        return ""
    lowest, highest = compared.call_ratios
    return f", single calls {lowest:.2f} to {highest:.2f}"


def abilities(machine: Machine) -> str:
    """What a machine can do, in words."""
    multiplier = f"{machine.multiplier_bits}-bit multiplier" if machine.multiplier_bits else "no multiplier"
    anywhere = "at any place " if machine.shifted_immediates else ""
    parts = [
        f"{machine.word}-bit words",
        multiplier,
        _with_or_without(machine.carry_flag, "carry flag"),
        _with_or_without(machine.barrel_shifter, "barrel shifter"),
        _with_or_without(machine.leading_zero_count, "leading-zero count"),
        _divider(machine),
        f"constants of {machine.immediate_bits} bits {anywhere}in the instruction",
    ]
    if machine.upper_immediate_bits:
        parts.append(f"of the upper {machine.upper_immediate_bits} in one of their own")
    further = {
        "operands shifted by constants": machine.shifted_operands,
        f"bit fields of up to {machine.bit_field_bits} bits": machine.bit_field_bits,
        "instructions on a condition": machine.conditional_execution,
        "flags of each result": machine.results_set_flags,
    }
    parts += [what for what, has in further.items() if has]
    return ", ".join(parts)


def _divider(machine: Machine) -> str:
    if not machine.divisor_bits:
        return "no divider"
    return f"divider of {machine.dividend_bits} by {machine.divisor_bits} bits"


def _with_or_without(has: bool, what: str) -> str:
    return what if has else f"no {what}"


# -- the list ------------------------------------------------------------------------------------------


def _row(model: CostModel) -> tuple[str, ...]:
    machine, clock = model.of_the_cpu.machine, model.clock
    return (
        model.name,
        str(machine.word),
        str(machine.multiplier_bits or "-"),
        str(machine.divisor_bits or "-"),
        *(
            "yes" if has else "-"
            for has in (machine.carry_flag, machine.barrel_shifter, machine.leading_zero_count)
        ),
        f"{clock.lowest_mhz:.3g} to {clock.highest_mhz:.3g}",
        known_share(model),
        model.compiled_by.id,
        model.title,
    )


def known_share(model: CostModel) -> str:
    """The figures that somebody published or measured, as a share of all; whole per cent, rounded down."""
    standings = [origin.standing for _, _, origin in _figures(model)]
    known = sum(standing is not Standing.MEMORY for standing in standings)
    return f"{100 * known // len(standings)} %"


def _summary(model: CostModel) -> list[str]:
    clock = model.clock
    return [
        model.about,
        f"clock: {clock.lowest_mhz:g} to {clock.highest_mhz:g} MHz, {clock.default_mhz:g} MHz unless given",
        abilities(model.of_the_cpu.machine),
        _instructions(model.surrounding_code),
        *_compilers(model),
        f"figures: {_standings(model)}",
        *_aliases(model),
    ]


def _aliases(model: CostModel) -> list[str]:
    """The names of what a model is for, in lines of a readable length."""
    return wrap(f"for: {', '.join(model.aliases)}", LINE) if model.aliases else []


def _compilers(model: CostModel) -> list[str]:
    """Whose code the figures are of, and whose else the model describes."""
    others = [other.compiled_by for name, other in model.described.items() if name != model.compiled_by.id]
    also = [f"also described: {', '.join(f'{by.title} ({by.id})' for by in others)}"] if others else []
    return [f"{code_in_words(model)} ({model.compiled_by.id}): {model.compiled_by.about}", *also]


def _instructions(code: SurroundingCode) -> str:
    """Where instructions put their results, and what branches do, in words."""
    kinds = ", ".join(code.overwrites).replace("_", " ") or "none"
    branches = "compare by themselves" if code.branches_compare else "follow a compare"
    return f"results in the place of the first operand: {kinds}; branches {branches}"


def _standings(model: CostModel) -> str:
    found = Counter(origin.standing for _, _, origin in _figures(model))
    said = _STANDINGS | {Standing.MEMORY: UNVERIFIED}
    return ", ".join(f"{found[standing]} {words}" for standing, words in said.items() if found[standing])


def _documents(model: CostModel) -> list[Document]:
    return list(dict.fromkeys(origin.document for _, _, origin in _figures(model)))


def _document(document: Document) -> str:
    return ", ".join(part for part in (document.title, document.revision, document.tables) if part)


# -- one model -----------------------------------------------------------------------------------------


def _sections(model: CostModel) -> Iterator[Section]:
    numbers = {document: str(number) for number, document in enumerate(_documents(model), 1)}
    rows = [(name, value, *_origin(origin, numbers)) for name, value, origin in _figures(model)]
    title = "Figures, in cycles unless a unit is given; n is a distance, a number of set bits, of registers"
    yield Section(title, columns(rows, "<<<<<"))
    yield Section("What its compiler does", columns(list(_habits(model)), "<<<<"))
    if model.with_fpu is not None:
        yield Section("The part with an FPU", [model.with_fpu.title, model.with_fpu.clock_note])
    if model.arithmetic_library is not None:
        yield Section("The library", [model.arithmetic_library.title])
    title = "Compared with compiled code: its cycles over those of an estimate"
    yield Section(title, comparisons(model.compared_with_compiled_code))
    silicon = [line for measured in model.measured_on_silicon for line in silicon_lines(model, measured)]
    yield Section("Measured on silicon", silicon)
    yield Section("Sources", [f"[{number}] {_document(document)}" for document, number in numbers.items()])
    yield Section(
        "Notes on sources", [f"[{n}] {document.note}" for document, n in numbers.items() if document.note]
    )


def _origin(origin: Origin, numbers: dict[Document, str]) -> tuple[str, str, str]:
    remarks = "; ".join(part for part in (origin.derivation, origin.note) if part)
    return f"[{numbers[origin.document]}]", _STANDINGS[origin.standing], remarks


def _figures(model: CostModel) -> Iterator[tuple[str, str, Origin]]:
    """Every figure of a model: what it is, its value, where it comes from."""
    clock, code = model.clock, model.surrounding_code
    yield "clock", f"{clock.lowest_mhz:g} to {clock.highest_mhz:g} MHz", clock.origin
    yield "abilities", _word(model), model.machine_origin
    for kind, prices in model.steps.items():
        yield from _price_figures(kind, prices)
    yield "registers", f"{code.registers.value:g}", code.registers.origin
    if code.parking_registers is not None:
        yield "registers out of reach", f"{code.parking_registers.value:g}", code.parking_registers.origin
    yield "registers free to use", f"{code.scratch_registers.value:g}", code.scratch_registers.origin
    if code.word_in_memory is not None:
        yield from _price_figures("word in memory beyond a register", (code.word_in_memory,))
    yield from _price_figures("condition as a value", (code.condition_as_value,))
    yield from _price_figures("saving and restoring n registers", (code.save_and_restore,))
    yield from _price_figures("passing arguments", (code.argument_passing,))
    yield "further moves", f"{code.moves_a_step.value:g} a step", code.moves_a_step.origin
    if model.with_fpu is not None:
        yield from _price_figures("FPU load", (model.with_fpu.load,))
        yield from _price_figures("FPU store", (model.with_fpu.store,))
        yield from _operation_figures("FPU", model.with_fpu.operations)
    if model.arithmetic_library is not None:
        yield from _operation_figures("library", model.arithmetic_library.operations)
    for compared in model.compared_with_compiled_code:
        ratio = f"{compared.lowest_ratio:.2f} to {compared.highest_ratio:.2f} times"
        yield "compiled over estimate", ratio, compared.origin


def _habits(model: CostModel) -> Iterator[tuple[str, str, str, str]]:
    """What a compiler does, how that is known, and the source: apart from the figures of the CPU itself."""
    compiler = model.compiler
    limits, saved = compiler.moves_a_step, compiler.moves_saved_in_expressions
    types = (
        f"{', '.join(map(str, compiler.types.bits))} bits" if compiler.types.bits else "the words they need"
    )
    rows = [
        ("values are held in", types, compiler.types.origin),
        ("are put away by", f"{compiler.put_away_bits.value:g} bits", compiler.put_away_bits.origin),
        (
            "around a product",
            f"{compiler.moves_around_a_product.value:g} moves a word",
            compiler.moves_around_a_product.origin,
        ),
        (
            "loops written out",
            f"up to {compiler.unrolled_steps.value:g} steps a round",
            compiler.unrolled_steps.origin,
        ),
        ("steps are", _steps_in_words(compiler), compiler.word_of_c.origin),
        ("saved in expressions", f"{saved.value:g} moves a value", saved.origin),
        ("further moves", f"{limits.lowest:g} to {limits.highest:g} a step", limits.origin),
    ]
    for name, value, origin in rows:
        yield name, value, _STANDINGS[origin.standing], f"{origin.document.title}: {origin.derivation}"
    yield "carries go", _way_of_carries(model), "", ""


def _word(model: CostModel) -> str:
    whole = model.compiler.has_whole_types
    return f"types up to {model.machine.word} bits" if whole else f"{model.machine.word}-bit"


def _steps_in_words(compiler: Compiler) -> str:
    """What native steps are."""
    word = compiler.word_of_c.value
    return f"operations of C, written for words of {word:g} bits" if word else "instructions"


def _way_of_carries(model: CostModel) -> str:
    """How far compiled code hands a carry on."""
    machine = model.compiled_machine
    if not model.machine.carry_flag:
        return "nowhere: the CPU keeps none"
    if not machine.carry_flag:
        return f"not beyond a word of {machine.word} bits"
    reach = machine.habits.carry_reach
    return f"from word to word within {reach} bits" if reach else "from word to word"


def _operation_figures(
    unit: str, operations: Mapping[str, Mapping[str, Price]]
) -> Iterator[tuple[str, str, Origin]]:
    for fmt, prices in operations.items():
        for operation, price in prices.items():
            yield from _price_figures(f"{unit} {operation} {fmt}", (price,))


def _price_figures(name: str, prices: Sequence[Price]) -> Iterator[tuple[str, str, Origin]]:
    for price in prices:
        width = "" if price.up_to_width is None else f" to {price.up_to_width} bits"
        above = f"(n - {price.beyond_n})" if price.beyond_n else "n"
        per_n = f" + {price.cycles_per_n:g} {above}" if price.cycles_per_n else ""
        beyond = f", n above {price.beyond_n}" if price.beyond_n else ""
        yield f"{name}{width}{beyond}".replace("_", " "), f"{price.cycles:g}{per_n}", price.origin
