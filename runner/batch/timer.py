"""The dwell timer: what has been delivered so far, and when to lift.

Owns the integration of current over a step's time. Where the deposit follows charge the thickness is
counted from the meter's readings and the lift-out moves with them; elsewhere the clock decides. All is
computed from the run's events and the moment handed in: a tick that was missed changes nothing.

How readings are read (our own convention, stated since it decides what a record says):

* Between two ammeter readings the current is taken to run straight from one to the other (trapezoid).
* Before the first reading after the current came on, it is taken to have been that reading: nobody saw
  another. Until there is one, the last known current counts, at first the planned one.
* After the last reading it holds.
* An ampere-hour count replaces all of that for the time up to it, since it saw what no reading did. One
  that fell tells nothing of the time before it, so there the ammeter's readings stand.
* The lift-out follows charge only inside the density window: beyond an edge it goes by that edge, so that a
  dead meter cannot put the lift off for ever. Charge and thickness are told as they were.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

from msgspec.structs import replace

from runner.batch.moment import Moment, elapsed_s, same_boot
from runner.batch.state import Pause, Reading, StepRun
from runner.batch.terms import Where
from runner.plain_data import Plain
from runner.plating.efficiency import Efficiency
from runner.procedure.sheet import PlannedStep

_SECONDS_PER_HOUR = 3600.0

_RESOLUTION_S = 0.001
"""Of a moment: less than this is no time left, or the rounding of a sum would put the lift off."""


class Progress(Plain, frozen=True):
    """How far a step is.

    Attributes:
        elapsed_s: Time since entry.
        counted_s: Time that counts toward the dwell: current on where energised, else in the tank.
        charge_ah: This rack's charge so far, tips included; None where no current is planned.
        mean_um: Mean thickness so far; None where nothing is deposited.
        min_um: Thinnest so far on the significant surface; None where no ratio is known.
        density_a_dm2: Current density now by the last reading.
        left_s: Until the rack may be lifted, below zero when overdue; None where no time is planned.
        must_s: Until it must be out; None where no time is planned.
        by_wall_clock: Whether the machine was restarted within the step, so that times are by wall clock.
    """

    elapsed_s: float
    counted_s: float
    charge_ah: float | None
    mean_um: float | None
    min_um: float | None
    density_a_dm2: float | None
    left_s: float | None
    must_s: float | None
    by_wall_clock: bool

    @property
    def due(self) -> bool:
        """Whether the time is up."""
        return self.left_s is not None and self.left_s < _RESOLUTION_S


class _Stretch(Plain, frozen=True):
    """Counted time over which the density runs straight from one figure to another."""

    begin_s: float
    end_s: float
    from_a_dm2: float
    to_a_dm2: float


def progress(step: PlannedStep, run: StepRun, now: Moment, overstay_share: float) -> Progress:
    """How far a run of a step is at a moment (at its lift, once it has been lifted).

    Args:
        step: As planned.
        run: What happened in it so far.
        now: The moment asked for; ignored after the lift.
        overstay_share: How far past its time a step without a stated maximum may run.
    """
    until = run.left or now
    counted_s = counted_time_s(step, run, until)
    charge_ah = mean_um = min_um = followed_um = density = None
    if step.current_a and step.energised_dm2:
        stretches = _stretches(step, run, counted_s)
        density = _density_now(step, run, stretches)
        charge_ah = sum(_area(s) for s in stretches) * step.energised_dm2 / _SECONDS_PER_HOUR
        if step.um_per_ah_dm2 and step.efficiency:
            mean_um = sum(_deposit_um(step, s) for s in stretches)
            followed_um = sum(_deposit_um(step, _inside_window(step, s)) for s in stretches)
            min_um = mean_um * step.thickness_ratio if step.thickness_ratio else None
    left_s = _left_s(step, counted_s, followed_um, density)
    return Progress(
        elapsed_s=elapsed_s(run.entered, until),
        counted_s=counted_s,
        charge_ah=charge_ah,
        mean_um=mean_um,
        min_um=min_um,
        density_a_dm2=density,
        left_s=left_s,
        must_s=_must_s(step, counted_s, left_s, overstay_share),
        by_wall_clock=not same_boot(run.entered, until),
    )


def counted_time_s(step: PlannedStep, run: StepRun, until: Moment) -> float:
    """Time that counts toward the dwell.

    A pause in the tank with the current off stops an energised step; a dip goes on working through it.
    A pause with the rack lifted stops both.
    """
    if not run.pauses:
        return elapsed_s(run.entered, until)
    stopped = sum(_pause_s(p, until) for p in run.pauses if step.energised or p.where is Where.LIFTED)
    return max(0.0, elapsed_s(run.entered, until) - stopped)


def _pause_s(pause: Pause, until: Moment) -> float:
    """As much of a pause as lies before a moment: a later one takes nothing from the time of a reading."""
    ran_s = elapsed_s(pause.began, until)
    return min(ran_s, elapsed_s(pause.began, pause.ended)) if pause.ended else ran_s


def _left_s(
    step: PlannedStep, counted_s: float, followed_um: float | None, density: float | None
) -> float | None:
    if step.dwell_s is None:
        return None
    if step.follows != "charge" or followed_um is None or step.mean_thickness_um is None:
        return step.dwell_s - counted_s
    rate = rate_um_s(step, _at_edge(step, density or 0.0))
    # A plan always has a current and so a rate; the fallback keeps a forged one from dividing by zero.
    return (step.mean_thickness_um - followed_um) / rate if rate > 0 else step.dwell_s - counted_s


def _inside_window(step: PlannedStep, stretch: _Stretch) -> _Stretch:
    """The stretch as the lift-out follows it.

    Outside the window the deposit itself is another; the reading opens a deviation, and the lift-out must
    not run away with it.
    """
    at_begin, at_end = _at_edge(step, stretch.from_a_dm2), _at_edge(step, stretch.to_a_dm2)
    return replace(stretch, from_a_dm2=at_begin, to_a_dm2=at_end)


def _at_edge(step: PlannedStep, density_a_dm2: float) -> float:
    """The density itself inside the window, the nearer edge outside it."""
    low = step.density_low_a_dm2 or 0.0
    high = step.density_high_a_dm2 or density_a_dm2
    return min(max(density_a_dm2, low), high)


def _must_s(step: PlannedStep, counted_s: float, left_s: float | None, share: float) -> float | None:
    if step.dwell_s is None or left_s is None:
        return None
    if step.dwell_max_s is not None and step.follows != "charge":
        return step.dwell_max_s - counted_s
    return left_s + share * step.dwell_s


@lru_cache(maxsize=256)
def _efficiency(points: tuple[tuple[float, float], ...]) -> Efficiency:
    return Efficiency(points)


def rate_um_s(step: PlannedStep, density_a_dm2: float) -> float:
    """Mean deposit per second at a density, by Faraday's law with the plan's efficiency."""
    if not step.um_per_ah_dm2 or not step.efficiency:
        return 0.0
    efficiency = _efficiency(step.efficiency).at(density_a_dm2)
    return step.um_per_ah_dm2 * efficiency * density_a_dm2 / _SECONDS_PER_HOUR


def _area(stretch: _Stretch) -> float:
    """Charge per area of a stretch, in A·s/dm²."""
    return (stretch.end_s - stretch.begin_s) * (stretch.from_a_dm2 + stretch.to_a_dm2) / 2


def _deposit_um(step: PlannedStep, stretch: _Stretch) -> float:
    """Deposit of a stretch by Simpson's rule: exact where the efficiency, too, runs straight along it."""
    middle = (stretch.from_a_dm2 + stretch.to_a_dm2) / 2
    ends = rate_um_s(step, stretch.from_a_dm2) + rate_um_s(step, stretch.to_a_dm2)
    return (stretch.end_s - stretch.begin_s) * (ends + 4 * rate_um_s(step, middle)) / 6


