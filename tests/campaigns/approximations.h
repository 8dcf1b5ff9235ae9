/* What doubles tell of the elementary functions (IEEE 754-2019, clause 9.2) of numbers of up to 24 bits.
 *
 * Each function is computed by the host's or the device's library in double, which promises errors of one to
 * three units in the last place (the CUDA C++ Programming Guide's table, and glibc's; from memory), or is
 * composed of a few such steps; operands with exact results are found by rules, as are those whose results lie
 * so near to a number of the format that no double shows on which side.
 *
 * Those rules are of one kind: the function is a number of the format plus a small term, whose sign is known.
 * Below 2^-14 a term of the order x^3/3, or of the order x^2/2 beside 1, is less than 2^-28 of the result, and
 * a quarter of a unit in the last place of 24 bits is 2^-26 of it or more. Above, the term is larger than 2^-31,
 * which a double shows. Terms of first order have the limit 2^-30 instead, for the same two reasons.
 *
 * Operands for which clause 9.2.1 prescribes a result (special_values.h) do not come here.
 */
#ifndef APPROXIMATIONS_H
#define APPROXIMATIONS_H

#include "numbers.h"

#define FIRST_ORDER 0x1p-30
#define SECOND_ORDER 0x1p-14
#define PI 0x1.921fb54442d18p+1
#define LN2 0x1.62e42fefa39efp-1
#define LN10 0x1.26bb1bbb55516p+1

DEVICE int is_integer(double x) { return x == rint(x); }

DEVICE int is_odd(double x) { return is_integer(x) && !is_integer(x / 2); }

/* The exponent of a power of two, or 9999. */
DEVICE int exponent_of_power(double x)
{
    int exponent;
    return frexp(x, &exponent) == 0.5 ? exponent - 1 : 9999;
}

/* 10^n, for 0 <= n <= 22: a double has them all. */
DEVICE double power_of_ten(double n)
{
    double power = 1;
    for (; n > 0; n--) {
        power *= 10;
    }
    return power;
}

/* The n with 10^n = x, or -1; 10^23 is no double. */
DEVICE double exponent_of_power_of_ten(double x)
{
    double power = 1, n = 0;
    for (; n <= 22; n++, power *= 10) {
        if (power == x) {
            return n;
        }
    }
    return -1;
}

/* Whether 1 + x is computed without an error. */
DEVICE int is_exact_successor(double x) { return fabs(x) < 0x1p52 && (1 + x) - 1 == x; }

/* -- square roots ---------------------------------------------------------------------------------------- */

DEVICE Claim near_square_root(double x)
{
    double root = sqrt(x);
    return fma(root, root, -x) == 0 ? exactly(root) : about(root);
}

/* Exact only for powers of four: 1/d^2 is a number of the format for no other d. */
DEVICE Claim near_r_sqrt(double x)
{
    int exponent = exponent_of_power(x);
    return exponent != 9999 && exponent % 2 == 0 ? exactly(ldexp(1.0, -exponent / 2)) : about(1 / sqrt(x));
}

/* x^2 and y^2 are exact doubles; so is the error of their sum. Where the root is no double, it is irrational or
 * has more bits than the rounding asks about. */
DEVICE Claim near_hypot(double x, double y)
{
    double larger = fmax(fabs(x), fabs(y)), smaller = fmin(fabs(x), fabs(y));
    double square = larger * larger, other = smaller * smaller, sum = square + other, root = sqrt(sum);
    if (smaller == 0) {
        return exactly(larger);
    }
    if (smaller < SECOND_ORDER * larger) {
        return beside(larger, 1);
    }
    return fma(root, root, -sum) == other - (sum - square) ? exactly(root) : about(root);
}

/* -- powers of fixed bases -------------------------------------------------------------------------------- */

DEVICE Claim near_exp(double x) { return fabs(x) < FIRST_ORDER ? beside(1, x > 0) : about(exp(x)); }

DEVICE Claim near_exp2(double x)
{
    if (is_integer(x) && fabs(x) <= 1000) {
        return exactly(ldexp(1.0, (int)x));
    }
    return fabs(x) < FIRST_ORDER ? beside(1, x > 0) : about(exp2(x));
}

/* 10^n of larger n has more than 25 bits, and of negative n is no binary fraction. */
DEVICE Claim near_exp10(double x)
{
    if (is_integer(x) && x >= 0 && x <= 22) {
        return exactly(power_of_ten(x));
    }
    return fabs(x) < FIRST_ORDER ? beside(1, x > 0) : about(exp10(x));
}

/* x + x^2/2; for large negative x, -1 + e^x. */
DEVICE Claim near_expm1(double x)
{
    if (fabs(x) < FIRST_ORDER) {
        return beside(x, 1);
    }
    return x < -25 ? beside(-1, 1) : about(expm1(x));
}

/* e^t - 1 for t = x log 2, which multiplies the error of t by at most t + 1: by 43. */
DEVICE Claim near_exp2m1(double x)
{
    if (is_integer(x) && fabs(x) <= 53) {
        return exactly(ldexp(1.0, (int)x) - 1);
    }
    if (is_integer(x) && x > 0 && x <= 1000) {
        return beside(ldexp(1.0, (int)x), 0);
    }
    if (x < -36) {
        return beside(-1, 1);
    }
    return about(x > 60 ? exp2(x) : expm1(x * LN2));
}

