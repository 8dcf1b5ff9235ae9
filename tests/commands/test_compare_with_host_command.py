"""What `compare-with-host` prints, its status, and what it refuses."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from softfloat_py.__main__ import main
from softfloat_py.studies import comparing
from tests.commands.running import printed_by


def test_compare_with_host(capsys: pytest.CaptureFixture[str]) -> None:
    """The operations asked for are compared; status 0 says that nothing differs."""
    text = printed_by(
        capsys,
        "compare-with-host",
        "--format",
        "binary16",
        "--operations",
        "addition,division",
        "--samples",
        "50",
    )

    assert "addition       950            0\ndivision       950            0\n" in text


def test_compare_with_host_that_differs(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Status 1 says that something differs."""
    monkeypatch.setattr(comparing, "host_results", lambda operation, fmt, operands: operands[1])
    text = printed_by(capsys, "compare-with-host", "--operations", "addition", "--samples", "0", status=1)

    assert "addition: first 5 differences\n" in text


@pytest.mark.parametrize("value", ["abc", "-3", "2.5"])
@pytest.mark.parametrize("option", ["--samples", "--seed"])
def test_compare_refuses_impossible_samples(
    option: str, value: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Samples and seed are whole numbers, refused in one sentence if they are not."""
    with pytest.raises(SystemExit) as caught:
        main(["compare-with-host", option, value])

    assert 2 == caught.value.code
    assert capsys.readouterr().err == (
        f"argument {option}: must be a whole number, 0 or more, not {value!r}; "
        "see python -m softfloat_py compare-with-host --help\n"
    )


def test_compare_without_host(refusal: Callable[..., str]) -> None:
    """A format that the host lacks is refused."""
    assert refusal("compare-with-host", "--format", "bfloat16") == (
        "a comparison with the host needs one of its formats, binary16, binary32, binary64, not bfloat16"
    )
