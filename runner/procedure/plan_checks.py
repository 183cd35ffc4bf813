"""The checks of a planned step: what value is expected, and between which limits.

Owns where those come from: the check itself, else the plan's current, the tank's window, or the
thickness planned so far. A check in amperes at an energised step is a reading of the ammeter.
"""

from __future__ import annotations

from runner.procedure.model import Check, Step
from runner.procedure.sheet import PlannedCheck, PlannedStep
from runner.shop.model import Tank
from runner.shop.tank_figures import density_of, ph_of, temperature_of
from runner.units import Kind, to_unit

Limits = tuple[float | None, float | None, float | None]
"""Least, expected and greatest value, in the check's own unit."""


def planned_check(
    check: Check, step: Step, tank: Tank | None, current_a: float | None, before: tuple[PlannedStep, ...]
) -> PlannedCheck:
    """One check of a step with its expected value and limits.

    Args:
        check: As the procedure asks it.
        step: Its step.
        tank: Where it is asked, or None.
        current_a: What is set there, or None.
        before: Rows of the steps before, for the thickness that should be there by now.
    """
    low, planned, high = _from_plan(check, step, tank, current_a, before)
    low = check.low if check.low is not None else low
    high = check.high if check.high is not None else high
    if planned is None or not (low or planned) <= planned <= (high if high is not None else planned):
        planned = _middle(low, high)
    ammeter = check.unit == "A" and current_a is not None and check.when == "during"
    return PlannedCheck(
        ask=check.ask,
        when=check.when,
        unit=check.unit,
        planned=planned,
        low=low,
        high=high,
        choices=check.choices,
        accept=check.accept or check.choices,
        reads="current" if ammeter else None,
    )


def _middle(low: float | None, high: float | None) -> float | None:
    if low is not None and high is not None:
        return (low + high) / 2
    return low if low is not None else high


def _from_plan(
    check: Check, step: Step, tank: Tank | None, current_a: float | None, before: tuple[PlannedStep, ...]
) -> Limits:
    match check.unit:
        case "A" if current_a is not None and tank is not None and step.density_a_dm2:
            area_dm2 = current_a / step.density_a_dm2
            window = density_of(tank).value
            return (
                (window.low * area_dm2, current_a, window.high * area_dm2)
                if window
                else (None, current_a, None)
            )
        case "V":
            return (None, step.voltage_v or step.entry_voltage_v, None)
        case "pH" if tank is not None:
            window = ph_of(tank).value
            return (window.low, None, window.high) if window else (None, None, None)
        case "°C" | "C" | "°F" | "F" if tank is not None:
            window = temperature_of(tank).value
            if window is None:
                return (None, None, None)
            low, high = (to_unit(t, Kind.TEMPERATURE, check.unit) for t in (window.low, window.high))
            return (low, None, high)
        case "µm" | "um" | "mil":
            planned_um = sum(row.target_um or 0.0 for row in before if row.does == "plate")
            return (None, to_unit(planned_um, Kind.THICKNESS, check.unit), None)
        case _:
            return (None, None, None)
