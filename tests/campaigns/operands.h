/* Operands by number: every one there is, or drawn by a hash of the number. OPERANDS says which: of a function of
 * a number, of two, or of a number and an integer.
 */
#ifndef OPERANDS_H
#define OPERANDS_H

#include "numbers.h"

enum { EVERY_NUMBER, EVERY_PAIR, DRAWN_NUMBER, DRAWN_PAIR, EVERY_WITH_INTEGERS, DRAWN_WITH_INTEGERS };

#define WIDTH (PRECISION + EXPONENT_BITS)
#define ALL_BITS (~(uint64_t)0 >> (64 - WIDTH))
#define TRAILING_MASK (((uint64_t)1 << TRAILING) - 1)

/* A number that looks drawn, of a number: multiplications and shifts that lose nothing (common practice, no
 * source). The factors and the summand are the first 64 bits of the fractions of the golden ratio, of pi (made
 * odd), of e and of the root of 2. */
DEVICE uint64_t hashed(uint64_t number, uint64_t salt)
{
    uint64_t mixed = (number ^ salt * 0x9e3779b97f4a7c15u) + 0x6a09e667f3bcc909u;
    mixed = (mixed ^ mixed >> 31) * 0x243f6a8885a308d3u;
    mixed = (mixed ^ mixed >> 29) * 0xb7e151628aed2a6bu;
    return mixed ^ mixed >> 32;
}

DEVICE uint64_t encoding(uint64_t sign_and_trailing, int exponent)
{
    int field = exponent + EMAX, largest = 2 * EMAX;
    uint64_t kept = sign_and_trailing & (SIGN_BIT | TRAILING_MASK);
    return kept | (uint64_t)(field < 0 ? 0 : field > largest ? largest : field) << TRAILING;
}

/* Any bits, an exponent around 0, one near that of `other`, few bits set, a neighbour of 1, of a power of two or
 * of the ends of the range: in parts of sixteen. */
DEVICE uint64_t drawn(uint64_t seed, uint64_t other)
{
    uint64_t any = hashed(seed, 1) & ALL_BITS, more = hashed(seed, 2);
    int place = (int)(more >> 8 & 0xff) % TRAILING;
    uint64_t few = (any & ~TRAILING_MASK) | (any & (TRAILING_MASK << place) & TRAILING_MASK);
    switch (more & 15) {
    case 0: case 1: case 2:
        return any;
    case 3: case 4: case 5: case 6: case 7:
        return encoding(any, (int)(more >> 16 & 31) - 20);
    case 8: case 9:
        return encoding(any, (int)((other & ~SIGN_BIT) >> TRAILING) - EMAX + (int)(more >> 16 & 63) - 32);
    case 10: case 11:
        return encoding(few, (int)(more >> 16 & 15) - 8);
    case 12:
        return few;
    case 13:
        few = (uint64_t)EMAX << TRAILING; /* 1 */
        return (few + (any & TRAILING_MASK >> place) - (TRAILING_MASK >> place >> 1)) | (any & SIGN_BIT);
    case 14:
        return ((any & ~TRAILING_MASK) + (more >> 16 & 15) - 8) & ALL_BITS;
    default:
        return encoding(any, more & 16 ? EMAX - (int)(more >> 16 & 7) : EMIN + 3 - (int)(more >> 16 & 7));
    }
}

/* -40 to 40, the ends of the range of 32 bits, then integers of any length. */
DEVICE uint64_t integer(uint64_t number)
{
    uint32_t any = (uint32_t)hashed(number, 3);
    if (number <= 80) {
        return (uint64_t)((int64_t)number - 40);
    }
    if (number <= 84) {
        any = 0x80000000u - 2 + (uint32_t)(number - 81);
    } else {
        any = (uint32_t)((int32_t)any >> (hashed(number, 4) & 31));
    }
    return (uint64_t)(int64_t)(int32_t)any;
}

/* About the y for which x^y, or (1 + x)^y, lies at an end of the range. */
DEVICE double reaching(uint64_t number, uint64_t x)
{
    uint64_t any = hashed(number, 10);
    double const ends[4] = {EMAX + 1, EMIN, EMIN - TRAILING, EMIN - TRAILING - 1};
    double base = any & 4 ? fabs(value_of(x)) : 1 + value_of(x);
    return ends[any & 3] / log2(base) * (1 + ldexp((double)(any >> 8 & 15) - 8, -(int)(any >> 16 & 31)));
}

DEVICE uint64_t number_reaching(uint64_t number, uint64_t x)
{
    double y = reaching(number, x);
    return y - y == 0 && y != 0 ? rounded(magnitude_of(exactly(y)), TIES_TO_EVEN).bits : QUIET_NAN;
}

DEVICE uint64_t integer_reaching(uint64_t number, uint64_t x)
{
    double n = rint(reaching(number, x));
    return fabs(n) < 0x1p31 ? (uint64_t)(int64_t)n : 0;
}

DEVICE void find_operands(uint64_t number, uint64_t *x, uint64_t *y)
{
    *y = 0;
    switch (OPERANDS) {
    case EVERY_NUMBER:
        *x = number;
        break;
    case EVERY_PAIR:
        *x = number >> WIDTH % 64;
        *y = number & ALL_BITS;
        break;
    case DRAWN_NUMBER:
        *x = drawn(number, (uint64_t)EMAX << TRAILING);
        break;
    case DRAWN_PAIR:
        *x = drawn(hashed(number, 5), (uint64_t)EMAX << TRAILING);
        switch (hashed(number, 6) & 31) {
        case 0:
            *y = *x ^ (hashed(number, 7) & SIGN_BIT);
            break;
        case 1: case 2: case 3:
            *y = number_reaching(number, *x);
            break;
        default:
            *y = drawn(hashed(number, 7), *x);
        }
        break;
    case EVERY_WITH_INTEGERS:
        *x = number & ALL_BITS;
        *y = integer(number >> WIDTH % 64);
        break;
    default:
        *x = drawn(hashed(number, 5), (uint64_t)EMAX << TRAILING);
        *y = hashed(number, 6) & 7 ? integer(hashed(number, 7) & 0xffff) : integer_reaching(number, *x);
        break;
    }
}

#endif
