"""numpy.einsum: the loop nest that the notation stands for."""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from softfloat_py.numbers.numpy_calls.index_notation import Notation, parse
from tests.numbers.loops import check_against_loop, random_values

np: Any = numpy  # whose types know nothing of emulated values

SHAPES = {"i": 2, "j": 3, "k": 4, "l": 2}
NOTATIONS = [
    "i,i", "i,i->i", "i,j", "i,j->", "ij,jk", "ij,jk->ki", "ij,kj->", "ij,j->i", "ij,jk->k", "ij", "ij->ji",
    "ij->", "ij->i", "ij->j", "ii", "ii->i", "iji->j", "iij,jk->k", "ijk,jk->i", "ij,ij->ij", ",ij->j", "kji",
]  # fmt: skip


def loop_nest(operands: list[Any], notation: Notation) -> Any:
    """The sums of products of Numbers, the summed indices inside, in the order of their appearance."""

    def result_at(place: dict[str, int]) -> Any:
        total = None
        for summed in product(*(range(SHAPES[letter]) for letter in notation.summed)):
            at = place | dict(zip(notation.summed, summed, strict=True))
            factors = [
                operand[tuple(at[letter] for letter in letters)] if letters else operand
                for operand, letters in zip(operands, notation.operands, strict=True)
            ]
            term = factors[0] * factors[1] if len(factors) == 2 else factors[0]
            total = term if total is None else total + term
        return total

    def nested(letters: str, place: dict[str, int]) -> Any:
        if not letters:
            return result_at(place)
        return [nested(letters[1:], place | {letters[0]: n}) for n in range(SHAPES[letters[0]])]

    return nested(notation.result, {})


def operands_for(fmt: sf.Format, notation: Notation) -> list[Any]:
    """An array for each part of a notation, a Number for one without indices."""
    return [
        random_values(fmt, *(SHAPES[letter] for letter in letters), seed=seed) if letters else fmt(1.75)
        for seed, letters in enumerate(notation.operands)
    ]


@pytest.mark.parametrize("fmt", [sf.binary16, sf.binary128, sf.ofp8_e4m3], ids=repr)
@pytest.mark.parametrize("text", NOTATIONS)
def test_notation_is_a_loop_nest(text: str, fmt: sf.Format) -> None:
    """Bits, flags and counts are those of nested loops over Numbers."""
    notation = parse(text)
    operands = operands_for(fmt, notation)
    check_against_loop(lambda: loop_nest(operands, notation), lambda: np.einsum(text, *operands))


@pytest.mark.parametrize("text", NOTATIONS)
def test_notation_means_what_numpy_means(text: str) -> None:
    """Of small whole numbers, whose sums are exact, results and shapes are the host's."""
    notation = parse(text)
    generator = np.random.default_rng(5)
    hosts = [
        generator.integers(-5, 5, [SHAPES[letter] for letter in letters]).astype(np.float32)
        for letters in notation.operands
    ]
    result: Any = np.einsum(text, *map(sf.binary32.array, hosts))
    expected = np.einsum(text, *hosts)
    np.testing.assert_array_equal(
        expected, result.to_numpy() if isinstance(result, sf.FloatArray) else float(result)
    )


def test_sums_over_nothing() -> None:
    """Where a summed index has no values, the sum is +0."""
    nothing: Any = sf.binary32.array(np.zeros((2, 0)))
    assert [0, 0] == np.einsum("ij,ij->i", nothing, nothing).bits.tolist()
    assert 0 == np.einsum("ij->", nothing).bits


@pytest.mark.parametrize(
    ("message", "arguments"),
    [
        (r"^numpy\.einsum needs an operand for each part of 'ij,jk', that is 2, not 1", ("ij,jk", "a")),
        (r"^numpy\.einsum needs an array with axes 'ijk', not of shape \(2, 3\)", ("ijk", "a")),
        (r"^numpy\.einsum needs one length for index 'i', not 2 and 3", ("ii", "a")),
        (r"^numpy\.einsum needs indices that are letters, commas and one arrow, not 'i1'", ("i1", "a")),
        (r"^numpy\.einsum needs indices that are letters, commas and one arrow", ("ij->i->j", "a")),
        (r"^numpy\.einsum needs a result whose indices are the operands', each once", ("ij->k", "a")),
        (r"^numpy\.einsum needs a result whose indices are the operands', each once", ("ij->ii", "a")),
    ],
)
def test_wrong_notation(message: str, arguments: tuple[Any, ...]) -> None:
    """What is no notation, or does not fit the operands, says so."""
    array = random_values(sf.binary32, 2, 3)
    with pytest.raises(sf.OperandError, match=message):
        np.einsum(*(array if argument == "a" else argument for argument in arguments))


@pytest.mark.parametrize(
    ("name", "arguments"),
    [
        (r"an ellipsis in numpy\.einsum", ("...i->i", "a")),
        (r"numpy\.einsum of more than two operands", ("ij,ij,ij", "a", "a", "a")),
        (r"numpy\.einsum with lists of indices", ("a", [0, 1])),
    ],
)
def test_notation_that_is_not_emulated(name: str, arguments: tuple[Any, ...]) -> None:
    """Ellipses, lists of indices and more than two operands are refused."""
    array = random_values(sf.binary32, 2, 3)
    with pytest.raises(sf.NotEmulatedError, match=f"^{name} is not emulated"):
        np.einsum(
            *(array if isinstance(argument, str) and argument == "a" else argument for argument in arguments)
        )
