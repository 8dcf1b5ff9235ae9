"""The guides hold what they say: code blocks run, outputs are those printed, lists are complete.

A block of a guide is fenced by ```. In ```python, lines with >>> are a session; a block that begins with the
comment `# name.py` is a file, and so is one in ```toml or ```c. Of a line in ```sh, the last part after && is
run if it is a program of the project; a ```text block right after it is what the last line prints. A line "…"
in it stands for lines left out: what follows it begins where the output has the same line.
`pytest --write-golden` rewrites these outputs.
"""

from __future__ import annotations

import doctest
import math
import re
import shlex
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.guide import topics
from softfloat_py.integer_form.words import WORDS
from softfloat_py.numbers.formats import KNOWN_FORMATS
from softfloat_py.numbers.numpy_calls.coverage import coverage
from softfloat_py.numbers.numpy_calls.dispatching import FUNCTIONS, UFUNCS
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import Options
from tests import tools
from tests.test_layers import FLOW

ROOT = Path(__file__).parent.parent
PAGES = sorted(f"softfloat_py/guide/{path.name}" for path in (ROOT / "softfloat_py/guide").glob("*.md"))
GUIDES = ("README.md", "DEVELOPERS.md", "costmodels/README.md", *PAGES)
READ = (*GUIDES, "examples/README.md")
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
FILE_NAME = re.compile(r"(?:# |/\* )([\w.]+)(?: \*/)?\n")
C_PAGE = "softfloat_py/guide/c.md"
MORE = "…\n"


class Block(NamedTuple):
    """A fenced block: its language, its text, and the line its text begins on."""

    language: str
    text: str
    line: int


class Command(NamedTuple):
    """A command of a guide; `shown` is the place of its output among the guide's blocks, if it is there."""

    guide: str
    text: str
    shown: int | None


def text_of(guide: str) -> str:
    """A guide as it is now."""
    return (ROOT / guide).read_text(encoding="utf-8")


def blocks(guide: str) -> list[Block]:
    """The fenced blocks of a guide, in order."""
    text = text_of(guide)
    return [Block(m[1], m[2], text.count("\n", 0, m.start(2)) + 1) for m in BLOCK.finditer(text)]


def sessions(guide: str) -> list[Block]:
    """The blocks of a guide that are sessions of Python."""
    return [each for each in blocks(guide) if each.language == "python" and each.text.startswith(">>> ")]


def page(topic: str) -> str:
    """The page of the reference on a topic."""
    return text_of(f"softfloat_py/guide/{topic}.md")


def commands(guide: str) -> Iterator[Command]:
    """The commands of a guide, each the last part of its line."""
    fenced = blocks(guide)
    for place, block in enumerate(fenced, 1):
        if block.language != "sh":
            continue
        has_output = place < len(fenced) and fenced[place].language == "text"
        *others, last = (line.rpartition("&& ")[2] for line in block.text.splitlines())
        for text in others:
            yield Command(guide, text, None)
        yield Command(guide, last, place if has_output else None)


def runs_the_project(command: Command) -> bool:
    """Whether a command needs nothing but the project as it is installed."""
    return re.match(r"python (-m softfloat_py |examples/)", command.text) is not None


