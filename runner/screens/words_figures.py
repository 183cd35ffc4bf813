"""The figures of the walk in words: the large clock, what to set, what was read, what is on the part.

Must not know a screen library. Every figure is asked for at the moment handed in.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo

from runner.batch.clocks import out_of_tank, time_goes_on
from runner.batch.moment import Moment, elapsed_s
from runner.batch.state import BatchState, Phase
from runner.batch.timer import Progress
from runner.procedure.sheet import PlannedStep
from runner.units import Kind, System, write, write_clock, write_time


def wall(at_ms: int, zone: tzinfo | None = None) -> str:
    """Local wall time, as on the clock above the line."""
    return datetime.fromtimestamp(at_ms / 1000, tz=UTC).astimezone(zone).strftime("%H:%M:%S")


@dataclass(frozen=True, slots=True)
class Figures:
    """The right half of the walk's block: label and value, a line each, and how full the bar is."""

    rows: tuple[tuple[str, str], ...]
    share: float | None = None


def clock_words(
    state: BatchState, done: Progress | None, now: Moment, zone: tzinfo | None
) -> tuple[str, str, str]:
    """The large clock: time left in the step, or the time out of the tank counting up."""
    out = out_of_tank(state)
    if out is not None:
        limit = f"of {write_time(out.limit_s)}" if out.limit_s is not None else "no limit set"
        return "out of the tank", write_clock(out.ran_s(now)), limit
    if done is None or not time_goes_on(state):
        return ("paused" if state.phase is Phase.PAUSED else ""), "", ""
    if done.left_s is None:
        return "in this step", write_clock(done.elapsed_s), "until it is done"
    if done.left_s <= 0:
        return "over by", write_clock(-done.left_s), _must(done, now, zone)
    at = wall(now.at_ms + round(done.left_s * 1000), zone)
    return "lift out in", write_clock(done.left_s + 0.999), f"at {at}, {_must(done, now, zone)}"


def _must(done: Progress, now: Moment, zone: tzinfo | None) -> str:
    """When it must be out."""
    if done.must_s is None or done.must_s <= 0:
        return "past its latest time"
    return f"latest {wall(now.at_ms + round(done.must_s * 1000), zone)}"


def figures(
    state: BatchState, done: Progress | None, now: Moment, zone: tzinfo | None, again: str = "a"
) -> Figures:
    """What stands beside the clock while a step is under way."""
    step, run, units = state.step, state.run, state.opened.plan.units
    assert step is not None and run is not None
    rows: list[tuple[str, str]] = list(_set_rows(step, units))
    if run.readings:
        last = run.readings[-1]
        seen = f"{last.amps:g} A" if last.amps is not None else f"{last.ah:g} A·h"
        rows.append(
            ("read", f"{seen:<9} {wall(last.moment.at_ms, zone)[:5]}{_stale(state, last.moment, now, again)}")
        )
    elif step.energised and (unread := _stale(state, run.entered, now, again)):
        rows.append(("read", f"nothing yet{unread}"))
    share = None
    if done and done.charge_ah is not None and step.charge_ah:
        rows.append(("charge", f"{done.charge_ah:.1f} of {step.charge_ah:.1f} A·h"))
    if done and done.mean_um is not None and step.mean_thickness_um:
        rows.append(("on it", _on_it(step, done, units)))
        share = min(1.0, done.mean_um / step.mean_thickness_um)
    elif done and step.dwell_s:
        share = min(1.0, done.counted_s / step.dwell_s)
    return Figures(tuple(rows), share)


def _stale(state: BatchState, last: Moment, now: Moment, again: str) -> str:
    """Whether the last meter reading, or an entry without one, is so old that the lift-out is a guess."""
    again_s = state.opened.plan.read_again_s
    old = again_s is not None and state.phase is Phase.IN_STEP and elapsed_s(last, now) > again_s
    return f"  read again: {again}" if old else ""


def _on_it(step: PlannedStep, done: Progress, units: System) -> str:
    assert done.mean_um is not None
    if done.min_um is not None and step.min_thickness_um is not None:
        target = write(step.min_thickness_um, Kind.THICKNESS, units)
        return f"thinnest about {write(done.min_um, Kind.THICKNESS, units, 2)} of {target}"
    target = write(step.mean_thickness_um or 0.0, Kind.THICKNESS, units)
    return f"mean about {write(done.mean_um, Kind.THICKNESS, units, 2)} of {target}"


def _set_rows(step: PlannedStep, units: System) -> tuple[tuple[str, str], ...]:
    rows = []
    if step.current_a is not None:
        density = (
            f"   {write(step.current_density_a_dm2, Kind.DENSITY, units)}"
            if step.current_density_a_dm2
            else ""
        )
        rows.append(("set", f"{step.current_a:.3g} A{density}"))
    elif step.voltage_v is not None:
        rows.append(("set", f"{step.voltage_v:g} V"))
    if step.live_entry:
        at = f" at {step.entry_voltage_v:g} V" if step.entry_voltage_v else ""
        rows.append(("enter", f"live{at}, then raise"))
    if step.polarity == "anodic":
        rows.append(("part is", "the anode (+)"))
    if step.wheel_rpm is not None:
        rows.append(("spindle", f"at most {step.wheel_rpm:.0f} rpm"))
    return tuple(rows)


def figures_ahead(state: BatchState, units: System) -> Figures:
    """Between steps: what to have set in the tank that the rack goes to."""
    return Figures(_set_rows(state.upcoming, units) if state.upcoming else ())
