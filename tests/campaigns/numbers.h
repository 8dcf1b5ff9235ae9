/* What is known of a result, as a double, and how a format rounds it: by integers, in any direction, with flags.
 *
 * The text is for a C compiler and for CUDA. PRECISION and EXPONENT_BITS say which format it is for.
 */
#ifndef NUMBERS_H
#define NUMBERS_H

#include <math.h>
#include <stdint.h>
#include <string.h>

#ifdef __CUDACC__
#define DEVICE static __device__
#else
#define DEVICE static inline
#endif

#define EMAX ((1 << (EXPONENT_BITS - 1)) - 1)
#define EMIN (1 - EMAX)
#define TRAILING (PRECISION - 1)
#define SIGN_BIT ((uint64_t)1 << (TRAILING + EXPONENT_BITS))
#define INFINITE ((((uint64_t)1 << EXPONENT_BITS) - 1) << TRAILING)
#define QUIET_BIT ((uint64_t)1 << (TRAILING - 1))
#define QUIET_NAN (INFINITE | QUIET_BIT)

/* Directions and flags have the numbers that they have in the library. */
enum { TIES_TO_EVEN, TIES_TO_AWAY, TOWARD_POSITIVE, TOWARD_NEGATIVE, TOWARD_ZERO, DIRECTIONS };
enum { NO_FLAG = 0, INVALID_OPERATION = 1, DIVISION_BY_ZERO = 2, OVERFLOWS = 4, UNDERFLOWS = 8, INEXACT = 16 };

typedef struct {
    uint64_t bits;
    uint32_t flags;
} Outcome;

/* What is known of a result.
 * EXACTLY: it is the value.
 * ABOUT: it lies within so many units in the last place of the double around the value.
 * ABOVE, BELOW: it differs from the value, on this side, but by so little that no rounding turns between them.
 * UNKNOWN: nothing is known here.
 */
enum { EXACTLY, ABOUT, ABOVE, BELOW, UNKNOWN };
typedef struct {
    double value;
    int how;
    uint64_t units;
} Claim;

DEVICE Claim claim(double value, int how, uint64_t units)
{
    Claim made;
    made.value = value;
    made.how = how;
    made.units = units;
    return made;
}

DEVICE Claim exactly(double value) { return claim(value, EXACTLY, 0); }

/* 2^8 units: the libraries promise a few units for one function, and what is composed here of several, with
 * the condition number of the last, stays below 150 (the comments say where it is most). */
DEVICE Claim about(double value) { return claim(value, ABOUT, 256); }

DEVICE Claim beside(double value, int above) { return claim(value, above ? ABOVE : BELOW, 0); }

DEVICE Claim toward_zero(double value) { return beside(value, value < 0); }

DEVICE Claim away_from_zero(double value) { return beside(value, value > 0); }

DEVICE Claim with_sign(Claim of_magnitude, int negative)
{
    if (!negative) {
        return of_magnitude;
    }
    of_magnitude.value = -of_magnitude.value;
    of_magnitude.how = of_magnitude.how == ABOVE ? BELOW : of_magnitude.how == BELOW ? ABOVE : of_magnitude.how;
    return of_magnitude;
}

DEVICE uint64_t bits_of(double value)
{
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    return bits;
}

/* The value of an encoding; a double has all numbers of the formats that this is for. */
DEVICE double value_of(uint64_t bits)
{
    uint64_t magnitude = bits & (SIGN_BIT - 1), trailing = bits & (((uint64_t)1 << TRAILING) - 1);
    int field = (int)(magnitude >> TRAILING);
    double value;
    if (magnitude >= INFINITE) {
        value = magnitude == INFINITE ? INFINITY : NAN;
    } else if (field == 0) {
        value = ldexp((double)trailing, EMIN - TRAILING);
    } else {
        uint64_t encoding = (uint64_t)(field - EMAX + 1023) << 52 | trailing << (53 - PRECISION);
        memcpy(&value, &encoding, sizeof value);
    }
    return bits & SIGN_BIT ? -value : value;
}

DEVICE int is_nan(uint64_t bits) { return (bits & (SIGN_BIT - 1)) > INFINITE; }

DEVICE int is_signaling(uint64_t bits) { return is_nan(bits) && !(bits & QUIET_BIT); }

/* A magnitude, (significand + rest) * 2^(exponent - 62), where 2^62 <= significand < 2^63, and the rest is
 * between 0 and 1 if there is one.
 */
typedef struct {
    uint64_t significand;
    int exponent, negative, has_rest;
} Magnitude;

/* The magnitude of a claim, or what stands in for it and rounds as it does. What was too large or too small for
 * a double is one beyond the range of normal doubles, and so far beyond the range of the format.
 */
