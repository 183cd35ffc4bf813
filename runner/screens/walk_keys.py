"""The keys of the walk: as they are shown at its foot and under ``?``, and what each is bound to."""

from __future__ import annotations

from textual.binding import Binding

from runner.screens.keys import Key
from runner.screens.words import Walk

KEYS = (
    Key("space", "go on", "answer, confirm, lift, enter, sign: the foot says which", action="walk.go"),
    Key("f", "it has happened", "the rack is out already, or in: noted at once", action="walk.fact"),
    Key("n", "note", "write a remark", action="walk.note"),
    Key("t", "trouble", "report a deviation that no figure shows", action="walk.trouble"),
    Key("b", "board", "back to the board; the walk goes on", action="walk.board"),
    Key("?", "help", "this page"),
    Key("d", "dangers", "what can hurt here and what to wear, all of it", action="walk.dangers"),
    Key("w", "why", "why this step, what goes wrong, what the surface is now", action="walk.why"),
    Key("a", "ammeter", "read the ammeter again; the lift-out moves", action="walk.ammeter"),
    Key("h", "A·h", "enter the ampere-hours counted since entry", action="walk.count"),
    Key("p", "pause", "interrupt the step, saying where the rack is", action="walk.pause"),
    Key("c", "correct", "put a wrong entry right; both figures stay", action="walk.correct"),
    Key("r", "redo", "go back to an earlier step, with a reason", action="walk.redo"),
    Key("u", "unlock", "take the batch with your PIN: what you note is signed", action="walk.unlock"),
    Key("x", "abandon", "end the batch without a release", action="walk.abandon"),
    Key("F3", "big print", "big print, to be read from two metres, or small", action="everywhere.big"),
)
NO_DANGER = "No danger and no gear is written for this step; what holds all over the shop holds here too."
ABOUT = (
    "Digits answer what is asked: the value seen, then enter; or the digit of a choice. A fact is always "
    "taken. What departs from the plan becomes a deviation and asks its reason later."
)
HOW = ("type the value, then enter", "press the digit of what you see")

BINDINGS = (
    Binding("space", "press('go')", "go on", id="walk.go"),
    Binding("f", "press('fact')", "it has happened", id="walk.fact"),
    Binding("n", "press('note')", "note", id="walk.note"),
    Binding("t", "press('trouble')", "trouble", id="walk.trouble"),
    Binding("p", "press('pause')", "pause", id="walk.pause"),
    Binding("a", "press('ammeter')", "ammeter", id="walk.ammeter"),
    Binding("h", "press('count')", "ampere-hours", id="walk.count"),
    Binding("c", "press('correct')", "correct", id="walk.correct"),
    Binding("r", "press('redo')", "redo", id="walk.redo"),
    Binding("u", "press('unlock')", "unlock", id="walk.unlock"),
    Binding("x", "press('abandon')", "abandon", id="walk.abandon"),
    Binding("b", "board", "board", id="walk.board"),
    Binding("escape", "board", "board"),
    Binding("d", "dangers", "dangers", id="walk.dangers"),
    Binding("w", "why", "why", id="walk.why"),
    Binding("question_mark", "help", "help"),
    Binding("enter", "accept", "accept", show=False),
    Binding("backspace", "rub_out", "rub out", show=False),
)


def go_key(view: Walk) -> Key:
    """The foot's first key: what goes on; where a choice is asked, that is a digit and not the space bar."""
    if view.choices:
        return Key(f"1-{len(view.choices)}", view.go)
    return Key("space", view.go, action="walk.go")
