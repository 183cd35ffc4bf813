"""Whose signatures count, and how that is known.

Owns where the keys come from when a batch is proved: a list of signers or an owner's fingerprint given
from outside, else what lies beside the records. Must not prove anything itself.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from runner.faults import InputFault
from runner.record import allowed_signers
from runner.record.allowed_signers import AllowedSigner
from runner.record.layout import LINE_NAMESPACE, RECORD_NAMESPACE, SHOP_JOURNAL
from runner.record.reader import Finding
from runner.record.shop_fold import ShopFault
from runner.record.shop_reading import read_shop_whole, signers_of, strangers
from runner.record.shop_state import ShopState

Trust = Literal["pinned", "beside the records"]


@dataclass(frozen=True, slots=True)
class Trusted:
    """What a proof rests on.

    Attributes:
        trust: Whether signers or owner were given from outside.
        signers: From a list given, or lying beside; None where the shop's journal tells.
        shop: What the shop's journal comes to; None where there is none.
        findings: What is wrong with the ground itself.
    """

    trust: Trust
    signers: tuple[AllowedSigner, ...] | None
    shop: ShopState | None
    findings: tuple[Finding, ...] = ()

    def line_keys(self, batch: str) -> dict[str, frozenset[bytes]]:
        """For each person the keys that may sign lines of a batch."""
        return self._keys(batch, LINE_NAMESPACE)

    def record_keys(self, batch: str) -> dict[str, frozenset[bytes]]:
        """For each person the keys that may sign its record."""
        return self._keys(batch, RECORD_NAMESPACE)

    def _keys(self, batch: str, namespace: str) -> dict[str, frozenset[bytes]]:
        if self.signers is not None:
            return allowed_signers.keys_for(self.signers, namespace)
        if self.shop is not None and batch in self.shop.batches:
            return self.shop.keys_for(batch)
        return {}


def ground(logs: Path, signers: Path | None, owner: str | None) -> Trusted:
    """What production batches of a folder of logs are proved on.

    Args:
        logs: The folder.
        signers: A list of signers kept outside the records, or None.
        owner: Fingerprint of the owner's key, from paper, or None.

    Raises:
        InputFault: The list given cannot be read.
    """
    findings: list[Finding] = []
    listed = tuple(allowed_signers.load(signers)) if signers is not None else None
    shop = _shop(logs, findings)
    if owner is not None and (shop is None or shop.owner != owner):
        began = shop.owner if shop else "nobody"
        findings.append(
            Finding(f"the shop's journal was begun by {began}, not by the owner given", SHOP_JOURNAL)
        )
    if shop is not None:
        findings += _beside(logs, shop)
    if shop is None and not findings and signers is None:
        findings.append(
            Finding("there is none: nothing tells a cut end, or who had which role", SHOP_JOURNAL)
        )
    if shop is None and listed is None:
        listed = _found_beside(logs, findings)
    trust: Trust = "pinned" if signers is not None or owner is not None else "beside the records"
    return Trusted(trust, listed, shop, tuple(findings))


def practice_ground(
    folder: Path, signers: Path | None
) -> tuple[Trust, tuple[AllowedSigner, ...], list[Finding]]:
    """What a rehearsal is proved on: the list given, or the one that it left beside itself."""
    findings: list[Finding] = []
    if signers is not None:
        return "pinned", tuple(allowed_signers.load(signers)), findings
    return "beside the records", _found_beside(folder, findings), findings


def _shop(logs: Path, findings: list[Finding]) -> ShopState | None:
    if not os.path.lexists(logs / SHOP_JOURNAL):
        return None
    try:
        shop, torn_bytes = read_shop_whole(logs)
    except ShopFault as fault:
        findings.append(
            Finding(f"the shop's journal does not prove: {fault.reason}", f"{SHOP_JOURNAL} line {fault.line}")
        )
    except InputFault as wrong:
        findings.append(Finding(wrong.faults[0].message, SHOP_JOURNAL))
    else:
        if torn_bytes:
            what = f"{torn_bytes} bytes at its end are no line: torn off in a crash, or spoilt"
            findings.append(Finding(what, f"{SHOP_JOURNAL} line {shop.lines + 1}"))
        return shop
    return None


def _beside(logs: Path, shop: ShopState) -> list[Finding]:
    """The list that stock tools read must hold exactly the keys that the shop's journal knows."""
    findings: list[Finding] = []
    listed = list(_found_beside(logs, findings))
    findings += [
        Finding(f"it lists a key of {one.who} that the shop's journal does not know so", allowed_signers.FILE)
        for one in strangers(listed, shop)
    ]
    findings += [
        Finding(f"a key of {one.who} is missing from it", allowed_signers.FILE)
        for one in signers_of(shop)
        if one not in listed
    ]
    return list(dict.fromkeys(findings))


def _found_beside(folder: Path, findings: list[Finding]) -> tuple[AllowedSigner, ...]:
    try:
        return tuple(allowed_signers.load(folder / allowed_signers.FILE))
    except InputFault as wrong:
        findings += [
            Finding(
                fault.message,
                f"{allowed_signers.FILE} line {fault.line}" if fault.line else allowed_signers.FILE,
            )
            for fault in wrong.faults
        ]
        return ()
