"""What an operation meets as a rule: operands drawn at random, the same each time."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from softfloat_py.formats import IntegerFormat
from softfloat_py.uses import INTEGER_BITS, Use

SAMPLES = 1000
SEED = 1
EXPONENTS = 8  # on either side of the bias


def typical_operands(use: Use) -> Iterator[tuple[int, ...]]:
    """Operands of SAMPLES calls: random normal numbers with biased exponents up to EXPONENTS from the bias on
    either side, as far as the format has them, of both signs unless an operation has no use for negative
    ones.

    Integers that are converted are any of their kind, others (the n of scaleB) from -EXPONENTS to EXPONENTS.
    """
    random = Random(SEED)
    for _ in range(SAMPLES):
        yield tuple(
            _random_integer(random, use)
            if name in use.operation.integer_operands
            else _random_number(random, use)
            for name in use.operation.operands
        )


def _random_number(random: Random, use: Use) -> int:
    negative = random.getrandbits(1) and not _is_of_positive_numbers(use)
    return use.format.typical_encoding(random, EXPONENTS, bool(negative))


def _is_of_positive_numbers(use: Use) -> bool:
    to_unsigned = isinstance(use.parameter, IntegerFormat) and not use.parameter.signed
    return use.operation.name == "square_root" or to_unsigned


def _random_integer(random: Random, use: Use) -> int:
    if isinstance(use.parameter, IntegerFormat):
        return random.getrandbits(use.parameter.width)
    return random.randint(-EXPONENTS, EXPONENTS) % (1 << INTEGER_BITS)
