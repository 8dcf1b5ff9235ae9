"""The reference on the command line: the list of topics, each page, and topics that there are not."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from softfloat_py import guide
from tests.commands.running import printed_by

ROOT = Path(__file__).parents[2]
FILES = {path.stem: path for path in (ROOT / "softfloat_py" / "guide").glob("*.md")}
FILES["cost-tables"] = ROOT / "costmodels" / "README.md"


def test_topics_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """Every page has a line, with what it is about, and the last line says how to print one."""
    *lines, empty, last = printed_by(capsys, "guide").splitlines()

    assert sorted(FILES) == [line.split()[0] for line in lines]
    assert all(re.fullmatch(r"[a-z-]+ {2,}\S.*", line) for line in lines)
    assert ("", "python -m softfloat_py guide TOPIC prints one of them") == (empty, last)


@pytest.mark.parametrize("topic", FILES)
def test_page_is_printed(topic: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A page is printed as it stands in its file, and begins with the line that the list has."""
    text = printed_by(capsys, "guide", topic)

    assert FILES[topic].read_text(encoding="utf-8") == text
    assert f"# {guide.topics()[topic]}" == text.splitlines()[0]


def test_unknown_topic_is_refused(refusal: Callable[..., str]) -> None:
    """A topic that there is not is refused with those there are, and the nearest."""
    known = ", ".join(sorted(FILES))

    assert refusal("guide", "kernel") == (
        f"a topic must be one of {known}, not 'kernel'; did you mean 'kernels'?"
    )


def test_pages_can_be_read_without_installing(tmp_path: Path) -> None:
    """Where the package only lies in its folder, without cost tables, all other pages are there."""
    (tmp_path / "softfloat_py").symlink_to(ROOT / "softfloat_py")
    program = "import sys; sys.path.insert(0, '.'); from softfloat_py import guide; print(*guide.topics())"
    # -S leaves out what is installed, so numpy is missing too: pages need none.
    run = subprocess.run(
        [sys.executable, "-S", "-c", program], cwd=tmp_path, capture_output=True, text=True, check=True
    )

    assert sorted(FILES.keys() - {"cost-tables"}) == run.stdout.split()
