"""What tables of files are made of: names, sentences, words of closed lists.

Owns the base of all models of files and the kinds of text in them, each with its refusal in a plain
sentence. Must not know any model, nor where in a file a value stands (`runner.validation` does).
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from typing import Annotated

from pydantic import BaseModel, ConfigDict, PlainValidator
from pydantic_core import PydanticCustomError

from runner.text import shown

OWN_KEY = "\x00own"
"""Under which a reader hands a table its own name or number: no file can hold such a key."""

SHORT = 60
"""Most characters of somebody else's word that a fault repeats."""

MOST_NAMES = 40
"""Most names that a fault lists."""


class Table(BaseModel):
    """A table of a file: exactly the keys it names, exactly their types, never changed once read."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True, allow_inf_nan=False, defer_build=True)


def refusal(message: str, remedy: str) -> PydanticCustomError:
    """The refusal of a value, to be raised from within a validator.

    Args:
        message: What is wrong, without a full stop.
        remedy: What to do about it.
    """
    return PydanticCustomError("refused", "{message}", {"message": message, "remedy": remedy})


def found(value: object) -> str:
    """What stands in a file, as a sentence names it."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'the text "{shown(value, SHORT)}"' if value else "an empty text"
    if isinstance(value, int | float):
        return f"the number {shown(value, SHORT)}"
    if isinstance(value, list | tuple):
        return "a list"
    return "a table" if isinstance(value, dict) else "a date or time"


def listed(words: Iterable[str]) -> str:
    """Names from a file or a closed list, in quotes, safe to show."""
    names = [f'"{shown(word, SHORT)}"' for word in words]
    more = [f"and {len(names) - MOST_NAMES} more"] if len(names) > MOST_NAMES else []
    return ", ".join(names[:MOST_NAMES] + more)


def choose(word: str, known: Iterable[str]) -> str:
    """The remedy for a name that is not known: the nearest one, then all of them."""
    names = list(known)
    if not names:
        return "write it first: there is none yet"
    plain = {name.casefold(): name for name in reversed(names)}
    near = difflib.get_close_matches(word[:SHORT].casefold(), plain, n=1)
    meant = f'use "{shown(plain[near[0]], SHORT)}" if that is meant, else' if near else "use"
    return f"{meant} one of {listed(names)}"


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise refusal(f"{found(value)} stands where a text is needed", "write it in quotes")
    if not value.strip():
        raise refusal("an empty text", "write something, or take the key out")
    return value.strip()


def line(value: object) -> str:
    """A name: one line, not empty; or a refusal."""
    text = _text(value)
    if "\n" in text or "\t" in text:
        raise refusal("a line break or tab in a name", "write it on one line")
    return text


Line = Annotated[str, PlainValidator(line)]
"""A name: one line, not empty."""

Sentence = Annotated[str, PlainValidator(_text)]
"""A text that may run over lines, not empty."""


def one_of(words: tuple[str, ...], what: str) -> PlainValidator:
    """A word of a closed list.

    Args:
        words: All there are.
        what: What each of them is, with its article, such as ``a metal``.
    """

    def check(value: object) -> str:
        if not isinstance(value, str):
            raise refusal(f"{found(value)} stands where {what} is needed", f"use one of {listed(words)}")
        if value not in words:
            raise refusal(f'"{shown(value, SHORT)}" is not {what}', choose(value, words))
        return value

    return PlainValidator(check)