DEVICE Magnitude magnitude_of(Claim made)
{
    uint64_t bits = bits_of(made.value);
    Magnitude found;
    found.negative = (int)(bits >> 63);
    found.exponent = (int)(bits >> 52 & 0x7ff) - 1023;
    found.significand = ((bits & 0xfffffffffffffu) | 0x10000000000000u) << 10;
    found.has_rest = made.how != EXACTLY;
    if (made.how == (found.negative ? ABOVE : BELOW)) {
        found.significand -= 1;
        if (found.significand >> 62 == 0) {
            found.significand = found.significand << 1 | 1;
            found.exponent -= 1;
        }
    }
    return found;
}

/* Whether a claim leaves open how the result is rounded, in any direction, or which flags it raises: that
 * turns at multiples of half a unit in the last place and, for the underflow of results that are tiny after
 * rounding, of a quarter of the subnormal numbers' unit.
 */
DEVICE int is_doubtful(Claim made, Magnitude found)
{
    int turning = 63 - PRECISION - 1;
    uint64_t low, margin = made.units << 10;
    if (made.how == UNKNOWN || made.value != made.value) {
        return 1;
    }
    if (made.how != ABOUT || found.exponent > EMAX + 1) {
        return 0;
    }
    if (found.exponent < EMIN) {
        turning += EMIN - found.exponent - 1;
    }
    if (turning > 63) {
        return 0;
    }
    low = found.significand & (((uint64_t)1 << turning) - 1);
    return low <= margin || low >= ((uint64_t)1 << turning) - margin;
}

/* A significand without its `dropped` low bits, rounded. */
DEVICE uint64_t round_significand(Magnitude exact, int dropped, unsigned direction)
{
    uint64_t kept = exact.significand >> dropped, half = (uint64_t)1 << (dropped - 1);
    uint64_t rest = exact.significand & (2 * half - 1);
    int is_inexact = rest != 0 || exact.has_rest, up = 0;
    switch (direction) {
    case TIES_TO_EVEN:
        up = rest > half || (rest == half && (exact.has_rest || (kept & 1)));
        break;
    case TIES_TO_AWAY:
        up = rest >= half;
        break;
    case TOWARD_POSITIVE:
        up = is_inexact && !exact.negative;
        break;
    case TOWARD_NEGATIVE:
        up = is_inexact && exact.negative;
        break;
    }
    return kept + (uint64_t)up;
}

DEVICE Outcome overflowed(int negative, unsigned direction)
{
    int to_largest = direction == TOWARD_ZERO || direction == (negative ? TOWARD_POSITIVE : TOWARD_NEGATIVE);
    Outcome given;
    given.bits = (negative ? SIGN_BIT : 0) | (INFINITE - (uint64_t)to_largest);
    given.flags = OVERFLOWS | INEXACT;
    return given;
}

/* A magnitude other than zero as a number of the format (IEEE 754-2019, clauses 4.3, 7.4, 7.5, a, 7.6; from
 * memory).
 */
DEVICE Outcome rounded(Magnitude exact, unsigned direction)
{
    int dropped = 63 - PRECISION, below = EMIN - exact.exponent, tiny = 0, is_inexact;
    uint64_t significand;
    Outcome given;
    if (exact.exponent > EMAX) {
        return overflowed(exact.negative, direction);
    }
    if (below > 0) {
        /* With exponents of any size, it would become the smallest normal number or stay below. */
        tiny = below > 1 || round_significand(exact, dropped, direction) >> PRECISION == 0;
        dropped += below;
        if (dropped > 63) { /* less than half of the smallest number: the first bit would do as well */
            exact.significand = 1;
            dropped = 63;
        }
    }
    is_inexact = exact.has_rest || (exact.significand & (((uint64_t)1 << dropped) - 1)) != 0;
    significand = round_significand(exact, dropped, direction);
    /* Encodings of finite magnitudes are consecutive: the leading bit adds one to the exponent field. */
    given.bits = ((uint64_t)(below > 0 ? 0 : -below) << TRAILING) + significand;
    if (given.bits >= INFINITE) {
        return overflowed(exact.negative, direction);
    }
    given.bits |= exact.negative ? SIGN_BIT : 0;
    given.flags = (is_inexact ? INEXACT : NO_FLAG) | (is_inexact && tiny ? UNDERFLOWS : NO_FLAG);
    return given;
}

/* An outcome that is the same in every direction: a number of the format, an infinity or a NaN, with flags. */
DEVICE int gives(Outcome *given, double value, uint32_t flags)
{
    if (value == 0 || value - value != 0) {
        given->bits = (bits_of(value) >> 63 ? SIGN_BIT : 0) | (value == 0 ? 0 : INFINITE);
        given->bits = value != value ? QUIET_NAN : given->bits;
    } else {
        *given = rounded(magnitude_of(exactly(value)), TOWARD_ZERO);
    }
    given->flags = flags;
    return 1;
}

#endif
