"""The page about proving with stock tools: its commands run as they stand there, on keys of every sort."""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path

import pytest

from runner import record
from runner.record import sshsig
from runner.record.verify import verify
from support.floors import Works

PAGE = Path(record.__file__).with_name("BY_HAND.md")
BLOCKS = re.findall(r"```sh\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
KEPT, SIGNER, LISTED, OWNER, DATED, NOW, THEN, ORDER, REVOKE, REVOKED = BLOCKS


def run(folder: Path, kept: Path, *blocks: str) -> subprocess.CompletedProcess[str]:
    """The blocks of the page in one shell, in a batch's folder."""
    kept.mkdir(exist_ok=True)
    return subprocess.run(
        ["sh", "-euc", "\n".join(blocks)],
        cwd=folder,
        env={"PATH": os.environ["PATH"], "KEPT": str(kept), "LC_ALL": "C"},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


@pytest.fixture
def sealed(works: Works) -> Path:
    """A batch that Cleo released."""
    batch = works.open()
    works.follow_to(batch, "release")
    works.wait(86_400)
    return works.logs / batch


def give_another_key(works: Works) -> None:
    """Cleo's PIN was forgotten: she gets another key."""
    works.floor.roll.change("cleo", works.people["olive"], works.now, pin="161803")
    works.people["cleo"] = works.floor.roll.unlock("cleo", "161803", works.now)


def suspend(works: Works) -> None:
    """Cleo left."""
    works.floor.roll.change("cleo", works.people["olive"], works.now, active=False)


class TestWhileTheKeyCounts:
    """Nobody left."""

    def test_every_command_says_good(self, sealed: Path, tmp_path: Path) -> None:
        """With the list beside the records, and with dates, as of now and as of then."""
        for block in (LISTED, NOW, THEN):
            done = run(sealed, tmp_path / "kept", KEPT, SIGNER, DATED, block)
            assert done.returncode == 0, done.stderr
            assert 'Good "batch-record@tankwalk" signature for cleo' in done.stdout

    def test_the_owner_is_the_one_on_paper(self, works: Works, sealed: Path, tmp_path: Path) -> None:
        """`ssh-keygen -l` prints the fingerprint that the first start showed."""
        assert works.people["olive"].key.fingerprint in run(sealed, tmp_path / "kept", KEPT, OWNER).stdout

    def test_a_changed_record_is_found(self, sealed: Path, tmp_path: Path) -> None:
        """One letter, and every command says no."""
        record = sealed / "record.toml"
        record.write_bytes(record.read_bytes().replace(b"stirrup", b"stirruq"))
        for block in (LISTED, NOW, THEN, ORDER):
            assert run(sealed, tmp_path / "kept", KEPT, SIGNER, DATED, block).returncode != 0


@pytest.mark.parametrize("end", [give_another_key, suspend])
class TestAKeyThatEnded:
    """Replaced, or its person suspended."""

    def test_a_record_of_before_proves_as_of_then(
        self, works: Works, sealed: Path, tmp_path: Path, end: object
    ) -> None:
        """Expired as of now; good as of the time that the record gives; and tankwalk verify agrees."""
        assert callable(end)
        end(works)
        now = run(sealed, tmp_path / "kept", KEPT, SIGNER, DATED, NOW)
        assert now.returncode != 0
        assert "key has expired" in now.stderr
        then = run(sealed, tmp_path / "kept", KEPT, SIGNER, DATED, THEN)
        assert then.returncode == 0, then.stderr
        assert run(sealed, tmp_path / "kept", KEPT, SIGNER, LISTED).returncode == 0
        works.floor.close()
        assert verify(sealed).ok

    def test_the_shops_line_about_the_seal_stands_before_the_end_of_the_key(
        self, works: Works, sealed: Path, tmp_path: Path, end: object
    ) -> None:
        """What the page has an auditor look up."""
        assert callable(end)
        end(works)
        found = run(sealed, tmp_path / "kept", KEPT, ORDER)
        line = int(found.stdout.partition(":")[0])
        lines = (works.logs / "shop.jsonl").read_text(encoding="ascii").splitlines()
        ended = next(number for number, raw in enumerate(lines, 1) if '"kind":"person-changed"' in raw)
        assert line < ended


def test_a_record_signed_after_the_key_ended_does_not_prove(works: Works, tmp_path: Path) -> None:
    """Cleo's old key seals a batch of a time after she got another: expired then too, and verify says no."""
    old = works.people["cleo"]
    give_another_key(works.wait(3600))
    batch = works.wait(3600).open()
    works.follow_to(batch, "release")
    works.floor.close()
    folder = works.logs / batch
    record = (folder / "record.toml").read_bytes()
    forged = sshsig.armour(old.key.sign("batch-record@tankwalk", record))
    (folder / "record.toml.sig").write_text(forged, encoding="ascii")
    then = run(folder, tmp_path / "kept", KEPT, SIGNER, DATED, THEN)
    assert then.returncode != 0
    assert "key has expired" in then.stderr
    # Without dates the key is good for ever: why the list beside the records is not enough.
    assert run(folder, tmp_path / "kept", KEPT, SIGNER, LISTED).returncode == 0
    assert not verify(folder).ok


def test_a_key_is_not_good_before_it_was_given(works: Works, sealed: Path, tmp_path: Path) -> None:
    """Cleo's new key under a record of the time of the old one."""
    give_another_key(works)
    works.floor.close()
    record = (sealed / "record.toml").read_bytes()
    forged = sshsig.armour(works.people["cleo"].key.sign("batch-record@tankwalk", record))
    (sealed / "record.toml.sig").write_text(forged, encoding="ascii")
    then = run(sealed, tmp_path / "kept", KEPT, SIGNER, DATED, THEN)
    assert then.returncode != 0
    assert "key is not yet valid" in then.stderr
    assert not verify(sealed).ok


def test_a_revoked_key_proves_nothing(sealed: Path, tmp_path: Path) -> None:
    """On a list of revoked keys: refused whatever the list of signers says; others' keys still stand."""
    done = run(sealed, tmp_path / "kept", KEPT, SIGNER, DATED, REVOKE, REVOKED)
    assert done.returncode != 0
    assert "Could not verify signature." in done.stdout
    done = run(
        sealed, tmp_path / "kept", KEPT, SIGNER, DATED, "ME=$WHO; WHO=otto", REVOKE, "WHO=$ME", REVOKED
    )
    assert done.returncode == 0, done.stderr


def test_a_record_with_an_earlier_time_is_found_by_the_order_alone(works: Works, tmp_path: Path) -> None:
    """The page's warning is true: dates alone believe a key that ended, where an earlier time is written."""
    batch = works.open()
    works.follow_to(batch, "release")
    folder, old = works.logs / batch, works.people["cleo"]
    works.wait(3600)
    give_another_key(works)
    works.floor.close()
    record = (folder / "record.toml").read_bytes().replace(b"stirrup irons", b"gilded irons!")
    (folder / "record.toml").write_bytes(record)
    forged = sshsig.armour(old.key.sign("batch-record@tankwalk", record))
    (folder / "record.toml.sig").write_text(forged, encoding="ascii")
    assert run(folder, tmp_path / "kept", KEPT, SIGNER, DATED, THEN).returncode == 0
    assert run(folder, tmp_path / "kept", KEPT, ORDER).returncode != 0
    assert not verify(folder).ok