/* As above; t + 1 is at most 48. */
DEVICE Claim near_exp10m1(double x)
{
    if (is_integer(x) && x >= 0 && x <= 15) {
        return exactly(power_of_ten(x) - 1);
    }
    if (x < -11) {
        return beside(-1, 1);
    }
    return about(x > 20 ? exp10(x) : expm1(x * LN10));
}

/* -- logarithms ------------------------------------------------------------------------------------------- */

DEVICE Claim near_log(double x) { return about(log(x)); }

DEVICE Claim near_log2(double x)
{
    int exponent = exponent_of_power(x);
    return exponent != 9999 ? exactly(exponent) : about(log2(x));
}

DEVICE Claim near_log10(double x)
{
    double exponent = exponent_of_power_of_ten(x);
    return exponent >= 0 ? exactly(exponent) : about(log10(x));
}

/* x - x^2/2. */
DEVICE Claim near_logp1(double x) { return fabs(x) < FIRST_ORDER ? beside(x, 0) : about(log1p(x)); }

DEVICE Claim near_log2p1(double x)
{
    int exponent = is_exact_successor(x) ? exponent_of_power(1 + x) : 9999;
    return exponent != 9999 ? exactly(exponent) : about(log1p(x) / LN2);
}

DEVICE Claim near_log10p1(double x)
{
    double exponent = is_exact_successor(x) ? exponent_of_power_of_ten(1 + x) : -1;
    return exponent >= 0 ? exactly(exponent) : about(log1p(x) / LN10);
}

/* -- trigonometric functions ------------------------------------------------------------------------------ */

DEVICE Claim near_sin(double x) { return fabs(x) < SECOND_ORDER ? toward_zero(x) : about(sin(x)); }

DEVICE Claim near_cos(double x) { return fabs(x) < SECOND_ORDER ? beside(1, 0) : about(cos(x)); }

DEVICE Claim near_tan(double x) { return fabs(x) < SECOND_ORDER ? away_from_zero(x) : about(tan(x)); }

/* cos(pi d), for 0 <= d <= 1/4; pi^2 asks for a smaller limit. */
DEVICE Claim near_crest(double d)
{
    if (d == 0) {
        return exactly(1);
    }
    return d < SECOND_ORDER / 4 ? beside(1, 0) : about(cos(PI * d));
}

/* sin(pi d), for 0 <= d <= 1/2. */
DEVICE Claim near_rise(double d) { return d <= 0.25 ? about(sin(PI * d)) : near_crest(0.5 - d); }

/* Of fractions that are no sixths, the sine is rational only at multiples of 1/2 (Niven's theorem, from
 * memory). All the differences here are exact. */
DEVICE Claim near_sin_pi(double x)
{
    double rest = x - 2 * rint(x / 2), d = fabs(rest);
    return with_sign(near_rise(d > 0.5 ? 1 - d : d), rest < 0);
}

DEVICE Claim near_cos_pi(double x)
{
    double rest = fabs(x - 2 * rint(x / 2)), d = rest > 0.5 ? 1 - rest : rest;
    return with_sign(d <= 0.25 ? near_crest(d) : near_rise(0.5 - d), rest > 0.5);
}

DEVICE Claim near_tan_pi(double x)
{
    double rest = x - rint(x), d = fabs(rest);
    Claim found = d == 0.25 ? exactly(1) : about(d < 0.25 ? tan(PI * d) : 1 / tan(PI * (0.5 - d)));
    return with_sign(found, rest < 0);
}

DEVICE Claim near_asin(double x) { return fabs(x) < SECOND_ORDER ? away_from_zero(x) : about(asin(x)); }

DEVICE Claim near_acos(double x) { return about(acos(x)); }

DEVICE Claim near_atan(double x) { return fabs(x) < SECOND_ORDER ? toward_zero(x) : about(atan(x)); }

DEVICE Claim near_asin_pi(double x) { return fabs(x) == 1 ? exactly(x / 2) : about(asin(x) / PI); }

/* Near 0: 1/2 - x/pi. */
DEVICE Claim near_acos_pi(double x)
{
    if (x == -1 || x == 0) {
        return exactly(x == 0 ? 0.5 : 1);
    }
    return fabs(x) < FIRST_ORDER ? beside(0.5, x < 0) : about(acos(x) / PI);
}

/* Far out: 1/2 - 1/(pi x). */
DEVICE Claim near_atan_pi(double x)
{
    if (fabs(x) == 1) {
        return exactly(x / 4);
    }
    return fabs(x) > 1 / FIRST_ORDER ? toward_zero(copysign(0.5, x)) : about(atan(x) / PI);
}

/* Where x > 0, y/x (1 - (y/x)^2/3). Where the quotient is exact, it has no more bits than y. */
DEVICE Claim near_atan2(double y, double x)
{
    double quotient = y / x;
    if (x > 0 && fabs(quotient) < SECOND_ORDER && fma(quotient, x, -y) == 0) {
        return toward_zero(quotient);
    }
    return about(atan2(y, x));
}

