"""Files on a disk are read so that none can hurt: missing, no file at all, without rights, or too large."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from runner.faults import Fault, InputFault
from runner.toml_file import load

SMALL = 'format = 1\ntitle = "Carousel"\n'


def refused_file(path: Path) -> Fault:
    """The first fault of a file that must not be read."""
    with pytest.raises(InputFault) as caught:
        load(path, "route.toml")
    return caught.value.faults[0]


def test_a_file_is_read_with_its_bytes_text_and_data(tmp_path: Path) -> None:
    """A document keeps the bytes for the hash, and what they say."""
    file = tmp_path / "route.toml"
    file.write_bytes(SMALL.encode())
    document = load(file)
    assert (document.file, document.raw, document.text) == (str(file), SMALL.encode(), SMALL)
    assert document.data == {"format": 1, "title": "Carousel"}


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    """The name that faults say is the one handed in."""
    assert str(refused_file(tmp_path / "none.toml")) == (
        "route.toml: no such file; check the name, or write the file first"
    )


def test_a_file_below_a_file_is_missing(tmp_path: Path) -> None:
    """A path through a plain file leads nowhere."""
    (tmp_path / "a").write_text(SMALL)
    assert refused_file(tmp_path / "a" / "b.toml").message == "no such file"


def test_a_folder_is_told(tmp_path: Path) -> None:
    """A folder in place of a file is named as one."""
    found = refused_file(tmp_path)
    assert (found.message, found.remedy) == ("is a folder", "name a file in it")


def test_a_pipe_is_refused_without_waiting_for_it(tmp_path: Path) -> None:
    """A pipe without a writer would block a reader for ever."""
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    assert refused_file(pipe).message == "is no plain file"


def test_a_link_that_loops_is_told(tmp_path: Path) -> None:
    """Two links that lead to each other end in a fault."""
    one, two = tmp_path / "one.toml", tmp_path / "two.toml"
    one.symlink_to(two)
    two.symlink_to(one)
    assert refused_file(one).message == "is a link that leads back to itself"


def test_a_link_to_a_file_is_followed(tmp_path: Path) -> None:
    """A link to a plain file reads as the file."""
    (tmp_path / "real.toml").write_text(SMALL)
    (tmp_path / "link.toml").symlink_to(tmp_path / "real.toml")
    assert load(tmp_path / "link.toml").data["format"] == 1


@pytest.mark.parametrize(
    ("refusal", "said"),
    [
        (PermissionError(13, "Permission denied"), "may not be read by you"),
        (OSError(5, "Input/output error"), "cannot be read (Input/output error)"),
    ],
)
def test_a_refusal_of_the_system_reads_as_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, refusal: OSError, said: str
) -> None:
    """It is raised here, since a superuser is never refused; what has no words is told as it came."""
    file = tmp_path / "route.toml"
    file.write_text(SMALL)

    def no(*_: object) -> None:
        raise refusal

    monkeypatch.setattr(Path, "open", no)
    assert refused_file(file).message == said


def test_impossible_names_are_faults(tmp_path: Path) -> None:
    """A name too long for the disk, or with a NUL in it, is a fault and no traceback."""
    assert refused_file(tmp_path / ("x" * 5000)).message == "the name is too long"
    assert refused_file(tmp_path / "a\x00b").message == "is no file name"


def test_escapes_in_a_file_name_do_not_reach_the_fault(tmp_path: Path) -> None:
    """A file may be named to move the cursor; its name is shown with visible codes."""
    with pytest.raises(InputFault) as caught:
        load(tmp_path / "\x1b[2Jroute.toml")
    assert "\x1b" not in str(caught.value)
    assert "<U+001B>" in str(caught.value)


def test_ten_megabytes_are_refused_unread(tmp_path: Path) -> None:
    """A file over the limit is refused, and fast."""
    file = tmp_path / "route.toml"
    file.write_bytes(b"# 10 MB\n" * 1_250_000)
    began = time.process_time()
    found = refused_file(file)
    assert time.process_time() - began < 0.5
    assert (found.message, found.remedy) == (
        "larger than 256 kB",
        "split it, or take out what is no procedure",
    )
