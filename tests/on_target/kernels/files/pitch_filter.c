#include "numbers.h"

void kernel(const number *in, number *pitches)
{
    const number *rate = in, *forward = in + SAMPLES, *down = in + 2 * SAMPLES;
    number pitch, slope, turned;
    int i;

    pitch = ZERO;
    for (i = 0; i < SAMPLES; i++) {
        division(slope, forward[i], down[i]);
        multiplication(turned, INTERVAL, rate[i]);
        addition(turned, pitch, turned);
        multiplication(turned, BLEND, turned);
        multiplication(slope, REST, slope);
        addition(pitch, turned, slope);
        pitches[i] = pitch;
    }
}
