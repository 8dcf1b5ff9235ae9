/* A program for a board that ends: simavr stops where an ATmega sleeps with interrupts off. */
#include <avr/interrupt.h>
#include <avr/sleep.h>

int measure(void);

int main(void)
{
    measure();
    cli();
    sleep_mode();
    return 0;
}
