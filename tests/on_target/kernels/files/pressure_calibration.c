#include "numbers.h"

void kernel(const number *in, number *pressures)
{
    const number *readings = in, *temperatures = in + SAMPLES;
    number y, warm;
    int i, k;

    for (i = 0; i < SAMPLES; i++) {
        y = COEFFICIENTS[0];
        for (k = 1; k <= DEGREE; k++) {
            multiplication(y, y, readings[i]);
            addition(y, y, COEFFICIENTS[k]);
        }
        subtraction(warm, temperatures[i], AT);
        multiplication(warm, DRIFT, warm);
        addition(warm, ONE, warm);
        division(pressures[i], y, warm);
    }
}
