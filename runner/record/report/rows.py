"""One step's figures on paper: what was planned beside what was, and a word where it was outside.

Figures come from the timer that the record itself is rendered with; what is outside is what the batch's own
rules call so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from runner.batch.state import StepRun
from runner.batch.timer import Progress
from runner.procedure.sheet import PlannedStep
from runner.record.report.figures import NONE, Figures, seconds
from runner.units import Kind


@dataclass(frozen=True, slots=True)
class Row:
    """One thing planned against what it was; `off` says in a word how it was outside, or is empty."""

    name: str
    planned: str
    actual: str
    off: str = ""


def dwell_off(run: StepRun, done: Progress, handling_s: float) -> str:
    """As the deviation at the lift is judged; a step still under way is not judged."""
    if run.left is None:
        return ""
    if done.left_s is not None and done.left_s > handling_s:
        return "early"
    return "late" if done.must_s is not None and done.must_s < -handling_s else ""


def slack_used(run: StepRun, done: Progress, handling_s: float) -> str:
    """The words for a dwell that is off by a hand's time at most and is let pass, or nothing."""
    if run.left is None or dwell_off(run, done, handling_s):
        return ""
    off_s = max(done.left_s or 0.0, 0.0 if done.must_s is None else -done.must_s)
    # Told in whole seconds: what rounds to none cannot be seen beside the plan.
    return f"within the handling slack of {seconds(handling_s)}" if round(off_s) > 0 else ""


def time_rows(step: PlannedStep, run: StepRun, done: Progress, off: str, slack: str) -> Iterator[Row]:
    """The dwell, with the words for what is outside, or for the slack that let it pass."""
    planned = seconds(step.dwell_s)
    if step.dwell_max_s is not None:
        planned = f"{planned} to {seconds(step.dwell_max_s)}"
    if step.follows == "charge" and step.dwell_s is not None:
        planned += ", then by charge"
    actual = seconds(done.counted_s)
    if round(done.elapsed_s) != round(done.counted_s):
        actual += f" of {seconds(done.elapsed_s)} in all"
    if step.dwell_s is not None or step.tank:
        actual = actual if run.left else f"{actual} so far"
        yield Row("dwell", planned, f"{actual}, {slack}" if slack else actual, off)


def current_rows(step: PlannedStep, run: StepRun, done: Progress, figures: Figures) -> Iterator[Row]:
    """Current, charge and what they laid down."""
    if step.current_a is not None:
        amps = [one.amps for one in run.readings if one.amps is not None]
        read = f"{figures.of(min(amps, default=None), Kind.CURRENT)}"
        if len(amps) > 1:
            read = f"{read} to {figures.of(max(amps), Kind.CURRENT)}, {len(amps)} readings"
        elif not amps:
            read = "by the ampere-hour count" if run.readings else "not read: counted as set"
        yield Row("current", f"{figures.of(step.current_a, Kind.CURRENT)}{_polarity(step)}", read)
        low, high = step.density_low_a_dm2, step.density_high_a_dm2
        planned = figures.of(step.current_density_a_dm2, Kind.DENSITY)
        if low is not None or high is not None:
            planned += f"; window {figures.span(low, high, Kind.DENSITY)}"
        yield Row("current density", planned, _spread(step, run, figures), density_off(step, run))
    elif step.voltage_v is not None:
        planned = f"{figures.of(step.voltage_v, Kind.VOLTAGE)}{_polarity(step)}"
        yield Row("voltage", planned, "by the checks")
    if done.charge_ah is not None:
        charge = figures.of(step.charge_ah, Kind.CHARGE)
        yield Row("charge", charge, figures.of(done.charge_ah, Kind.CHARGE))
    if done.mean_um is not None:
        planned = figures.thickness(step.mean_thickness_um, step.mean_expanded_u_um)
        yield Row("mean thickness", planned, figures.thickness(done.mean_um, mean_u_um(step, done.mean_um)))
        yield _thinnest(step, done, figures)


def _polarity(step: PlannedStep) -> str:
    live = ", in live" if step.live_entry else ""
    return f", {step.polarity}{live}" if step.polarity else live


def mean_u_um(step: PlannedStep, mean_um: float | None) -> float | None:
    """Expanded uncertainty (k = 2) of a mean that came out otherwise than planned: the plan's share of it."""
    if mean_um is None or not step.mean_thickness_um or step.mean_expanded_u_um is None:
        return None
    return step.mean_expanded_u_um * mean_um / step.mean_thickness_um


def _thinnest(step: PlannedStep, done: Progress, figures: Figures) -> Row:
    asked = "" if step.target_um is None else f"; asked for {figures.of(step.target_um, Kind.THICKNESS)}"
    planned = figures.of(step.min_thickness_um, Kind.THICKNESS) + asked
    if done.min_um is None:
        return Row("thinnest place", planned, "not computed: no ratio to the mean is known")
    ratio = f" at {step.thickness_ratio:.3g} of the mean"
    return Row("thinnest place", planned, figures.of(done.min_um, Kind.THICKNESS) + ratio)


def way_rows(run: StepRun, out_limit_s: float | None, off_limit_s: float | None) -> Iterator[Row]:
    """The clocks that ran on the way into the step, against the limits of the steps that they started in."""
    for name, ran_s, limit_s in (
        ("out of the tank before", run.out_s, out_limit_s),
        ("current off before", run.off_s, off_limit_s),
    ):
        if ran_s is not None:
            planned = NONE if limit_s is None else f"up to {seconds(limit_s)}"
            yield Row(name, planned, seconds(ran_s), over(ran_s, limit_s))


def over(ran_s: float, limit_s: float | None) -> str:
    """The word for a clock that ran past its limit, or nothing."""
    return "too long" if limit_s is not None and ran_s > limit_s else ""


def densities(step: PlannedStep, run: StepRun) -> list[float]:
    """This rack's density at each reading of the ammeter: it has its share of the tank's amps by area."""
    return [
        one.amps / area
        for one in run.readings
        if one.amps is not None and (area := one.in_tank_dm2 or step.energised_dm2)
    ]


def _spread(step: PlannedStep, run: StepRun, figures: Figures) -> str:
    found = densities(step, run)
    if not found:
        return NONE
    low, high = (figures.of(one, Kind.DENSITY) for one in (min(found), max(found)))
    return low if low == high else f"{low} to {high}"


def density_off(step: PlannedStep, run: StepRun) -> str:
    """The word for readings outside the window of the density, or nothing."""
    return "outside" if any(outside(step, one) for one in densities(step, run)) else ""


def outside(step: PlannedStep, density_a_dm2: float) -> bool:
    """Whether a density lies outside the step's window."""
    low, high = step.density_low_a_dm2, step.density_high_a_dm2
    return (low is not None and density_a_dm2 < low) or (high is not None and density_a_dm2 > high)
