/* Operands for which the standard prescribes an exact result (IEEE 754-2019, clause 9.2.1 and, for the square
 * root, 5.4.1 and 6.3; from memory). A function here gives 1 and the outcome for such operands, 0 for others.
 *
 * Signalling NaNs never come here. A quiet one does, and makes comparisons false: where no row is for it, the
 * result is a NaN without a flag (clause 6.2).
 */
#ifndef SPECIAL_VALUES_H
#define SPECIAL_VALUES_H

#include "approximations.h"

#define SPECIAL(name) DEVICE int special_##name(double x, Outcome *given)
#define SPECIAL_OF_TWO(name, x, y) DEVICE int special_##name(double x, double y, Outcome *given)
#define WHERE(condition, result) if (condition) return gives(given, result, NO_FLAG);
#define SIGNALS(condition, result, flags) if (condition) return gives(given, result, flags);
#define OTHERWISE return 0;
#define ZERO_OF_ITS_SIGN WHERE(x == 0, x)

SPECIAL(square_root)
{
    ZERO_OF_ITS_SIGN
    SIGNALS(x < 0, NAN, INVALID_OPERATION)
    WHERE(x == INFINITY, x)
    OTHERWISE
}

SPECIAL(r_sqrt)
{
    SIGNALS(x == 0, copysign(INFINITY, x), DIVISION_BY_ZERO)
    SIGNALS(x < 0, NAN, INVALID_OPERATION)
    WHERE(x == INFINITY, 0.0)
    OTHERWISE
}

SPECIAL_OF_TWO(hypot, x, y)
{
    WHERE(fabs(x) == INFINITY || fabs(y) == INFINITY, INFINITY)
    WHERE(x == 0 && y == 0, 0.0)
    OTHERWISE
}

#define SPECIAL_OF_POWER(name) \
    SPECIAL(name) \
    { \
        WHERE(x == 0, 1.0) \
        WHERE(x == INFINITY, x) \
        WHERE(x == -INFINITY, 0.0) \
        OTHERWISE \
    }
#define SPECIAL_OF_POWER_LESS_ONE(name) \
    SPECIAL(name) \
    { \
        ZERO_OF_ITS_SIGN \
        WHERE(x == INFINITY, x) \
        WHERE(x == -INFINITY, -1.0) \
        OTHERWISE \
    }
SPECIAL_OF_POWER(exp)
SPECIAL_OF_POWER(exp2)
SPECIAL_OF_POWER(exp10)
SPECIAL_OF_POWER_LESS_ONE(expm1)
SPECIAL_OF_POWER_LESS_ONE(exp2m1)
SPECIAL_OF_POWER_LESS_ONE(exp10m1)

#define SPECIAL_OF_LOGARITHM(name) \
    SPECIAL(name) \
    { \
        SIGNALS(x == 0, -INFINITY, DIVISION_BY_ZERO) \
        SIGNALS(x < 0, NAN, INVALID_OPERATION) \
        WHERE(x == INFINITY, x) \
        WHERE(x == 1, 0.0) \
        OTHERWISE \
    }
#define SPECIAL_OF_LOGARITHM_PLUS_ONE(name) \
    SPECIAL(name) \
    { \
        ZERO_OF_ITS_SIGN \
        SIGNALS(x == -1, -INFINITY, DIVISION_BY_ZERO) \
        SIGNALS(x < -1, NAN, INVALID_OPERATION) \
        WHERE(x == INFINITY, x) \
        OTHERWISE \
    }
SPECIAL_OF_LOGARITHM(log)
SPECIAL_OF_LOGARITHM(log2)
SPECIAL_OF_LOGARITHM(log10)
SPECIAL_OF_LOGARITHM_PLUS_ONE(logp1)
SPECIAL_OF_LOGARITHM_PLUS_ONE(log2p1)
SPECIAL_OF_LOGARITHM_PLUS_ONE(log10p1)

SPECIAL(sin)
{
    ZERO_OF_ITS_SIGN
    SIGNALS(fabs(x) == INFINITY, NAN, INVALID_OPERATION)
    OTHERWISE
}

