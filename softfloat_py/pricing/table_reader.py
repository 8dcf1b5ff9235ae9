"""Cost models out of TOML files: what each key must look like, and nothing of what the figures mean.

`costmodels/README.md` explains the keys. A file is read to its end before anything is refused, so that one
CostModelError lists all its faults, each with its key path.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any, TypeVar, cast

from softfloat_py.errors import CostModelError, NotInstalledError, UnknownNameError
from softfloat_py.formats import NAMED_FORMATS
from softfloat_py.lowering.machine import Machine
from softfloat_py.pricing.abilities import PRICED_KINDS, contradictions
from softfloat_py.pricing.compiler import CompiledBy, Compiler, IntegerTypes, Limits
from softfloat_py.pricing.cost_model import (
    FPU_OPERATIONS,
    LIBRARY_OPERATIONS,
    ArithmeticLibrary,
    CompiledCode,
    CostModel,
    FloatingPointPart,
    SurroundingCode,
)
from softfloat_py.pricing.figures import Clock, Document, Origin, Price, Quantity, Standing
from softfloat_py.pricing.layer_faults import each_fault_once, faults_of_names
from softfloat_py.pricing.measurements_file import read_measurements
from softfloat_py.pricing.model_names import ModelNames
from softfloat_py.pricing.table_layers import BASE, COMPILERS, IN_GENERAL, Layers, laid_over, without
from softfloat_py.pricing.table_sections import (
    FLAG,
    NUMBER,
    REQUIRED,
    TEXT,
    TEXTS,
    WHOLE,
    WHOLES,
    Curable,
    Section,
)
from softfloat_py.pricing.toml_files import parsed, read_toml

T = TypeVar("T")
_SUFFIX = ".toml"
_ALIASES = "aliases"


# -- what users call -----------------------------------------------------------------------------------


def cost_models() -> list[str]:
    """Names of the cost models that come with the library, sorted."""
    names = (entry.name for entry in _folder().iterdir())
    return sorted(name.removesuffix(_SUFFIX) for name in names if name.endswith(_SUFFIX))


def compilers() -> list[str]:
    """Ids of the compilers that a model may describe, sorted."""
    names = (entry.name for entry in _folder().joinpath(COMPILERS).iterdir())
    return sorted(name.removesuffix(_SUFFIX) for name in names if name.endswith(_SUFFIX))


def cost_model(name: str, *, compiler: str | None = None) -> CostModel:
    """The library's cost model of this name, or for the core or chip of this name, with code as a compiler
    makes it: the one that the model describes first, or another that it describes.

    Names of cores and chips are those that the tables list as aliases; case, spaces, hyphens and underscores
    do not matter. Raises UnknownNameError, with what is named alike, where there is none, or where the model
    does not describe the compiler.
    """
    model = _model_going_by(name)
    return model if compiler is None else model.made_by(compiler)


@lru_cache(maxsize=256)
def _model_going_by(name: str) -> CostModel:
    return _committed_model(_model_name(name))


@lru_cache(maxsize=64)
def _committed_model(name: str) -> CostModel:
    return _model(name, f"{name}{_SUFFIX}", _committed_table(name))


def _model_name(name: str) -> str:
    """The name of the model that goes by a name; only where that is another, all tables are read."""
    return name if name in cost_models() else _model_names().model(name)


def load_cost_model(path: str | os.PathLike[str], *, compiler: str | None = None) -> CostModel:
    """The cost model in a file of one's own, named after the file, with code as a compiler makes it.

    Raises CostModelError listing every fault of the file, or saying why it cannot be read as TOML, and
    UnknownNameError where it does not describe the compiler.
    """
    source = Path(path)
    model = _model(source.stem, str(source), read_toml(source, CostModelError))
    return model if compiler is None else model.made_by(compiler)


# -- files ---------------------------------------------------------------------------------------------


def _folder() -> Traversable:
    try:
        return files("softfloat_py.costmodels")
    except ModuleNotFoundError:
        raise NotInstalledError from None


@lru_cache(maxsize=1)
def _model_names() -> ModelNames:
    """The names and aliases of all models; CostModelError where two go by one name."""
    return ModelNames({name: _aliases(_committed_table(name)) for name in cost_models()})


def _aliases(table: dict[str, Any]) -> Sequence[str]:
    aliases = table.get(_ALIASES, [])
    return aliases if TEXTS.holds(aliases) else []  # a fault, noted when the model is read


@lru_cache(maxsize=64)
def _committed_table(name: str) -> dict[str, Any]:
    """The table in one of the library's files, parsed once though several files may be based on it."""
    source = f"{name}{_SUFFIX}"
    return parsed(_folder().joinpath(source).read_bytes(), source)


