"""One over a square root, estimated by Newton's method and a series: what `r_sqrt` and `hypot` have in
common.

Let X lie in [1/4, 1), and Y = 1/sqrt(X), which lies in (1, 2]. About a third of the digits of Y is found
first, a number q that is not above Y; the others follow from what q leaves of 1. With e = 1 - X q²,

    Y = q (1 - e)^(-1/2) = q (1 + e/2 + 3/8 e² + 5/16 e³ + 35/128 e⁴ + ...)

and sqrt(X) = X Y is X q times the same. All terms are positive, so any end of the series is below.

Widths. An estimate has n = p + 8 bits, 8 more than the result, which leaves seven below half a unit: in
binary32 all fits words of 32 bits. A third of the digits means k = n // 3 + 1, so that 3k > n. What is asked
of q is e < 2 × 2^-k and q e³ < 8 × 2^-3k: then all terms from e³ on, of which each is less than e <= 1/8
times the one before, are together less than 8/7 × 5/16 × 8 × 2^-3k, which is less than 0.72 × 2^-(n - 1).

Source: Newton's method for 1/Y² - X and the binomial series are common practice, no source.
"""

from __future__ import annotations

from math import isqrt

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options, Tables
from softfloat_py.routines.elementary.fixed_point import at_top, moved
from softfloat_py.routines.language import Bits, constant, field, look_up, phase, resize, unrolled
from softfloat_py.routines.newton import newton_steps
from softfloat_py.routines.tables import Table

EXTRA = 8
SEED_BITS = 7


def estimate_bits(fmt: BinaryFormat) -> int:
    """The bits n of an estimate."""
    return fmt.precision + EXTRA


def first_digits(bits: int) -> int:
    """The digits k after the point that q is good to, for an estimate of so many bits."""
    return bits // 3 + 1


# -- the first third ----------------------------------------------------------------------------------------


def seed_of(index: int) -> int:
    """1/sqrt(X) in units of 2^-7, rounded, for the middle of all X whose first seven bits are these."""
    quadrupled_square = (4 << 3 * SEED_BITS + 1) // (2 * index + 1)
    return (isqrt(quadrupled_square) + 1) // 2


LEAST_INDEX = 1 << (SEED_BITS - 2)
SEEDS = Table(tuple(seed_of(index) for index in range(LEAST_INDEX, 1 << SEED_BITS)), name="root_seeds")
LINE_SLOPE = 171  # 4/3 in units of 2^-7, rounded up
GOOD_SEED, GOOD_LINE, LOST_IN_A_STEP = 66, 27, 9  # tenths of bits


