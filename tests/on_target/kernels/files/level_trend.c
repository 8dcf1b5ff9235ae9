#include "numbers.h"

void kernel(const number *level, number *left)
{
    number sy, sxy, x, slope, line, product;
    int i;

    sy = ZERO;
    sxy = ZERO;
    x = ZERO;
    for (i = 0; i < SAMPLES; i++) {
        addition(sy, sy, level[i]);
        multiplication(product, x, level[i]);
        addition(sxy, sxy, product);
        addition(x, x, ONE);
    }
    multiplication(slope, COUNT, sxy);
    multiplication(product, SUM_OF_TIMES, sy);
    subtraction(slope, slope, product);
    division(slope, slope, DETERMINANT);
    multiplication(product, slope, SUM_OF_TIMES);
    subtraction(line, sy, product);
    division(line, line, COUNT);
    for (i = 0; i < SAMPLES; i++) {
        subtraction(left[i], level[i], line);
        addition(line, line, slope);
    }
}
