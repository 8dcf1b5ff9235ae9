#include "numbers.h"

void kernel(const number *in, number *coefficients)
{
    const number *wind = in, *waves = in + SAMPLES;
    int lag, i;

    for (lag = 0; lag < LAGS; lag++) {
        number xy, xx, yy, product;

        xy = ZERO;
        xx = ZERO;
        yy = ZERO;
        for (i = 0; i < COMPARED; i++) {
            multiplication(product, wind[i], waves[i + lag]);
            addition(xy, xy, product);
            multiplication(product, wind[i], wind[i]);
            addition(xx, xx, product);
            multiplication(product, waves[i + lag], waves[i + lag]);
            addition(yy, yy, product);
        }
        multiplication(xx, xx, yy);
        square_root(xx, xx);
        division(coefficients[lag], xy, xx);
    }
}
