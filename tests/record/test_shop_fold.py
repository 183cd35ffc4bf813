"""What the lines of a shop's journal come to, and which of them do not count."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from runner.record import sshsig
from runner.record.lines import dump
from runner.record.shop_fold import ShopFault, fold, fold_lines
from runner.record.shop_state import next_batch_name
from support.journals import public

if TYPE_CHECKING:
    pass

from support.shop_lines import (
    FOUNDED,
    HASH,
    STAFFED,
    Told,
    added,
    changed,
    closed,
    line_of,
    lines,
    opened,
    state,
)

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

    def test_a_batch_keeps_its_place_while_others_end(self) -> None:
        """Of three the first ends: the others stay second and third, and the next to open comes first."""
        three = (
            opened("2026-0001"),
            opened("2026-0002", "2026-0001"),
            opened("2026-0003", "2026-0001", "2026-0002"),
            closed("2026-0001"),
        )
        come = state(*STAFFED, *three)
        assert {name: come.batches[name].place for name in come.open_batches} == {
            "2026-0002": 2,
            "2026-0003": 3,
        }
        later = state(*STAFFED, *three, opened("2026-0004", "2026-0002", "2026-0003"))
        assert {name: later.batches[name].place for name in later.open_batches} == {
            "2026-0002": 2,
            "2026-0003": 3,
            "2026-0004": 1,
        }

    def test_no_two_open_batches_have_one_place_and_none_is_left_out(self) -> None:
        """Twelve are opened and every other one ends: six more fill the holes, from the lowest on."""
        names = [f"2026-{number:04d}" for number in range(1, 19)]
        told = [opened(name, *names[:at]) for at, name in enumerate(names[:12])]
        told += [closed(name) for name in names[:12:2]]
        stays = names[1:12:2]
        told += [opened(name, *stays, *names[12 : 12 + at]) for at, name in enumerate(names[12:])]
        come = state(*STAFFED, *told)
        assert [come.batches[name].place for name in stays] == [2, 4, 6, 8, 10, 12]
        assert [come.batches[name].place for name in names[12:]] == [1, 3, 5, 7, 9, 11]

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
