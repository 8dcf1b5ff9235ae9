"""Saving over an old file: the new one takes its place whole, or the old one stays as it was."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.c_export import c_unit
from softfloat_py.commands.words import wanted
from softfloat_py.engines.c.target import Target
from softfloat_py.options import LEAN
from softfloat_py.whole_files import whole_file, write_text

resource = pytest.importorskip("resource", reason="a limit for files is set as POSIX has it")
OLD = b"what the buoy measured yesterday"


def tally() -> sf.Tally:
    """A kernel, counted."""
    with sf.counting() as counted:
        sf.binary32(1.5) + sf.binary32(0.25)
    return counted


def emit(path: Path) -> None:
    """C into the folder of a file."""
    c_unit([wanted("addition", sf.binary32, LEAN)], Target(word=32, multiplier=16)).save(path.parent)


CALIBRATION = sf.calibrate("cortex-m0plus", [sf.Measurement(tally(), 100)])
ARRAY = sf.binary32.array(np.zeros(1000))
WRITERS: dict[str, Callable[[Path], None]] = {
    "tally.json": tally().save,
    "one.npz": lambda path: sf.save_array(path, ARRAY),
    "several.npz": lambda path: sf.save_arrays(path, heave=ARRAY, sway=ARRAY),
    "model.toml": CALIBRATION.save,
    "binary32.h": emit,
    "binary32.c": emit,
}


@contextmanager
def no_files_beyond(size: int) -> Iterator[None]:
    """A disk on which a file ends after so many bytes."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.mark.parametrize("name", WRITERS)
def test_what_cannot_be_finished_leaves_the_old_file(name: str, tmp_path: Path) -> None:
    """Whatever is saved: where the disk is full, the error names the file, whose old content stays."""
    path = tmp_path / name
    path.write_bytes(OLD)
    with no_files_beyond(100), pytest.raises(OSError, match=r"File too large") as caught:
        WRITERS[name](path)
    assert errno.EFBIG == caught.value.errno
    assert tmp_path == Path(caught.value.filename).parent
    assert [(path, OLD)] == [(found, found.read_bytes()) for found in tmp_path.iterdir()]


@pytest.mark.parametrize("name", WRITERS)
def test_a_finished_file_takes_the_place_of_the_old_one(name: str, tmp_path: Path) -> None:
    """The new content is there, in a file that may be read and written by whom the old one might."""
    path = tmp_path / name
    path.write_bytes(OLD)
    path.chmod(0o640)
    WRITERS[name](path)
    assert OLD != path.read_bytes()
    assert 0o640 == stat.S_IMODE(path.stat().st_mode)
    assert not list(tmp_path.glob(".*"))


def test_an_error_of_the_writer_leaves_the_old_file(tmp_path: Path) -> None:
    """An exception between two writes ends with the old file, too."""
    path = tmp_path / "swell.txt"
    path.write_bytes(OLD)

    def write_half() -> None:
        with whole_file(path) as file:
            file.write(b"half of it")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_half()
    assert [(path, OLD)] == [(found, found.read_bytes()) for found in tmp_path.iterdir()]


def test_links_and_devices_stay_what_they_are(tmp_path: Path) -> None:
    """A link goes on leading to the file that is replaced, and what is no plain file is written to itself."""
    path, link = tmp_path / "swell.txt", tmp_path / "latest"
    path.write_bytes(OLD)
    link.symlink_to(path)
    write_text(link, "calm")
    write_text(os.devnull, "calm")
    assert link.is_symlink()
    assert "calm" == path.read_text()
    assert not Path(os.devnull).is_file()


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    """The error speaks of the file asked for, not of the one beside it."""
    with pytest.raises(FileNotFoundError, match=r"nowhere.swell\.txt"):
        write_text(tmp_path / "nowhere" / "swell.txt", "calm")
