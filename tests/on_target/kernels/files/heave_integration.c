#include "numbers.h"

void kernel(const number *acceleration, number *heaves)
{
    number velocity, heave, last, v, gained;
    int i;

    velocity = ZERO;
    heave = ZERO;
    last = ZERO;
    for (i = 0; i < SAMPLES; i++) {
        multiplication(v, KEPT, velocity);
        addition(gained, last, acceleration[i]);
        multiplication(gained, HALF_INTERVAL, gained);
        addition(v, v, gained);
        multiplication(heave, KEPT, heave);
        addition(gained, velocity, v);
        multiplication(gained, HALF_INTERVAL, gained);
        addition(heave, heave, gained);
        velocity = v;
        last = acceleration[i];
        heaves[i] = heave;
    }
}
