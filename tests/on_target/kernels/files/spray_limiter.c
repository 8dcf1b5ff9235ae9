#include "numbers.h"

void kernel(const number *heights, number *limited)
{
    number height, move;
    int i;

    height = heights[0];
    for (i = 1; i < SAMPLES; i++) {
        subtraction(move, heights[i], height);
        if (compare_signaling_greater(move, LIMIT)) {
            move = LIMIT;
        } else if (compare_signaling_less(move, BACK)) {
            move = BACK;
        }
        addition(height, height, move);
        limited[i - 1] = height;
    }
}
