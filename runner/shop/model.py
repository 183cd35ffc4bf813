"""What stands in a shop: tanks, rectifiers, racks.

Owns the shape of ``shop.toml``. Must not read files, nor hold a figure of the trade: those stand in the
solutions table, and `runner.shop.tank_figures` says which of the two counts.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field, PlainValidator, field_validator

from runner.fields import OWN_KEY, Line, Sentence, Table, found, one_of, refusal
from runner.shop.quantities import AcidityBand, DensityBand, TemperatureBand, quantity, read_quantity, whole
from runner.units import System

_OF = re.compile(r"(?P<share>[^%]*%)\s*(?:of (?P<of>range|reading))?\s*")

Texts = Annotated[tuple[Sentence, ...], Field(strict=False)]
"""A list of sentences."""

Names = Annotated[tuple[Line, ...], Field(strict=False)]
"""A list of names."""


@dataclass(frozen=True, slots=True)
class MeterUncertainty:
    """Expanded uncertainty (k = 2) of a meter.

    Attributes:
        share: As a share, from 0 to 1.
        of_range: Whether of the meter's full range; of the reading otherwise.
    """

    share: float
    of_range: bool


def _meter_uncertainty(value: object) -> MeterUncertainty:
    parts = _OF.fullmatch(value) if isinstance(value, str) else None
    if not parts:
        raise refusal(
            f"{found(value)} is no uncertainty of a meter", 'write "2 %" (of reading) or "1 % of range"'
        )
    return MeterUncertainty(read_quantity("meter uncertainty", parts["share"]), parts["of"] == "range")


class Rectifier(Table):
    """A source of current.

    Attributes:
        id: Its name in the file.
        title: What people call it; its id where the file says nothing.
        ah_meter: Whether it counts ampere-hours.
    """

    id: str = Field(alias=OWN_KEY)
    title: Line
    max_current_a: Annotated[float, quantity("current")] = Field(alias="max_current", examples=['"300 A"'])
    max_voltage_v: Annotated[float, quantity("voltage")] | None = Field(None, alias="max_voltage")
    meter_uncertainty: Annotated[MeterUncertainty, PlainValidator(_meter_uncertainty)] | None = None
    ah_meter: bool = False

    def current_uncertainty_a(self, current_a: float) -> float | None:
        """Expanded uncertainty (k = 2) of a current read on it, or None where the shop states none."""
        if self.meter_uncertainty is None:
            return None
        base_a = self.max_current_a if self.meter_uncertainty.of_range else current_a
        return self.meter_uncertainty.share * base_a


class Rinse(Table):
    """How a rinse is fed.

    Attributes:
        stages: Tanks that the same water runs through, against the work.
        flow_l_h: Fresh water, or None where it is changed by hand.
    """

    stages: Annotated[int, whole("rinse stages")] = Field(1, examples=["2"])
    flow_l_h: Annotated[float, quantity("water flow")] | None = Field(None, alias="flow")


class Tank(Table):
    """A tank on the floor, as the shop states it; `runner.shop.tank_figures` adds what its solution says.

    Attributes:
        id: Its name in the file.
        title: What people call it; its id where the file says nothing.
        solution: Name of a row of the solutions table.
        efficiency: Cathode efficiency, above 0 to 1.
        thickness_ratio: Thinnest over mean on the significant surface, above 0 to 1.
        contents_g_l: Strengths by substance.
        max_area_dm2: Most plated area that it takes at once; None where the shop sets no limit.
        beside: Tanks that share drips, ducts and sumps with it.
    """

    id: str = Field(alias=OWN_KEY)
    title: Line
    solution: Line = Field(examples=['"watts-nickel"'])
    volume_l: Annotated[float, quantity("volume")] | None = Field(None, alias="volume")
    rectifier: Line | None = None
    temperature_c: TemperatureBand | None = Field(None, alias="temperature")
    ph: AcidityBand | None = None
    current_density_a_dm2: DensityBand | None = Field(None, alias="current_density")
    efficiency: Annotated[float, quantity("efficiency")] | None = None
    thickness_ratio: Annotated[float, quantity("thickness ratio")] | None = None
    contents_g_l: dict[str, Annotated[float, quantity("concentration")]] = Field({}, alias="contents")
    rinse: Rinse | None = None
    max_area_dm2: Annotated[float, quantity("area")] | None = Field(None, alias="max_area")
    beside: Names = ()
    hazards: Texts = ()
    ppe: Texts = ()


class Rack(Table):
    """A rack that parts hang on.

    Attributes:
        id: Its name in the file.
        holds: Pieces that it takes, or None where that depends on the part.
        tips_dm2: Bare metal of its tips, which takes current and counts for the amps.
    """

    id: str = Field(alias=OWN_KEY)
    title: Line
    holds: Annotated[int, whole("pieces on a rack")] | None = None
    tips_dm2: Annotated[float, quantity("area")] = Field(0.0, alias="tips")


class Limits(Table):
    """What the shop allows everywhere, unless a step says otherwise; None leaves it to the program.

    Attributes:
        handling_s: A hand's time: nothing is early or late by less.
        overstay_share: How far past its time, as a share of it, a step without a longest time may run.
        next_within_s: Longest time between two tanks.
        read_again_s: How often an ammeter is read in a long step.
        keep_years: How long records are kept after a batch ended; for ever where the shop does not say.
        lock_after_s: How long a terminal without a key press keeps a person's key unlocked.
    """

    handling_s: Annotated[float, quantity("transfer time")] | None = Field(None, alias="handling")
    overstay_share: Annotated[float, quantity("overstay")] | None = Field(None, alias="overstay")
    next_within_s: Annotated[float, quantity("transfer time")] | None = Field(None, alias="next_within")
    read_again_s: Annotated[float, quantity("transfer time")] | None = Field(None, alias="read_again")
    keep_years: Annotated[int, whole("years of keeping")] | None = None
    lock_after_s: Annotated[float, quantity("transfer time")] | None = Field(None, alias="lock_after")


class AlarmCommand(Table):
    """What the shop has run for each alarm.

    Attributes:
        command: The program and its arguments, as they are: no shell reads them.
        timeout_s: After which it is ended.
    """

    command: Annotated[tuple[Line, ...], Field(strict=False, examples=['["/usr/local/bin/siren"]'])]
    timeout_s: Annotated[float, quantity("transfer time")] = Field(10.0, alias="timeout")

    @field_validator("command")
    @classmethod
    def _names_a_program(cls, command: tuple[str, ...]) -> tuple[str, ...]:
        if not command:
            raise refusal("it is empty", "name the program, then its arguments")
        return command


class Shop(Table):
    """All that stands in a shop, by name; read by `runner.shop.reading`.

    Attributes:
        units: How quantities are shown; both systems are always read.
        big_print: Whether the walk begins in big print.
        keys: Those that the shop gives otherwise, by ``screen.action``.
        alarm: What it has run for an alarm; None for the bell and the banner alone.
    """

    format: Literal[1]
    title: Line = Field(examples=['"Carousel works"'])
    units: Annotated[System, one_of(("SI", "US"), "a system of units")] = "SI"
    big_print: bool = False
    rectifiers: dict[str, Rectifier] = Field({}, alias="rectifier")
    tanks: dict[str, Tank] = Field({}, alias="tank")
    racks: dict[str, Rack] = Field({}, alias="rack")
    limits: Limits = Field(default_factory=Limits)
    keys: dict[str, str] = Field({})
    alarm: AlarmCommand | None = None
