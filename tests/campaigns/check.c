/* A campaign on the host: the operands of every `stride`th number from the first, `count` of them. */
#include "check.h"

#include <stddef.h>

char const *machine(void) { return ""; }

char const *check(uint64_t first, uint64_t stride, uint64_t count, uint32_t directions, Report *report)
{
    uint64_t i;
    memset(report, 0, offsetof(Report, doubt));
    for (i = 0; i < count; i++) {
        check_one(report, first + stride * i, directions);
    }
    return "";
}
