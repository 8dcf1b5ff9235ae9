#include "numbers.h"

void kernel(const number *in, number *out)
{
    const number *current = in, *surge = in + SAMPLES;
    number work, passing, force, done;
    int i;

    work = ZERO;
    for (i = 0; i < SAMPLES; i++) {
        subtraction(passing, current[i], surge[i]);
        absolute(force, passing);
        multiplication(force, DRAG, force);
        multiplication(force, force, passing);
        multiplication(done, force, surge[i]);
        multiplication(done, done, INTERVAL);
        addition(work, work, done);
        negate(out[i], force);
    }
    out[SAMPLES] = work;
}
