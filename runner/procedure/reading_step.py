"""What must hold between the keys of one step for it to say anything at all.

Owns those checks. They look at the keys as written, beside the model, so that a slip in one figure does not
hide that another is missing. Must not judge the trade: a wrong polarity is well formed.
"""

from __future__ import annotations

from typing import Any

from runner.fields import listed
from runner.plating.solutions import SOLUTIONS
from runner.procedure.model_words import CHROMIUM_TYPES, DOES, METALS, TYPES
from runner.shop.model import Shop, Tank
from runner.toml_scan import Path
from runner.validation import Reading

Fields = dict[str, Any]

_DEPOSITS = ("plate", "strike")
_TIMED = (
    "strip",
    "clean",
    "electroclean",
    "etch",
    "desmut",
    "zincate",
    "activate",
    "neutralise",
    "passivate",
)
"""What a solution does to a surface in a time: not so a rinse, where longer is only wetter."""

_ENERGISED = ("deposit", "current_density", "voltage")
_NEEDS: dict[str, tuple[str, str]] = {
    "strip": ("removes", 'removes = ["chromium"]'),
    "blast": ("media", 'media = "glass bead"'),
}
"""What each of these must say, and an example."""

_ONLY: dict[str, tuple[str, ...]] = {"media": ("blast", "polish"), "wheel": ("polish",)}
"""Keys that mean something in these steps only."""


FEWEST_ANSWERS, MOST_ANSWERS = 2, 9
"""Of a question for a trainee: a choice is one digit, and one alone is none."""


def check_step(reading: Reading, at: Path, fields: Fields, shop: Shop) -> None:
    """Note what is wrong between the keys of a step.

    Args:
        reading: Takes the faults.
        at: Where the step stands.
        fields: Its keys as written, of any type.
        shop: Whose tanks it may name.
    """
    tank = _tank(reading, at, fields, shop)
    _check_deposit(reading, at, fields, tank)
    _check_current(reading, at, fields, tank)
    _check_does(reading, at, fields)
    checks = fields.get("check")
    for place, check in enumerate(checks if isinstance(checks, list) else ()):
        if isinstance(check, dict):
            _check_question(reading, (*at, "check", place), check)
    asked = fields.get("ask_trainee")
    for place, question in enumerate(asked if isinstance(asked, list) else ()):
        if isinstance(question, dict):
            _check_asked(reading, (*at, "ask_trainee", place), question)


def _tank(reading: Reading, at: Path, fields: Fields, shop: Shop) -> Tank | None:
    name = fields.get("tank")
    if not isinstance(name, str):
        return None
    if name not in shop.tanks:
        reading.unknown((*at, "tank"), "tank", name, shop.tanks)
    return shop.tanks.get(name)


def _check_deposit(reading: Reading, at: Path, fields: Fields, tank: Tank | None) -> None:
    does, deposit = _text(fields.get("does")), fields.get("deposit")
    if deposit is None:
        if does in _DEPOSITS:
            reading.add(
                at,
                f'"deposit" is missing from a step that does "{does}"',
                'write deposit = { metal = "nickel", thickness = "20 µm", current_density = "4 A/dm²" }',
            )
        return
    place = (*at, "deposit")
    if does in DOES and does not in _DEPOSITS:
        reading.add(place, "this step lays nothing down", 'write does = "plate" or does = "strike"')
    if "tank" not in fields:
        reading.add(place, "a deposit without a tank", "name the tank that it is laid down in")
    if not isinstance(deposit, dict):
        return
    metal, kind = deposit.get("metal"), deposit.get("type")
    if tank and metal in METALS:
        _check_metal(reading, (*place, "metal"), metal, tank)
    if metal in METALS and kind in TYPES and (metal == "chromium") != (kind in CHROMIUM_TYPES):
        known = [word for word in TYPES if (metal == "chromium") == (word in CHROMIUM_TYPES)]
        reading.add((*place, "type"), f'"{kind}" is no type of {metal}', f"use one of {listed(known)}")


def _check_metal(reading: Reading, at: Path, metal: str, tank: Tank) -> None:
    ion = SOLUTIONS[tank.solution].ion
    if ion is None:
        reading.add(
            at, f'"{tank.solution}" in tank "{tank.id}" lays no metal down', "name a tank that plates it"
        )
    elif ion.metal != metal:
        reading.add(
            at,
            f'"{tank.solution}" in tank "{tank.id}" lays {ion.metal} down, not {metal}',
            f'name a tank that plates {metal}, or write metal = "{ion.metal}"',
        )


