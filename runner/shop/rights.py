"""What each role may do, in one table."""

from __future__ import annotations

from typing import Literal

Role = Literal["operator", "trainee", "chargehand", "auditor", "owner"]
Right = Literal[
    "read",
    "walk",
    "sign_operator",
    "sign_chargehand",
    "settle",
    "release",
    "approve",
    "sign_off",
    "manage_people",
    "delete_records",
]

_OPERATOR = frozenset[Right]({"read", "walk", "sign_operator"})
_CHARGEHAND = _OPERATOR | frozenset[Right]({"sign_chargehand", "settle", "release", "approve", "sign_off"})

RIGHTS: dict[Role, frozenset[Right]] = {
    "trainee": frozenset({"read"}),
    "auditor": frozenset({"read"}),
    "operator": _OPERATOR,
    "chargehand": _CHARGEHAND,
    "owner": _CHARGEHAND | frozenset[Right]({"manage_people", "delete_records"}),
}

_MAY: frozenset[tuple[str, Right]] = frozenset(
    (role, right) for role, rights in RIGHTS.items() for right in rights
)


def may(role: str, right: Right) -> bool:
    """Whether a role has a right; a role that is not known has none."""
    return (role, right) in _MAY


def role_of(word: str) -> Role:
    """The role that a word names.

    Raises:
        StopIteration: It names none; a word from the journal always does.
    """
    return next(role for role in RIGHTS if role == word)
