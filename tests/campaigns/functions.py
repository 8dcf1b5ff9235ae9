"""The campaign of the elementary functions: every operand of small formats, drawn ones of large formats.

Each function, as C made for words of 64 bits with complete options, must deliver the bits and flags that the
standard asks for, in five directions: on operands with a prescribed result by a table of these, on others by
doubles of the host's or the device's library, with a margin; where a double does not decide, by MPFR. Of
binary64 all is decided by MPFR. Results to nearest must also rise or fall, and mirror each other, as the
function does.
"""

from __future__ import annotations

import os
import platform
import sys
import time
import tomllib
from argparse import Namespace
from collections import deque
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory

from softfloat_py.environment import Rounding
from softfloat_py.operations import OPERATIONS
from tests.campaigns.building import build, compiler, digest, routine
from tests.campaigns.catalogue import FORMATS, FUNCTIONS, Campaign, campaigns
from tests.campaigns.checking import Doubt, Found, decide, device_name, run_block
from tests.campaigns.results import Entry, Results

SAVED_EVERY = 10.0  # seconds
AHEAD = 2  # blocks that wait for each core


@dataclass(frozen=True, slots=True)
class Built:
    """A campaign that can run: its program, and what stands for the texts that it is about; none is made of
    what is finished.
    """

    campaign: Campaign
    text: str
    program: Path | None

    @property
    def is_for_device(self) -> bool:
        """Whether the program runs on the CUDA device."""
        return self.program is not None and self.program.with_suffix(".cu").exists()


def prepared(campaign: Campaign, device: str, folder: Path, finished: str | None = None) -> Built:
    """Emit and compile a campaign's program, unless its text is the one that is finished.

    It is for the host where MPFR decides all, which takes longest.
    """
    ours = routine(campaign.function, campaign.format)
    text = digest(ours)
    if text == finished:
        return Built(campaign, text, None)
    place = folder / f"{campaign.function.name}-{campaign.format.name}"
    place.mkdir()
    return Built(
        campaign, text, build(campaign, ours, device if campaign.is_known_to_doubles else "cpu", place)
    )


def check_and_decide(built: Built, number: int, directions: Sequence[Rounding]) -> Found:
    """All of a block, in one process."""
    assert built.program is not None
    found, doubts = run_block(built.program, built.campaign, number, directions)
    return decided(built.campaign, found, doubts, directions)


def decided(
    campaign: Campaign, known: Found, doubts: Sequence[Doubt], directions: Sequence[Rounding]
) -> Found:
    """What doubles found of a block, and what multiple precision finds."""
    rest = decide(campaign, doubts, directions)
    wrong = tuple(map(sum, zip(known.wrong, rest.wrong, strict=True)))
    return Found(wrong, known.first + rest.first, known.doubtful)


def version_of_library() -> str:
    """The version of the library that lies beside the tests."""
    described = Path(__file__).parents[2] / "pyproject.toml"
    return str(tomllib.loads(described.read_text(encoding="utf-8"))["project"]["version"])


def host_name() -> str:
    """The host's CPU and how many cores it has."""
    information = Path("/proc/cpuinfo")  # of Linux
    lines = information.read_text().splitlines() if information.exists() else []
    models = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
    return f"{models[0] if models else platform.processor()}, {os.cpu_count()} cores"