ALL_COMMANDS = [command for guide in GUIDES for command in commands(guide)]
COMMANDS = list(filter(runs_the_project, ALL_COMMANDS))


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A directory with the examples and the files that the guides show, made the current one."""
    (tmp_path / "examples").symlink_to(ROOT / "examples")
    for block in (block for guide in GUIDES for block in blocks(guide)):
        if name := FILE_NAME.match(block.text):
            (tmp_path / name[1]).write_text(block.text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.text)
def test_command_prints_what_the_guide_shows(
    command: Command, place: Path, request: pytest.FixtureRequest
) -> None:
    """A command of a guide ends well and prints, to the letter, what stands below it."""
    _, *arguments = shlex.split(command.text)
    done = subprocess.run([sys.executable, *arguments], cwd=place, capture_output=True, text=True)

    assert (0, "") == (done.returncode, done.stderr)
    if command.shown is not None:
        if request.config.getoption("--write-golden"):
            rewrite(command, done.stdout)
        assert shown_part(command, done.stdout) == current_block(command).text, (
            f"{command.guide} shows another output of {command.text!r}; if the new one is right: "
            "pytest --write-golden tests/test_documentation.py"
        )


def current_block(command: Command) -> Block:
    """The block that shows the output."""
    assert command.shown is not None
    return blocks(command.guide)[command.shown]


def shown_part(command: Command, output: str) -> str:
    """The output, or as much of it as the guide shows."""
    lines = output.splitlines(keepends=True)
    first, *others = current_block(command).text.split(MORE)
    if not others:
        return output
    place = first.count("\n")
    parts = [lines[:place]]
    for other in others:
        shown = other.splitlines(keepends=True)
        start = lines.index(shown[0], place) if shown else len(lines)
        place = start + len(shown)
        parts.append(lines[start:] if other is others[-1] else lines[start:place])
    return MORE.join("".join(part) for part in parts)


def rewrite(command: Command, output: str) -> None:
    """Put an output where the guide shows the old one."""
    block = current_block(command)
    lines = text_of(command.guide).splitlines(keepends=True)
    start = block.line - 1
    lines[start : start + block.text.count("\n")] = shown_part(command, output).splitlines(keepends=True)
    (ROOT / command.guide).write_text("".join(lines), encoding="utf-8")


@pytest.mark.parametrize("guide", [guide for guide in GUIDES if sessions(guide)])
@pytest.mark.usefixtures("place")
def test_session_gives_what_the_guide_shows(guide: str) -> None:
    """The Python sessions of a guide, run as one, give the results that stand there."""
    examples = []
    for block in sessions(guide):
        found = doctest.DocTestParser().get_examples(block.text, guide)
        for example in found:
            example.lineno += block.line - 1
        examples += found
    report: list[str] = []
    session = doctest.DocTest(examples, {}, guide, str(ROOT / guide), 0, None)

    assert examples
    assert 0 == doctest.DocTestRunner().run(session, out=report.append).failed, "".join(report)


@pytest.mark.parametrize("program", ["./drift", "./moored"])
@pytest.mark.usefixtures("place")
def test_c_program_prints_what_the_guide_shows(program: str) -> None:
    """A C program of the guide, compiled with the C that its commands write, prints what stands there."""
    tools.compiler("cc", "gcc")
    (compiling,) = (block for block in blocks(C_PAGE) if block.text.endswith(f"&& {program}\n"))
    (ran,) = (command for command in ALL_COMMANDS if command.text == program)
    for writing in commands(C_PAGE):
        if runs_the_project(writing):
            subprocess.run([sys.executable, *shlex.split(writing.text)[1:]], check=True, capture_output=True)
    done = subprocess.run(compiling.text, shell=True, check=True, capture_output=True, text=True)

    assert current_block(ran).text == done.stdout


def test_ci_runs_the_test_command_of_the_readme() -> None:
    """What CI runs to test is the line that README gives, word for word, but for making the environment."""
    (line,) = (line for block in blocks("README.md") for line in block.text.splitlines() if "pytest" in line)
    command = line.partition(".venv/bin/activate && ")[2]

    assert command in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()


def anchors(guide: str) -> set[str]:
    """The names by which links lead to the headings of a guide."""
    headings = re.findall(r"^##* (.*)$", BLOCK.sub("", text_of(guide)), re.MULTILINE)
    return {re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-") for heading in headings}


@pytest.mark.parametrize("guide", READ)
def test_links_lead_somewhere(guide: str) -> None:
    """Every relative link leads to a file or directory that exists, and to a heading where it names one."""
    for file, heading in re.findall(r"\]\(([^)#:]*)#?([^):]*)\)", BLOCK.sub("", text_of(guide))):
        target = (ROOT / guide).parent.joinpath(file).resolve() if file else ROOT / guide
        assert target.exists(), file
        assert not heading or heading in anchors(str(target.relative_to(ROOT))), heading


def test_readme_leads_to_every_page() -> None:
    """README has a link to each page of the reference, under the name of its topic."""
    last = text_of("README.md").rpartition("## Where to read on")[2]

    assert set(topics()) == set(re.findall(r"\[([a-z-]+)\]\((?:softfloat_py/guide|costmodels)/", last))


def named_in(text: str) -> set[str]:
    """The names that stand in a text as code, alone or at the beginning of it."""
    return {re.split(r"[(/ .,]", code)[0] for code in re.findall(r"`([^`]+)`", BLOCK.sub("", text))}


def test_rooms_are_listed_in_the_order_of_the_flow() -> None:
    """The contributor's guide lists every room, none before a room it depends on."""
    listed = re.findall(r"^\| `([a-z_]+)(?:\.py|/)` \|", text_of("DEVELOPERS.md"), re.MULTILINE)
    places = {room: place for place, rooms in enumerate(FLOW) for room in rooms}

    assert places.keys() - {"__init__"} == set(listed)
    assert sorted(listed, key=places.__getitem__) == listed


