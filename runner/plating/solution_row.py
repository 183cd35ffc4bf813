"""What is known of one solution?

Owns the shape of a row of the solutions table. Must not hold a row: those stand in ``solutions_*.py`` by
family and are looked up in `solutions`. Recipes for strong strips stay out on purpose.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from runner.plating import cautions

if TYPE_CHECKING:
    from runner.plating.classes import ChemicalClass
    from runner.plating.efficiency import Efficiency
    from runner.plating.hazards import Signal
    from runner.plating.metals import Ion
    from runner.plating.safety import Safety
    from runner.plating.sources import Known, Source, Window

Follows = Literal["charge", "clock"]
"""Which way a timer goes: with the ampere-hours, or with the time alone."""

Polarity = Literal["cathodic", "anodic"]
"""What the part is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """One row of the sourced solutions table.

    Attributes:
        name: As shop files write it.
        title: As a person reads it.
        ion: What the current deposits, or None where it deposits nothing.
        follows: ``charge`` where the deposit follows charge, so that a low ammeter stretches the dwell;
            ``clock`` where time stands and a low current is lost cover.
        polarity: What the part may be in it; empty where no current is used.
        classes: Chemical classes; empty for plain water and near-neutral solutions.
        source: Of the row as a whole.
        safety: What can hurt; its lines are read through the properties below.
        temperature_c: Window in °C, or None where none is kept.
        ph: Window of pH, or None where none is read.
        density_a_dm2: Window of current density in A/dm², or None.
        voltage_v: Window in V where a tank is run by voltage, or None.
        efficiency: Cathode efficiency with its source, or None where nothing is deposited.
        wet: Whether a rack goes in wet; False where it must go in dry, because water in the acid pits steel.
        strips: Metals that it takes off.
    """

    name: str
    title: str
    source: Source
    safety: Safety
    follows: Follows = "clock"
    ion: Ion | None = None
    polarity: frozenset[Polarity] = frozenset()
    classes: frozenset[ChemicalClass] = frozenset()
    temperature_c: Window | None = None
    ph: Window | None = None
    density_a_dm2: Window | None = None
    voltage_v: Window | None = None
    efficiency: Efficiency | None = None
    wet: bool = True
    strips: tuple[str, ...] = ()

    @property
    def energised(self) -> bool:
        """Whether current is used at all."""
        return bool(self.polarity)

    @property
    def known(self) -> Known:
        """How the row as a whole is known."""
        return self.source.known

    @property
    def signal(self) -> Signal | None:
        """GHS signal word."""
        return self.safety.signal

    @property
    def h_statements(self) -> tuple[str, ...]:
        """GHS hazard codes."""
        return self.safety.h_statements

    @property
    def hazards(self) -> tuple[str, ...]:
        """Plain sentences for the operator's screen."""
        return self.safety.hazards

    @property
    def ppe(self) -> tuple[str, ...]:
        """What is worn."""
        return self.safety.ppe

    @property
    def first_aid(self) -> tuple[str, ...]:
        """What is done first when it goes wrong."""
        return self.safety.first_aid

    @property
    def confirm(self) -> tuple[str, ...]:
        """Cautions to be confirmed in the step before, live current among them."""
        return (*self.safety.confirm, cautions.LIVE_CURRENT) if self.energised else self.safety.confirm
