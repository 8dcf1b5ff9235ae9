"""The division of cases cannot change silently, and follows from its rule."""

from __future__ import annotations

from hashlib import sha256

from softfloat_py.formats import NAMED_FORMATS
from softfloat_py.operations import OPERATIONS as KNOWN
from tests.on_target.division_of_cases import FORMATS, KERNELS, OPERATIONS, PATH, is_held_out
from tests.on_target.kernels.pairs import NAMES

SHA_256 = "b5640a198e590af40c8475f1ef197c8590d84d9a602dbdd585247bc93c54a3fc"


def test_the_file_is_the_one_that_was_agreed() -> None:
    """Whoever moves a case between the two sides has to say so here as well."""
    assert sha256(PATH.read_bytes()).hexdigest() == SHA_256


def test_kernels_are_divided_by_their_names() -> None:
    """A kernel is looked at if the SHA-256 of its name is even, and there are some on both sides."""
    even = [name for name in NAMES if int(sha256(name.encode()).hexdigest(), 16) % 2 == 0]

    assert even == list(KERNELS)
    assert 0 < len(even) < len(NAMES)


def test_other_operations_and_formats_are_held_out() -> None:
    """What figures may be fitted to is five operations, and kernels, in two formats."""
    looked_at = {(name, fmt) for name in KNOWN for fmt in NAMED_FORMATS if not is_held_out(name, fmt)}

    assert {(name, fmt) for name in OPERATIONS for fmt in FORMATS} == looked_at
    assert is_held_out(KERNELS[0], "binary16")
