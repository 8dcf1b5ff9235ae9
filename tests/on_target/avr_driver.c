/* Calls functions of an AVR program in libsimavr, one at a time, counting cycles. */
#include <stdint.h>
#include <stddef.h>
#include <simavr/sim_avr.h>


void *avr_open(const char *mcu)
{
    avr_t *avr = avr_make_mcu_by_name(mcu);
    if (avr != NULL) {
        avr_init(avr);
        avr->log = 0;
    }
    return avr;
}

uint8_t *avr_memory(avr_t *avr)
{
    return avr->data;
}

/* Registers are the first 32 bytes of memory. Cycles from entry to return, the return included. */
uint64_t avr_call(avr_t *avr, uint32_t address)
{
    uint16_t sp = (uint16_t)(avr->ramend - 2);
    uint32_t return_to = avr->flashend - 1; /* beyond the program */
    avr_cycle_count_t start = avr->cycle;
    avr->data[1] = 0; /* what the compiler expects to be zero */
    avr->data[sp + 1] = (uint8_t)(return_to / 2 >> 8);
    avr->data[sp + 2] = return_to / 2 & 0xff;
    avr->data[R_SPL] = sp & 0xff;
    avr->data[R_SPH] = sp >> 8;
    avr->state = cpu_Running;
    avr->pc = address;
    while (avr->pc != return_to) {
        avr->pc = avr_run_one(avr);
    }
    return avr->cycle - start;
}
