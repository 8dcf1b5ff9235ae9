#include "numbers.h"

void kernel(const number *level, number *levels)
{
    number smooth, trend, expected, surprise, share;
    int i;

    smooth = level[0];
    trend = ZERO;
    for (i = 1; i < SAMPLES; i++) {
        addition(expected, smooth, trend);
        subtraction(surprise, level[i], expected);
        multiplication(share, LEVEL_SHARE, surprise);
        addition(smooth, expected, share);
        multiplication(share, TREND_SHARE, surprise);
        addition(trend, trend, share);
        levels[i - 1] = smooth;
    }
}
