/* A timer for the tests, of 16 bits, that soon begins anew: a function that does nothing takes 10 ticks, the
   calls of an operation 10 more than 100, 101 and so on. */
static uint32_t read_timer(void)
{
    static uint32_t readings, now = 65500u;
    uint32_t place = readings % 4u;

    now += place == 1u ? 10u : place == 3u ? 110u + readings / 4u % CALLS : 3u;
    readings++;
    return now & 0xFFFFu;
}

#define TIMER_NAME "made up"
#define TIMER_BITS 16
#define START_TIMER() ((void)0)
#ifdef STANDING_STILL
#define READ_TIMER() 7u
#else
#define READ_TIMER() read_timer()
#endif
