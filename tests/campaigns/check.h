/* Hold a function of the library, OURS(x, y, direction, flags), against what is expected of it: EXPECTED(x, y).
 *
 * Differences are counted, and the first of them kept. What is doubtful is kept with all that the function
 * delivers there, to be decided in multiple precision. ORDER says whether results rise (1) or fall (-1) with the
 * operand, SYMMETRY whether the function is odd (-1) or even (1); 0: neither, or it is not asked.
 */
#include "expected.h"
#include "operands.h"

enum { FIRST_DIFFERENCES = 16, MOST_DOUBTS = 1 << 16 };
enum { VALUE_DIFFERS, ORDER_DIFFERS, SYMMETRY_DIFFERS, KINDS };

typedef struct {
    uint64_t x, y, got, wanted;
    uint32_t got_flags, wanted_flags, direction, kind;
} Difference;

typedef struct {
    uint64_t x, y, got[DIRECTIONS];
    uint32_t got_flags[DIRECTIONS], unused;
} Doubt;

typedef unsigned long long Count;

typedef struct {
    Count wrong[KINDS][DIRECTIONS], differences, doubts;
    Difference first[FIRST_DIFFERENCES];
    Doubt doubt[MOST_DOUBTS];
} Report;

/* Adds one; gives what was there before. */
DEVICE Count counted(Count *counter)
{
#ifdef __CUDACC__
    return atomicAdd(counter, 1ull);
#else
    return (*counter)++;
#endif
}

DEVICE Outcome ours(uint64_t x, uint64_t y, unsigned direction)
{
    Outcome got;
    got.flags = 0;
    (void)y;
    got.bits = OURS(x, y, direction, &got.flags);
    return got;
}

DEVICE void note(Report *report, int kind, uint64_t x, uint64_t y, unsigned direction, Outcome got, Outcome wanted)
{
    Count place;
    (void)counted(&report->wrong[kind][direction]);
    place = counted(&report->differences);
    if (place < FIRST_DIFFERENCES) {
        Difference *found = &report->first[place];
        found->x = x;
        found->y = y;
        found->got = got.bits;
        found->wanted = wanted.bits;
        found->got_flags = got.flags;
        found->wanted_flags = wanted.flags;
        found->direction = direction;
        found->kind = (uint32_t)kind;
    }
}

DEVICE void keep_doubt(Report *report, uint64_t x, uint64_t y, uint32_t directions)
{
    Count place = counted(&report->doubts);
    unsigned direction;
    if (place >= MOST_DOUBTS) {
        return;
    }
    memset(&report->doubt[place], 0, sizeof report->doubt[place]);
    report->doubt[place].x = x;
    report->doubt[place].y = y;
    for (direction = 0; direction < DIRECTIONS; direction++) {
        if (directions >> direction & 1) {
            Outcome got = ours(x, y, direction);
            report->doubt[place].got[direction] = got.bits;
            report->doubt[place].got_flags[direction] = got.flags;
        }
    }
}

/* Encodings in the order of what they stand for. */
DEVICE int64_t in_order(uint64_t bits)
{
    return bits & SIGN_BIT ? -(int64_t)(bits & (SIGN_BIT - 1)) : (int64_t)bits;
}

/* The result for a number, beside those for its neighbour away from zero and its negative. */
DEVICE void check_shape(Report *report, uint64_t x)
{
    Outcome got = ours(x, 0, TIES_TO_EVEN), other;
    if (is_nan(x) || is_nan(got.bits)) {
        return;
    }
    if (ORDER != 0 && (x & (SIGN_BIT - 1)) < INFINITE && !(SYMMETRY != 0 && x & SIGN_BIT)) {
        int64_t rise;
        other = ours(x + 1, 0, TIES_TO_EVEN);
        rise = in_order(other.bits) - in_order(got.bits);
        if (!is_nan(other.bits) && (x & SIGN_BIT ? -ORDER * rise : ORDER * rise) < 0) {
            note(report, ORDER_DIFFERS, x, 0, TIES_TO_EVEN, other, got);
        }
    }
    if (SYMMETRY != 0 && !(x & SIGN_BIT)) {
        other = ours(x | SIGN_BIT, 0, TIES_TO_EVEN);
        got.bits ^= SYMMETRY < 0 ? SIGN_BIT : 0;
        if (other.bits != got.bits || other.flags != got.flags) {
            note(report, SYMMETRY_DIFFERS, x, 0, TIES_TO_EVEN, other, got);
        }
    }
}

DEVICE void check_one(Report *report, uint64_t number, uint32_t directions)
{
    uint64_t x, y;
    unsigned direction;
    Expected expected;
    find_operands(number, &x, &y);
    expected = EXPECTED(x, y);
    if ((ORDER != 0 || SYMMETRY != 0) && directions >> TIES_TO_EVEN & 1) {
        check_shape(report, x);
    }
    if (expected.is_doubtful) {
        keep_doubt(report, x, y, directions);
        return;
    }
    for (direction = 0; direction < DIRECTIONS; direction++) {
        if (directions >> direction & 1) {
            Outcome got = ours(x, y, direction), wanted = outcome_in(expected, direction);
            if (got.bits != wanted.bits || got.flags != wanted.flags) {
                note(report, VALUE_DIFFERS, x, y, direction, got, wanted);
            }
        }
    }
}