@dataclass
class Runner:
    """What runs campaigns: with which processes, on which device, to which results, in which directions,
    until when (`time.monotonic`). Programs are made in `folder`.
    """

    processes: Executor
    device: str
    results: Results
    directions: Sequence[Rounding]
    ends: float
    folder: Path

    def run_all(self, chosen: Sequence[Campaign]) -> int:
        """Run campaigns, each for its share of the time left; 1 if anything is wrong or does not run."""
        failed = 0
        for number, (campaign, built) in enumerate(self.in_turn(chosen)):
            left = self.ends - time.monotonic()
            if left <= 0:
                say("the time is over; the same command goes on")
                self.processes.shutdown(cancel_futures=True)
                break
            try:
                entries = self.run(built.result(), time.monotonic() + left / (len(chosen) - number))
            except Exception as error:  # whatever it is, the others can run
                failed += 1
                say(f"{campaign.name} FAILED: {type(error).__name__}: {error}")
                continue
            failed += any(entry.wrong for entry in entries)
            say(line(campaign, entries))
        return 1 if failed else 0

    def in_turn(self, chosen: Sequence[Campaign]) -> Iterator[tuple[Campaign, Future[Built]]]:
        """Campaigns with their programs, of which the next are made while one runs."""
        making: deque[tuple[Campaign, Future[Built]]] = deque()
        for campaign in chosen:
            finished = self.results.finished_text(campaign, self.directions)
            built = self.processes.submit(prepared, campaign, self.device, self.folder, finished)
            making.append((campaign, built))
            if len(making) > AHEAD * (os.cpu_count() or 1):
                yield making.popleft()
        yield from making

    def run(self, built: Built, ends: float) -> list[Entry]:
        """Go on with a campaign until it or the time ends; gives its entries."""
        entries = self.results.of(built.campaign, self.directions, built.text, version_of_library())
        while built.program is not None and time.monotonic() < ends:
            # Directions that got as far as one another run together.
            least = min(entry.done for entry in entries)
            together = [entry for entry in entries if entry.done == least]
            then = min((entry.done for entry in entries if entry.done > least), default=built.campaign.blocks)
            if least == then:
                break
            self.run_together(built, together, range(least, then), ends)
        return entries

    def run_together(self, built: Built, entries: Sequence[Entry], numbers: range, ends: float) -> None:
        """Run blocks in the directions of some entries, and save what they find."""
        assert built.program is not None
        machine = device_name(built.program) if built.is_for_device else host_name()
        begun = saved = time.monotonic()
        for found in self.blocks(built, numbers, [Rounding[entry.direction] for entry in entries], ends):
            now = time.monotonic()
            for entry in entries:
                entry.add(built.campaign, found, machine, now - begun)
            begun = now
            if now - saved > SAVED_EVERY:
                self.results.save()
                saved = now
        self.results.save()

    def blocks(
        self, built: Built, numbers: range, directions: Sequence[Rounding], ends: float
    ) -> Iterator[Found]:
        """What is found in blocks, in their order, with some of them under way."""
        under_way: deque[Future[Found]] = deque()
        begin = self.begin_on_device if built.is_for_device else self.begin_here
        for number in numbers:
            if time.monotonic() > ends:
                break
            under_way.append(begin(built, directions, number))
            if len(under_way) >= AHEAD * (os.cpu_count() or 1):
                yield under_way.popleft().result()
        for last in under_way:
            yield last.result()

    def begin_here(self, built: Built, directions: Sequence[Rounding], number: int) -> Future[Found]:
        """Begin a block in a process of its own."""
        return self.processes.submit(check_and_decide, built, number, directions)

    def begin_on_device(self, built: Built, directions: Sequence[Rounding], number: int) -> Future[Found]:
        """Run a block on the device, and begin to decide what is doubtful."""
        assert built.program is not None
        found, doubts = run_block(built.program, built.campaign, number, directions)
        return self.processes.submit(decided, built.campaign, found, doubts, directions)


def line(campaign: Campaign, entries: Sequence[Entry]) -> str:
    """What a campaign came to."""
    done, all_of_them = sum(entry.done for entry in entries), sum(entry.blocks for entry in entries)
    part = "all" if done == all_of_them else f"{100 * done / all_of_them:.1f} %"
    wrong = sum(entry.wrong for entry in entries)
    said = [
        f"{campaign.name}: {part}, {sum(entry.checked for entry in entries):.3g} checked",
        f"{sum(entry.doubtful for entry in entries)} doubtful",
        f"{wrong} WRONG" if wrong else "none wrong",
        f"{max(entry.seconds for entry in entries):.1f} s",
    ]
    shown = [f"  {entry.direction}: {words}" for entry in entries for words in entry.first_wrong[:2]]
    return "\n".join([", ".join(said), *shown])


def chosen_device(wanted: str) -> str:
    """The device to run on: the CUDA one, if it may be chosen, where there are its compiler and driver."""
    has_cuda = compiler("cuda") is not None and Path("/dev/nvidiactl").exists()
    return ("cuda" if has_cuda else "cpu") if wanted == "auto" else wanted


def say(text: str) -> None:
    """A line of progress, at once."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def run(asked: Namespace) -> int:
    """Run what is asked for, a line a campaign; 1 if anything is wrong, or does not run."""
    results = Results(asked.result)
    if asked.report:
        say(results.table().rstrip())
        return 0
    device = chosen_device(asked.device)
    if compiler(device) is None:
        say(f"a compiler for {device} must be installed: gcc, or nvcc in the path or in /usr/local/cuda/bin")
        return 1
    chosen = campaigns(asked.function or list(FUNCTIONS), asked.format or list(FORMATS))
    missing = [name for name in asked.function or FUNCTIONS if name not in OPERATIONS]
    say(f"on {device}; not in the library: {', '.join(missing) or 'none'}")
    directions = [Rounding[name] for name in asked.directions or Rounding.__members__]
    # Processes are made anew, not copied: what the CUDA driver keeps cannot be.
    with TemporaryDirectory() as folder, ProcessPoolExecutor(mp_context=get_context("spawn")) as processes:
        ends = time.monotonic() + asked.seconds
        return Runner(processes, device, results, directions, ends, Path(folder)).run_all(chosen)
