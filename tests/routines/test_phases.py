"""The phases of routines: each has a sentence, and no other can be named."""

from __future__ import annotations

import pytest

from softfloat_py.errors import UnknownNameError
from softfloat_py.routines.language import phase
from softfloat_py.routines.phases import PHASES


def test_routine_run_directly_names_explained_phases_only() -> None:
    """The direct engine refuses a phase without a sentence, as the reader does."""
    phase("align")
    with pytest.raises(UnknownNameError) as caught:
        phase("swell")

    assert "a phase must be one with a sentence in routines/phases.py, not 'swell'" in str(caught.value)


def test_sentences_read_behind_a_colon() -> None:
    """A sentence goes on where 'align: ' leaves off: it begins small, is one line, and has no full stop."""
    for sentence in PHASES.values():
        assert sentence[0].islower()
        assert sentence.isprintable()
        assert not sentence.endswith(".")
