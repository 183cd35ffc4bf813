"""What is asked of the records: the words typed into the form, and the question that they make.

Owns the form's fields and the sentence that says what is listed. The question itself is the index's. Must
not know a screen library.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from runner.faults import Fault, InputFault
from runner.record.asked_time import asked_time
from runner.record.index_query import Wanted
from runner.screens.form import Asking
from runner.text import shown

Which = Literal["ended", "open", "overdue", "all"]

ANY = "*"
"""Typed for any deviation at all."""


FILTERS = (
    Asking("since", "From: a day (UTC) or a time with zone", "2026-03-01"),
    Asking("until", "To: the last day, or a time", "2026-03-31T14:00Z"),
    Asking("customer", "Customer: words of the reference", "C-0417"),
    Asking("part", "Part: words of it", "stirrup"),
    Asking("procedure", "Procedure: words of its title", "nickel"),
    Asking("revision", "Its revision, exactly", "B"),
    Asking("person", "Person: id or whole name", "otto"),
    Asking("tank", "Tank: its id in shop.toml", "nickel"),
    Asking("deviation", "Deviation: a word of it, * for any", "burnt"),
)
"""With a tank, the two times are those between which something was in it."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked: which sort of batch, and what was typed by field."""

    which: Which = "ended"
    typed: Mapping[str, str] = field(default_factory=dict)

    def wanted(self, now: str) -> Wanted:
        """The question for the index.

        Args:
            now: RFC 3339, for what is overdue.

        Raises:
            InputFault: Every field that cannot be read, by what it asks.
        """
        given = {name: text for name, text in self.typed.items() if text}
        faults: list[Fault] = []
        for name in ("since", "until"):
            if name in given:
                try:
                    given[name] = asked_time(given[name], _asks(name), day_after=name == "until")
                except InputFault as wrong:
                    faults += wrong.faults
        if faults:
            raise InputFault(*faults)
        if given.get("deviation") == ANY:
            given["deviation"] = ""
        return Wanted(
            now=now,
            is_open=self.which == "open",
            is_ended=self.which == "ended",
            overdue=self.which == "overdue",
            **given,
        )

    def words(self) -> str:
        """What is listed, in a line."""
        said = {"ended": "ended", "open": "open", "overdue": "open and overdue", "all": "all batches"}
        parts = [f"{name} {shown(text, 24)}" for name, text in self.typed.items() if text]
        return ", ".join([said[self.which], *parts]).replace("since ", "from ").replace("until ", "to ")


def _asks(name: str) -> str:
    return next(one.asks for one in FILTERS if one.name == name).partition(":")[0]
