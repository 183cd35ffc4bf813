"""A field to type in that shows whatever is pasted as plain text.

Owns that one care. The library's own field hands control characters on to the terminal as they are.
"""

from __future__ import annotations

from textual.widgets import Input

from runner.text import LONGEST, shown


class Field(Input):
    """One line of text; a control character in it becomes its visible code, and stays that."""

    def validate_value(self, value: str) -> str:
        """What may stand in the field."""
        return shown(value, self.max_length or LONGEST)
