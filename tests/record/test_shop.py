"""The shop's own journal: who may write what into it, and what it shows later."""

from __future__ import annotations

import errno
import subprocess
from typing import TYPE_CHECKING, Any

import pytest
from msgspec.structs import replace

from runner.faults import InputFault
from runner.record import allowed_signers, sshsig
from runner.record import shop_events as ev
from runner.record.journal_errors import JournalExists, JournalMissing, JournalTampered, NotWritten
from runner.record.layout import SHOP_JOURNAL
from runner.record.lines import GENESIS, Line, dump, line_hash, unsigned_bytes
from runner.record.lock import Held
from runner.record.shop_fold import ShopFault, fold, fold_lines
from runner.record.shop_journal import ShopJournal
from runner.record.shop_reading import read_shop, signers_of, strangers
from runner.record.shop_state import ShopState, next_batch_name
from support.journals import FaultyDisk, key, moment, public, signer

if TYPE_CHECKING:
    from pathlib import Path

HASH = "ab" * 32


def line_of(number: int) -> str:
    """The public line of a key."""
    return sshsig.public_line(public(number))


OWNER = ev.PersonAdded("olive", "Olive Demo", "owner", line_of(1))
OPERATOR = ev.PersonAdded("otto", "Otto Demo", "operator", line_of(2))
TRAINEE = ev.PersonAdded("tess", "Tess Demo", "trainee", line_of(3))

Told = tuple[str, dict[str, Any], str, int | None]
"""A line: its kind, its data, who wrote it, and the number of the key that signed it."""


def added(who: str, role: str, number: int, by: str = "olive", signed: int | None = 1) -> Told:
    """A line that adds a person."""
    return "person-added", {"id": who, "name": who.title(), "role": role, "key": line_of(number)}, by, signed


def changed(
    who: str, role: str, number: int, *, active: bool = True, by: str = "olive", signed: int = 1
) -> Told:
    """A line that changes a person."""
    data = {"id": who, "name": who.title(), "role": role, "key": line_of(number), "active": active}
    return "person-changed", data, by, signed


def opened(batch: str, *others: str, by: str = "otto", signed: int = 2) -> Told:
    """A line that opens a batch."""
    return "batch-opened", {"batch": batch, "first": HASH, "open": dict.fromkeys(others, HASH)}, by, signed


def closed(batch: str, kind: str = "batch-sealed", by: str = "otto", signed: int = 2) -> Told:
    """A line that seals or abandons one."""
    return kind, {"batch": batch, "record": HASH}, by, signed


FOUNDED = added("olive", "owner", 1)
STAFFED = (FOUNDED, added("otto", "operator", 2), added("tess", "trainee", 3))


def lines(*told: Told) -> list[Line]:
    """Those lines in a sound chain."""
    made: list[Line] = []
    prev = GENESIS
    for seq, (kind, data, who, number) in enumerate(told, start=1):
        line = Line(seq, moment(seq), kind, data, who, prev)
        if number is not None:
            line = line._replace(sig=signer(number).sign(unsigned_bytes(line)))
        made.append(line)
        prev = line_hash(dump(line))
    return made


def state(*told: Told) -> ShopState:
    """What they come to."""
    return fold_lines(lines(*told))


