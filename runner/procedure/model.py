"""What is to be done: one procedure, as its file says it.

Owns the shape of a procedure's file. Must not read files, judge the trade (the rules do) or compute
anything for a batch (the plan does). Text with units has become plain figures here, each in the unit that
its name ends with.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Literal, get_args

from pydantic import Field, PlainValidator, ValidationInfo, field_validator, model_validator

from runner.faults import InputFault
from runner.fields import OWN_KEY, Line, Sentence, Table, line, one_of, refusal
from runner.plating.bake import strength_of_hardness
from runner.plating.finish import read_finish
from runner.procedure.model_words import (
    BASES,
    DOES,
    LAYERS,
    METALS,
    POLARITIES,
    TYPES,
    BasisWord,
    DoesWord,
    PolarityWord,
    TypeWord,
)
from runner.procedure.sheet import Signer, When
from runner.shop.quantities import TemperatureBand, quantity, read_in_unit, read_quantity

Density = Annotated[float, quantity("current density")]
Voltage = Annotated[float, quantity("voltage")]
Transfer = Annotated[float, quantity("transfer time")]
Layer = Annotated[str, one_of(LAYERS, "a metal or layer")]
Basis = Annotated[BasisWord, one_of(BASES, "a basis metal")]
Bases = Annotated[tuple[Basis, ...], Field(strict=False)]
Layers = Annotated[tuple[Layer, ...], Field(strict=False)]
Lines = Annotated[tuple[Line, ...], Field(strict=False)]
Sentences = Annotated[tuple[Sentence, ...], Field(strict=False)]


class Dwell(Table):
    """How long a rack stays: one time, or a window.

    Attributes:
        least_s: From entry until it may be lifted.
        most_s: From entry until it must be out; None where the file gives one time alone.
    """

    least_s: Annotated[float, quantity("dwell")] = Field(alias="min", examples=['"3 min"'])
    most_s: Annotated[float, quantity("dwell")] | None = Field(None, alias="max")

    @model_validator(mode="before")
    @classmethod
    def _one_time(cls, value: Any) -> Any:
        if isinstance(value, dict):
            return value
        read_quantity("dwell", value)
        return {"min": value}

    @model_validator(mode="after")
    def _in_order(self) -> Dwell:
        if self.most_s is not None and self.least_s >= self.most_s:
            raise refusal("min is not below max", "write the shorter time as min and the longer as max")
        return self


class Deposit(Table):
    """What is laid down.

    Attributes:
        thickness_um: Least local thickness on the significant surface.
        type: None where the file does not say.
    """

    metal: Annotated[str, one_of(METALS, "a metal")] = Field(examples=['"nickel"'])
    type: Annotated[TypeWord, one_of(TYPES, "a type of deposit")] | None = None
    thickness_um: Annotated[float, quantity("thickness")] = Field(alias="thickness", examples=['"20 µm"'])
    current_density_a_dm2: Density = Field(alias="current_density", examples=['"4 A/dm²"'])


class Wheel(Table):
    """What a part is polished on."""

    diameter_mm: Annotated[float, quantity("wheel diameter")] = Field(alias="diameter", examples=['"200 mm"'])
    speed_m_s: Annotated[float, quantity("wheel speed")] = Field(alias="speed", examples=['"35 m/s"'])


class Check(Table):
    """One question of a step: a value in a unit, or one of several states.

    Attributes:
        low: Least acceptable value, in `unit`.
        high: Greatest acceptable value, in `unit`.
        choices: What may be seen.
        accept: Those of the choices that are in order; empty where the file does not say: then all are.
    """

    ask: Line = Field(examples=['"Rectifier current"'])
    when: Annotated[When, one_of(get_args(When), "a moment of a step")] = "during"
    unit: Line | None = None
    low: float | None = Field(None, alias="min")
    high: float | None = Field(None, alias="max")
    choices: Lines = ()
    accept: Lines = ()

    @field_validator("low", "high", mode="plain")
    @classmethod
    def _in_unit(cls, value: Any, info: ValidationInfo) -> float:
        return read_in_unit("check limit", value, info.data.get("unit"))

    @model_validator(mode="after")
    def _in_order(self) -> Check:
        if self.low is not None and self.high is not None and self.low >= self.high:
            raise refusal("min is not below max", "write the lower end as min and the upper end as max")
        return self


class AskTrainee(Table):
    """One question that a trainee answers before the step, in practice.

    Attributes:
        choices: Two to nine answers, each by its digit.
        right: The one of them that is.
        because: Why, in a sentence or two; said after the answer and in the debrief.
    """

    ask: Line = Field(examples=['"Chromic mist: what first?"'])
    choices: Lines = Field(examples=['["extraction on", "current on"]'])
    right: Line = Field(examples=['"extraction on"'])
    because: Sentence = Field(examples=['"The mist burns and causes cancer."'])


class Step(Table):
    """One step of a procedure.

    Attributes:
        number: Counted from 1.
        current_density_a_dm2: Of a step that uses current and lays nothing down; see `density_a_dm2`.
        live_entry: Whether contact is made with a small current on.
        temperature_c: Of a step that has no tank to say it: an oven's.
        current_within_s: Longest time from current off to current on in the next energised step.
        sign: Who must sign it off with a fresh PIN; None where the session's key covers it.
        removes: What it takes off.
        media: What is blasted with.
        ask_trainee: What a trainee answers before it, in practice alone.
    """

    number: int = Field(alias=OWN_KEY)
    name: Line = Field(examples=['"Bright nickel"'])
    does: Annotated[DoesWord, one_of(DOES, "something a step does")] = Field(examples=['"plate"'])
    tank: Line | None = None
    dwell: Dwell | None = None
    deposit: Deposit | None = None
    current_density_a_dm2: Density | None = Field(None, alias="current_density")
    voltage_v: Voltage | None = Field(None, alias="voltage")
    temperature_c: TemperatureBand | None = Field(None, alias="temperature")
    polarity: Annotated[PolarityWord, one_of(POLARITIES, "a polarity")] | None = None
    live_entry: bool = False
    entry_voltage_v: Voltage | None = Field(None, alias="entry_voltage")
    next_within_s: Transfer | None = Field(None, alias="next_within")
    current_within_s: Transfer | None = Field(None, alias="current_within")
    hazards: Sentences = ()
    ppe: Sentences = ()
    checks: Annotated[tuple[Check, ...], Field(strict=False)] = Field((), alias="check")
    sign: Annotated[Signer, one_of(get_args(Signer), "somebody who signs")] | None = None
    why: Sentence | None = None
    do: Sentence | None = None
    removes: Layers = ()
    media: Line | None = None
    wheel: Wheel | None = None
    ask_trainee: Annotated[tuple[AskTrainee, ...], Field(strict=False)] = ()

    @property
    def energised(self) -> bool:
        """Whether current is on in it."""
        return self.polarity is not None

    @property
    def density_a_dm2(self) -> float | None:
        """Current density wherever it stands, or None in a step without current or run by voltage."""
        return self.deposit.current_density_a_dm2 if self.deposit else self.current_density_a_dm2


@dataclass(frozen=True, slots=True)
class Source:
    """The file that a procedure was read from.

    Attributes:
        file: Its name as given.
        sha256: Of its bytes, in lower-case hex.
        text: What stands in it.
    """

    file: str
    sha256: str
    text: str


def _designation(value: object) -> str:
    code = line(value)
    try:
        read_finish(code)
    except InputFault as wrong:
        raise refusal(wrong.faults[0].message, wrong.faults[0].remedy) from wrong
    return code


class Procedure(Table):
    """A whole procedure; read by `runner.procedure.reading`.

    Attributes:
        basis: Any of these metals; empty where `assembly` is given.
        assembly: All of these metals, joined.
        existing: What is on the part, outermost first; None where the file leaves it to booking.
        finish: The designation to be met, as written.
        strength_mpa: Tensile strength of the steel.
    """

    source: Annotated[Source, PlainValidator(lambda source: source)] = Field(alias=OWN_KEY)
    format: Literal[1]
    title: Line = Field(examples=['"Nickel and chromium on low-carbon steel"'])
    revision: Line = "not stated"
    basis: Bases = ()
    assembly: Bases = ()
    existing: Layers | None = None
    finish: Annotated[str, PlainValidator(_designation)] | None = None
    strength_mpa: Annotated[float, quantity("strength", strength_of_hardness)] | None = Field(
        None, alias="strength"
    )
    summary: Sentence | None = None
    steps: Annotated[tuple[Step, ...], Field(strict=False)] = Field(alias="step")
