"""What may stand in a text, and how text from files and people is shown.

Owns the one function that everything shown goes through. Must not know where the text came from.
"""

from __future__ import annotations

import re

LONGEST = 500
"""Most characters a name or a sentence may have."""

# C0 but tab and newline, DEL, C1, the bidirectional controls, line and paragraph separators, and lone
# surrogates: each can move the cursor, hide text or turn its order, and none belongs in a process sheet.
_RANGES = r"\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff\ud800-\udfff"
_UNFIT = re.compile(f"[{_RANGES}]")
_UNFIT_IN_LINE = re.compile(rf"[{_RANGES}\t\n]")


def unfit(text: str, *, lines: bool = False) -> str | None:
    """Why a text is refused, or None where it may stand.

    Args:
        text: From a file or the keyboard.
        lines: Whether tabs and newlines may stand in it (sentences in files may run over lines).
    """
    if len(text) > LONGEST:
        return f"{len(text)} characters, where {LONGEST} are the most"
    found = (_UNFIT if lines else _UNFIT_IN_LINE).search(text)
    if found:
        return f"control character U+{ord(found.group()):04X} at character {found.start() + 1}"
    return None


def first_unfit(text: str) -> re.Match[str] | None:
    """The first character of a whole file that may not stand in it (newlines and tabs may)."""
    return _UNFIT.search(text)


def shown(text: object, longest: int = LONGEST) -> str:
    """Any text, made safe for one line of a terminal or a report.

    Control characters become their visible code, so that nothing read from a file or a person can move
    the cursor, colour a line or turn the reading order. Markup is not read here at all: whatever draws
    the result draws it as plain text.
    """
    line = str(text).replace("\r\n", " ").replace("\n", " ").replace("\t", " ")
    safe = _UNFIT_IN_LINE.sub(lambda found: f"<U+{ord(found.group()):04X}>", line)
    return safe if len(safe) <= longest else safe[: longest - 1] + "…"
