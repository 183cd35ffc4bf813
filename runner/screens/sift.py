"""What a line sends that is no key: pasted escapes, and answers of a terminal that nobody asked for.

Owns the choice of what falls away before the library reads keys: of what it does not know it makes keys, so
that a pasted colour code, or a terminal that tells what it is, would answer a question or jump to a rack.
Pure: texts in, texts out.
"""

from __future__ import annotations

import re

BEGIN, END = "\x1b[200~", "\x1b[201~"
"""What a terminal puts around a paste (xterm's bracketed paste mode)."""

LONGEST = 65_536
"""Characters of a paste after which its end is not waited for."""

_ATTRIBUTES = re.compile(r"\x1b\[[?>=][0-9;]*c")
"""A terminal's answer to what it is (ECMA-48, device attributes)."""

_ESCAPE = re.compile(r"\x1b(?:\[[0-?]*[ -/]*[@-~])?")
"""A control sequence (ECMA-48, 5.4), or its first character alone."""


def sifted(text: str) -> tuple[str, str]:
    """What may be read as keys, and the paste at the end that has not ended yet."""
    kept: list[str] = []
    while text:
        before, begin, rest = text.partition(BEGIN)
        kept.append(_ATTRIBUTES.sub("", before))
        if not begin:
            break
        pasted, end, text = rest.partition(END)
        if not end and len(rest) < LONGEST:
            return "".join(kept), begin + rest
        kept.append(closed(begin + pasted))
    return "".join(kept), ""


def closed(paste: str) -> str:
    """A paste without escapes, and with an end: it may have none where the line was cut."""
    return BEGIN + _ESCAPE.sub("", paste.removeprefix(BEGIN)) + END
