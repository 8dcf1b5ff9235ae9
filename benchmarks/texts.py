"""Numbers to text and back, one by one, beside Python's floats and MPFR numbers. Texts are not counted."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import Any

import gmpy2  # type: ignore[import-untyped]

import softfloat_py as sf
from benchmarks.loops import loop
from benchmarks.operands import encodings, operands
from benchmarks.peers import mpfr_context
from benchmarks.row import Row
from benchmarks.sizes import Sizes
from benchmarks.timing import Contestant, best_times

FORTY_DIGITS = ".39e"


def text_rows(sizes: Sizes) -> Iterator[Row]:
    """Two rows for the shortest decimal of binary64, two for binary128 with 40 digits, in ns a number."""
    for what, peer, contestants in (*shortest(sizes.texts), *with_forty_digits(sizes.texts)):
        times = {name: 1e9 * time for name, time in best_times(contestants, sizes.rounds).items()}
        yield Row(what, "", "ns", times["ours"], {peer: times[peer]})


def shortest(size: int) -> Iterator[tuple[str, str, dict[str, Contestant]]]:
    """The shortest decimal that gives a number back, and the number that it gives."""
    _, values, _ = operands(sf.binary64, size)
    floats = values.tolist()
    numbers, texts = [sf.binary64(value) for value in floats], [repr(value) for value in floats]
    from_text = partial(sf.convert_from_decimal_character, fmt=sf.binary64)
    ours_to_text, ours_from_text = each(sf.convert_to_decimal_character, numbers), each(from_text, texts)
    yield "text shortest of binary64", "python", {"ours": ours_to_text, "python": each(repr, floats)}
    yield "text to binary64, shortest", "python", {"ours": ours_from_text, "python": each(float, texts)}


def with_forty_digits(size: int) -> Iterator[tuple[str, str, dict[str, Contestant]]]:
    """Four digits more than any number of binary128 needs to be told from the others."""
    fmt, (_, bits, _) = sf.binary128, encodings(sf.binary128, size)
    numbers = [fmt.from_bits(each_bits) for each_bits in bits]
    with gmpy2.context(mpfr_context(fmt)):
        of_mpfr = [gmpy2.mpfr(fmt.decode(each_bits)) for each_bits in bits]
    texts = [format(number, FORTY_DIGITS) for number in of_mpfr]
    ours_to_text = each(partial(sf.convert_to_decimal_character, specification=FORTY_DIGITS), numbers)
    ours_from_text = each(partial(sf.convert_from_decimal_character, fmt=fmt), texts)
    to_text = each(f"{{:{FORTY_DIGITS}}}".format, of_mpfr)
    from_text = Contestant(in_context(fmt, each(gmpy2.mpfr, texts).run), size)
    yield "text of binary128, 40 digits", "gmpy2", {"ours": ours_to_text, "gmpy2": to_text}
    yield "text to binary128, 40 digits", "gmpy2", {"ours": ours_from_text, "gmpy2": from_text}


def each(function: Callable[[Any], Any], values: Sequence[Any]) -> Contestant:
    """A function of each value."""
    on_lists = loop("", function)
    return Contestant(lambda: on_lists(values), len(values))


def in_context(fmt: sf.Format, run: Callable[[], object]) -> Callable[[], object]:
    """What is run, with MPFR rounding as a format does."""

    def run_in_context() -> object:
        with gmpy2.context(mpfr_context(fmt)):
            return run()

    return run_in_context