def _with_bases(table: dict[str, Any]) -> tuple[Layers, str | None]:
    """A table after those of the models it is based on, and what is wrong with these models."""
    lineage, met = [table], list[str]()
    while BASE in lineage[-1]:
        try:
            met.append(_model_name(lineage[-1][BASE]))
        except UnknownNameError as error:
            return Layers([table]), f"{BASE}: {error}"
        if met[-1] in met[:-1]:
            circle = " on ".join(met[met.index(met[-1]) :])
            fault = f"{BASE} must lead to a model that has no base, not in a circle: {circle}"
            return Layers([table]), fault
        lineage.append(_committed_table(met[-1]))
    bases = [without(base, _ALIASES) for base in reversed(lineage[1:])]
    return Layers([*bases, table]), None


# -- compilers -----------------------------------------------------------------------------------------


def usual_compiler() -> Compiler:
    """How compilers use a CPU of which nothing else is known."""
    return _compiler(IN_GENERAL)[1]


@lru_cache(maxsize=64)
def _compiler(name: str) -> tuple[CompiledBy, Compiler]:
    """A compiler by its id, and what it does whatever the CPU."""
    root = Section(_compiler_table(name), "", faults=[])
    by = root.build(CompiledBy, id=name, title=root.take("title", TEXT), about=root.take("about", TEXT))
    compiler = root.read("compiler", _PartReader(root.read("documents", _read_documents) or {}).compiler)
    root.refuse_unknown_keys()
    if by is None or compiler is None or root.faults:
        raise CostModelError(f"{COMPILERS}/{name}{_SUFFIX}", root.faults)
    return by, compiler


@lru_cache(maxsize=64)
def _compiler_table(name: str) -> dict[str, Any]:
    """The table of a compiler over that of the one it is based on."""
    source = f"{COMPILERS}/{name}{_SUFFIX}"
    own = parsed(_folder().joinpath(source).read_bytes(), source)
    return laid_over(_compiler_table(own[BASE]), without(own, BASE)) if BASE in own else own


# -- the parts of a model ------------------------------------------------------------------------------


def _model(name: str, source: str, table: dict[str, Any]) -> CostModel:
    """The model of a table for its default compiler, which knows those for the others."""
    layers, fault_of_bases = _with_bases(table)
    models, faults = _read_models(layers, name)
    if fault_of_bases is not None:
        faults = [fault_of_bases, *(fault for fault in faults if not isinstance(fault, Curable))]
    if faults:
        raise CostModelError(source, faults)
    return models[layers.default]


def _read_models(layers: Layers, name: str) -> tuple[dict[str, CostModel], list[str]]:
    """The models in tables by compiler, each of which knows all, and the faults of the tables."""
    models: dict[str, CostModel] = {}
    faults_by_compiler = {}
    for compiler in layers.compilers:
        known = compiler if compiler in compilers() else IN_GENERAL
        model, faults_by_compiler[compiler] = _read_model(layers.table(compiler), name, known, models)
        if model is not None:
            models[compiler] = model
    faults = faults_of_names(layers.named, compilers())
    if any(faults_by_compiler.values()):
        _, of_all = _read_model(layers.table(None), name, IN_GENERAL, {})
        faults += each_fault_once(of_all, faults_by_compiler)
    return models, faults


def _read_model(
    table: dict[str, Any], name: str, compiled_by: str, described: dict[str, CostModel]
) -> tuple[CostModel | None, list[str]]:
    """The model in a table for one compiler, or None, and the faults of the table; `described` are the models
    of the same CPU, this one among them once all are read.
    """
    root = Section(table, "", faults=[])
    reader = _PartReader(root.read("documents", _read_documents) or {})
    by, usual = _compiler(compiled_by)
    compiler = root.read("compiler", lambda part: reader.compiler(part, usual), default=None) or usual
    parts = {
        "title": root.take("title", TEXT),
        "about": root.take("about", TEXT),
        "aliases": root.take_texts(_ALIASES),
        "clock": root.read("clock", reader.clock),
        "surrounding_code": root.read(
            "surrounding_code", lambda part: reader.surrounding_code(part, compiler)
        ),
        "compared_with_compiled_code": root.read_list("compared_with_compiled_code", reader.compiled_code),
        "measured_on_silicon": root.read_list("measured_on_silicon", read_measurements),
        "with_fpu": root.read("with_fpu", reader.with_fpu, default=None),
        "arithmetic_library": root.read("arithmetic_library", reader.arithmetic_library, default=None),
    }
    machine, machine_origin = root.read("abilities", reader.abilities) or (None, None)
    steps = root.read("steps", reader.steps) or {}
    if machine is not None:
        root.faults.extend(map(Curable, contradictions(machine, steps)))
    root.refuse_unknown_keys()
    model = root.build(
        CostModel,
        name=name,
        machine=machine,
        machine_origin=machine_origin,
        steps=steps,
        compiler=compiler,
        compiled_by=by,
        described=described,
        **parts,
    )
    return model, root.faults


