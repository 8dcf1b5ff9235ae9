"""README's first example with the installed library: its kernel file, its command, what the output shows."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path


def main(readme: Path) -> int:
    """Run it in the working directory; 1 if a line that README shows does not come, in its place."""
    blocks = re.findall(
        r"^```(\w+)\n(.*?)^```$", readme.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL
    )
    first = next(i for i, (kind, _) in enumerate(blocks) if kind == "python")
    kernel, command, shown = (text for _, text in blocks[first : first + 3])
    name = kernel.split()[1]
    Path(name).write_text(kernel, encoding="utf-8")
    words = command.split()
    assert words[:3] == ["python", "-m", "softfloat_py"], command
    assert name in words, command
    done = subprocess.run([sys.executable, *words[1:]], capture_output=True, text=True, check=True)
    printed = iter(done.stdout.splitlines())
    missing = [line for line in shown.splitlines() if line not in ("", "…") and line not in printed]
    print(done.stdout, *(f"MISSING: {line}" for line in missing[:1]), sep="\n")
    return 1 if missing else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
