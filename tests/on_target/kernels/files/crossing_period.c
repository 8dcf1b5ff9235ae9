#include "numbers.h"

void kernel(const number *heave, number *out)
{
    number crossings, mean, longest, time, earlier;
    number moment, period;
    int i;

    crossings = ZERO;
    mean = ZERO;
    longest = ZERO;
    time = ZERO;
    earlier = ZERO;
    for (i = 1; i < SAMPLES; i++) {
        const number *before = &heave[i - 1], *after = &heave[i];
        if (compare_signaling_less(*before, ZERO) && compare_signaling_greater_equal(*after, ZERO)) {
            subtraction(moment, *before, *after);
            division(moment, *before, moment);
            addition(moment, time, moment);
            if (compare_signaling_greater(crossings, ZERO)) {
                subtraction(period, moment, earlier);
                addition(mean, mean, period);
                if (compare_signaling_greater(period, longest)) {
                    longest = period;
                }
            }
            addition(crossings, crossings, ONE);
            earlier = moment;
        }
        addition(time, time, ONE);
    }
    subtraction(crossings, crossings, ONE);
    division(mean, mean, crossings);
    multiplication(out[0], mean, INTERVAL);
    multiplication(out[1], longest, INTERVAL);
}
