"""What can the shop's journal tell about who is able to walk a route?

Owns those kinds of lines and the shape of their data. Which of them count stands in `runner.record.ledger`.
"""

from __future__ import annotations

from typing import ClassVar

from runner.plain_data import DataFault, Plain
from runner.shop.names import PERSON_ID
from runner.text import unfit


class RoutePractised(Plain, frozen=True):
    """Somebody practised a route to its end, and says so, or a chargehand says it who saw it.

    Attributes:
        id: Who practised.
        file: The procedure, by its file's name in the shop's folder of procedures.
        revision: As the file says it.
    """

    kind: ClassVar[str] = "route-practised"
    id: str
    file: str
    revision: str


class RouteSignedOff(Plain, frozen=True):
    """A chargehand stands for it that somebody can walk a route by themselves."""

    kind: ClassVar[str] = "route-signed-off"
    id: str
    file: str
    revision: str


class RouteWithdrawn(Plain, frozen=True):
    """From here on somebody walks a route only with a chargehand again."""

    kind: ClassVar[str] = "route-withdrawn"
    id: str
    file: str
    revision: str
    reason: str


LedgerEvent = RoutePractised | RouteSignedOff | RouteWithdrawn


def check_form(event: LedgerEvent) -> None:
    """Whether a line's texts are of their form.

    Raises:
        DataFault: One is not.
    """
    if not PERSON_ID.fullmatch(event.id):
        raise DataFault("id: not of its form")
    texts = {"file": event.file, "revision": event.revision}
    if isinstance(event, RouteWithdrawn):
        texts["reason"] = event.reason
    for name, text in texts.items():
        if not text.strip() or unfit(text):
            raise DataFault(f"{name}: {unfit(text) or 'empty'}")
