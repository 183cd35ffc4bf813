"""A step's drawings with their words, for the table at a glance."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from runner.batch.state import StepRun
from runner.batch.timer import Progress
from runner.procedure.sheet import PlannedStep
from runner.record.report import bars
from runner.record.report.figures import Figures
from runner.record.report.rows import densities, density_off, over
from runner.units import Kind, write_clock


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing with its words."""

    picture: Markup
    words: str
    off: str = ""


def dwell_drawn(step: PlannedStep, done: Progress, off: str, slack: str, share: float) -> Drawn | None:
    """The dwell against its window, which has no upper end where it follows charge; None without a plan."""
    if step.dwell_s is None:
        return None
    high = step.dwell_max_s
    words = write_clock(done.counted_s)
    if step.follows == "charge":
        words, high = f"{words}, plan {write_clock(step.dwell_s)}", None
    elif high is None:
        words, high = f"{words}, plan {write_clock(step.dwell_s)}", step.dwell_s * (1 + share)
    else:
        words = f"{words}, {write_clock(step.dwell_s)} to {write_clock(high)}"
    if slack:
        words = f"{words}, {slack}"
    return Drawn(bars.bar(done.counted_s, step.dwell_s, high, off=bool(off)), words, off)


def current_drawn(step: PlannedStep, run: StepRun, figures: Figures) -> Drawn | None:
    """The ammeter's readings against the window of the density; None where no current is planned."""
    if step.current_a is None or step.current_density_a_dm2 is None:
        return None
    found = densities(step, run)
    picture = bars.dots(found, step.current_density_a_dm2, step.density_low_a_dm2, step.density_high_a_dm2)
    amps = [one.amps for one in run.readings if one.amps is not None]
    words = figures.of(amps[-1], Kind.CURRENT) if amps else "not read"
    words += f", set {figures.of(step.current_a, Kind.CURRENT)}"
    return Drawn(picture, words, density_off(step, run))


def clock_drawn(ran_s: float | None, limit_s: float | None) -> Drawn | None:
    """A clock against its limit; None where it did not run, or runs against none."""
    if ran_s is None or limit_s is None:
        return None
    off = over(ran_s, limit_s)
    return Drawn(
        bars.bar(ran_s, None, limit_s, off=bool(off)), f"{write_clock(ran_s)} of {write_clock(limit_s)}", off
    )