def test_every_file_named_exists() -> None:
    """What the contributor's guide names as a file or a folder is there, so that it is not left behind."""
    folders = ("softfloat_py", "tests", "costmodels", "examples", "benchmarks")
    paths = [path.as_posix() for folder in folders for path in (ROOT / folder).rglob("*.py")]
    named = re.findall(r"`([\w/]+(?:\.py|/))`", BLOCK.sub("", text_of("DEVELOPERS.md")))
    missing = [name for name in named if not any(f"/{name}" in path for path in paths)]

    assert [] == missing


def test_every_word_of_routines_is_listed() -> None:
    """The page on the language of routines lists every word of it."""
    words = {getattr(word, "__name__", "") for word in WORDS}

    assert set() == words - named_in(page("language"))


def test_every_option_is_listed() -> None:
    """The page on options lists every option."""
    assert set() == set(Options.__dataclass_fields__) - named_in(page("options"))


def test_every_format_is_listed() -> None:
    """The page on formats lists every format that has a name."""
    assert set() == set(KNOWN_FORMATS) - named_in(page("formats"))


def ways_of_the_standard() -> list[str]:
    """The code in the last column of the table of the standard's operations."""
    rows = re.findall(r"^\| .* \| (.*) \|$", page("operations"), re.MULTILINE)
    return [code.replace(r"\|", "|") for row in rows for code in re.findall(r"`([^`]+)`", row)]


@pytest.mark.parametrize("way", dict.fromkeys(ways_of_the_standard()))
def test_operation_of_the_standard_is_done_as_listed(way: str) -> None:
    """What the table names for an operation of the standard exists and runs as it stands there."""
    x, y, z = sf.binary32(1.5), sf.binary32(-0.25), sf.binary32(2.0)
    with sf.environment() as env:
        names = {"sf": sf, "np": np, "math": math, "x": x, "y": y, "z": z, "a": sf.binary32.array([1.5])}
        exec(way, names | {"env": env, "saved": env.flags})


def test_every_operation_is_in_the_table_of_the_standard() -> None:
    """The table of the standard's operations has every row of the library's own table."""
    named = {name for way in ways_of_the_standard() for name in re.findall(r"\bsf\.(\w+)", way)}

    assert set() == OPERATIONS.keys() - named


def test_every_numpy_function_is_listed() -> None:
    """The page on arrays lists every numpy function that is emulated."""
    names = {getattr(function, "__name__", "") for function in (*UFUNCS, *FUNCTIONS)}

    assert set() == names - named_in(page("arrays"))


def test_coverage_of_numpy_is_that_of_its_own_list() -> None:
    """How many of numpy's functions are emulated, moved and refused is as the guide says, for its numpy."""
    said = re.search(
        r"of the (\d+) functions that numpy ([\d.]+) lets others provide, (\d+) are emulated, "
        r"(\d+) moved by numpy and (\d+) refused",
        " ".join(page("arrays").split()),
    )
    assert said is not None
    if said[2] != np.__version__:
        pytest.skip(f"the guide speaks of numpy {said[2]}, not {np.__version__}")

    assert [len(names) for names in coverage()] == [int(said[place]) for place in (3, 4, 5)]
    assert sum(map(len, coverage())) == int(said[1])


def test_every_direction_and_flag_is_listed() -> None:
    """The page on operations lists the rounding directions and the flags."""
    names = {member.name for member in (*sf.Rounding, *sf.Flags)}

    assert set() == names - named_in(page("operations"))


def test_readme_says_how_far_off_estimates_of_kernels_are() -> None:
    """README has the lowest and the highest ratio of whole kernels that the models record of their own
    compilers, with operands in memory and in registers, and how many models do.
    """
    models = [sf.cost_model(name) for name in sf.cost_models()]
    recorded = [
        [ratios for model in models if (ratios := model.kernel_ratios(in_memory)) is not None]
        for in_memory in (True, False)
    ]
    said = re.search(
        r"whole kernels took (\S+) to (\S+) times the estimate with operands in memory, on (\d+) of the "
        r"models, and (\S+) to (\S+) times that with operands in registers",
        " ".join(text_of("README.md").split()),
    )
    lowest, highest = ([f"{of(map(of, each)):.2f}" for each in recorded] for of in (min, max))

    assert said is not None
    assert (lowest[0], highest[0], str(len(recorded[0])), lowest[1], highest[1]) == said.groups()
