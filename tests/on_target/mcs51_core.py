"""The instructions of an 8051 and the machine cycles that the manual's list has for each (Atmel doc0509, from
memory; `test_mcs51.py` holds them against ucsim). Ports, timers and interrupts are left out: what compiled
arithmetic has no use for.
"""

from __future__ import annotations

from collections.abc import Callable

Data = bytearray  # bytes of internal memory, then the special function registers from 256 on
SPECIAL = 128  # what a special function register's own address is less than its place
A, B, PSW, SP, DPL, DPH = (address + SPECIAL for address in (0xE0, 0xF0, 0xD0, 0x81, 0x82, 0x83))
CARRY, AUXILIARY, OVERFLOW, PARITY = 0x80, 0x40, 0x04, 0x01

FOUR_CYCLES = {0x84, 0xA4}  # DIV and MUL
TWO_CYCLES = {
    *(high | 0x01 for high in range(0, 0x100, 0x10)),  # AJMP, ACALL
    *(0x02, 0x12, 0x22, 0x32, 0x73, 0x80),  # LJMP, LCALL, RET, RETI, JMP, SJMP
    *(0x10, 0x20, 0x30, 0x40, 0x50, 0x60, 0x70),  # branches on bits, on the carry, on A
    *(0x43, 0x53, 0x63, 0x75),  # logic and moves of a constant in direct memory
    *(0x72, 0x82, 0xA0, 0xB0, 0x92),  # logic with the carry, MOV bit,C
    *(0x83, 0x93, 0x90, 0xA3),  # MOVC, MOV DPTR, INC DPTR
    *(0xC0, 0xD0, 0xE0, 0xE2, 0xE3, 0xF0, 0xF2, 0xF3),  # PUSH, POP, MOVX
    *range(0x85, 0x90),  # MOV direct from direct, @Ri, Rn
    *range(0xA6, 0xB0),  # MOV @Ri, Rn from direct
    *range(0xB4, 0xC0),  # CJNE
    *(0xD5, *range(0xD8, 0xE0)),  # DJNZ
}
LEFT_OUT = {0xA5, 0xD4, 0xD6, 0xD7, 0xE2, 0xE3, 0xF2, 0xF3}  # no instruction; DA, XCHD, MOVX by @Ri
MACHINE_CYCLES = [4 if op in FOUR_CYCLES else 2 if op in TWO_CYCLES else 1 for op in range(256)]


