#include "numbers.h"

void kernel(const number *level, number *out)
{
    number lowest, highest, smooth;
    int i;

    lowest = level[0];
    highest = level[0];
    for (i = 1; i < SAMPLES - 1; i++) {
        addition(smooth, level[i - 1], level[i]);
        addition(smooth, smooth, level[i + 1]);
        multiplication(smooth, smooth, THIRD);
        if (compare_signaling_less(smooth, lowest)) {
            lowest = smooth;
        }
        if (compare_signaling_greater(smooth, highest)) {
            highest = smooth;
        }
    }
    subtraction(out[0], highest, lowest);
    addition(smooth, highest, lowest);
    multiplication(out[1], smooth, HALF);
}