def _check_current(reading: Reading, at: Path, fields: Fields, tank: Tank | None) -> None:
    given = [key for key in _ENERGISED if key in fields]
    if len(given) > 1:
        reading.add(
            (*at, given[-1]),
            f'"{given[0]}" says already what current is used',
            f'keep "{given[0]}" or "{given[-1]}", not both',
        )
    if not given:
        for key in ("polarity", "live_entry", "entry_voltage", "current_within"):
            if fields.get(key) not in (None, False):
                reading.add(
                    (*at, key),
                    "this step uses no current",
                    f'take "{key}" out, or write current_density or voltage',
                )
        return
    if "polarity" not in fields:
        reading.add(
            (*at, given[0]),
            '"polarity" is missing where current is used',
            'write polarity = "cathodic" or "anodic"',
        )
    if "entry_voltage" in fields and fields.get("live_entry") is not True:
        reading.add(
            (*at, "entry_voltage"),
            "it says nothing without live entry",
            "write live_entry = true, or take it out",
        )
    if "tank" not in fields and "deposit" not in fields:
        reading.add((*at, given[0]), "current without a tank", "name the tank that the rack hangs in")
    if tank and tank.rectifier is None:
        reading.add(
            (*at, "tank"),
            f'tank "{tank.id}" has no rectifier, and this step uses current',
            "give the tank its rectifier in shop.toml, or name another tank",
        )


def _check_does(reading: Reading, at: Path, fields: Fields) -> None:
    does = _text(fields.get("does"))
    if does in _TIMED and "tank" in fields and "dwell" not in fields and "deposit" not in fields:
        reading.add(
            at, '"dwell" is missing from a step in a tank', 'write dwell = "2 min", or { min = …, max = … }'
        )
    if does in _NEEDS:
        key, example = _NEEDS[does]
        if not fields.get(key):
            reading.add(at, f'"{key}" is missing from a step that does "{does}"', f"write {example}")
    for key, steps in _ONLY.items():
        if key in fields and does in DOES and does not in steps:
            reading.add((*at, key), f'it says nothing in a step that does "{does}"', "take it out")


def _check_question(reading: Reading, at: Path, check: Fields) -> None:
    unit, choices, accept = "unit" in check, check.get("choices"), check.get("accept")
    if unit and choices is not None:
        reading.add(at, "a unit and choices in one check", "ask for a value or for a state, not both")
    elif not unit and not choices:
        reading.add(at, "neither a unit nor choices", 'write unit = "A", or choices = ["even", "burnt"]')
    for key in ("min", "max"):
        if key in check and not unit:
            reading.add((*at, key), "a limit without a unit", 'write the unit of the value, as unit = "°C"')
    if accept is not None and choices is None:
        reading.add((*at, "accept"), "it accepts what is no choice", "write the choices")
    if isinstance(accept, list) and isinstance(choices, list):
        if not accept:
            reading.add((*at, "accept"), "no choice is accepted", "name those that are in order")
        for place, choice in enumerate(accept):
            if isinstance(choice, str) and choice not in choices:
                reading.unknown((*at, "accept", place), "choice", choice, map(_text, choices))


def _check_asked(reading: Reading, at: Path, question: Fields) -> None:
    """A question for a trainee has two to nine different answers, of which one is right."""
    choices, right = question.get("choices"), question.get("right")
    if not isinstance(choices, list):
        return
    words = [_text(choice).strip() for choice in choices]
    if not FEWEST_ANSWERS <= len(words) <= MOST_ANSWERS:
        reading.add(
            (*at, "choices"),
            f"{len(words)} answers to choose from",
            f"write {FEWEST_ANSWERS} to {MOST_ANSWERS}: each has its digit",
        )
    elif len(set(words)) < len(words):
        reading.add((*at, "choices"), "the same answer twice", "make each answer another")
    elif isinstance(right, str) and right.strip() and right.strip() not in words:
        reading.unknown((*at, "right"), "choice", right, words)


def _text(value: Any) -> str:
    """A key's value where it is a text; what else it may be is told where the model reads it."""
    return value if isinstance(value, str) else ""
