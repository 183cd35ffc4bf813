"""The lines of the walk below its clock, and above it: which of them there is room for.

Owns what is left out first on a small terminal: never what can hurt, nor what is asked. Where even these
do not fit, it says that there is more and which key shows it.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content

from runner.screens.walk_parts import LABEL_CELLS, Line, height, labelled
from runner.screens.words import Walk
from runner.text import shown

PARTS = (("danger", "wear", "do"), ("asked",), ("choices", "said", "why", "part", "next"))
"""Lines below the block, from the top; those of a part are painted together. More parts take longer to
lay out; fewer would send all lines again with each digit that is typed."""

GOES_FIRST = ("part", "why", "next", "do", "wear", "said")
"""What is left out where there is no room, in this order."""

MORE = "▼ more: press {}"
"""Stands where the dangers go on beyond the room that there is."""

DIGIT_CELLS = 4
"""What the digit of a choice takes in front of it."""

AHEAD_CELLS = 28
"""Room for the name of the step to come, beside the present one."""

NARROW_CELLS = 60
"""Below this the head keeps the step and the time, and cuts the part's name."""


class WalkLines(Vertical):
    """What can hurt, what to wear, what to do, what is asked, why, and what comes next."""

    DEFAULT_CSS = "WalkLines { height: 1fr; } WalkLines Line { height: auto; }"

    def __init__(self) -> None:
        super().__init__(id="lines")
        # Kept here: a screen is drawn before its parts' parts are in the tree.
        self._parts = {names: Line() for names in PARTS}

    def compose(self) -> ComposeResult:
        yield from self._parts.values()

    def say(self, lines: dict[str, Content], room: int, more: str = MORE.format("d")) -> bool:
        """Draw as many as there is room for; gives back whether what comes next is among them."""
        hidden: set[str] = set()
        for name in GOES_FIRST:
            if _rows(lines, hidden) > room:
                hidden.add(name)
        over = _rows(lines, hidden) - room
        if over > 0:
            lines = {**lines, "danger": _cut(lines["danger"], max(1, height(lines["danger"]) - over), more)}
        for names, part in self._parts.items():
            kept = [lines[name] for name in names if name not in hidden and lines[name].plain]
            part.say(Content("\n").join(kept))
            part.set_class(not kept, "hidden")
        return "next" not in hidden


def _rows(lines: dict[str, Content], hidden: set[str]) -> int:
    return sum(height(content) for name, content in lines.items() if name not in hidden)


def _cut(content: Content, rows: int, said: str) -> Content:
    """The first rows of a block, the last of them saying that there is more."""
    if not content.plain or height(content) <= rows:
        return content
    label = content.plain[:LABEL_CELLS].strip()
    kept = content.split("\n")[: rows - 1]
    more = f"{label} {said}" if rows == 1 else " " * (LABEL_CELLS - 1) + said
    return Content("\n").join([*kept, Content.styled(f" {more}", "$error bold")])


def lines_of(view: Walk, width: int, meter: str | None, typed: str, said: str) -> dict[str, Content]:
    """The lines below the block, each with its word in front.

    Args:
        view: The walk in words.
        width: Of the screen, in cells.
        meter: The meter being read out of turn, or None.
        typed: What has been typed of a value.
        said: What is to be said about the last key.
    """
    return {
        "danger": labelled(view.signal, view.danger, width, "$error", "$error bold"),
        "wear": labelled("WEAR", view.wear, width, "$must", "$must bold"),
        "do": labelled("DO", view.do, width),
        "asked": _asked(view, width, meter, typed),
        "choices": _choices(view, width),
        "said": labelled("", said, width, "$warning"),
        "why": labelled("WHY", view.why, width, "$quiet"),
        "part": labelled("PART", view.surface, width, "$quiet"),
        "next": labelled("NEXT", view.next, width),
    }


def _asked(view: Walk, width: int, meter: str | None, typed: str) -> Content:
    if meter:
        return labelled("READ", f"{meter}  ▸ {typed}▁", width, "bold")
    if view.asked is None:
        return Content("")
    if view.action.name == "answer" and not view.choices:
        return labelled("CHECK", f"{view.asked}  ▸ {typed}▁", width, "bold")
    word = {"answer": "LOOK", "explain": "REASON"}.get(view.action.name, "NOW")
    return labelled(word, view.asked, width, "bold")


def _choices(view: Walk, width: int) -> Content:
    indent = " " * LABEL_CELLS
    lines: list[Content] = []
    for number, choice in enumerate(view.choices, start=1):
        first, *rest = textwrap.wrap(choice, max(10, width - LABEL_CELLS - DIGIT_CELLS - 1)) or [""]
        lines.append(Content.assemble(indent, (f" {number} ", "reverse"), f" {first}"))
        lines += [Content(f"{indent}{'':{DIGIT_CELLS}}{row}") for row in rest]
    return Content("\n").join(lines)


def head_of(view: Walk, width: int, wall: str, *, locked: str = "") -> Content:
    """Which batch, which step, what time it is; of these the part's name is cut first.

    Args:
        view: The walk in words.
        width: Of the screen, in cells.
        wall: The time.
        locked: The key that unlocks, where nobody's is unlocked.
    """
    lock = f"no key: {locked}" if locked else ""
    place = lock or view.place if width < NARROW_CELLS else f"{view.place}  {lock}".rstrip()
    right = f"{place}   {wall} "
    title = shown(view.title, max(1, width - len(right) - 2))
    return Content.assemble((f" {title}", "bold"), " " * max(1, width - len(title) - len(right) - 1), right)


def step_of(view: Walk, width: int, large: Sequence[str] = (), *, ahead: bool = False) -> Content:
    """The step and its tank; as these rows where they are in big print.

    Args:
        view: The walk in words.
        width: Of the screen, in cells.
        large: The rows in big print, or none.
        ahead: Whether what comes next is to stand here, since the lines below have no room for it.
    """
    if large:
        return Content("\n".join(f" {row}" for row in large))
    right = f"NEXT {shown(view.next, AHEAD_CELLS)} " if ahead and width >= NARROW_CELLS else ""
    beside = len(right) + 1 if right else 0
    tank = shown(view.tank, max(1, width - len(view.step) - 4 - beside))
    between = " " * max(1, width - len(view.step) - len(tank) - 4 - len(right))
    return Content.assemble((f" {view.step}", "bold"), f"   {tank}", between if right else "", right)
