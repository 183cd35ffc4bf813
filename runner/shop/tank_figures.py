"""Which figure counts for a tank: the shop's own, or that of its solution's row?

Owns that choice, and the words that say which was taken: a shop's own figure goes before the table's.
Hazards and protective equipment add up instead. Must not know any procedure.
"""

from __future__ import annotations

from typing import Generic, NamedTuple, TypeVar

from runner.plating.efficiency import Efficiency
from runner.plating.solutions import SOLUTIONS, Solution
from runner.plating.sources import Window
from runner.shop.model import Tank
from runner.shop.quantities import SHOP, Band

F = TypeVar("F")


class Chosen(NamedTuple, Generic[F]):
    """A figure and where it comes from.

    Attributes:
        value: The figure, or None where neither shop nor table has one.
        origin: Its source with the word that says how it is known; empty where there is no figure.
    """

    value: F
    origin: str


def solution_of(tank: Tank) -> Solution:
    """The row of the solutions table for what is in the tank."""
    return SOLUTIONS[tank.solution]


def temperature_of(tank: Tank) -> Chosen[Window | None]:
    """The window of temperature in °C."""
    return _window(tank.temperature_c, solution_of(tank).temperature_c)


def ph_of(tank: Tank) -> Chosen[Window | None]:
    """The window of pH."""
    return _window(tank.ph, solution_of(tank).ph)


def density_of(tank: Tank) -> Chosen[Window | None]:
    """The window of current density in A/dm²."""
    return _window(tank.current_density_a_dm2, solution_of(tank).density_a_dm2)


def efficiency_of(tank: Tank) -> Chosen[Efficiency | None]:
    """Cathode efficiency over current density; None in a tank that deposits nothing."""
    if tank.efficiency is not None:
        return Chosen(Efficiency.flat(tank.efficiency, SHOP), str(SHOP))
    efficiency = solution_of(tank).efficiency
    return Chosen(efficiency, str(efficiency.source) if efficiency and efficiency.source else "")


def hazards_of(tank: Tank) -> tuple[str, ...]:
    """What can hurt there: what the row says, then what the shop adds, nothing twice."""
    return tuple(dict.fromkeys((*solution_of(tank).hazards, *tank.hazards)))


def ppe_of(tank: Tank) -> tuple[str, ...]:
    """What is worn there: what the row says, then what the shop adds, nothing twice."""
    return tuple(dict.fromkeys((*solution_of(tank).ppe, *tank.ppe)))


def _window(own: Band | None, table: Window | None) -> Chosen[Window | None]:
    chosen = table if own is None else own.window()
    return Chosen(chosen, "" if chosen is None else str(chosen.source))
