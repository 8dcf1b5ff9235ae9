"""Ways out of the emulation: each is noted with its line, or refused, or turns out to be none.

A line that values leave by says so in a comment, with the way they take. A way out in a module that is not
the kernel's own names the kernel.
"""

from __future__ import annotations

import random
import re
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.kernels import load_kernel_file
from tests.kernels.kernel_runs import HERE, exactly, names_line

OUTSIDE = HERE / "outside"
LEAVE = [
    "array_module",
    "float_of_a_number",
    "outside_array",
    "outside_factor",
    "outside_float",
    "packed_bytes",
    "single_thread",
    "thread_pool",
]
# The standard library's own lines stand between the kernel and the way out.
THROUGH_A_LIBRARY: dict[str, ModuleType] = {"random_around": random}
# The calls of a run that nothing leaves.
NONE_LEAVES = {
    "array_of_a_list": {"addition": 3, "multiplication": 3, "subtraction": 1},
    "host_array_item": {"multiplication": 7, "addition": 3},
    "printed_text": {"addition": 3},
}
# What an emulation may bring inside, note or refuse; the calls where it is inside.
NOTED_OR_COMPLETE = {
    "library_mean": {"multiplication": 3, "addition": 2, "division": 1},
    "exact_sum": {"multiplication": 3, "addition": 3},
    "numpy_draw": {"addition": 9, "multiplication": 3},
    "numpy_scalar": {"multiplication": 3, "addition": 3},
    "percent_text": {"addition": 3},
    "random_share": {"multiplication": 4, "addition": 4},
}


def path_of(name: str) -> Path:
    """The kernel file of a name."""
    return HERE / "ways_out" / f"{name}.py"


def marked_lines(name: str) -> set[tuple[str, int, str]]:
    """File, line and way of all that leaves the kernel, as the comments say."""
    marked = set()
    for path, mark in ((path_of(name), "# leaves"), (OUTSIDE / "tide_library.py", f"# leaves {name}")):
        for number, line in enumerate(path.read_text().splitlines(), 1):
            if found := re.search(rf"{mark}: (.+)", line):
                marked.add((path.name, number, found[1]))
    return marked


def noted_lines(tally: sf.Tally) -> set[tuple[str, int, str]]:
    """File, line and way of all that left, as the tally has noted it."""
    return {
        (Path(departure.line.file).name, departure.line.number, departure.how) for departure in tally.left
    }


def calls(tally: sf.Tally) -> dict[str, int]:
    """Calls by operation; all are of binary32."""
    return {operation: number for (operation, _), number in tally.calls.items()}


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch) -> Any:
    """A counted run of a kernel file, with the library of others installed."""
    monkeypatch.syspath_prepend(str(OUTSIDE))

    def counted(name: str) -> tuple[Any, sf.Tally]:
        with sf.environment(options=sf.LEAN):
            result, tally = load_kernel_file(path_of(name)).counted_run(sf.binary32)
        return result, tally

    return counted


def outcome_of(run: Any, name: str) -> tuple[Any, sf.Tally] | sf.KernelError:
    """What a counted run gives, or the refusal."""
    try:
        outcome: tuple[Any, sf.Tally] = run(name)
    except sf.KernelError as refusal:
        return refusal
    return outcome


def test_every_kernel_here_is_tried() -> None:
    """No way out is left untried."""
    tried = {*LEAVE, *THROUGH_A_LIBRARY, *NONE_LEAVES, *NOTED_OR_COMPLETE, "numpy_interpolation"}
    assert {path.stem for path in (HERE / "ways_out").glob("*.py")} == tried


@pytest.mark.parametrize("name", LEAVE)
def test_way_out_is_noted_with_its_line(name: str, run: Any) -> None:
    """The tally names each line that a value left by, and how; and where it came back as a host's float."""
    _, tally = run(name)
    marked = marked_lines(name)
    assert marked
    assert marked == {noted for noted in noted_lines(tally) if noted in marked or noted[2] != "host operand"}


def test_values_that_left_are_counted(run: Any) -> None:
    """Three levels, three values, which come back as three floats that are no constants."""
    _, tally = run("float_of_a_number")
    assert {"float": 3, "host operand": 3} == {departure.how: n for departure, n in tally.left.items()}


@pytest.mark.parametrize("name", THROUGH_A_LIBRARY)
def test_way_out_through_a_library_is_noted(name: str, run: Any) -> None:
    """A value that leaves in the standard library is noted there, or where the kernel calls it."""
    _, tally = run(name)
    ((file, number, how),) = marked_lines(name)
    library = Path(str(THROUGH_A_LIBRARY[name].__file__)).name
    assert {how} == {noted[2] for noted in noted_lines(tally)}
    assert {noted[:2] == (file, number) or noted[0] == library for noted in noted_lines(tally)} == {True}


@pytest.mark.parametrize("name", NONE_LEAVES)
def test_what_looks_like_a_way_out_is_none(name: str, run: Any) -> None:
    """numpy inside a kernel is emulated, and a text is for people: nothing leaves, all is counted."""
    _, tally = run(name)
    assert set() == marked_lines(name) == noted_lines(tally)
    assert NONE_LEAVES[name] == calls(tally)


@pytest.mark.parametrize("name", NOTED_OR_COMPLETE)
def test_total_is_complete_or_says_that_it_is_not(name: str, run: Any) -> None:
    """Never silently cheaper: the line is noted or refused, or all calls are there."""
    ((_, number, _),) = marked_lines(name)
    outcome = outcome_of(run, name)
    if isinstance(outcome, sf.KernelError):
        assert names_line(outcome, path_of(name), number)
    elif noted_lines(outcome[1]):
        assert marked_lines(name) == noted_lines(outcome[1])
    else:
        assert NOTED_OR_COMPLETE[name] == calls(outcome[1])


def test_interpolation_between_elements_of_a_list_stays_inside(run: Any) -> None:
    """numpy's interp on lists of emulated values computes in the format, or is refused with its line."""
    name = "numpy_interpolation"
    ((_, number, _),) = marked_lines(name)
    outcome = outcome_of(run, name)
    if isinstance(outcome, sf.KernelError):
        assert names_line(outcome, path_of(name), number)
        return
    result, tally = outcome
    assert exactly(sf.binary32(3.3125)) == exactly(result)
    assert not noted_lines(tally)
    assert calls(tally)["addition"] > 3  # three lifts, and the one of the interpolation


def test_operations_of_other_threads_are_counted_as_left(run: Any) -> None:
    """Four products in a pool, four values."""
    _, tally = run("thread_pool")
    assert [4] == list(tally.left.values())
