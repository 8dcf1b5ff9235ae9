#include "numbers.h"

void kernel(const number *spectrum, number *periods)
{
    number f, before, m0, m1, m2, weighted;
    int i;

    f = LOWEST;
    before = ZERO;
    m0 = ZERO;
    m1 = ZERO;
    m2 = ZERO;
    for (i = 0; i < BINS; i++) {
        division(weighted, spectrum[i], f);
        addition(before, before, weighted);
        addition(m0, m0, spectrum[i]);
        multiplication(weighted, spectrum[i], f);
        addition(m1, m1, weighted);
        multiplication(weighted, weighted, f);
        addition(m2, m2, weighted);
        addition(f, f, STEP);
    }
    division(periods[0], before, m0);
    division(periods[1], m0, m1);
    division(m0, m0, m2);
    square_root(periods[2], m0);
}
