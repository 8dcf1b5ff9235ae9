#define TIMER_MASK (0xFFFFFFFFu >> (32 - TIMER_BITS))
#define TEXT_OF(macro) TEXT(macro)
#define TEXT(tokens) #tokens

#if defined(__GNUC__) && !defined(__clang__)
#define COMPILER "GCC " __VERSION__
#elif defined(__VERSION__)
#define COMPILER __VERSION__
#else
#define COMPILER ""
#endif

/* What is known so far of the operation that is being measured. */
static uint32_t sum, lowest, highest, checksum;

static void put(char const *text)
{
    for (; *text != 0; text++) {
        PUT_CHARACTER(*text);
    }
}

static void put_number(uint32_t number)
{
    char digits[11];
    char *first = digits + 10;

    *first = 0;
    do {
        *--first = (char)('0' + number % 10u);
        number /= 10u;
    } while (number != 0);
    put(first);
}

static void put_mean(uint32_t whole, uint32_t parts)
{
    uint32_t hundredths = whole % parts * 100u / parts;

    put_number(whole / parts);
    put(hundredths < 10u ? ".0" : ".");
    put_number(hundredths);
}

static void put_hexadecimal(uint32_t number)
{
    int8_t shift;

    put("0x");
    for (shift = 28; shift >= 0; shift -= 4) {
        PUT_CHARACTER("0123456789abcdef"[number >> shift & 15u]);
    }
}

/* The first lines; who measures completes the empty texts and the clock. */
static void put_heading(void)
{
    put("who = \"\"\nboard = \"\"\ncpu = \"\"\nclock_mhz = 0\ncompiler = \"" COMPILER "\"\n");
    put("compiler_options = \"\"\ndate = \"\"\ntimer = \"" TIMER_NAME "\"\n");
    put("cycles_per_tick = " TEXT_OF(CYCLES_PER_TICK) "\nrepeats = " TEXT_OF(REPEATS) "\n");
}

static void begin_operation(void)
{
    sum = highest = 0;
    lowest = checksum = 0xFFFFFFFFu;
}

/* What a call took, beyond a function that does nothing. */
static void note_call(uint32_t nothing, uint32_t operation)
{
    uint32_t ticks = operation > nothing ? operation - nothing : 0;

    sum += ticks;
    lowest = ticks < lowest ? ticks : lowest;
    highest = ticks > highest ? ticks : highest;
}

/* CRC-32 of IEEE 802.3, over the lowest bytes of a result. */
static void note_result(uint32_t result, uint8_t bytes)
{
    uint8_t bit;

    for (; bytes > 0; bytes--, result >>= 8) {
        checksum ^= result & 0xFFu;
        for (bit = 0; bit < 8; bit++) {
            checksum = checksum & 1u ? checksum >> 1 ^ 0xEDB88320u : checksum >> 1;
        }
    }
}

static void put_operation(char const *operation, uint8_t calls)
{
    put("\n[[operations]]\noperation = \"");
    put(operation);
    put("\"\nformat = \"" FORMAT "\"\ncalls = ");
    put_number(calls);
    put("\nmean = ");
    put_mean(sum, calls);
    put("\nlowest = ");
    put_number(lowest);
    put("\nhighest = ");
    put_number(highest);
    put("\nchecksum = ");
    put_hexadecimal(checksum ^ 0xFFFFFFFFu);
    put("\n");
}
