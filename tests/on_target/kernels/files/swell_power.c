#include "numbers.h"

void kernel(const number *heave, number *power)
{
    number s0, s1, s2, cross;
    int i;

    s1 = ZERO;
    s2 = ZERO;
    for (i = 0; i < SAMPLES; i++) {
        multiplication(s0, COEFFICIENT, s1);
        addition(s0, heave[i], s0);
        subtraction(s0, s0, s2);
        s2 = s1;
        s1 = s0;
    }
    multiplication(cross, COEFFICIENT, s1);
    multiplication(cross, cross, s2);
    multiplication(s1, s1, s1);
    multiplication(s2, s2, s2);
    addition(s1, s1, s2);
    subtraction(s1, s1, cross);
    multiplication(*power, s1, SCALE);
}