def _read_documents(section: Section) -> dict[str, Document]:
    """Documents by their ids; one with a fault is stood in for, so that figures naming it are still read."""
    stand_in = Document("with faults", revision="unknown", tables="unknown")
    return {key: document or stand_in for key, document in section.read_all(_read_document).items()}


def _read_document(section: Section) -> Document | None:
    return section.build(
        Document,
        title=section.take("title", TEXT),
        revision=section.take("revision", TEXT, default=""),
        tables=section.take("tables", TEXT, default=""),
        note=section.take("note", TEXT, default=""),
    )


class _PartReader:
    """Readers of the parts whose figures name documents."""

    def __init__(self, documents: dict[str, Document]) -> None:
        self.documents = documents

    def origin(self, section: Section) -> Origin | None:
        if self.documents:
            source = section.choose("source", self.documents, Curable)
        else:
            source = section.take("source", TEXT)
        standing = section.choose("standing", [standing.value for standing in Standing])
        derivation = section.take("derivation", TEXT, default="")
        note = section.take("note", TEXT, default="")
        document = self.documents.get(source) if isinstance(source, str) else None
        if document is None or standing is None:
            return None
        return section.build(
            Origin, document=document, standing=Standing(standing), derivation=derivation, note=note
        )

    def price(self, section: Section, *, bracket: bool = False, with_n: bool = False) -> Price | None:
        parts = {"cycles": section.take("cycles", NUMBER)}
        if with_n:
            parts["cycles_per_n"] = section.take("cycles_per_n", NUMBER, default=0)
        if bracket and with_n:
            parts["beyond_n"] = section.take("beyond_n", WHOLE, default=0)
        if bracket:
            parts["up_to_width"] = section.take("up_to_width", WHOLE, default=None)
        return section.build(Price, origin=self.origin(section), **parts)

    def step_price(self, section: Section) -> Price | None:
        return self.price(section, bracket=True, with_n=True)

    def quantity(self, section: Section) -> Quantity | None:
        return section.build(Quantity, value=section.take("value", NUMBER), origin=self.origin(section))

    def clock(self, section: Section) -> Clock | None:
        keys = ("lowest_mhz", "highest_mhz", "default_mhz")
        return section.build(
            Clock, **{key: section.take(key, NUMBER) for key in keys}, origin=self.origin(section)
        )

    def abilities(self, section: Section) -> tuple[Machine, Origin] | None:
        machine = section.build(
            Machine,
            word=section.take("word", WHOLE),
            carry_flag=section.take("carry_flag", FLAG),
            barrel_shifter=section.take("barrel_shifter", FLAG),
            multiplier_bits=section.take("multiplier_bits", WHOLE),
            leading_zero_count=section.take("leading_zero_count", FLAG),
            immediate_bits=section.take("immediate_bits", WHOLE),
            upper_immediate_bits=section.take("upper_immediate_bits", WHOLE, default=0),
            dividend_bits=section.take("dividend_bits", WHOLE, default=0),
            divisor_bits=section.take("divisor_bits", WHOLE, default=0),
            shifted_immediates=section.take("shifted_immediates", FLAG, default=False),
            shifted_operands=section.take("shifted_operands", FLAG, default=False),
            bit_field_bits=section.take("bit_field_bits", WHOLE, default=0),
            conditional_execution=section.take("conditional_execution", FLAG, default=False),
            results_set_flags=section.take("results_set_flags", FLAG, default=False),
        )
        origin = self.origin(section)
        return None if machine is None or origin is None else (machine, origin)

    def steps(self, section: Section) -> dict[str, tuple[Price, ...]]:
        """Prices by kind of step; none for a kind with a fault."""
        section.known.extend(PRICED_KINDS)
        result = {}
        for kind in PRICED_KINDS:
            if kind in section.table:
                prices = section.read_prices(kind, self.step_price)
                sound = tuple(price for price in prices if price is not None)
                result[kind] = sound if len(sound) == len(prices) else ()
        return result

    def surrounding_code(self, section: Section, compiler: Compiler) -> SurroundingCode | None:
        moves = section.read("moves_a_step", self.quantity)
        code = section.build(
            SurroundingCode,
            registers=section.read("registers", self.quantity),
            parking_registers=section.read("parking_registers", self.quantity, default=None),
            scratch_registers=section.read("scratch_registers", self.quantity),
            overwrites=section.take_texts("overwrites", REQUIRED),
            branches_compare=section.take("branches_compare", FLAG),
            condition_as_value=section.read("condition_as_value", self.price),
            save_and_restore=section.read("save_and_restore", lambda part: self.price(part, with_n=True)),
            argument_passing=section.read("argument_passing", self.price),
            moves_a_step=moves,
            word_in_memory=section.read("word_in_memory", self.price, default=None),
        )
        if moves is not None:
            section.faults.extend(compiler.faults_of_moves(moves.value))
        return code

    def compiler(self, section: Section, usual: Compiler | None = None) -> Compiler | None:
        """A compiler; what its table leaves out is as usual, and nothing may be where nothing is usual."""

        def part(key: str, reader: Callable[[Section], T | None]) -> T | None:
            if usual is None or key in section.table:
                return section.read(key, reader)
            section.known.append(key)
            return cast(T, getattr(usual, key))

        def flag(key: str) -> bool:
            return cast(bool, section.take(key, FLAG, REQUIRED if usual is None else getattr(usual, key)))

        return section.build(
            Compiler,
            types=part("types", self.integer_types),
            put_away_bits=part("put_away_bits", self.quantity),
            moves_around_a_product=part("moves_around_a_product", self.quantity),
            unrolled_steps=part("unrolled_steps", self.quantity),
            word_of_c=part("word_of_c", self.quantity),
            moves_saved_in_expressions=part("moves_saved_in_expressions", self.quantity),
            moves_a_step=part("moves_a_step", self.limits),
            carries_between_words=flag("carries_between_words"),
            products_left_to_the_compiler=flag("products_left_to_the_compiler"),
        )

    def integer_types(self, section: Section) -> IntegerTypes | None:
        bits = section.take("bits", WHOLES)
        bits = tuple(bits) if WHOLES.holds(bits) else ()
        return section.build(IntegerTypes, bits=bits, origin=self.origin(section))

    def limits(self, section: Section) -> Limits | None:
        ends = {key: section.take(key, NUMBER) for key in ("lowest", "highest")}
        return section.build(Limits, **ends, origin=self.origin(section))

    def compiled_code(self, section: Section) -> CompiledCode | None:
        return section.build(
            CompiledCode,
            compiler=section.take("compiler", TEXT),
            operations=section.take("operations", TEXT),
            lowest_ratio=section.take("lowest_ratio", NUMBER),
            highest_ratio=section.take("highest_ratio", NUMBER),
            lowest_call_ratio=section.take("lowest_call_ratio", NUMBER, default=None),
            highest_call_ratio=section.take("highest_call_ratio", NUMBER, default=None),
            elementary=section.take("elementary", FLAG, default=False),
            only=section.take_texts("only"),
            kernels=section.take("kernels", FLAG, default=False),
            in_memory=section.take("in_memory", FLAG, default=False),
            origin=self.origin(section),
        )

    def with_fpu(self, section: Section) -> FloatingPointPart | None:
        return section.build(
            FloatingPointPart,
            title=section.take("title", TEXT),
            clock_note=section.take("clock_note", TEXT),
            load=section.read("load", self.price),
            store=section.read("store", self.price),
            operations=section.read("operations", lambda part: self.by_format(part, FPU_OPERATIONS)),
        )

    def arithmetic_library(self, section: Section) -> ArithmeticLibrary | None:
        return section.build(
            ArithmeticLibrary,
            title=section.take("title", TEXT),
            operations=section.read("operations", lambda part: self.by_format(part, LIBRARY_OPERATIONS)),
        )

    def by_format(
        self, section: Section, operations: Sequence[str]
    ) -> dict[str, dict[str, Price | None] | None]:
        """Prices by format and operation."""
        section.known.extend(NAMED_FORMATS)
        formats = [name for name in NAMED_FORMATS if name in section.table]

        def read(part: Section) -> dict[str, Price | None]:
            return self.by_operation(part, operations)

        return {name: section.read(name, read) for name in formats}

    def by_operation(self, section: Section, operations: Sequence[str]) -> dict[str, Price | None]:
        section.known.extend(operations)
        named = [name for name in operations if name in section.table]
        return {name: section.read(name, self.price) for name in named}
