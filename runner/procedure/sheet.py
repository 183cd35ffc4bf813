"""The plan: the computed sheet for one batch, as plain data.

Owns the shape that the plan is printed, stored on a journal's first line and walked by. Holds figures
and texts only; `runner.procedure.plan` computes them. Must not import the validation library, so that a
record is read without it.
"""

from __future__ import annotations

from typing import Literal

from runner.plain_data import Plain

Follows = Literal["charge", "clock", "hand"]
"""What a step's timer goes by: the charge delivered, the clock, or nothing (the hand decides)."""

When = Literal["before", "during", "after"]
"""When a check is asked: before entry, in the step, or at the lift."""

Signer = Literal["operator", "chargehand"]


class PlannedCheck(Plain, frozen=True):
    """One question of a step, answered with the value or the state seen.

    Attributes:
        ask: The question.
        when: When it is asked.
        unit: Unit of a value, or None for a choice.
        planned: The value the plan expects, in that unit.
        low: Least acceptable value, in that unit.
        high: Greatest acceptable value, in that unit.
        choices: What may be seen, for a choice.
        accept: Those of the choices that are in order.
        reads: What the answer also is: the ammeter, or nothing more.
    """

    ask: str
    when: When
    unit: str | None = None
    planned: float | None = None
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    accept: tuple[str, ...] = ()
    reads: Literal["current"] | None = None


class PlannedStep(Plain, frozen=True):
    """One step as computed: what to set, how long, what it should give, what can hurt.

    Attributes:
        rectifier_max_a: What its rectifier gives at most.
        tank_max_dm2: Plated area that its tank takes at once; None where the shop sets no limit.
        current_a: What to set: parts, bare tips and thieves together.
        parts_current_a: The parts' share of it.
        tips_current_a: What bare tips and thieves take of it.
        energised_dm2: Parts, tips and thieves together.
        parts_dm2: The parts of this load alone.
        density_low_a_dm2: Low edge of the window that the deposit keeps its character in.
        dwell_s: From entry until the rack may be lifted.
        dwell_max_s: From entry until it must be out; None where only the plan's allowance bounds it.
        charge_ah: What the meter should have counted at the lift, tips and thieves included.
        mean_thickness_um: Mean on the parts at the lift.
        min_thickness_um: Thinnest on the significant surface; None where no ratio is known.
        mean_expanded_u_um: Expanded uncertainty of the mean (k = 2) where the shop states its meters'.
        um_per_ah_dm2: Deposit at full efficiency.
        efficiency: Cathode efficiency at current densities in A/dm², to be read between.
        next_within_s: Longest time from lifting out to the next tank.
        current_within_s: Longest time from current off to current on again.
        confirm: Cautions confirmed one by one while the rack sits in the step before.
        surface: What the part's surface is after the step, in words; None where nobody followed it.
        warnings: What the plan doubts: a meter that cannot be read, a density outside the window.
        refusals: Why this load cannot be run here: more than the rectifier gives or the tank takes.
        volts_low_v: Likely volts, where the solution's row knows them.
    """

    number: int
    name: str
    does: str
    follows: Follows
    tank: str | None = None
    tank_title: str | None = None
    solution: str | None = None
    rectifier: str | None = None
    rectifier_max_a: float | None = None
    tank_max_dm2: float | None = None
    polarity: Literal["cathodic", "anodic"] | None = None
    live_entry: bool = False
    entry_voltage_v: float | None = None
    voltage_v: float | None = None
    volts_low_v: float | None = None
    volts_high_v: float | None = None
    current_a: float | None = None
    parts_current_a: float | None = None
    tips_current_a: float | None = None
    parts_dm2: float | None = None
    energised_dm2: float | None = None
    current_density_a_dm2: float | None = None
    density_low_a_dm2: float | None = None
    density_high_a_dm2: float | None = None
    temperature_low_c: float | None = None
    temperature_high_c: float | None = None
    dwell_s: float | None = None
    dwell_max_s: float | None = None
    charge_ah: float | None = None
    metal: str | None = None
    deposit_type: str | None = None
    target_um: float | None = None
    thickness_ratio: float | None = None
    mean_thickness_um: float | None = None
    min_thickness_um: float | None = None
    mean_expanded_u_um: float | None = None
    deposited_g: float | None = None
    um_per_ah_dm2: float | None = None
    efficiency: tuple[tuple[float, float], ...] = ()
    efficiency_from: str | None = None
    wheel_rpm: float | None = None
    next_within_s: float | None = None
    current_within_s: float | None = None
    signal: str | None = None
    hazards: tuple[str, ...] = ()
    ppe: tuple[str, ...] = ()
    confirm: tuple[str, ...] = ()
    do: str | None = None
    why: str | None = None
    surface: str | None = None
    checks: tuple[PlannedCheck, ...] = ()
    sign: Signer | None = None
    warnings: tuple[str, ...] = ()
    refusals: tuple[str, ...] = ()

    @property
    def energised(self) -> bool:
        """Whether current is on in this step."""
        return self.polarity is not None


class Load(Plain, frozen=True):
    """One rackful of the batch, with what is set differently for it.

    Attributes:
        pieces: How many pieces hang on it.
        current_a: Step number and amps to set for this load, where a step is energised.
    """

    pieces: int
    current_a: tuple[tuple[int, float], ...]


class Plan(Plain, frozen=True):
    """The computed sheet for one batch; `steps` are those of the first (fullest) load.

    Attributes:
        procedure_sha256: Of the procedure file's bytes.
        piece_dm2: Plated area of one piece.
        pieces: Pieces in the batch.
        per_rack: What a rack holds, or None for all on one.
        handling_s: A hand's time: nothing is early or late by less.
        read_again_s: How old a meter reading may be in a long step before it is asked for again.
        overstay_share: How far past its time, as a share of it, a step without a stated maximum may run.
        total_s: Planned time of one load: dwells, and nothing for hand work without one.
        strength_mpa: Tensile strength of the parts' steel, from the booking or the procedure.
        hollow: Whether a part has a closed hollow; None where nobody has said.
        blind: Whether it has blind holes or cups that carry solution over; None where nobody has said.
    """

    title: str
    revision: str
    procedure_sha256: str
    units: Literal["SI", "US"]
    basis: tuple[str, ...]
    finish: str | None
    piece_dm2: float
    pieces: int
    tips_dm2: float
    thieves_dm2: float
    per_rack: int | None
    loads: tuple[Load, ...]
    handling_s: float
    overstay_share: float
    steps: tuple[PlannedStep, ...]
    total_s: float
    read_again_s: float | None = None
    strength_mpa: float | None = None
    hollow: bool | None = None
    blind: bool | None = None

    def step(self, number: int) -> PlannedStep:
        """The step of that number, counted from 1."""
        return self.steps[number - 1]
