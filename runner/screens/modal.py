"""Small questions asked over a screen: a text, a choice, a word typed out.

Owns what is common to them. None of them changes anything: each gives back what was said, or None.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from runner.faults import InputFault
from runner.screens.field import Field
from runner.screens.styled_once import StyledOnce
from runner.text import LONGEST, shown


def told(wrong: InputFault) -> str:
    """What is wrong with what was typed, and what to do, where the place is plain."""
    return shown("; ".join(f"{fault.message}; {fault.remedy}" for fault in wrong.faults), LONGEST)


class AskText(ModalScreen[str | None], StyledOnce[str | None]):
    """One line of text.

    Args:
        title: What is asked.
        hint: A line of help under it.
        first: What stands in the field at first.
        check: Raises an `InputFault` over a text that will not do, which is then said there.
    """

    FOOT: ClassVar[str] = "enter: keep it   escape: back"
    BINDINGS: ClassVar[list[BindingType]] = [("escape", "dismiss(None)", "back")]

    def __init__(
        self, title: str, hint: str = "", first: str = "", check: Callable[[str], object] | None = None
    ) -> None:
        super().__init__()
        self._check = check
        self._title, self._hint, self._first = title, hint, first

    def compose(self) -> ComposeResult:
        with Vertical():
            yield Static(Content(shown(self._title)), id="title")
            yield Static(Content(shown(self._hint)), id="hint", classes="quiet")
            yield Field(self._first, max_length=LONGEST)
            yield Static(Content(self.FOOT), classes="quiet")

    def again(self, title: str, hint: str) -> AskText:
        """The same window for another question; made anew, it would be there later."""
        self._title, self._hint = title, hint
        if self.is_mounted:
            self.query_one("#title", Static).update(Content(shown(title)))
            self.query_one("#hint", Static).update(Content(shown(hint)))
            self.query_one(Field).value = ""
        return self

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take what was typed."""
        self.answer(event.value.strip(), event.input)

    def answer(self, said: str, field: Input) -> None:
        """Give the text back; an empty one is no answer."""
        del field
        try:
            if said and self._check:
                self._check(said)
        except InputFault as wrong:
            self.query_one("#hint", Static).update(Content.styled(told(wrong), "$warning"))
            return
        self.dismiss(said or None)


class AskTyped(AskText):
    """A word typed out, for what cannot be undone: enter alone never does it."""

    FOOT: ClassVar[str] = "enter: go through with it   escape: back"

    def __init__(self, title: str, word: str) -> None:
        super().__init__(title, f"type {word} to go through with it")
        self._word = word

    def answer(self, said: str, field: Input) -> None:
        """Only the very word counts."""
        # Not a second handler of the same message: the library calls those of both classes.
        if said == self._word:
            self.dismiss(self._word)
        else:
            field.value = ""


class AskChoice(ModalScreen[int | None]):
    """One of a few, by its digit.

    Args:
        title: What is asked.
        options: At most nine; the answer is the index from 0.
        keys: The key of each, where that is not its place in the list.
    """

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "dismiss(None)", "back")]

    def __init__(self, title: str, options: tuple[str, ...], keys: Sequence[str] = "123456789") -> None:
        super().__init__()
        self._title, self._options = title, options[:9]
        self._keys = tuple(keys[: len(self._options)])

    def compose(self) -> ComposeResult:
        with Vertical():
            yield Static(Content(shown(self._title)))
            for key, option in zip(self._keys, self._options, strict=True):
                yield Static(Content.assemble((f" {key} ", "reverse"), f" {shown(option, 66)}"))
            letters = any(not key.isdecimal() for key in self._keys)
            yield Static(Content(f"a digit{' or letter' * letters}: choose   escape: back"), classes="quiet")

    def holds(self, character: str) -> bool:
        """A key of an option may begin a label that is being read: it must not choose."""
        return character.isdecimal() or character in self._keys

    def on_key(self, event: events.Key) -> None:
        """A digit chooses."""
        if event.character and event.character in self._keys:
            event.stop()
            self.dismiss(self._keys.index(event.character))


class ReadCautions(ModalScreen[bool]):
    """Cautions before a step, one at a time, each with a key of its own.

    Args:
        step: Name of the step they belong to.
        cautions: The sentences.
        read: How many of them were answered before the window was last left.
        keep: Told how many are answered by now, each time that one is.
    """

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "dismiss(False)", "not now")]

    def __init__(self, step: str, cautions: tuple[str, ...], read: int, keep: Callable[[int], None]) -> None:
        super().__init__()
        self._step, self._cautions, self._at, self._keep = step, cautions, read, keep

    def compose(self) -> ComposeResult:
        with Vertical():
            yield Static(Content(f"Before {shown(self._step, 60)}"), classes="quiet")
            yield Static(id="caution")
            yield Static(id="confirm")
            yield Static(
                Content("The supplier's safety data sheet and the shop's rules come first."), classes="quiet"
            )

    def on_mount(self) -> None:
        """Show the first that was not answered."""
        self._show()

    def _show(self) -> None:
        number = self._at + 1
        caution = shown(self._cautions[self._at])
        self.query_one("#caution", Static).update(Content.assemble("\n", (caution, "bold"), "\n"))
        self.query_one("#confirm", Static).update(
            Content.assemble(
                (f" {number} ", "reverse"),
                f" it is so   ({number} of {len(self._cautions)})   escape: not now",
            )
        )

    def holds(self, character: str) -> bool:
        """A digit may begin a label that is being read: it must read no caution away."""
        return character.isdecimal()

    def on_key(self, event: events.Key) -> None:
        """Each caution has the digit of its place, so that leaning on one key reads nothing away."""
        if event.character != str(self._at + 1):
            return
        event.stop()
        self._at += 1
        self._keep(self._at)
        if self._at == len(self._cautions):
            self.dismiss(True)
        else:
            self._show()
