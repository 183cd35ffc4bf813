"""What a line sends that is no key: stray and pasted escapes, and answers that nobody asked for.

Owns the choice of what falls away before the library reads keys: of what it does not know it makes keys, so
that a pasted colour code, a key that no keyboard has, or a terminal that tells what it is, would answer a
question, jump to a rack or lift one. Pure: texts in, texts out.
"""

from __future__ import annotations

import re

BEGIN, END = "\x1b[200~", "\x1b[201~"
"""What a terminal puts around a paste (xterm's bracketed paste mode)."""

LONGEST = 65_536
"""Characters of a paste, or of another sequence, after which its end is not waited for."""

_KNOWN = re.compile(
    r"""\x1b\[(?:
    (?: [1-8] | 1[1-57-9] | 2[0134] )(?:;\d{1,3})?~     # Home, Delete, PageUp and their like, F1 to F12
    | (?: 1(?:;\d{1,3})? )?[A-FHPQRS] | Z               # arrows, Home, End, F1 to F4; shift and tab
    | \[[A-E] | [a-d] | (?: [378] | 2[34] )\$ | 2[34]@  # F1 to F5 of a Linux console; rxvt's shift,
    | (?: [35678] | 1[1-57-9] | 2[01345689] | 3[1-4] )\^    # and control
    | \d{1,6}(?:;\d{0,3}(?:;\d{0,6})?)?u                # keys that name their character (kitty's protocol)
    | [IO] | \?\d{1,5};\d\$y | 48(?:;\d{1,5}){4}t       # what the library asks for: focus, modes, size
    | \d{1,5};\d{1,5}R | <[-\d;]{1,24}[mM]              # cursor, mouse
    )""",
    re.VERBOSE,
)
"""Sequences of keys that can be pressed here, and answers that the library reads as such (xterm's control
sequences). Beyond F12 the library takes a key's number for a character: F18 would be the space bar."""

_CONTROL = re.compile(
    r"\x1b\[(?:\[.|M.{3}|[0-?]*[ -/]*[@-~]?)|\x1b[\]PX^_][^\x07\x1b]*(?:\x07|\x1b\\)?", re.DOTALL
)
"""A control sequence (ECMA-48, 5.4), a Linux console's key, an old mouse report, a control string (5.6)."""

_CUT = re.compile(r"\x1b(?:\[(?:\[|M.{0,2}|[0-?]*[ -/]*)|[\]PX^_][^\x07\x1b]*\x1b?)?\Z", re.DOTALL)
"""What may be the first part of one of those; an escape by itself, which is a key too, is the shortest."""

_ESCAPE = re.compile(r"\x1b(?:\[[0-?]*[ -/]*[@-~])?")
"""A control sequence, or its first character alone."""


def sifted(text: str) -> tuple[str, str]:
    """What may be read as keys; and the end of it that is not whole yet, to be put before what comes next."""
    kept: list[str] = []
    while text:
        before, begin, rest = text.partition(BEGIN)
        if not begin:
            cut = _cut(before)
            kept.append(_keys_of(before[: len(before) - len(cut)]))
            return "".join(kept), cut if len(cut) < LONGEST else ""
        kept.append(_keys_of(before))
        pasted, end, text = rest.partition(END)
        if not end and len(rest) < LONGEST:
            return "".join(kept), begin + rest
        kept.append(_paste(pasted))
    return "".join(kept), ""


def waited(held: str) -> tuple[str, str]:
    """The same of what was held, when nothing came soon after: an escape by itself was the key."""
    return (held, "") if held == "\x1b" else ("", held)


def closed(held: str) -> str:
    """What may be read of what was held and never became whole: a paste without escapes, and with an end."""
    return _paste(held.removeprefix(BEGIN)) if held.startswith(BEGIN) else ""


def _keys_of(text: str) -> str:
    return _CONTROL.sub(lambda found: found[0] if _KNOWN.fullmatch(found[0]) else "", text)


def _cut(text: str) -> str:
    found = _CUT.search(text)
    # rxvt ends keys with a dollar sign, after which another sequence would go on.
    return "" if found is None or _KNOWN.fullmatch(found[0]) else found[0]


def _paste(text: str) -> str:
    return BEGIN + _ESCAPE.sub("", text) + END
