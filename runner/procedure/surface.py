"""What is the surface of the part now?

Owns the state that rules ask: layers and basis, activity, water, warmth, soil, what clings and how strong,
hydrogen, and the time since the current went off. Pure values only. Must not know how a step changes them
(`surface_walk`), nor judge them (the rules do).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum, StrEnum

from runner.plating.effects import Effect
from runner.plating.solution_row import Solution
from runner.procedure.model import Step
from runner.shop.model import Tank


class Activity(StrEnum):
    """Whether a deposit would hold on the metal on top."""

    ACTIVE = "active"
    ALKALINE = "under an alkaline film"
    """Free of oxide, and not yet acid."""
    PASSIVE = "passive"


class Soil(IntEnum):
    """How clean it is; each is dirtier than the one before."""

    CLEAN = 0
    SOAKED = 1
    """Soaked since the last oil or handling, without current."""
    TOUCHED = 2
    """Dried, gauged, racked or masked since it was clean."""
    OILY = 3
    """As it came in, or with polishing compound on."""


class Water(StrEnum):
    """What of it is on the surface."""

    DRY = "dry"
    WET = "wet"


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of metal, or a cover such as paint.

    Attributes:
        metal: Its plain name.
        thickness_um: Least thickness, or None where nobody has measured it.
        type: Of the deposit, where the procedure says.
        step: Number of the step that laid it; 0 where it came in with the part.
        solution: That it was laid from; None where it came in with the part.
        strike: Whether it was laid as a strike, which counts toward no thickness.
    """

    metal: str
    thickness_um: float | None = None
    type: str | None = None
    step: int = 0
    solution: str | None = None
    strike: bool = False


@dataclass(frozen=True, slots=True)
class Cling:
    """What hangs on the part of one solution.

    Attributes:
        tank: Where it is from.
        solution: Name of its row.
        share: Of the strength in that tank, 1 when just lifted.
        rinses: How many rinse tanks it has been through.
        sure: False where a rinse on the way has no figures, and a usual one was taken.
    """

    tank: str
    solution: str
    share: float
    rinses: int = 0
    sure: bool = True


@dataclass(frozen=True, slots=True)
class Uptake:
    """Hydrogen that went into the basis at a step, and how."""

    step: int
    how: str
    deposit: bool = False


@dataclass(frozen=True, slots=True)
class Elapsed:
    """A time that runs while the part moves.

    Attributes:
        since: Number of the step that it counts from.
        most_s: The longest that the procedure allows by now.
        complete: Whether every part of it is stated; otherwise it may be longer.
    """

    since: int
    most_s: float = 0.0
    complete: bool = True

    def plus(self, seconds: float | None) -> Elapsed:
        """After a time, or after one that nobody has stated."""
        if seconds is None:
            return Elapsed(self.since, self.most_s, complete=False)
        return Elapsed(self.since, self.most_s + seconds, self.complete)


@dataclass(frozen=True, slots=True)
class Surface:
    """The part between two steps.

    Attributes:
        basis: The metal it is made of.
        layers: On the basis, the one on top last.
        activity: Of the metal on top.
        activity_why: What made it so, as the end of a sentence.
        water: Dry or wet.
        was_wet: Whether it has been wet since it was last clean and dry.
        warm: Whether it comes from a hot tank or an oven.
        soil: How clean it is.
        soil_step: Number of the step that made it so.
        film: What clings to it.
        hydrogen: What went in, since the last bake that lets it out.
        no_current: Time since current last went off, or None before the first.
        active_for: Time since it was last made active, or None.
    """

    basis: str
    layers: tuple[Layer, ...] = ()
    activity: Activity = Activity.PASSIVE
    activity_why: str = "it has its skin of oxide as it comes in"
    water: Water = Water.DRY
    was_wet: bool = False
    warm: bool = False
    soil: Soil = Soil.OILY
    soil_step: int = 0
    film: tuple[Cling, ...] = ()
    hydrogen: tuple[Uptake, ...] = ()
    no_current: Elapsed | None = None
    active_for: Elapsed | None = None

    @property
    def top(self) -> str:
        """The metal, or the cover, on top."""
        return self.layers[-1].metal if self.layers else self.basis

    @property
    def bare(self) -> bool:
        """Whether the basis is on top."""
        return not self.layers


@dataclass(frozen=True, slots=True)
class Stage:
    """One step with the surface before and after it.

    Attributes:
        step: Of the procedure.
        tank: Where it is done, or None.
        solution: Its row, or None.
        effect: What that does, or None where it is not known.
        before: The surface as it enters.
        after: The surface as it leaves.
    """

    step: Step
    tank: Tank | None
    solution: Solution | None
    effect: Effect | None
    before: Surface
    after: Surface

    @property
    def number(self) -> int:
        """Of the step, counted from 1."""
        return self.step.number

    @property
    def group(self) -> str:
        """What the solution is to the tank after it; empty without one."""
        return self.effect.group if self.effect else ""

    @property
    def wet(self) -> bool:
        """Whether the part goes into a liquid."""
        return self.tank is not None

    @property
    def rinses(self) -> bool:
        """Whether it is water that the part goes into."""
        return self.group == "water"

    @property
    def works(self) -> bool:
        """Whether it is a solution that does something to the part."""
        return self.wet and not self.rinses

    @property
    def deposits(self) -> bool:
        """Whether current lays metal down."""
        return self.step.deposit is not None and self.step.polarity == "cathodic"


History = tuple[Stage, ...]
"""A whole route, step by step."""