REFUSED: dict[str, tuple[tuple[Told, ...], str]] = {
    "no owner first": ((added("otto", "operator", 2, by="otto", signed=2),), "must add the owner"),
    "a batch first": ((opened("2026-0001"),), "must add the owner"),
    "the owner signed by another key": ((added("olive", "owner", 1, signed=2),), "must sign"),
    "the owner added by another": ((added("olive", "owner", 1, by="otto"),), "must sign"),
    "not signed": ((*STAFFED, added("ida", "operator", 6, signed=None)), "not signed"),
    "signed by another's key": ((*STAFFED, added("ida", "operator", 6, signed=2)), "not that of olive"),
    "signed by a stranger": (
        (*STAFFED, added("ida", "operator", 6, by="ida", signed=6)),
        "ida, who signed",
    ),
    "people by an operator": ((*STAFFED, added("ida", "operator", 6, by="otto", signed=2)), "may not"),
    "an operator made owner by himself": (
        (*STAFFED, changed("otto", "owner", 2, by="otto", signed=2)),
        "may not",
    ),
    "a batch by a trainee": ((*STAFFED, opened("2026-0001", by="tess", signed=3)), "may not"),
    "signed with an old key": (
        (*STAFFED, changed("otto", "operator", 4), opened("2026-0001")),
        "not that of",
    ),
    "signed by one who left": (
        (*STAFFED, changed("otto", "operator", 2, active=False), opened("2026-0001")),
        "does not work here",
    ),
    "a person twice": ((*STAFFED, added("otto", "operator", 6)), "taken"),
    "a key twice": ((*STAFFED, added("ida", "operator", 2)), "was that of otto"),
    "an old key of another": (
        (*STAFFED, changed("otto", "operator", 4), changed("tess", "trainee", 2)),
        "was that of otto",
    ),
    "a change of nobody": ((*STAFFED, changed("ida", "operator", 6)), "never added"),
    "the last owner leaves": ((*STAFFED, changed("olive", "owner", 1, active=False)), "without an owner"),
    "the last owner steps down": ((*STAFFED, changed("olive", "operator", 1)), "without an owner"),
    "a batch twice": ((*STAFFED, opened("2026-0001"), opened("2026-0001", "2026-0001")), "opened before"),
    "a number used again": (
        (*STAFFED, opened("2026-0001"), closed("2026-0001"), opened("2026-0001")),
        "opened before",
    ),
    "an open batch not named": ((*STAFFED, opened("2026-0001"), opened("2026-0002")), "does not name"),
    "a batch named that is not open": ((*STAFFED, opened("2026-0002", "2026-0001")), "does not name"),
    "sealed but never opened": ((*STAFFED, closed("2026-0001")), "not open"),
    "sealed twice": (
        (*STAFFED, opened("2026-0001"), closed("2026-0001"), closed("2026-0001")),
        "not open",
    ),
    "another kind": ((*STAFFED, ("step-entered", {}, "otto", 2)), "nothing that"),
    "a role of no shop": ((*STAFFED, added("ida", "boss", 6)), "role"),
    "an id in capitals": ((*STAFFED, added("Ida", "operator", 6)), "id"),
    "a name with an escape": (
        (*STAFFED, ("person-added", {**added("ida", "operator", 6)[1], "name": "\x1b[2J"}, "olive", 1)),
        "control",
    ),
    "an empty name": (
        (*STAFFED, ("person-added", {**added("ida", "operator", 6)[1], "name": " "}, "olive", 1)),
        "empty",
    ),
    "a key with a comment": (
        (
            *STAFFED,
            ("person-added", {**added("ida", "operator", 6)[1], "key": f"{line_of(6)} x"}, "olive", 1),
        ),
        "more than a key",
    ),
    "no key": (
        (*STAFFED, ("person-added", {**added("ida", "operator", 6)[1], "key": "x"}, "olive", 1)),
        "key",
    ),
    "a key more in the data": (
        (*STAFFED, ("batch-opened", {**opened("2026-0001")[1], "more": 1}, "otto", 2)),
        "unknown key",
    ),
    "a key less in the data": (
        (*STAFFED, ("batch-opened", {"batch": "2026-0001"}, "otto", 2)),
        "missing",
    ),
    "a name of no batch": ((*STAFFED, opened("26-1")), "batch"),
    "a hash that is none": (
        (*STAFFED, ("batch-sealed", {"batch": "2026-0001", "record": "x"}, "otto", 2)),
        "rec",
    ),
    "no hash of an open batch": (
        (
            *STAFFED,
            opened("2026-0001"),
            ("batch-opened", {"batch": "2026-0002", "first": HASH, "open": {"2026-0001": 7}}, "otto", 2),
        ),
        "open",
    ),
}


