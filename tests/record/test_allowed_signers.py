"""The list of signers: what counts in it, and that nothing in it is lost."""

from __future__ import annotations

import errno
import subprocess
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.faults import InputFault
from runner.record import allowed_signers, sshsig
from runner.record.allowed_signers import PRACTICE, PRODUCTION, AllowedSigner, keys_for, read
from support.journals import FaultyDisk, key, public

if TYPE_CHECKING:
    from pathlib import Path

KEY = sshsig.public_line(public(1))
OTHER = sshsig.public_line(public(2))


def test_a_line_names_a_person_the_purposes_and_the_key() -> None:
    """The generated form is the one that stock tools and this reader take."""
    signer = AllowedSigner("op-1", public(1), PRODUCTION)
    assert signer.line == f'op-1 namespaces="{",".join(PRODUCTION)}" {KEY}'
    assert read(signer.line + "\n") == [signer]
    practice = AllowedSigner("practice-1a2b", public(1), PRACTICE)
    assert (
        practice.line == f'practice-1a2b namespaces="practice-line@tankwalk,practice-record@tankwalk" {KEY}'
    )


@given(
    st.lists(
        st.builds(
            AllowedSigner,
            who=st.from_regex(r"[a-z][a-z0-9-]{1,31}", fullmatch=True),
            public=st.integers(1, 200).map(public),
            namespaces=st.sampled_from([None, PRODUCTION, PRACTICE]),
        ),
        unique_by=lambda signer: signer.public,
        max_size=8,
    )
)
def test_what_is_written_reads_back(signers: list[AllowedSigner]) -> None:
    """Any list of people, several keys a person among them, is read as it was written."""
    assert read(allowed_signers.text_of(signers)) == signers


def test_other_people_s_files_read_too() -> None:
    """Comments, blank lines, comments behind keys, blanks and other plain names stand in such files."""
    text = f"# kept at the office\n\n  \nop@example.org\t{KEY} at the bench\nop-2  {OTHER}"
    assert read(text) == [
        AllowedSigner("op@example.org", public(1), None),
        AllowedSigner("op-2", public(2), None),
    ]


