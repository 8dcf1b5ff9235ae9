/* What measure.c asks of a board: a timer, and a place for characters.

   Choose a timer with one of the macros below, such as -DTIMER_SYSTICK for the compiler, or write TIMER_NAME,
   TIMER_BITS, START_TIMER and READ_TIMER for another one. A call must take less than the timer's whole range,
   or its cycles are too few, and nothing shows it. Registers are named as the manuals have them, from memory:
   see that the timer counts the clock of the CPU on your board. */

#ifndef MEASURE_H
#define MEASURE_H

#include <stdint.h>

#if defined(READ_TIMER)
/* A timer of one's own. */

#elif defined(TIMER_SYSTICK)
/* Any Cortex-M that has it (Armv6-M and Armv7-M Architecture Reference Manuals, "SysTick"): counts down. */
#define TIMER_NAME "SysTick"
#define TIMER_BITS 24
#define SYSTICK ((volatile uint32_t *)0xE000E010u)
#define START_TIMER() (SYSTICK[1] = 0xFFFFFFu, SYSTICK[2] = 0u, SYSTICK[0] = 5u)
#define READ_TIMER() (0xFFFFFFu - SYSTICK[2])

#elif defined(TIMER_DWT)
/* Cortex-M3 and those above it (Armv7-M Architecture Reference Manual, "Data Watchpoint and Trace unit"). */
#define TIMER_NAME "DWT CYCCNT"
#define TIMER_BITS 32
#define START_TIMER() \
    (*(volatile uint32_t *)0xE000EDFCu |= 0x1000000u, *(volatile uint32_t *)0xE0001000u |= 1u)
#define READ_TIMER() (*(volatile uint32_t *)0xE0001004u)

#elif defined(TIMER_RDCYCLE)
/* RISC-V with the counters of Zicntr (its unprivileged manual, "Counters"); in machine mode it is running. */
#define TIMER_NAME "rdcycle"
#define TIMER_BITS 32
#define START_TIMER() ((void)0)
#define READ_TIMER() read_cycle()
static uint32_t read_cycle(void)
{
    unsigned long cycles;
    __asm__ volatile("rdcycle %0" : "=r"(cycles));
    return (uint32_t)cycles;
}

#elif defined(TIMER_AVR_1)
/* ATmega, and any AVR whose Timer/Counter1 has 16 bits (data sheets, "16-bit Timer/Counter1"). */
#include <avr/io.h>
#define TIMER_NAME "Timer/Counter1, not prescaled"
#define TIMER_BITS 16
#define START_TIMER() (TCCR1A = 0, TCCR1B = 1)
#define READ_TIMER() ((uint32_t)TCNT1)

#elif defined(TIMER_MSP430_A)
/* MSP430 with Timer0_A (family user's guides, "Timer_A"); SMCLK must be the clock of the CPU. */
#include <msp430.h>
#define TIMER_NAME "Timer0_A from SMCLK"
#define TIMER_BITS 16
#define START_TIMER() (TA0CTL = TASSEL_2 | MC_2 | TACLR)
#define READ_TIMER() ((uint32_t)TA0R)

#else
/* A Z80 or a 6502 has no timer of its own: read that of a chip beside it, by a port or an address. */
#error "measure.h needs a timer: define TIMER_SYSTICK or another name it has, or READ_TIMER of your own"
#endif

/* Cycles of the CPU in a tick of the timer, a number as TOML writes it. */
#ifndef CYCLES_PER_TICK
#define CYCLES_PER_TICK 1
#endif

/* How often a call is run between two readings, at most 65535: more where a tick is many cycles. */
#ifndef REPEATS
#define REPEATS 1
#endif

/* What the board needs before anything else: clock, serial line; interrupts are best left off. */
#ifndef START_BOARD
#define START_BOARD() ((void)0)
#endif

/* Where characters go. */
#ifndef PUT_CHARACTER
#include <stdio.h>
#define PUT_CHARACTER(character) putchar(character)
#endif

#endif /* MEASURE_H */
