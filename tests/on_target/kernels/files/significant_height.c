#include "numbers.h"

void kernel(const number *elevation, number *height)
{
    number total, energy, mean, d;
    int i;

    total = ZERO;
    energy = ZERO;
    for (i = 0; i < SAMPLES; i++) {
        addition(total, total, elevation[i]);
    }
    division(mean, total, COUNT);
    for (i = 0; i < SAMPLES; i++) {
        subtraction(d, elevation[i], mean);
        multiplication(d, d, d);
        addition(energy, energy, d);
    }
    division(energy, energy, COUNT);
    square_root(energy, energy);
    multiplication(*height, FOUR, energy);
}