REFUSED = {
    "everybody": f"* {KEY}",
    "a pattern": f"op-? {KEY}",
    "all but one": f"!op-1 {KEY}",
    "a list of names": f"op-1,op-2 {KEY}",
    "a quoted name": f'"op 1" {KEY}',
    "an authority": f"op-1 cert-authority {KEY}",
    "a date": f'op-1 valid-before="20300101" {KEY}',
    "purposes and a date": f'op-1 namespaces="a@b",valid-after="20200101" {KEY}',
    "a purpose as a pattern": f'op-1 namespaces="*" {KEY}',
    "no purpose": f'op-1 namespaces="" {KEY}',
    "purposes unquoted": f"op-1 namespaces=a@b {KEY}",
    "an unknown option": f"op-1 no-touch-required {KEY}",
    "another kind of key": "op-1 ssh-rsa AAAAB3NzaC1yc2EAAAADAQABAAAAgQ==",
    "another kind before ours": f"op-1 ecdsa-sha2-nistp256 AAAA {KEY}",
    "a damaged key": f"op-1 {KEY[:-1]}",
    "a weak key": f"op-1 {sshsig.public_line(bytes(32))}",
    "no name": KEY,
    "no key": "op-1",
    "a line without end": "op-1 " + "a " * 100_000,
    "a return at the end": f"op-1 {KEY}\r",
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_does_not_count_is_refused_with_its_line(name: str) -> None:
    """Each line whose signer would stay open is refused with file and line, the sound ones beside it not."""
    with pytest.raises(InputFault) as refused:
        read(f"op-9 {OTHER}\n{REFUSED[name]}\n", "signers")
    (fault,) = refused.value.faults
    assert (fault.file, fault.line) == ("signers", 2)
    assert "ssh-ed25519" in fault.remedy


def test_one_key_is_not_two_people_s() -> None:
    """Under one key two people could not be told apart; the same person twice with it is no harm."""
    with pytest.raises(InputFault, match=r"signers:2: .*op-1 too.*; give each person a key"):
        read(f"op-1 {KEY}\nop-2 {KEY}\n", "signers")
    assert len(read(f'op-1 {KEY}\nop-1 namespaces="file" {KEY}\n')) == 2


def test_keys_count_for_their_purposes_only() -> None:
    """A practice key is good for no record; a key without purposes is good for any."""
    signers = [
        AllowedSigner("op-1", public(1), PRODUCTION),
        AllowedSigner("op-1", public(2), PRODUCTION),
        AllowedSigner("practice-1", public(3), PRACTICE),
        AllowedSigner("op-2", public(4), None),
    ]
    assert keys_for(signers, "batch-record@tankwalk") == {"op-1": {public(1), public(2)}, "op-2": {public(4)}}
    assert keys_for(signers, "practice-line@tankwalk") == {"practice-1": {public(3)}, "op-2": {public(4)}}


class TestWriting:
    """A file is only ever added to."""

    @pytest.fixture
    def path(self, tmp_path: Path) -> Path:
        """Where the list lies."""
        return tmp_path / "allowed_signers"

    def test_it_is_made_and_added_to(self, path: Path) -> None:
        """New signers come at the end; those that stand there are not written twice."""
        first, second = (
            AllowedSigner("op-1", public(1), PRODUCTION),
            AllowedSigner("op-2", public(2), PRODUCTION),
        )
        allowed_signers.write(path, [first])
        allowed_signers.write(path, [first, second, second])
        assert path.read_text() == f"{first.line}\n{second.line}\n"

    @pytest.mark.parametrize("before", [b"# by hand\nop-8 odd\n", b"no newline", b"\xff\xfe\n", b"\n\n"])
    def test_no_line_is_lost(self, path: Path, before: bytes) -> None:
        """What stands there stays byte for byte, sense or no sense."""
        path.write_bytes(before)
        allowed_signers.write(path, [AllowedSigner("op-1", public(1), PRODUCTION)])
        assert path.read_bytes().startswith(before)
        assert path.read_text(errors="replace").splitlines()[-1].startswith("op-1 ")

    def test_nothing_new_asks_nothing_of_the_disk(self, path: Path) -> None:
        """A list that is whole is not written again."""
        disk = FaultyDisk()
        signer = AllowedSigner("op-1", public(1), PRODUCTION)
        allowed_signers.write(path, [signer], disk)
        before = disk.writes
        allowed_signers.write(path, [signer], disk)
        assert disk.writes == before

    def test_a_full_disk_leaves_the_old_list(self, path: Path) -> None:
        """A list that could not be written whole is the one from before."""
        disk = FaultyDisk()
        allowed_signers.write(path, [AllowedSigner("op-1", public(1), PRODUCTION)], disk)
        before = path.read_bytes()
        disk.failing["fsync"] = errno.ENOSPC
        with pytest.raises(OSError, match="space"):
            allowed_signers.write(path, [AllowedSigner("op-2", public(2), PRODUCTION)], disk)
        assert path.read_bytes() == before

    def test_a_file_that_is_not_there_is_said_to_be(self, path: Path) -> None:
        """A missing list, a folder in its place and letters outside ASCII are told with what to do."""
        with pytest.raises(InputFault, match=r"No such file.*; give the list"):
            allowed_signers.load(path)
        path.mkdir()
        with pytest.raises(InputFault, match="cannot be read"):
            allowed_signers.load(path)
        path.rmdir()
        path.write_text("öp-1 x\n")
        with pytest.raises(InputFault, match="cannot be read"):
            allowed_signers.load(path)
        path.write_text(f"op-1 {KEY}\n")
        assert allowed_signers.load(path) == [AllowedSigner("op-1", public(1), None)]


@pytest.mark.parametrize(
    ("who", "namespace", "number", "status"),
    [
        ("op-1", "batch-record@tankwalk", 1, 0),
        ("op-1", "journal-line@tankwalk", 1, 0),
        ("op-1", "batch-record@tankwalk", 2, 0),  # a second key of the same person
        ("op-1", "practice-record@tankwalk", 1, 255),
        ("op-1", "file", 1, 255),
        ("op-2", "batch-record@tankwalk", 1, 255),
        ("op-1", "batch-record@tankwalk", 3, 255),
    ],
)
def test_the_stock_tool_reads_the_list_as_we_do(
    tmp_path: Path, who: str, namespace: str, number: int, status: int
) -> None:
    """``ssh-keygen -Y verify`` takes the people, keys and purposes of a generated list, and no others."""
    signers = [
        AllowedSigner("op-1", public(1), PRODUCTION),
        AllowedSigner("op-1", public(2), PRODUCTION),
        AllowedSigner("op-2", public(4), PRODUCTION),
    ]
    allowed_signers.write(tmp_path / "signers", signers)
    (tmp_path / "x.sig").write_text(sshsig.armour(sshsig.sign(key(number), namespace, b"x")))
    said = subprocess.run(
        [
            *("ssh-keygen", "-Y", "verify", "-f", tmp_path / "signers", "-I", who),
            *("-n", namespace, "-s", tmp_path / "x.sig"),
        ],
        input=b"x",
        capture_output=True,
        check=False,
    )
    assert said.returncode == status
    assert (public(number) in keys_for(signers, namespace).get(who, frozenset())) == (status == 0)
