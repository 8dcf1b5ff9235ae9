#include "numbers.h"

void kernel(const int32_t *readings, number *out)
{
    number total, lowest, volts;
    int i;

    total = ZERO;
    lowest = HIGHEST;
    for (i = 0; i < SAMPLES; i++) {
        convert_from_integer_int32(volts, readings[i]);
        multiplication(volts, VOLTS_A_STEP, volts);
        subtraction(volts, volts, OFFSET);
        addition(total, total, volts);
        if (compare_signaling_less(volts, lowest)) {
            lowest = volts;
        }
    }
    division(out[0], total, COUNT);
    out[1] = lowest;
}
