"""Cost models out of TOML files: what each key must look like, and nothing of what the figures mean.

`costmodels/README.md` explains the keys. A file is read to its end before anything is refused, so that one
CostModelError lists all its faults, each with its key path.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Callable, Sequence
from functools import lru_cache, reduce
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any, TypeVar, cast

from softfloat_py.errors import CostModelError, NotInstalledError, UnknownNameError
from softfloat_py.formats import NAMED_FORMATS
from softfloat_py.lowering.machine import Machine
from softfloat_py.pricing.abilities import contradictions
from softfloat_py.pricing.compiler import Compiler, IntegerTypes, Limits
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
from softfloat_py.pricing.model_names import ModelNames
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
from softfloat_py.routines.steps import COUNTED_KINDS

T = TypeVar("T")
_SUFFIX = ".toml"
_ALIASES = "aliases"
_COMPILERS = "compilers"


# -- what users call -----------------------------------------------------------------------------------


def cost_models() -> list[str]:
    """Names of the cost models that come with the library, sorted."""
    names = (entry.name for entry in _folder().iterdir())
    return sorted(name.removesuffix(_SUFFIX) for name in names if name.endswith(_SUFFIX))


@lru_cache(maxsize=256)
def cost_model(name: str) -> CostModel:
    """The library's cost model of this name, or for the core or chip of this name.

    Names of cores and chips are those that the tables list as aliases; case, spaces, hyphens and underscores
    do not matter. Raises UnknownNameError, with what is named alike, where there is none.
    """
    return _committed_model(_model_name(name))


@lru_cache(maxsize=64)
def _committed_model(name: str) -> CostModel:
    return _model(name, f"{name}{_SUFFIX}", _committed_table(name))


def _model_name(name: str) -> str:
    """The name of the model that goes by a name; only where that is another, all tables are read."""
    return name if name in cost_models() else _model_names().model(name)


def load_cost_model(path: str | os.PathLike[str]) -> CostModel:
    """The cost model in a file of one's own, named after the file.

    Raises CostModelError listing every fault of the file, or saying why it cannot be read as TOML.
    """
    source = Path(path)
    try:
        content = source.read_bytes()
    except OSError as error:
        raise CostModelError(str(source), [f"the file must be readable, not: {error.strerror}"]) from None
    return _model(source.stem, str(source), _parsed(content, str(source)))


# -- files ---------------------------------------------------------------------------------------------


def _folder() -> Traversable:
    try:
        return files("softfloat_py.costmodels")
    except ModuleNotFoundError:
        raise NotInstalledError from None


def _parsed(content: bytes, source: str) -> dict[str, Any]:
    """The table in a file, with or without the mark that some editors put at the beginning of UTF-8."""
    try:
        return tomllib.loads(content.decode("utf-8-sig"))
    except (ValueError, RecursionError) as error:  # of tomllib; of the text's encoding, of integers, of depth
        reason = str(error)[:1].lower() + str(error)[1:]
        raise CostModelError(source, [f"the file must be TOML in UTF-8; {reason}"]) from None


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
    return _parsed(_folder().joinpath(source).read_bytes(), source)


def _with_bases(table: dict[str, Any]) -> tuple[dict[str, Any], str | None]:
    """A table's own entries over those of the models it is based on, and what is wrong with these models."""
    lineage, met = [table], list[str]()
    while "based_on" in lineage[-1]:
        try:
            met.append(_model_name(lineage[-1]["based_on"]))
        except UnknownNameError as error:
            return table, f"based_on: {error}"
        if met[-1] in met[:-1]:
            circle = " on ".join(met[met.index(met[-1]) :])
            return table, f"based_on must lead to a model that has no base, not in a circle: {circle}"
        lineage.append(_committed_table(met[-1]))
    bases = [_without(base, "based_on", _ALIASES) for base in reversed(lineage[1:])]
    return reduce(_laid_over, [*bases, _without(table, "based_on")]), None


def _without(table: dict[str, Any], *keys: str) -> dict[str, Any]:
    return {key: value for key, value in table.items() if key not in keys}


def _laid_over(base: dict[str, Any], own: dict[str, Any]) -> dict[str, Any]:
    """A base with a file's own entries in it; an entry that states its own source is taken whole."""
    result = dict(base)
    for key, value in own.items():
        merges = isinstance(value, dict) and isinstance(base.get(key), dict) and "source" not in value
        result[key] = _laid_over(base[key], value) if merges else value
    return result


@lru_cache(maxsize=1)
def usual_compiler() -> Compiler:
    """How compilers use a CPU of which nothing else is known."""
    source = f"{_COMPILERS}/c{_SUFFIX}"
    root = Section(_parsed(_folder().joinpath(source).read_bytes(), source), "", faults=[])
    compiler = root.read("compiler", _PartReader(root.read("documents", _read_documents) or {}).compiler)
    root.refuse_unknown_keys()
    if compiler is None:
        raise CostModelError(source, root.faults)
    return compiler


# -- the parts of a model ------------------------------------------------------------------------------


def _model(name: str, source: str, table: dict[str, Any]) -> CostModel:
    whole, fault_of_bases = _with_bases(table)
    if fault_of_bases is not None:
        _, own_faults = _read_model(_without(table, "based_on"), name)
        known = [fault for fault in own_faults if not isinstance(fault, Curable)]
        raise CostModelError(source, [fault_of_bases, *known])
    model, faults = _read_model(whole, name)
    if model is None:
        raise CostModelError(source, faults)
    return model


def _read_model(table: dict[str, Any], name: str) -> tuple[CostModel | None, list[str]]:
    """The model in a table, or None, and the faults of the table."""
    root = Section(table, "", faults=[])
    reader = _PartReader(root.read("documents", _read_documents) or {})
    usual = usual_compiler()
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
        )
        origin = self.origin(section)
        return None if machine is None or origin is None else (machine, origin)

    def steps(self, section: Section) -> dict[str, tuple[Price, ...]]:
        """Prices by kind of step; none for a kind with a fault."""
        section.known.extend(COUNTED_KINDS)
        result = {}
        for kind in COUNTED_KINDS:
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

        usually = REQUIRED if usual is None else usual.carries_between_words
        return section.build(
            Compiler,
            types=part("types", self.integer_types),
            put_away_bits=part("put_away_bits", self.quantity),
            share_moved_on_the_other_side=part("share_moved_on_the_other_side", self.quantity),
            moves_around_a_product=part("moves_around_a_product", self.quantity),
            moves_a_step=part("moves_a_step", self.limits),
            carries_between_words=section.take("carries_between_words", FLAG, usually),
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