class Mcs51Core:
    """Code, internal and external memory, and the instruction that is next."""

    def __init__(self) -> None:
        self.code, self.data, self.external = bytearray(1 << 16), Data(384), bytearray(1 << 16)
        self.pc = self.machine_cycles = 0
        self.irregular: dict[int, Callable[[], None]] = self._irregular()

    def run(self, to: int) -> None:
        """Run until the instruction at an address is next."""
        while self.pc != to:
            self.step()

    def step(self) -> None:
        """Do one instruction."""
        op = self.fetch()
        self.machine_cycles += MACHINE_CYCLES[op]
        if op & 0x1F == 0x01:
            self.pc = self.pc + 1 & 0xF800 | (op >> 5) << 8 | self.code[self.pc]
        elif op & 0x1F == 0x11:
            target = self.fetch() | (op >> 5) << 8
            self.push_pc()
            self.pc = self.pc & 0xF800 | target
        elif op in self.irregular:
            self.irregular[op]()
        else:
            assert op not in LEFT_OUT, f"instruction {op:#x} before {self.pc:#x} is not one that sdcc makes"
            self.regular(op)

    # -- operands --------------------------------------------------------------------------------------

    def fetch(self) -> int:
        """The next byte of code."""
        byte = self.code[self.pc]
        self.pc = self.pc + 1 & 0xFFFF
        return byte

    def direct(self) -> int:
        """The place of a byte whose address is in the code."""
        address = self.fetch()
        return address if address < 0x80 else address + SPECIAL

    def place(self, op: int) -> int:
        """The place that the lowest four bits of an operation name: direct, @Ri or Rn."""
        low = op & 15
        bank = self.data[PSW] & 0x18
        if low >= 8:
            return bank | low & 7
        return self.direct() if low == 5 else self.data[bank | low & 1]

    def load(self, place: int) -> int:
        """A byte of internal memory or a register; the parity in PSW is always that of A."""
        if place == PSW:
            return self.data[PSW] & ~PARITY | self.data[A].bit_count() & 1
        return self.data[place]

    def bit(self) -> tuple[int, int]:
        """Place and mask of a bit whose address is in the code."""
        address = self.fetch()
        place = 0x20 + (address >> 3) if address < 0x80 else (address & 0xF8) + SPECIAL
        return place, 1 << (address & 7)

    def set_bit(self, place: int, mask: int, one: bool) -> None:
        """Put a bit."""
        self.data[place] = self.data[place] & ~mask | (mask if one else 0)

    @property
    def carry(self) -> int:
        """The carry, 0 or 1."""
        return self.data[PSW] >> 7

    @carry.setter
    def carry(self, one: int) -> None:
        self.set_bit(PSW, CARRY, bool(one))

    @property
    def dptr(self) -> int:
        """The pointer to external memory and code."""
        return self.data[DPH] << 8 | self.data[DPL]

    @dptr.setter
    def dptr(self, address: int) -> None:
        self.data[DPH], self.data[DPL] = address >> 8 & 0xFF, address & 0xFF

    def push(self, byte: int) -> None:
        """Put a byte on the stack."""
        self.data[SP] = self.data[SP] + 1 & 0xFF
        self.data[self.data[SP]] = byte

    def pop(self) -> int:
        """Take a byte from the stack."""
        byte = self.data[self.data[SP]]
        self.data[SP] = self.data[SP] - 1 & 0xFF
        return byte

    def push_pc(self) -> None:
        """Put the address of the next instruction on the stack."""
        self.push(self.pc & 0xFF)
        self.push(self.pc >> 8)

    # -- operations that take their operand in four ways ------------------------------------------------

    def regular(self, op: int) -> None:
        """An operation whose lowest four bits say where its operand is: 4, A or a constant; else a place."""
        data, row, low = self.data, op >> 4, op & 15
        if row in (0x0, 0x1):
            place = A if low == 4 else self.place(op)
            data[place] = self.load(place) + (1 if row == 0 else -1) & 0xFF
        elif row in (0x2, 0x3, 0x9):
            operand = self.fetch() if low == 4 else self.load(self.place(op))
            self.add(operand ^ (0xFF if row == 9 else 0), self.carry if row == 3 else 0, borrow=row == 9)
        elif row in (0x4, 0x5, 0x6, 0xE):
            operand = self.fetch() if low == 4 else self.load(self.place(op))
            data[A] = operand if row == 0xE else logic(row, data[A], operand)
        elif row == 0x7:
            place = A if low == 4 else self.place(op)
            data[place] = self.fetch()
        elif row == 0x8:
            byte = self.load(self.place(op))
            data[self.direct()] = byte
        elif row == 0xA:
            byte = self.load(self.direct())
            data[self.place(op)] = byte
        elif row == 0xB:
            left = data[A] if low in (4, 5) else data[self.place(op)]
            right = self.load(self.direct()) if low == 5 else self.fetch()
            self.carry = left < right
            self.branch(left != right)
        elif row == 0xC:
            place = self.place(op)
            data[A], data[place] = self.load(place), data[A]
        elif row == 0xD:
            place = self.place(op)
            data[place] = data[place] - 1 & 0xFF
            self.branch(data[place] != 0)
        else:
            data[self.place(op)] = data[A]

    def add(self, operand: int, carry: int, borrow: bool) -> None:
        """To A; a difference is the sum with the complement, and the carries are turned round."""
        left = self.data[A]
        if borrow:
            carry = self.carry ^ 1
        total, low = left + operand + carry, (left & 15) + (operand & 15) + carry
        turned = int(borrow)
        overflow = ~(left ^ operand) & (left ^ total) & 0x80
        self.carry = total >> 8 ^ turned
        self.set_bit(PSW, AUXILIARY, bool(low >> 4 ^ turned))
        self.set_bit(PSW, OVERFLOW, bool(overflow))
        self.data[A] = total & 0xFF

    def branch(self, taken: bool) -> None:
        """Go on as far away as the next byte of code says."""
        distance = self.fetch()
        if taken:
            self.pc = self.pc + (distance ^ 0x80) - 0x80 & 0xFFFF

    # -- the others --------------------------------------------------------------------------------------

    def _irregular(self) -> dict[int, Callable[[], None]]:
        """Operations that have one way to take their operands."""
        found: dict[int, Callable[[], None]] = {
            0x00: lambda: None,
            0x02: self.jump_far, 0x12: self.call_far, 0x22: self.return_, 0x73: self.jump_indirect,
            0x80: lambda: self.branch(True),
            0x40: lambda: self.branch(self.carry == 1), 0x50: lambda: self.branch(self.carry == 0),
            0x60: lambda: self.branch(self.data[A] == 0), 0x70: lambda: self.branch(self.data[A] != 0),
            0x10: self.branch_and_clear,
            0x20: lambda: self.branch_on_bit(1), 0x30: lambda: self.branch_on_bit(0),
            0x03: lambda: self.rotate(self.data[A] & 1, right=True),
            0x13: lambda: self.rotate(self.carry, right=True, through_carry=True),
            0x23: lambda: self.rotate(self.data[A] >> 7, right=False),
            0x33: lambda: self.rotate(self.carry, right=False, through_carry=True),
            0x72: lambda: self.carry_with_bit(0x4, 0), 0xA0: lambda: self.carry_with_bit(0x4, 1),
            0x82: lambda: self.carry_with_bit(0x5, 0), 0xB0: lambda: self.carry_with_bit(0x5, 1),
            0xA2: lambda: self.carry_with_bit(0xE, 0), 0x92: self.move_carry_to_bit,
            0xC3: lambda: self.put_carry(0), 0xD3: lambda: self.put_carry(1),
            0xB3: lambda: self.put_carry(self.carry ^ 1),
            0xC2: lambda: self.put_bit(0), 0xD2: lambda: self.put_bit(1), 0xB2: lambda: self.put_bit(None),
            0x83: lambda: self.look_up(self.pc), 0x93: lambda: self.look_up(self.dptr),
            0x90: self.load_dptr, 0xA3: self.next_dptr,
            0xC0: lambda: self.push(self.load(self.direct())), 0xD0: self.pop_direct,
            0x84: self.divide, 0xA4: self.multiply, 0xC4: self.swap,
            0xE4: lambda: self.put_a(0), 0xF4: lambda: self.put_a(self.data[A] ^ 0xFF),
            0xE0: lambda: self.put_a(self.external[self.dptr]), 0xF0: lambda: self.put_external(self.dptr),
        }  # fmt: skip
        for row in (0x4, 0x5, 0x6):
            found[row << 4 | 2] = lambda row=row: self.logic_in_place(row, lambda: self.data[A])  # type: ignore[misc]
            found[row << 4 | 3] = lambda row=row: self.logic_in_place(row, self.fetch)  # type: ignore[misc]
        return found

    def jump_far(self) -> None:
        """LJMP."""
        self.pc = self.fetch() << 8 | self.fetch()

    def call_far(self) -> None:
        """LCALL."""
        target = self.fetch() << 8 | self.fetch()
        self.push_pc()
        self.pc = target

    def return_(self) -> None:
        """RET."""
        self.pc = self.pop() << 8 | self.pop()

    def jump_indirect(self) -> None:
        """JMP @A+DPTR."""
        self.pc = self.dptr + self.data[A] & 0xFFFF

    def branch_on_bit(self, wanted: int) -> None:
        """JB, JNB."""
        place, mask = self.bit()
        self.branch(bool(self.load(place) & mask) == bool(wanted))

    def branch_and_clear(self) -> None:
        """JBC."""
        place, mask = self.bit()
        was = bool(self.data[place] & mask)
        self.set_bit(place, mask, False)
        self.branch(was)

    def rotate(self, incoming: int, right: bool, through_carry: bool = False) -> None:
        """RR, RRC, RL, RLC."""
        byte = self.data[A]
        self.data[A] = byte >> 1 | incoming << 7 if right else byte << 1 & 0xFF | incoming
        if through_carry:
            self.carry = byte & 1 if right else byte >> 7

    def carry_with_bit(self, row: int, turned: int) -> None:
        """ORL, ANL and MOV of the carry with a bit or its complement."""
        place, mask = self.bit()
        bit = int(bool(self.load(place) & mask)) ^ turned
        self.carry = bit if row == 0xE else logic(row, self.carry, bit)

    def move_carry_to_bit(self) -> None:
        """MOV bit,C."""
        self.set_bit(*self.bit(), bool(self.carry))

    def put_carry(self, one: int) -> None:
        """CLR, SETB, CPL of the carry."""
        self.carry = one

    def put_bit(self, one: int | None) -> None:
        """CLR and SETB of a bit, CPL where nothing is given."""
        place, mask = self.bit()
        self.set_bit(place, mask, not self.data[place] & mask if one is None else bool(one))

    def look_up(self, base: int) -> None:
        """MOVC."""
        self.data[A] = self.code[base + self.data[A] & 0xFFFF]

    def load_dptr(self) -> None:
        """MOV DPTR,#."""
        self.dptr = self.fetch() << 8 | self.fetch()

    def next_dptr(self) -> None:
        """INC DPTR."""
        self.dptr += 1

    def pop_direct(self) -> None:
        """POP."""
        place = self.direct()
        self.data[place] = self.pop()

    def multiply(self) -> None:
        """MUL AB."""
        product = self.data[A] * self.data[B]
        self.data[A], self.data[B] = product & 0xFF, product >> 8
        self.set_bit(PSW, CARRY, False)
        self.set_bit(PSW, OVERFLOW, product > 0xFF)

    def divide(self) -> None:
        """DIV AB, by what is not zero."""
        self.data[A], self.data[B] = divmod(self.data[A], self.data[B])
        self.set_bit(PSW, CARRY | OVERFLOW, False)

    def swap(self) -> None:
        """SWAP A."""
        self.data[A] = self.data[A] >> 4 | self.data[A] << 4 & 0xF0

    def put_a(self, byte: int) -> None:
        """CLR A, CPL A, MOVX A,@DPTR."""
        self.data[A] = byte

    def put_external(self, address: int) -> None:
        """MOVX @DPTR,A."""
        self.external[address] = self.data[A]

    def logic_in_place(self, row: int, operand: Callable[[], int]) -> None:
        """ORL, ANL, XRL of direct memory with A or a constant."""
        place = self.direct()
        self.data[place] = logic(row, self.load(place), operand())


def logic(row: int, left: int, right: int) -> int:
    """Or, and, exclusive or, by the upper four bits of the operation."""
    return left | right if row == 4 else left & right if row == 5 else left ^ right