DEVICE Claim near_atan2_pi(double y, double x)
{
    double ratio = fabs(y) / fabs(x);
    if (fabs(y) == fabs(x)) {
        return exactly(copysign(x > 0 ? 0.25 : 0.75, y));
    }
    if (x == 0 || y - y != 0) {
        return exactly(copysign(0.5, y));
    }
    if (y == 0 || x - x != 0) { /* x < 0 */
        return exactly(copysign(1.0, y));
    }
    if (ratio > 1 / FIRST_ORDER) {
        return x > 0 ? toward_zero(copysign(0.5, y)) : away_from_zero(copysign(0.5, y));
    }
    return x < 0 && ratio < FIRST_ORDER ? toward_zero(copysign(1.0, y)) : about(atan2(y, x) / PI);
}

/* -- hyperbolic functions --------------------------------------------------------------------------------- */

DEVICE Claim near_sinh(double x) { return fabs(x) < SECOND_ORDER ? away_from_zero(x) : about(sinh(x)); }

DEVICE Claim near_cosh(double x) { return fabs(x) < SECOND_ORDER ? beside(1, 1) : about(cosh(x)); }

/* Far out: 1 - 2 e^-2x. */
DEVICE Claim near_tanh(double x)
{
    if (fabs(x) > 14) {
        return toward_zero(copysign(1.0, x));
    }
    return fabs(x) < SECOND_ORDER ? toward_zero(x) : about(tanh(x));
}

DEVICE Claim near_asinh(double x) { return fabs(x) < SECOND_ORDER ? toward_zero(x) : about(asinh(x)); }

DEVICE Claim near_acosh(double x) { return about(acosh(x)); }

DEVICE Claim near_atanh(double x) { return fabs(x) < SECOND_ORDER ? away_from_zero(x) : about(atanh(x)); }

/* -- powers ----------------------------------------------------------------------------------------------- */

/* m^n for a whole n from 1 to 64, if it is exact; otherwise 0. A factor that is no power of two has at least two
 * bits, so a higher power has more than a double. */
DEVICE double exact_power(double m, double n)
{
    double power = m;
    for (; n > 1; n--) {
        double next = power * m;
        if (fma(power, m, -next) != 0 || next < 0x1p-300 || next > 0x1p300) {
            return 0;
        }
        power = next;
    }
    return power;
}

/* m^y for m > 0 and y other than 0, as e^(y log m), or 2^(k y). Exact roots are left as doubtful. */
DEVICE Claim near_power_of_magnitude(double m, double y)
{
    int exponent = exponent_of_power(m);
    double small = y * log(m), power;
    if (exponent != 9999 && is_integer(exponent * y) && fabs(exponent * y) <= 1000) {
        return exactly(ldexp(1.0, (int)(exponent * y)));
    }
    if (fabs(small) < FIRST_ORDER) {
        return beside(1, small > 0);
    }
    if (is_integer(y) && y >= 1 && y <= 64 && (power = exact_power(m, y)) != 0) {
        return exactly(power);
    }
    return about(pow(m, y));
}

DEVICE Claim near_pow(double x, double y)
{
    return with_sign(near_power_of_magnitude(fabs(x), y), x < 0 && is_odd(y));
}

DEVICE Claim near_powr(double x, double y) { return near_power_of_magnitude(x, y); }

DEVICE Claim near_pown(double x, double n) { return near_pow(x, n); }

/* The error of 1/n is multiplied by |log x|/n: by less than 52. */
DEVICE Claim near_rootn(double x, double n)
{
    int exponent = exponent_of_power(fabs(x));
    Claim found;
    if (n == 1) {
        return exactly(x);
    }
    if (n == 2) {
        return near_square_root(x);
    }
    if (exponent != 9999 && is_integer(exponent / n)) {
        found = exactly(ldexp(1.0, (int)(exponent / n)));
    } else if (fabs(log(fabs(x)) / n) < FIRST_ORDER) {
        found = beside(1, (log(fabs(x)) > 0) == (n > 0));
    } else {
        found = about(pow(fabs(x), 1 / n));
    }
    return with_sign(found, x < 0);
}

/* e^(n log(1 + x)), where the exponent, of at most 104 before overflow or underflow are certain, multiplies an
 * error of two units. Exact powers are left as doubtful, but for those of powers of two and the first. */
DEVICE Claim near_compound(double x, double n)
{
    double exponent = n * log1p(x);
    int of_two = is_exact_successor(x) ? exponent_of_power(1 + x) : 9999;
    if (of_two != 9999 && fabs(of_two * n) <= 1000) {
        return exactly(ldexp(1.0, (int)(of_two * n)));
    }
    if (n == 1 && is_exact_successor(x)) {
        return exactly(1 + x);
    }
    if (n == 1 && x >= 0x1p52) {
        return beside(x, 1);
    }
    return fabs(exponent) < FIRST_ORDER ? beside(1, exponent > 0) : claim(exp(exponent), ABOUT, 1024);
}

#endif
