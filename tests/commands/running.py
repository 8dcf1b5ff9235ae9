"""Running commands as the command line does."""

from __future__ import annotations

import pytest

from softfloat_py.__main__ import main


def printed_by(capsys: pytest.CaptureFixture[str], *arguments: str, status: int = 0) -> str:
    """What a command prints on standard output; nothing must come on standard error."""
    assert status == main(arguments)
    printed = capsys.readouterr()
    assert "" == printed.err
    return printed.out
