"""Elementary functions of IEEE 754-2019, clause 9.2, in integers, rounded once.

How a function is computed. Its argument is reduced to a small one by an identity that the function has (2^(n
+ f) = 2^n 2^f, say), a polynomial of the small one is evaluated in fixed point, and the identity is gone
back. All that happens inside one routine, on integers a little wider than a significand, and nothing is
rounded on the way but once, at the end.

Why the result is correctly rounded. A *plan* says with how many fraction bits all this is done, and bounds
what is lost by it. If no boundary of rounding lies that near to what came out, rounding it is rounding the
exact value. With twelve bits more than the format has, that is so in ninety-nine of a hundred calls, and
where it is not, the function is computed again, by the same text with a plan of more bits (`two_phases`).

Numbers that plans are made of, coefficients, tables and bounds, are made by integers alone when a routine is
read, for the format at hand: `reals` has the constants and functions, `series` finds polynomials,
`polynomials` fits them to fixed point. Read in this order: `reals`, `series`, `polynomials`, `fixed_point`,
`precisions`, `two_phases`, `exponential`; then any other family.

Roots are no such functions: whole numbers decide on which side of a boundary of rounding they are, so they
need no second computation, and are correctly rounded whatever the options say of elementary functions
(`reciprocal_roots`, `r_sqrt`, `hypot`).
"""