SPECIAL(cos)
{
    WHERE(x == 0, 1.0)
    SIGNALS(fabs(x) == INFINITY, NAN, INVALID_OPERATION)
    OTHERWISE
}

SPECIAL(tan) { return special_sin(x, given); }

/* At whole numbers, a zero of the sign of the operand. */
SPECIAL(sin_pi)
{
    SIGNALS(fabs(x) == INFINITY, NAN, INVALID_OPERATION)
    WHERE(is_integer(x), copysign(0.0, x))
    OTHERWISE
}

SPECIAL(cos_pi)
{
    SIGNALS(fabs(x) == INFINITY, NAN, INVALID_OPERATION)
    WHERE(x == 0, 1.0)
    WHERE(is_integer(2 * x) && !is_integer(x), 0.0)
    OTHERWISE
}

/* The quotient of the two: +0 at even n > 0, -0 at odd n > 0, and the opposite for -n; +infinity at n + 1/2 for
 * even n, -infinity for odd n. */
SPECIAL(tan_pi)
{
    SIGNALS(fabs(x) == INFINITY, NAN, INVALID_OPERATION)
    WHERE(is_integer(x), copysign(0.0, is_odd(x) ? -x : x))
    SIGNALS(is_integer(2 * x) && !is_integer(x), is_odd(x - 0.5) ? -INFINITY : INFINITY, DIVISION_BY_ZERO)
    OTHERWISE
}

SPECIAL(asin)
{
    ZERO_OF_ITS_SIGN
    SIGNALS(fabs(x) > 1, NAN, INVALID_OPERATION)
    OTHERWISE
}

SPECIAL(acos)
{
    WHERE(x == 1, 0.0)
    SIGNALS(fabs(x) > 1, NAN, INVALID_OPERATION)
    OTHERWISE
}

SPECIAL(atan)
{
    ZERO_OF_ITS_SIGN
    OTHERWISE
}

SPECIAL(asin_pi) { return special_asin(x, given); }

SPECIAL(acos_pi) { return special_acos(x, given); }

SPECIAL(atan_pi)
{
    ZERO_OF_ITS_SIGN
    WHERE(fabs(x) == INFINITY, copysign(0.5, x))
    OTHERWISE
}

/* The others of its cases are multiples of pi/4, which are no numbers of a format. */
SPECIAL_OF_TWO(atan2, y, x)
{
    WHERE(y == 0 && (x > 0 || (x == 0 && copysign(1.0, x) > 0)), y)
    WHERE(x == INFINITY && fabs(y) < INFINITY, copysign(0.0, y))
    OTHERWISE
}

SPECIAL_OF_TWO(atan2_pi, y, x)
{
    WHERE(y == 0 && x == 0 && copysign(1.0, x) < 0, copysign(1.0, y))
    return special_atan2(y, x, given);
}

SPECIAL(sinh)
{
    WHERE(x == 0 || fabs(x) == INFINITY, x)
    OTHERWISE
}

SPECIAL(cosh)
{
    WHERE(x == 0, 1.0)
    WHERE(fabs(x) == INFINITY, INFINITY)
    OTHERWISE
}

SPECIAL(tanh)
{
    ZERO_OF_ITS_SIGN
    WHERE(fabs(x) == INFINITY, copysign(1.0, x))
    OTHERWISE
}

SPECIAL(asinh) { return special_sinh(x, given); }

SPECIAL(acosh)
{
    WHERE(x == 1, 0.0)
    SIGNALS(x < 1, NAN, INVALID_OPERATION)
    WHERE(x == INFINITY, x)
    OTHERWISE
}

SPECIAL(atanh)
{
    ZERO_OF_ITS_SIGN
    SIGNALS(fabs(x) == 1, copysign(INFINITY, x), DIVISION_BY_ZERO)
    SIGNALS(fabs(x) > 1, NAN, INVALID_OPERATION)
    OTHERWISE
}

