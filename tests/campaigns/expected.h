/* What a function must deliver on operands, as far as doubles know. */
#ifndef EXPECTED_H
#define EXPECTED_H

#include "special_values.h"

/* One outcome in all directions, or a magnitude to round in each, or neither: then it is doubtful. */
typedef struct {
    int is_fixed, is_doubtful;
    Outcome outcome;
    Magnitude magnitude;
} Expected;

DEVICE Expected fixed_as(Outcome outcome)
{
    Expected found;
    memset(&found, 0, sizeof found);
    found.is_fixed = 1;
    found.outcome = outcome;
    return found;
}

DEVICE Expected nan_with(uint32_t flags)
{
    Outcome given;
    (void)gives(&given, NAN, flags);
    return fixed_as(given);
}

DEVICE Expected rounded_as(Claim made)
{
    Expected found;
    memset(&found, 0, sizeof found);
    found.magnitude = magnitude_of(made);
    found.is_doubtful = is_doubtful(made, found.magnitude);
    return found;
}

DEVICE Outcome outcome_in(Expected found, unsigned direction)
{
    return found.is_fixed ? found.outcome : rounded(found.magnitude, direction);
}

/* The approximations are for numbers of up to 24 bits. */
#define KNOWN(claimed) (PRECISION <= 24 ? (claimed) : claim(0, UNKNOWN, 0))

#define OF_NUMBER(name) \
    DEVICE Expected expected_##name(uint64_t x, uint64_t unused) \
    { \
        Outcome given; \
        (void)unused; \
        if (is_signaling(x)) { \
            return nan_with(INVALID_OPERATION); \
        } \
        if (special_##name(value_of(x), &given)) { \
            return fixed_as(given); \
        } \
        return is_nan(x) ? nan_with(NO_FLAG) : rounded_as(KNOWN(near_##name(value_of(x)))); \
    }
#define OF_PAIR(name) \
    DEVICE Expected expected_##name(uint64_t x, uint64_t y) \
    { \
        Outcome given; \
        if (is_signaling(x) || is_signaling(y)) { \
            return nan_with(INVALID_OPERATION); \
        } \
        if (special_##name(value_of(x), value_of(y), &given)) { \
            return fixed_as(given); \
        } \
        if (is_nan(x) || is_nan(y)) { \
            return nan_with(NO_FLAG); \
        } \
        return rounded_as(KNOWN(near_##name(value_of(x), value_of(y)))); \
    }
#define WITH_INTEGER(name) \
    DEVICE Expected expected_##name(uint64_t x, uint64_t integer) \
    { \
        Outcome given; \
        double n = (double)(int64_t)integer; \
        if (is_signaling(x)) { \
            return nan_with(INVALID_OPERATION); \
        } \
        if (special_##name(value_of(x), n, &given)) { \
            return fixed_as(given); \
        } \
        return is_nan(x) ? nan_with(NO_FLAG) : rounded_as(KNOWN(near_##name(value_of(x), n))); \
    }

OF_NUMBER(square_root)
OF_NUMBER(r_sqrt)
OF_NUMBER(exp)
OF_NUMBER(expm1)
OF_NUMBER(exp2)
OF_NUMBER(exp2m1)
OF_NUMBER(exp10)
OF_NUMBER(exp10m1)
OF_NUMBER(log)
OF_NUMBER(log2)
OF_NUMBER(log10)
OF_NUMBER(logp1)
OF_NUMBER(log2p1)
OF_NUMBER(log10p1)
OF_NUMBER(sin)
OF_NUMBER(cos)
OF_NUMBER(tan)
OF_NUMBER(sin_pi)
OF_NUMBER(cos_pi)
OF_NUMBER(tan_pi)
OF_NUMBER(asin)
OF_NUMBER(acos)
OF_NUMBER(atan)
OF_NUMBER(asin_pi)
OF_NUMBER(acos_pi)
OF_NUMBER(atan_pi)
OF_NUMBER(sinh)
OF_NUMBER(cosh)
OF_NUMBER(tanh)
OF_NUMBER(asinh)
OF_NUMBER(acosh)
OF_NUMBER(atanh)
OF_PAIR(hypot)
OF_PAIR(pow)
OF_PAIR(powr)
OF_PAIR(atan2)
OF_PAIR(atan2_pi)
WITH_INTEGER(compound)
WITH_INTEGER(rootn)
WITH_INTEGER(pown)

#endif
