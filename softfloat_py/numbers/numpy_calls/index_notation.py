"""numpy.einsum: sums of products in index notation, as the loop nest that the notation stands for.

The loops over the result's indices are outside; those over summed indices are inside, in the order in which
they first appear in the notation, the last one fastest. A sum starts with its first product. Two operands
take a multiplication for each set of indices, one operand none; m terms take m - 1 additions.
"""

from __future__ import annotations

from collections import Counter
from functools import reduce
from itertools import product
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from softfloat_py.errors import NotEmulatedError, OperandError
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.functions import addition, multiplication
from softfloat_py.numbers.numpy_calls.reductions import reduced
from softfloat_py.numbers.operands import format_of


class Notation(NamedTuple):
    """Index notation, taken apart: the indices of each operand and of the result, as letters."""

    operands: tuple[str, ...]
    result: str

    @property
    def summed(self) -> str:
        """The indices that are summed over, in the order of their appearance."""
        letters = dict.fromkeys("".join(self.operands))
        return "".join(letter for letter in letters if letter not in self.result)


def einsum(*operands: Any) -> Any:
    """The result of index notation such as "ij,jk->ik" on one array or two.

    Without an arrow, the result has the indices that appear once, in alphabetical order, as numpy has it.
    Letters only: an ellipsis is not emulated. See the module for the order of additions and the counts.
    """
    text, *values = operands
    if not isinstance(text, str):
        raise NotEmulatedError("numpy.einsum with lists of indices", "numpy.einsum with a text")
    notation = parse(text)
    if len(values) > 2:
        raise NotEmulatedError("numpy.einsum of more than two operands", "numpy.einsum of two at a time")
    if len(values) != len(notation.operands):
        raise OperandError(
            f"numpy.einsum needs an operand for each part of {text!r}, that is {len(notation.operands)}, "
            f"not {len(values)}"
        )
    fmt = format_of(tuple(values))
    order = notation.summed + notation.result
    lengths: dict[str, int] = {}
    arranged = [
        _arranged(encodings_for(fmt, value, "numpy.einsum"), indices, order, lengths)
        for value, indices in zip(values, notation.operands, strict=True)
    ]
    shape = tuple(lengths[letter] for letter in order)
    terms = [FloatArray._of(fmt, np.broadcast_to(bits, shape)) for bits in arranged]
    return _summed(terms, len(notation.summed))


def parse(text: str) -> Notation:
    """Index notation as numpy writes it. Raises OperandError where it is none.

    >>> parse("ij,jk")
    Notation(operands=('ij', 'jk'), result='ik')
    """
    if "..." in text:
        raise NotEmulatedError("an ellipsis in numpy.einsum", "matmul, which takes stacks of matrices")
    left, arrow, right = text.replace(" ", "").partition("->")
    parts = tuple(left.split(","))
    counted = Counter("".join(parts))
    result = right if arrow else "".join(sorted(letter for letter, n in counted.items() if n == 1))
    if not all(part.isalpha() and part.isascii() for part in (*parts, result) if part):
        raise OperandError(f"numpy.einsum needs indices that are letters, commas and one arrow, not {text!r}")
    for letter, times in Counter(result).items():
        if letter not in counted or times > 1:
            raise OperandError(
                f"numpy.einsum needs a result whose indices are the operands', each once, not {text!r}"
            )
    return Notation(parts, result)


def _arranged(bits: NDArray[Any], indices: str, order: str, lengths: dict[str, int]) -> NDArray[Any]:
    """An operand with its axes in an order, an axis of length 1 where it has none; notes lengths of axes."""
    if bits.ndim != len(indices):
        raise OperandError(f"numpy.einsum needs an array with axes {indices!r}, not of shape {bits.shape}")
    for letter, length in zip(indices, bits.shape, strict=True):
        if lengths.setdefault(letter, length) != length:
            raise OperandError(
                f"numpy.einsum needs one length for index {letter!r}, not {lengths[letter]} and {length}"
            )
    letters = list(indices)
    for letter, times in Counter(indices).items():
        for _ in range(times - 1):
            first, second = [place for place, one in enumerate(letters) if one == letter][:2]
            bits = np.diagonal(bits, axis1=first, axis2=second)
            letters = [one for place, one in enumerate(letters) if place not in (first, second)] + [letter]
    bits = bits.transpose([letters.index(letter) for letter in order if letter in letters])
    return bits[tuple(slice(None) if letter in letters else np.newaxis for letter in order)]


def _summed(terms: list[FloatArray], summed: int) -> Any:
    """The sum over the first `summed` axes of the products of what has the same place."""
    shape = terms[0].shape
    if summed == len(shape):  # a single sum: its products at once, which is quicker
        return reduced(np.add, _product(terms), None, False)
    if 0 in shape[:summed]:
        return np.zeros_like(terms[0], shape=shape[summed:])
    places = product(*map(range, shape[:summed]))
    products = (_product([term[place] for term in terms]) for place in places)
    return reduce(addition, products)


def _product(factors: list[FloatArray]) -> Any:
    return multiplication(*factors) if len(factors) == 2 else factors[0].copy()
