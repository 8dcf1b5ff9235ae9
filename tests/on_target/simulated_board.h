/* What a simulated core has in place of a board: its cycles so far, and a place for characters. */
#include <stdint.h>

#define TIMER_NAME "cycles of a simulator"
#define TIMER_BITS 32
#define START_TIMER() ((void)0)
#define READ_TIMER() (*(volatile uint32_t *)0xF0000u)
#define PUT_CHARACTER(character) (*(volatile uint32_t *)0xF0004u = (uint32_t)(character))
