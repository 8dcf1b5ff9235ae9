"""What is wrong with the layers of a CPU's file: with their names and keys, and with what they say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from softfloat_py.pricing.table_layers import BY_HAND, COMPILERS, DEFAULT, LAYERED, Table
from softfloat_py.pricing.table_sections import Curable, Section


def faults_of_names(table: Table, known: Sequence[str]) -> list[str]:
    """The faults of a table's names for compilers, where these are known, and of the keys of layers."""
    root = Section(table, "", faults=[])
    layers = root.read(COMPILERS, lambda part: _read_layers(part, known), default=None)
    if DEFAULT in table:
        default = root.choose(DEFAULT, known)
        if default == BY_HAND and layers and set(layers) - {BY_HAND}:
            root.note(DEFAULT, f"must be a compiler where one is described, not {BY_HAND!r}")
    elif layers:
        choice = ", ".join(known)
        must = f"must be the compiler that the other tables are about, one of {choice}, and is missing"
        root.note(DEFAULT, must, Curable)
    return root.faults


def each_fault_once(of_all: Sequence[str], by_compiler: Mapping[str, Sequence[str]]) -> list[str]:
    """Of the faults of a file read for each compiler, those that it has whatever the compiler as they are,
    those of a layer with its key.
    """
    met = {fault for faults in by_compiler.values() for fault in faults}
    return [fault for fault in of_all if fault in met] + [
        type(fault)(f"{COMPILERS}.{name}.{fault}")
        for name, faults in by_compiler.items()
        for fault in faults
        if fault not in of_all
    ]


def _read_layers(section: Section, known: Sequence[str]) -> dict[str, Section | None]:
    section.known.extend(known)
    return {name: section.read(name, _read_layer) for name in section.table if name in known}


def _read_layer(section: Section) -> Section:
    section.known.extend(LAYERED)
    return section
