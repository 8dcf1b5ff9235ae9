"""The macros that say where functions and constant tables are put, and how an entry of a table is read.

An AVR has flash and data in two memories: what is `const` is copied to data unless it is told not to be, and
flash is read by an instruction of its own, for which avr-libc has macros (its manual, "Data in Program
Space"). All other compilers here leave constants where the program is by themselves.
"""

from __future__ import annotations

FUNCTION = "SOFTFLOAT_PY_FUNCTION"
TABLE = "SOFTFLOAT_PY_TABLE"
ENTRY = "SOFTFLOAT_PY_ENTRY"  # and the bits of an entry
INNER_FUNCTION = "SOFTFLOAT_PY_INNER_FUNCTION"  # before what only the functions of its file call

FUNCTION_MACROS = f"""\
#ifndef {FUNCTION}
#define {FUNCTION}
#define {INNER_FUNCTION} static
#elif !defined({INNER_FUNCTION})
#define {INNER_FUNCTION} {FUNCTION}
#endif
""".splitlines()

# An entry of 64 bits is read as two of 32, lowest first: older libraries have nothing wider.
TABLE_MACROS = f"""\
/* Constant tables: where they are put, such as __device__ const for CUDA, and how an entry is read. */
#ifndef {TABLE}
#ifdef __AVR__
#include <avr/pgmspace.h>
#define {TABLE} static const PROGMEM
#define {ENTRY}_8(entry) pgm_read_byte(&(entry))
#define {ENTRY}_16(entry) pgm_read_word(&(entry))
#define {ENTRY}_32(entry) pgm_read_dword(&(entry))
#define {ENTRY}_64(entry) \\
    (((uint64_t)pgm_read_dword((const uint8_t *)&(entry) + 4) << 32) | pgm_read_dword(&(entry)))
#else
#define {TABLE} static const
#endif
#endif
#ifndef {ENTRY}_8
#define {ENTRY}_8(entry) (entry)
#define {ENTRY}_16(entry) (entry)
#define {ENTRY}_32(entry) (entry)
#define {ENTRY}_64(entry) (entry)
#endif
""".splitlines()


def before_function(reentrant: bool, inner: bool = False) -> str:
    """What stands before the type of a function."""
    if reentrant:
        return f"{INNER_FUNCTION if inner else FUNCTION} "
    return "static " if inner else ""
