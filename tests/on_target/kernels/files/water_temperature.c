#include "numbers.h"

void kernel(const number *resistance, number *temperatures)
{
    number u, above, below;
    int i;

    for (i = 0; i < SAMPLES; i++) {
        division(u, resistance[i], AT_25_DEGREES);
        multiplication(above, UPPER[0], u);
        addition(above, above, UPPER[1]);
        multiplication(above, above, u);
        addition(above, above, UPPER[2]);
        multiplication(below, LOWER[0], u);
        addition(below, below, LOWER[1]);
        multiplication(below, below, u);
        addition(below, below, LOWER[2]);
        division(temperatures[i], above, below);
    }
}