def reciprocal_root(x: Bits, bits: int, options: Options) -> Bits:
    """q <= Y with one bit before the point and `bits` after it, for X = x / 2^x.width.

    Let d = 1 - sqrt(X) q be the relative error on the way.

    - The seed has seven bits after the point. An entry of the table is off by half a unit of 2^-7, which
      sqrt(X) multiplies; and X by 2^-8 from the middle that the entry is made for, of which d takes 1/(2X).
      |d| is largest at X = 1/4, less than 1/512 + 1/127, which is less than 2^-6.6. Without tables the seed
      is the line 9/4 - 4/3 X, for which d is 1/24 at X = 1/4, least at X = 9/16, -1/8, and nears 1/12 at X =
      1. Cutting X to eight bits and the product makes the seed larger by less than 0.014, the slope smaller
      by less than 0.003: |d| < 0.14, which is less than 2^-2.7.
    - A Newton step gives q (3 - X q²)/2, which is below Y by a relative error of 3/2 d² - 1/2 d³. Let it keep
      m bits, and X and q² have m + 4, the factor 3 - X q² m + 2. Cutting X, which q² <= 4 multiplies, q² and
      their product makes the factor too large by less than 1 + 1/4 + 1 units of 2^-(m + 2), so 3 are taken
      off: q stays below Y, and loses 3/8 q + 1 units of 2^-m at most.
    - A step is reckoned to give twice as many good bits less 0.9. Of that, 0.6 is log2(3/2), and the rest
      covers what a step loses that keeps twice as many bits and one more; or two more than are wanted, which
      is enough where only these are.
    - The steps are as many as leave less than 0.6 × 2^-bits of 3/2 d² - 1/2 d³. So in the end Y - q is less
      than (0.6 Y + 3/8 q + 1) 2^-bits. For bits = k + 1 that is (0.49 Y + 1/2) 2^-k, and e = 1 - q²/Y² is
      less than 2 (Y - q)/Y, so less than (0.98 + 1/Y) 2^-k; times itself twice and q, it is less than 7.8 ×
      2^-3k, at Y = 1. That is what is asked of q.

    Source of the line: as `square_root.root_by_reciprocal` has it.
    """
    phase("reciprocal root")
    root, places = seed(x, options), SEED_BITS
    good = GOOD_LINE if options.tables is Tables.NONE else GOOD_SEED
    steps = max(newton_steps(good, bits, LOST_IN_A_STEP), 1)
    for step in unrolled(1, steps + 1):
        kept = min(2 * places + 1, bits + 2) if step < steps else bits
        root = newton_step(x, root, places, kept)
        places = kept
    return root


def seed(x: Bits, options: Options) -> Bits:
    """Y with seven bits after the point, to a few bits."""
    if options.tables is Tables.NONE:
        line = constant(9 << (SEED_BITS - 2), SEED_BITS + 2)
        line = line - ((at_top(x, SEED_BITS + 1) * LINE_SLOPE) >> (SEED_BITS + 1))
        return resize(line, SEED_BITS + 1)
    return look_up(SEEDS, at_top(x, SEED_BITS) - LEAST_INDEX)


def newton_step(x: Bits, root: Bits, places: int, kept: int) -> Bits:
    """A better root with `kept` bits after the point, of one with so many places."""
    after_point = kept + 2
    places_of_square = min(2 * places, after_point + 2)
    square = (root * root) >> (2 * places - places_of_square)
    product = (at_top(x, after_point + 2) * square) >> (places_of_square + 2)
    factor = resize(constant((3 << after_point) - 3, after_point + 2) - product, after_point + 2)
    return resize((root * factor) >> (places + after_point + 1 - kept), kept + 1)


# -- what is left of 1, and the series ----------------------------------------------------------------------


def rest_of(product: Bits, root: Bits) -> Bits:
    """2^k e with n - 2 bits after the point, of X q with n and of q with k + 1 bits after it.

    X q² is 1 less e, which is below 2 × 2^-k, so all bits of it higher up are ones: the complement of the
    others is e, less a unit of the last place of the exact product, 2^-(n + k + 1). Three bits are cut off;
    the complement makes that too small by less than one unit of 2^-(n - 2).
    """
    return ~field(product * root, 3, product.width - 1)


def correction_of(rest: Bits) -> Bits:
    """2^k (e + 3/4 e²), less than 2, with n - 2 - k bits after the point, of rest = 2^k e with n - 2.

    The square is that of the rest with m = n + 1 - 2k bits after the point. Cutting the others makes it too
    small by less than 2 × 2 × 2^-m, its term by less than 3 × 2^-(m + k), which is 3/8 of a unit of the last
    place delivered. Cutting the term costs less than 2^-(n - 2), cutting the sum less than one unit.
    """
    phase("refine")
    places = rest.width - 1
    digits = first_digits(rest.width + 1)
    leading = rest >> (places - (rest.width + 2 - 2 * digits))
    square = leading * leading
    thrice = (square << 1) + square
    places_of_term = 2 * (leading.width - 1) + 2 + digits
    corrected = resize(rest + moved(thrice, places - places_of_term), rest.width)
    return corrected >> digits
