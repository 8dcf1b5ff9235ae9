"""Elementary functions of IEEE 754-2019, clause 9.2, in integers, rounded once.

How a function is computed. Its argument is reduced to a small one by an identity that the function has (2^(n
+ f) = 2^n 2^f, say), a polynomial of the small one is evaluated in fixed point, and the identity is gone
back. All that happens inside one routine, on integers a little wider than a significand, and nothing is
rounded on the way but once, at the end.

Why the result is correctly rounded. A *plan* says with how many fraction bits all this is done, and bounds
what is lost by it. If no boundary of rounding lies that near to what came out, rounding it is rounding the
exact value. With twelve bits more than the format has, that is so in ninety-nine of a hundred calls, and
where it is not, the function is computed again, by the same text with a plan of more bits (`two_phases`).

Roots are no such functions: whole numbers decide on which side of a boundary of rounding they are, so they
need no second computation, and are correctly rounded whatever the options say of elementary functions.

How data flows, from left to right; plans are made when a routine is read, the rest is the routine:

    reals ──► power_series ──► series ──► polynomials, segments ──► plans ──► kernels ◄── arguments
                                                 precisions ──────────┘          │
                                                                                 └──► two_phases ──► rounding

Read first `reals`, `series`, `polynomials`, `fixed_point`, `precisions`, `two_phases`, `exponential`; then
any other family. In each group of files the later ones are made of the earlier ones.

What plans are made of, by integers alone and for the format at hand:

    reals               constants, and functions of rational numbers, as integers
    power_series        the power series of all functions
    series              polynomials close to a power series, and how close they are
    polynomials         these with coefficients in fixed point, and what Horner's method loses
    segments            a polynomial for each segment of a function, coefficients from tables
    precisions          the bits of both phases
    nearest_multiples   how near a number of a format can come to a multiple of a right angle

Around every kernel:

    arguments           which arguments are computed with, and these in parts
    extremes            results known without: next to 1 or to the argument, or beyond the range
    two_phases          from a kernel to a significand that may be rounded
    packed_operands     operands kept from one phase to the next in a word each

Arithmetic in fixed point that kernels share:

    fixed_point         the value of a polynomial; numbers brought to other widths
    leading_ones        a significand whose leading one is at one of a few places
    upper_products      the upper part of a long product
    quotients           a quotient to so many bits, digit by digit or by a reciprocal
    small_quotients     one known to be small, in a few digits of many bits
    reciprocal_roots    an estimate of one over a root
    square_roots        a root to so many bits
    odd_functions       x P(x^2), relative to a small x

Cores, each for several functions:

    shift_and_add       2^f without a multiplier
    opposite_powers     2^f and 2^-f
    logarithm_by_shifts the logarithm of a significand without a multiplier
    logarithm_core      the logarithm of 2^e m and of 1 + v
    slopes              a function of a fraction of a right angle, relative to it
    sines, tangents     of such a fraction
    quadrants           an angle in right angles
    rotations           a ratio made small, and the angle that this takes
    remaining_angles    the angle of what is left
    angles              both: the angle of a ratio
    small_angles        the angle of a small number, relative to it
    small_ratios        that of a small ratio
    turns               from the angle of a ratio to that of any point
    unit_circle         the point with a given coordinate
    power_core          2^(y log2 x) of a logarithm
    special_powers      what is known of powers without computing them
    cube_root           the cube root of a significand

Families, with the operations that they have:

    exponential                 exp, exp2, exp10
    exponential_less_one        expm1, exp2m1, exp10m1
    logarithm                   log, log2, log10
    logarithm_plus_one          logp1, log2p1, log10p1
    trigonometric               sin, cos, tan
    trigonometric_pi            sin_pi, cos_pi, tan_pi
    arc_tangent                 atan, atan_pi
    arc_sine                    asin, acos, asin_pi, acos_pi
    point_angle                 atan2, atan2_pi
    hyperbolic                  sinh, cosh, tanh
    inverse_hyperbolic_sine     asinh
    inverse_hyperbolic_cosine   acosh
    inverse_hyperbolic_tangent  atanh
    power                       pow, powr
    whole_power                 pown
    compound                    compound
    rootn                       rootn
    r_sqrt                      r_sqrt
    hypot                       hypot
"""
