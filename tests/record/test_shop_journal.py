"""The shop's own journal on the disk: who may write what into it, and what it shows later."""

from __future__ import annotations

import errno
import subprocess
from typing import TYPE_CHECKING

import pytest
from msgspec.structs import replace

from runner.faults import InputFault
from runner.record import allowed_signers, sshsig
from runner.record import shop_events as ev
from runner.record.journal_errors import JournalExists, JournalMissing, JournalTampered, NotWritten
from runner.record.layout import SHOP_JOURNAL
from runner.record.lock import Held
from runner.record.shop_journal import ShopJournal
from runner.record.shop_reading import read_shop, signers_of, strangers
from support.journals import FaultyDisk, key, moment, public, signer

if TYPE_CHECKING:
    from pathlib import Path

from support.shop_lines import (
    HASH,
    OPERATOR,
    OWNER,
    TRAINEE,
    line_of,
)


class TestJournal:
    """Writing it."""

    @pytest.fixture
    def logs(self, tmp_path: Path) -> Path:
        """A shop's folder of logs, founded, with an operator."""
        with ShopJournal.found(tmp_path, OWNER, moment(), signer(1)) as shop:
            shop.write(OPERATOR, "olive", moment(1), signer(1))
        return tmp_path

    def test_a_shop_is_founded_once(self, logs: Path) -> None:
        """The owner stands in line 1; a second founding is refused."""
        come = read_shop(logs)
        assert list(come.people) == ["olive", "otto"]
        with pytest.raises(JournalExists):
            ShopJournal.found(logs, OWNER, moment(2), signer(1))

    @pytest.mark.parametrize(
        ("owner", "number"),
        [(OPERATOR, 2), (OWNER, 2), (replace(OWNER, name="\x1b"), 1), (replace(OWNER, name="\ud800"), 1)],
    )
    def test_a_founding_that_would_not_count_leaves_nothing(
        self, tmp_path: Path, owner: ev.PersonAdded, number: int
    ) -> None:
        """Somebody else than an owner, another key, a name that no line may hold: refused before the disk."""
        with pytest.raises(InputFault, match="mend that"):
            ShopJournal.found(tmp_path, owner, moment(), signer(number))
        assert list(tmp_path.iterdir()) == []

    def test_what_is_written_is_there_for_the_next(self, logs: Path) -> None:
        """Batches opened at one terminal are known at the other."""
        with ShopJournal.open(logs, moment(5)) as shop:
            shop.write(ev.BatchOpened("2026-0001", HASH, {}), "otto", moment(5), signer(2))
        with ShopJournal.open(logs, moment(6)) as shop:
            assert shop.state.open_batches == ("2026-0001",)
            come = shop.write(ev.BatchSealed("2026-0001", HASH), "otto", moment(6), signer(2))
            assert come.open_batches == ()
        assert read_shop(logs) == come

    def test_a_line_that_would_not_count_is_not_written(self, logs: Path) -> None:
        """It is refused as bad input, with the reason, and the journal stands as it was."""
        before = (logs / SHOP_JOURNAL).read_bytes()
        with ShopJournal.open(logs, moment(5)) as shop:
            with pytest.raises(InputFault, match="may not do this; mend that"):
                shop.write(TRAINEE, "otto", moment(5), signer(2))
            with pytest.raises(InputFault, match="taken"):
                shop.write(OPERATOR, "olive", moment(5), signer(1))
        assert (logs / SHOP_JOURNAL).read_bytes() == before

    def test_the_list_of_signers_follows(self, logs: Path) -> None:
        """It names everybody's keys, old ones too, and the stock tool takes them for their people."""
        with ShopJournal.open(logs, moment(5)) as shop:
            change = ev.PersonChanged("otto", "Otto Demo", "operator", line_of(4), True)
            shop.write(change, "olive", moment(5), signer(1))
        listed = allowed_signers.load(logs / allowed_signers.FILE)
        assert listed == [
            allowed_signers.AllowedSigner("olive", public(1), allowed_signers.PRODUCTION),
            allowed_signers.AllowedSigner("otto", public(2), allowed_signers.PRODUCTION),
            allowed_signers.AllowedSigner("otto", public(4), allowed_signers.PRODUCTION),
        ]
        assert set(listed) == set(signers_of(read_shop(logs)))
        (logs / "x.sig").write_text(sshsig.armour(sshsig.sign(key(2), "batch-record@tankwalk", b"x")))
        for who, status in (("otto", 0), ("olive", 255)):
            verify = ("ssh-keygen", "-Y", "verify", "-f", logs / allowed_signers.FILE, "-I", who)
            said = subprocess.run(
                [*verify, "-n", "batch-record@tankwalk", "-s", logs / "x.sig"],
                input=b"x",
                capture_output=True,
                check=False,
            )
            assert said.returncode == status

    def test_a_list_that_was_lost_comes_back(self, logs: Path) -> None:
        """It is only a print of the journal: the next line writes it again."""
        (logs / allowed_signers.FILE).unlink()
        with ShopJournal.open(logs, moment(5)) as shop:
            shop.write(ev.BatchOpened("2026-0001", HASH, {}), "otto", moment(5), signer(2))
        assert len(allowed_signers.load(logs / allowed_signers.FILE)) == 2

    def test_a_signer_slipped_into_the_list_is_a_stranger(self, logs: Path) -> None:
        """Whoever stands in the list and not in the journal was added by hand, be it with a known name."""
        known = allowed_signers.load(logs / allowed_signers.FILE)
        slipped = [allowed_signers.AllowedSigner("otto", public(9), None)]
        assert strangers(known + slipped, read_shop(logs)) == slipped

    def test_a_list_that_cannot_be_written_does_not_unsay_the_line(self, logs: Path) -> None:
        """What stands in the journal counts, even where the list waits for the next line."""
        disk = FaultyDisk()
        with ShopJournal.open(logs, moment(5), disk=disk) as shop:
            disk.failing["replace"] = errno.EACCES
            assert "tess" in shop.write(TRAINEE, "olive", moment(5), signer(1)).people
        assert "tess" in read_shop(logs).people

    def test_a_full_disk_writes_nothing_and_can_be_tried_again(self, logs: Path) -> None:
        """The same line goes in once there is room; what had been torn is set aside before it."""
        disk = FaultyDisk()
        with ShopJournal.open(logs, moment(5), disk=disk) as shop:
            disk.room = 100
            with pytest.raises(NotWritten, match="make room"):
                shop.write(TRAINEE, "olive", moment(5), signer(1))
            assert "tess" not in shop.state.people
            disk.heal()
            assert shop.write(TRAINEE, "olive", moment(6), signer(1)).lines == 4
        assert read_shop(logs).lines == 4

    def test_two_terminals_take_turns(self, logs: Path) -> None:
        """While one holds it the other waits, and is told who if that takes too long."""
        with ShopJournal.open(logs, moment(5)), pytest.raises(Held, match="in use by process"):
            ShopJournal.open(logs, moment(6), wait_s=0.1)

    def test_a_changed_journal_is_not_written_on(self, logs: Path) -> None:
        """A line that no longer counts is named, and the lock is not kept."""
        path = logs / SHOP_JOURNAL
        sound = path.read_bytes()
        path.write_bytes(sound.replace(b"Otto", b"Otho"))
        for _ in range(2):
            with pytest.raises(JournalTampered, match=r"shop\.jsonl:2: its signature"):
                ShopJournal.open(logs, moment(5))
        path.write_bytes(sound)
        ShopJournal.open(logs, moment(6)).close()

    def test_no_shop_is_told(self, tmp_path: Path) -> None:
        """A folder without a shop's journal is said to be that, and nothing is made in it."""
        with pytest.raises(InputFault, match="new shop begins with its owner"):
            read_shop(tmp_path)
        with pytest.raises(JournalMissing):
            ShopJournal.open(tmp_path, moment())
        assert list(tmp_path.iterdir()) == []

    def test_a_line_being_written_is_left_out_by_readers(self, logs: Path) -> None:
        """Who only looks sees the whole lines, and disturbs no writer."""
        with (logs / SHOP_JOURNAL).open("ab") as file:
            file.write(b'{"seq":3')
        assert list(read_shop(logs).people) == ["olive", "otto"]