/* pow, and pown with y = n: also where one operand is a quiet NaN, 1 if the other decides it. */
SPECIAL_OF_TWO(pow, x, y)
{
    WHERE(y == 0 || x == 1, 1.0)
    SIGNALS(x == 0 && y < 0 && y > -INFINITY, is_odd(y) ? copysign(INFINITY, x) : INFINITY, DIVISION_BY_ZERO)
    WHERE(x == 0 && y == -INFINITY, INFINITY)
    WHERE(x == 0 && y > 0, is_odd(y) ? x : 0.0)
    WHERE(x == -1 && fabs(y) == INFINITY, 1.0)
    WHERE(y == INFINITY && fabs(x) < 1, 0.0)
    WHERE(y == INFINITY && fabs(x) > 1, INFINITY)
    WHERE(y == -INFINITY && fabs(x) < 1, INFINITY)
    WHERE(y == -INFINITY && fabs(x) > 1, 0.0)
    WHERE(x == INFINITY && y < 0, 0.0)
    WHERE(x == INFINITY && y > 0, INFINITY)
    WHERE(x == -INFINITY && y < 0, is_odd(y) ? -0.0 : 0.0)
    WHERE(x == -INFINITY && y > 0, is_odd(y) ? -INFINITY : INFINITY)
    SIGNALS(x < 0 && y - y == 0 && !is_integer(y), NAN, INVALID_OPERATION)
    OTHERWISE
}

SPECIAL_OF_TWO(pown, x, n) { return special_pow(x, n, given); }

/* The power as exp(y log x) has it. */
SPECIAL_OF_TWO(powr, x, y)
{
    SIGNALS(x < 0 && y == y, NAN, INVALID_OPERATION)
    SIGNALS(x == 0 && y == 0, NAN, INVALID_OPERATION)
    SIGNALS(x == INFINITY && y == 0, NAN, INVALID_OPERATION)
    SIGNALS(x == 1 && fabs(y) == INFINITY, NAN, INVALID_OPERATION)
    WHERE(x > 0 && y == 0, 1.0)
    WHERE(x == 1 && y == y, 1.0)
    SIGNALS(x == 0 && y < 0 && y > -INFINITY, INFINITY, DIVISION_BY_ZERO)
    WHERE(x == 0 && y == -INFINITY, INFINITY)
    WHERE(x == 0 && y > 0, 0.0)
    WHERE(y == INFINITY && x > 0 && x < 1, 0.0)
    WHERE(y == INFINITY && x > 1, INFINITY)
    WHERE(y == -INFINITY && x > 0 && x < 1, INFINITY)
    WHERE(y == -INFINITY && x > 1, 0.0)
    WHERE(x == INFINITY && y < 0, 0.0)
    WHERE(x == INFINITY && y > 0, INFINITY)
    OTHERWISE
}

SPECIAL_OF_TWO(rootn, x, n)
{
    SIGNALS(x == x && n == 0, NAN, INVALID_OPERATION)
    SIGNALS(x == 0 && n < 0, is_odd(n) ? copysign(INFINITY, x) : INFINITY, DIVISION_BY_ZERO)
    WHERE(x == 0 && n > 0, is_odd(n) ? x : 0.0)
    SIGNALS(x < 0 && !is_odd(n), NAN, INVALID_OPERATION)
    WHERE(fabs(x) == INFINITY && n > 0, x)
    WHERE(fabs(x) == INFINITY && n < 0, copysign(0.0, x))
    OTHERWISE
}

SPECIAL_OF_TWO(compound, x, n)
{
    SIGNALS(x < -1, NAN, INVALID_OPERATION)
    WHERE(n == 0, 1.0)
    SIGNALS(x == -1 && n < 0, INFINITY, DIVISION_BY_ZERO)
    WHERE(x == -1 && n > 0, 0.0)
    WHERE(x == 0, 1.0)
    WHERE(x == INFINITY && n > 0, INFINITY)
    WHERE(x == INFINITY && n < 0, 0.0)
    OTHERWISE
}

#endif
