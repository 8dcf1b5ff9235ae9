"""Campaigns must notice what is wrong, decide what is doubtful, and go on where they stopped."""

from __future__ import annotations

import json
import time
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import KNOWN_FORMATS
from tests import tools
from tests.campaigns import functions
from tests.campaigns.building import Routine, build, routine
from tests.campaigns.catalogue import FUNCTIONS, SMALL_BLOCK, Campaign, Operands, campaign
from tests.campaigns.checking import Doubt, Found, decide, run_block
from tests.campaigns.results import Results

ALL = tuple(Rounding)
NEAREST = (Rounding.TIES_TO_EVEN,)


def mutant(original: Routine, statement: str, bits: int) -> Routine:
    """A routine that changes its result, or its flags, by a statement of C."""
    kind = f"uint{bits}_t"
    wrapper = f"""
SOFTFLOAT_PY_FUNCTION {kind} mutant({kind} x, uint32_t direction, uint32_t *flags)
{{
    {kind} result = {original.name}(x, direction, flags);
    {statement}
    return result;
}}
"""
    return Routine("mutant", original.files | {original.source: original.files[original.source] + wrapper})


def found_in(
    checked: Campaign, folder: Path, statement: str = "", directions: Sequence[Rounding] = ALL
) -> Found:
    """What is found in the first block of a campaign, with a statement that makes the function wrong."""
    tools.compiler("gcc", "gcc")
    ours = mutant(routine(checked.function, checked.format), statement, checked.format.width)
    found, doubts = run_block(build(checked, ours, "cpu", folder), checked, 0, directions)
    return functions.decided(checked, found, doubts, directions)


@pytest.fixture
def roots() -> Campaign:
    """Every square root of binary16."""
    return campaign(FUNCTIONS["square_root"], KNOWN_FORMATS["binary16"])


def test_every_square_root_of_binary16_is_right(roots: Campaign, tmp_path: Path) -> None:
    """All of its operands are one block, and doubles know all results."""
    assert (1, 1 << 16) == (roots.blocks, roots.size)
    assert Found((0,) * 5, (), 0) == found_in(roots, tmp_path)


@pytest.mark.parametrize(
    ("statement", "wrong", "words"),
    [
        # The root of 2 is 1.4142, toward zero and to nearest 0x3da8 (by MPFR).
        (
            "if (x == 0x4000 && direction == 0) result += 1;", (1, 0, 0, 0, 0),
            "x 0x4000, y 0x0: got 0x3da9 (inexact), wanted 0x3da8 (inexact)",
        ),
        (
            "if (x == 0x4000 && direction == 4) *flags = 0;", (0, 0, 0, 0, 1),
            "x 0x4000, y 0x0: got 0x3da8 (none), wanted 0x3da8 (inexact)",
        ),
        # A signalling NaN, whose result and flags are prescribed.
        (
            "if (x == 0x7c01 && direction == 2) *flags = 0;", (0, 0, 1, 0, 0),
            "x 0x7c01, y 0x0: got 0x7e00 (none), wanted 0x7e00 (invalid_operation)",
        ),
    ],
)  # fmt: skip
def test_a_wrong_result_or_flag_of_one_operand_is_noticed(
    roots: Campaign, tmp_path: Path, statement: str, wrong: tuple[int, ...], words: str
) -> None:
    """In the direction in which it is wrong, with the operand in words."""
    found = found_in(roots, tmp_path, statement)
    assert words in [said for _, said in found.first]
    without_order = [said for _, said in found.first if not said.startswith("order")]
    assert (sum(wrong), 0) == (len(without_order), found.doubtful)


def test_results_that_fall_where_they_must_rise_are_noticed(roots: Campaign, tmp_path: Path) -> None:
    """Both neighbours of a root that is too large: it rises too early, so the next one falls."""
    found = found_in(roots, tmp_path, "if (x == 0x4000) result += 2;", NEAREST)
    assert [(0, "order: x 0x4000, y 0x0: got 0x3da9 (inexact), wanted 0x3daa (inexact)")] == [
        (direction, said) for direction, said in found.first if "order" in said
    ]


def test_what_is_doubtful_is_decided_by_multiple_precision(tmp_path: Path) -> None:
    """Of binary64 that is all but special operands: a wrong last bit of a result is found there too."""
    drawn = campaign(FUNCTIONS["square_root"], KNOWN_FORMATS["binary64"])
    few = Campaign(drawn.function, drawn.format, Operands.DRAWN_NUMBER, 1, 500)
    assert SMALL_BLOCK == drawn.size
    right, wrong = (tmp_path / name for name in ("right", "wrong"))
    right.mkdir()
    wrong.mkdir()
    found = found_in(few, right)
    assert (0,) * 5 == found.wrong
    assert 100 < found.doubtful < 500
    found = found_in(few, wrong, "if (direction == 1 && *flags == 16) result ^= 1;")
    assert 0 < found.wrong[1] <= found.doubtful
    assert 0 == sum(found.wrong) - found.wrong[1]


def test_a_campaign_goes_on_where_it_stopped(roots: Campaign, tmp_path: Path) -> None:
    """By its result file, in the directions that are missing; anew when the function has changed."""
    tools.compiler("gcc", "gcc")
    path = tmp_path / "results.json"

    def run(directions: Sequence[Rounding], name: str) -> Results:
        results = Results(path)
        (tmp_path / name).mkdir()
        ends = time.monotonic() + 60
        with ThreadPoolExecutor(1) as threads:
            runner = functions.Runner(threads, "cpu", results, directions, ends, tmp_path / name)
            assert 0 == runner.run_all([roots])
        return results

    run(NEAREST, "first")
    (only,) = json.loads(path.read_text())
    assert ("square_root", "binary16", "TIES_TO_EVEN", 1, 1 << 16, 0, 0) == tuple(
        only[name] for name in ("function", "format", "direction", "done", "checked", "doubtful", "wrong")
    )
    both = run(ALL, "second")
    assert 5 == len(both.entries)
    assert only["seconds"] == both.entries[next(iter(both.entries))].seconds  # it did not run again
    again = run(ALL, "third")
    assert [] == list((tmp_path / "third").iterdir())  # nothing was compiled
    assert "| `square_root` | binary16 | every one | 5 | 327 680 | 0 | 0 |" in again.table()
    changed = json.loads(path.read_text())
    changed[0]["text"], changed[0]["wrong"] = "another", 7
    path.write_text(json.dumps(changed))
    assert [0] * 5 == [entry.wrong for entry in run(ALL, "fourth").entries.values()]


def test_a_file_that_is_no_result_is_refused(tmp_path: Path) -> None:
    """And not written over."""
    path = tmp_path / "other.json"
    path.write_text('[{"buoy": 1}]')
    with pytest.raises(ValueError, match="must be the result file of a campaign"):
        Results(path)


def test_a_difference_says_what_came_and_what_should_have(roots: Campaign) -> None:
    """Of what multiple precision decided."""
    right = ((0x3C00, 0),) * 5
    wrong = ((0x3C01, int(Flags.INEXACT)), *right[1:])
    found = decide(roots, [Doubt(0x3C00, 0, wrong), Doubt(0x3C00, 0, right)], ALL)
    assert ((0, "x 0x3c00, y 0x0: got 0x3c01 (inexact), wanted 0x3c00 (none)"),) == found.first
    assert (1, 0, 0, 0, 0) == found.wrong