class TestFold:
    """What counts, and what it comes to."""

    def test_people_and_batches(self) -> None:
        """Who was added by whom with which key, and which batches are open, sealed, abandoned."""
        come = state(
            *STAFFED,
            opened("2026-0001"),
            opened("2026-0002", "2026-0001"),
            closed("2026-0001"),
            opened("2026-0003", "2026-0002"),
            closed("2026-0002", "batch-abandoned"),
        )
        assert {who: (person.role, person.key, person.added_by) for who, person in come.people.items()} == {
            "olive": ("owner", public(1), "olive"),
            "otto": ("operator", public(2), "olive"),
            "tess": ("trainee", public(3), "olive"),
        }
        assert come.open_batches == ("2026-0003",)
        assert [(batch.closed, batch.abandoned, batch.record) for batch in come.batches.values()] == [
            (6, False, HASH),
            (8, True, HASH),
            (None, False, None),
        ]
        assert [batch.seen for batch in come.batches.values()] == [(HASH,), (HASH,), ()]
        assert (come.lines, come.owner) == (8, sshsig.fingerprint(public(1)))

    def test_a_batch_s_keys_are_those_of_its_time(self) -> None:
        """A key out of use before a batch began is good for nothing in it; one replaced during it is."""
        come = state(
            *STAFFED,
            opened("2026-0001"),
            closed("2026-0001"),
            changed("otto", "operator", 4),
            opened("2026-0002", signed=4),
            changed("otto", "operator", 5),
            added("ida", "operator", 6),
        )
        assert come.keys_for("2026-0001")["otto"] == {public(2)}
        assert come.keys_for("2026-0002")["otto"] == {public(4), public(5)}
        assert "ida" not in come.keys_for("2026-0001")
        assert come.keys_for("2026-0002")["ida"] == {public(6)}

    def test_somebody_leaves_and_comes_back(self) -> None:
        """While away they sign nothing; back, with the same key or another, they do again."""
        come = state(*STAFFED, changed("otto", "operator", 2, active=False))
        assert come.people["otto"].key is None
        assert state(
            *STAFFED,
            changed("otto", "operator", 2, active=False),
            changed("otto", "chargehand", 2),
            opened("2026-0001"),
        ).open_batches == ("2026-0001",)

    def test_a_changed_role_leaves_the_key_and_is_told_apart(self) -> None:
        """The key stays the same, and the role that it had before stays known with it."""
        come = state(*STAFFED, changed("otto", "chargehand", 2))
        before, after = come.people["otto"].keys
        assert before.public == after.public == come.people["otto"].key
        assert (before.role, after.role) == ("operator", "chargehand")
        assert before.until == after.since

    def test_a_second_owner_can_take_over(self) -> None:
        """With two owners one may leave, and the other goes on."""
        come = state(
            FOUNDED,
            added("oscar", "owner", 7),
            changed("olive", "owner", 1, active=False, by="oscar", signed=7),
            added("ida", "operator", 6, by="oscar", signed=7),
        )
        assert set(come.people) == {"olive", "oscar", "ida"}
        assert come.owner == sshsig.fingerprint(public(1))

    def test_torn_bytes_set_aside_are_told(self) -> None:
        """A torn tail that was kept changes nothing else."""
        data = {"bytes": 4, "sha256": HASH, "base64": "aGFsZg=="}
        assert state(*STAFFED, ("tail-set-aside", data, "otto", 2)).lines == 4

    def test_a_torn_tail_is_counted_apart(self) -> None:
        """Reading goes up to the last whole line, and says how many bytes stand behind it."""
        content = b"".join(map(dump, lines(*STAFFED)))
        assert fold(content + b"half") == (state(*STAFFED), 4)

    @pytest.mark.parametrize("name", REFUSED)
    def test_a_line_that_does_not_count_is_named(self, name: str) -> None:
        """The last of these lines is refused with its number and reason; those before it count."""
        told, reason = REFUSED[name]
        with pytest.raises(ShopFault, match=reason) as refused:
            state(*told)
        assert refused.value.line == len(told)

    def test_a_changed_byte_is_named(self) -> None:
        """A line changed after it was signed breaks the journal there."""
        content = b"".join(map(dump, lines(*STAFFED)))
        with pytest.raises(ShopFault, match="line 3: its signature"):
            fold(content.replace(b"Tess", b"Toss"))
        with pytest.raises(ShopFault, match="line 1"):
            fold(b"")
        with pytest.raises(ShopFault, match="empty"):
            fold_lines([])

    def test_a_batch_that_could_not_be_read_is_named_without_a_hash(self) -> None:
        """A batch whose journal is away does not keep the shop from opening another, and shows."""
        data = {"batch": "2026-0002", "first": HASH, "open": {"2026-0001": ""}}
        come = state(*STAFFED, opened("2026-0001"), ("batch-opened", data, "otto", 2))
        assert come.batches["2026-0001"].seen == ()

    def test_numbers_run_on_within_a_year(self) -> None:
        """The next number is one more than the highest of that year, sealed batches counted, gaps left."""
        come = state(*STAFFED, opened("2026-0007"), closed("2026-0007"), opened("2025-12345"))
        assert next_batch_name(come, 2026) == "2026-0008"
        assert next_batch_name(come, 2025) == "2025-12346"
        assert next_batch_name(come, 2027) == "2027-0001"


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