def _density(step: PlannedStep, amps: float, in_tank_dm2: float | None) -> float:
    """This rack's density: it has its share of the meter's amps by area, so all racks have the same."""
    area = in_tank_dm2 or step.energised_dm2 or 0.0
    return amps / area if area > 0 else 0.0


def _stretches(step: PlannedStep, run: StepRun, counted_s: float) -> list[_Stretch]:
    """The counted time of a run, cut wherever the density changes its course."""
    out: list[_Stretch] = []
    begin_s, count_ah = 0.0, 0.0
    last = _density(step, step.current_a or 0.0, None)
    for reading in run.readings:
        if reading.ah is None:
            continue
        end_s = max(begin_s, counted_time_s(step, run, reading.moment))
        if reading.ah < count_ah:
            out += _by_ammeter(step, run, begin_s, end_s, last)
        elif end_s > begin_s:
            amps = (reading.ah - count_ah) * _SECONDS_PER_HOUR / (end_s - begin_s)
            density = _density(step, amps, reading.in_tank_dm2)
            out.append(_Stretch(begin_s, end_s, density, density))
        last = out[-1].to_a_dm2 if out else last
        begin_s, count_ah = end_s, reading.ah
    return out + _by_ammeter(step, run, begin_s, counted_s, last)


def _by_ammeter(step: PlannedStep, run: StepRun, begin_s: float, end_s: float, last: float) -> list[_Stretch]:
    """The stretches between two times of which no ampere-hour count tells, from the ammeter's readings."""
    out: list[_Stretch] = []
    breaks = [counted_time_s(step, run, pause.began) for pause in run.pauses]
    readings = [(counted_time_s(step, run, r.moment), r) for r in run.readings if r.amps is not None]
    edges = [begin_s, *sorted(b for b in breaks if begin_s < b < end_s), end_s]
    for on_s, off_s in pairwise(edges):
        seen = [(s, _reading_density(step, r)) for s, r in readings if on_s <= s <= off_s]
        if on_s > begin_s:
            # A reading taken at the very edge belongs to the stretch before the interruption.
            seen = [(s, d) for s, d in seen if s > on_s]
        points = [(on_s, seen[0][1] if seen else last), *seen]
        points.append((off_s, points[-1][1]))
        out += [_Stretch(a, b, at_a, at_b) for (a, at_a), (b, at_b) in pairwise(points) if b > a]
        last = points[-1][1]
    return out


def _reading_density(step: PlannedStep, reading: Reading) -> float:
    return _density(step, reading.amps or 0.0, reading.in_tank_dm2)


def _density_now(step: PlannedStep, run: StepRun, stretches: list[_Stretch]) -> float:
    """By the last thing seen: a reading just taken counts even before any time has passed on it."""
    if run.readings and run.readings[-1].amps is not None:
        return _reading_density(step, run.readings[-1])
    return stretches[-1].to_a_dm2 if stretches else _density(step, step.current_a or 0.0, None)
