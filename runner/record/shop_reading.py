"""Reading the shop's journal, for those who only look, and the list of signers that follows from it."""

from __future__ import annotations

from pathlib import Path

from runner.faults import fault
from runner.record import durable
from runner.record.allowed_signers import PRODUCTION, AllowedSigner
from runner.record.layout import SHOP_JOURNAL
from runner.record.lines import LONGEST_JOURNAL
from runner.record.shop_fold import fold
from runner.record.shop_memory import ShopMemory
from runner.record.shop_state import ShopState


def read_shop(folder: Path, memory: ShopMemory | None = None) -> ShopState:
    """What the shop's journal comes to, for those who only look. A line being written just now is left out.

    Args:
        folder: The shop's ``logs``.
        memory: What this process folded of it before, for those who look again and again.

    Raises:
        InputFault: There is none, or it cannot be read.
        ShopFault: A line of it does not count.
    """
    return read_shop_whole(folder, memory)[0]


def read_shop_whole(folder: Path, memory: ShopMemory | None = None) -> tuple[ShopState, int]:
    """What the shop's journal comes to, and how many bytes behind its last whole line are none.

    Raises:
        InputFault: There is none, or it cannot be read.
        ShopFault: A line of it does not count.
    """
    path = folder / SHOP_JOURNAL
    try:
        content = durable.read_whole(path, LONGEST_JOURNAL)
    except OSError as error:
        raise fault(
            f"the shop's journal cannot be read: {error.strerror or error}",
            "look whether this is the shop's folder of logs; a new shop begins with its owner",
            str(path),
        ) from error
    return fold(content) if memory is None else memory.fold(content)


def signers_of(state: ShopState) -> list[AllowedSigner]:
    """Everybody's keys, those no longer in use too, since old records are signed with them."""
    return [
        AllowedSigner(person.id, held.public, PRODUCTION)
        for person in state.people.values()
        for held in person.keys
    ]


def strangers(listed: list[AllowedSigner], state: ShopState) -> list[AllowedSigner]:
    """Signers in a list that the shop's journal does not know, or for other purposes: put in by hand."""
    known = set(signers_of(state))
    return [signer for signer in listed if signer not in known]
