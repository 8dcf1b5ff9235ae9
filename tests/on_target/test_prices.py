"""Simulated cores take as long as counting by hand says: a few instructions each, and their cycles."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.on_target.cpus import CPUS
from tests.on_target.images import linked, object_of

pytestmark = pytest.mark.on_target

# By instruction: cycles of each core.
OF_ALL_THUMB = """
    push {r4, lr}               3 3 3 3
    movs r4, #3                 1 1 1 1
    ldr r1, [sp]                2 2 2 2
    str r1, [sp]                2 2 1 1
    muls r4, r4                 1 1 1 1
    cmp r4, #9                  1 1 1 1
    bne 1f                      1 1 1 1
    beq 1f                      2 3 3 3
    nop                         0 0 0 0
1:  bl 2f                       3 4 3 3
    pop {r4, pc}                5 6 5 5
2:  bx lr                       2 3 3 3
"""
OF_LARGER_THUMB = """
    umull r2, r3, r0, r1        4 1
    mla r2, r0, r0, r0          2 1
    ldrd r2, r3, [sp]           3 3
    movs r2, #0                 1 1
    ldr r2, [sp]                2 2
    ldr r3, [sp, #4]            1 1
    str r3, [sp, r1, lsl #2]    1 1
    movs r2, #0                 1 1
    it eq                       0 0
    moveq r2, #1                1 1
    add.w r3, r2, r2, lsl #3    1 1
    ite ne                      1 1
    movne r2, #1                1 1
    moveq r2, #2                1 1
    cbz r2, 1f                  1 1
    cbnz r2, 1f                 3 3
    nop                         0 0
1:  bx lr                       3 3
"""
OF_CORTEX_M33 = """
    push {r4, lr}               2
    ldr r1, [sp]                1
    adds r1, r1, #1             2
    umull r2, r3, r0, r1        1
    adds r1, r1, #1             1
    add.w r1, r3, r2, lsl #3    1
    adds r1, r1, #1             2
    ldrd r2, r3, [sp]           2
    cbz r0, 1f                  1
    cbnz r0, 1f                 2
    nop                         0
1:  pop {r4, pc}                4
"""
# The operand, 0x1234, has two bytes, and -1 counts as one.
OF_ARM = """
    mov r2, r0                  1
    mov r3, r2, lsl r1          2
    umull r1, ip, r2, r0        4
    mvn r3, #0                  1
    mul r1, r2, r3              2
    str r1, [sp]                2
    ldr r1, [sp]                3
    stmfd sp!, {r4, r5}         3
    ldmfd sp!, {r4, r5}         4
    cmp r0, r0                  1
    strne r1, [sp]              1
    streq r1, [sp]              2
    bne 1f                      1
    beq 1f                      3
    nop                         0
1:  bx lr                       3
"""
OF_RISC_V = """
    addi sp, sp, -16            1
    sw a0, 0(sp)                1
    lw a1, 0(sp)                1
    add a1, a1, a1              2
    lw a2, 0(sp)                1
    add a1, a1, a1              1
    add a1, a2, a1              1
    mul a1, a1, a1              1
    mulhu a1, a1, a1            1
    beqz a0, 1f                 1
    bnez a0, 1f                 2
    nop                         0
1:  addi sp, sp, 16             1
    ret                         2
"""
# A shift moves by four places and by one: 5 are two moves, 31 are ten.
OF_SERIAL_SHIFTS = """
    li a1, 5                    3
    sll a2, a0, a1              6
    slli a2, a2, 31             14
    mul a2, a0, a0              40
    mulhu a2, a0, a0            72
    sw a2, -4(sp)               5
    lw a2, -4(sp)               5
    beqz a0, 1f                 3
    bnez a0, 1f                 5
    nop                         0
1:  ret                         6
"""
OF_MIPS = """
    .set noreorder
    addiu $sp, $sp, -16         1 1
    sw $a0, 0($sp)              1 1
    lw $a1, 0($sp)              1 1
    nop                         1 1
    addu $a1, $a1, $a1          1 1
    multu $a0, $a1              1 1
    addu $a1, $a1, $a1          1 1
    mflo $a2                   11 1
    mfhi $a2                    1 1
    bnez $a0, 1f                1 1
    nop                         1 1
    nop                         0 0
1:  jr $ra                      1 1
    addiu $sp, $sp, 16          1 1
"""
OF_LARGER_MIPS = """
    .set noreorder
    sw $a0, -16($sp)            1
    lw $a1, -16($sp)            1
    addu $a1, $a1, $a1          2
    mul $a1, $a0, $a0           1
    addu $a1, $a1, $a1          3
    jr $ra                      1
    nop                         1
"""
OF_LX106 = """
    l32r a3, buoy_word          1
    add a3, a3, a3              2
    l32i a4, a1, 0              1
    slli a5, a2, 3              1
    add a3, a4, a5              1
    mull a3, a2, a2             1
    s32i a3, a1, 0              2
    ssl a2                      1
    sll a3, a2                  1
    beqz a2, 1f                 1
    bnez a2, 1f                 3
    nop                         0
1:  ret                         3
"""
OF_MC68020 = """
    movem.l %d2-%d4/%a2,-(%sp)  16
    moveq #5,%d0                2
    move.l 20(%sp),%d1          7
    move.l %d1,-(%sp)           5
    clr.l (%sp)+                6
    lsl.l #3,%d1                4
    lsr.l %d0,%d1               6
    and.l #0x12345,%d1          6
    mulu.l %d1,%d2:%d3          43
    bfextu %d1{#3:#5},%d2       8
    lea 8(%a0),%a1              4
    tst.l %d0                   2
    seq %d2                     4
    beq.w 1f                    6
    bne.s 1f                    6
    nop                         0
1:  movem.l (%sp)+,%d2-%d4/%a2  24
    rts                         10
"""
# A jump takes 7, a return 10, and a clock for each component of what follows: RET has one, MOV two.
OF_80386 = """
    mov 4(%esp), %eax           4
    mov $0x1234, %ecx           2
    mul %ecx                    19
    imul $5, %ecx, %edx         9
    lea 4(%ecx,%eax), %edx      3
    shl $3, %eax                3
    push %ebx                   2
    addl $3, (%esp)             7
    pop %ebx                    4
    test %eax, %eax             2
    je 1f                       3
    jne 1f                      9
    nop                         0
1:  mov %eax, %ecx              2
    sete %al                    4
    call 2f                     8
    ret                         12
2:  ret                         11
"""
OF_ANY, THUMB = ".globl buoy_routine\nbuoy_routine:\n", ".syntax unified\n.thumb\n.thumb_func\n"
HEADS = {"Cortex": THUMB, "LX106": ".align 4\nbuoy_word: .word 1\n"}
SEQUENCES = {
    ("Cortex-M0+", "Cortex-M0", "Cortex-M3", "Cortex-M4"): OF_ALL_THUMB,
    ("Cortex-M3", "Cortex-M4"): OF_LARGER_THUMB,
    ("Cortex-M33",): OF_CORTEX_M33,
    ("ARM7TDMI",): OF_ARM,
    ("Hazard3",): OF_RISC_V,
    ("PicoRV32",): OF_SERIAL_SHIFTS,
    ("R3000", "M4K"): OF_MIPS,
    ("M4K",): OF_LARGER_MIPS,
    ("LX106",): OF_LX106,
    ("MC68020",): OF_MC68020,
    ("80386",): OF_80386,
}
CASES = [
    pytest.param(name, text, column, id=f"{name}-{number}")
    for number, (names, text) in enumerate(SEQUENCES.items())
    for column, name in enumerate(names)
]
OPERAND = 0x1234


@pytest.mark.parametrize(("name", "text", "column"), CASES)
def test_a_sequence_takes_the_sum_of_its_cycles(name: str, text: str, column: int, tmp_path: Path) -> None:
    """From entry to return, each instruction that runs takes what the core's manual says."""
    cpu = next(cpu for cpu in CPUS if cpu.name == name)
    rows = [re.fullmatch(r"(.*?)((?:  +\d+(?: \d+)*)?)", line) for line in text.splitlines()]
    cycles = sum(int(row[2].split()[column]) for row in rows if row and row[2])
    source = tmp_path / "buoy.s"
    source.write_text(
        HEADS.get(name.partition("-")[0], "") + OF_ANY + "\n".join(row[1] for row in rows if row) + "\n"
    )
    image = linked(cpu.toolchain, [object_of(cpu.toolchain, source)], "buoy_routine", "buoy", 32)

    assert cycles == cpu.simulator(image).call("routine", [OPERAND])[1]
