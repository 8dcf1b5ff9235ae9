/* What compilers call to copy and to clear structures of words, for CPUs that are linked without a C library.
 * Volatile, so that no compiler takes the loops for calls of these very functions.
 */
#include <stddef.h>
#include <stdint.h>

void *memcpy(void *to, const void *from, size_t bytes)
{
    volatile uint32_t *word = to;
    const volatile uint32_t *source = from;

    for (; bytes >= 4; bytes -= 4) {
        *word++ = *source++;
    }
    return to;
}

void *memset(void *to, int value, size_t bytes)
{
    volatile uint32_t *word = to;

    for (; bytes >= 4; bytes -= 4) {
        *word++ = (unsigned char)value * UINT32_C(0x01010101);
    }
    return to;
}
