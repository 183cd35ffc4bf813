"""How bad is it?

Owns the four words by which a finding of the trade is graded, worst first. Must not know any finding.
"""

from __future__ import annotations

from enum import StrEnum


class Severity(StrEnum):
    """How bad a finding is; members stand worst first."""

    DANGER = "danger"
    """Can hurt someone."""
    SPOIL = "spoil"
    """Will ruin the parts."""
    DOUBT = "doubt"
    """May ruin them, or is not known."""
    ADVICE = "advice"
    """What a careful hand would do."""

    @property
    def rank(self) -> int:
        """0 for the worst."""
        return list(Severity).index(self)
