#include "numbers.h"

void kernel(const number *in, number *out)
{
    const number *east = in, *north = in + SAMPLES;
    number total, highest, speed, square;
    int i;

    total = ZERO;
    highest = ZERO;
    for (i = 0; i < SAMPLES; i++) {
        multiplication(speed, east[i], east[i]);
        multiplication(square, north[i], north[i]);
        addition(speed, speed, square);
        square_root(speed, speed);
        addition(total, total, speed);
        if (compare_signaling_greater(speed, highest)) {
            highest = speed;
        }
    }
    division(out[0], total, COUNT);
    out[1] = highest;
}
