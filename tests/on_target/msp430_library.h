/* Shifts by a variable, which the MSP430 lacks: what the run-time library of a compiler for it has, as loops.
 * clang leaves the upper byte of the distance as it is, so only the lower one counts.
 */
__attribute__((weak, naked)) unsigned long __mspabi_slll(unsigned long x, int distance)
{
    __asm__("tst.b r14\n jeq 2f\n 1: add r12, r12\n addc r13, r13\n sub.b #1, r14\n jne 1b\n 2: ret");
}

__attribute__((weak, naked)) unsigned long __mspabi_srll(unsigned long x, int distance)
{
    __asm__("tst.b r14\n jeq 2f\n 1: clrc\n rrc r13\n rrc r12\n sub.b #1, r14\n jne 1b\n 2: ret");
}

__attribute__((weak, naked)) unsigned int __mspabi_slli(unsigned int x, int distance)
{
    __asm__("tst.b r13\n jeq 2f\n 1: add r12, r12\n sub.b #1, r13\n jne 1b\n 2: ret");
}

__attribute__((weak, naked)) unsigned int __mspabi_srli(unsigned int x, int distance)
{
    __asm__("tst.b r13\n jeq 2f\n 1: clrc\n rrc r12\n sub.b #1, r13\n jne 1b\n 2: ret");
}
