"""One step of the plan: current to set, time to the lift, what it should give, what can hurt.

Owns the way from a step's figures, a tank's and the load's to the sheet's. The sums themselves are the
plating room's; a figure of the shop goes before the table's, and the sheet says which was used.
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.plating import current, distribution, faraday, uncertainty, wheel
from runner.plating.cautions import LIVE_CURRENT
from runner.plating.efficiency import Efficiency
from runner.plating.metals import Ion
from runner.plating.sources import Window
from runner.procedure.model import Step
from runner.procedure.plan_checks import planned_check
from runner.procedure.sheet import Follows, PlannedStep
from runner.shop.model import Rectifier, Shop, Tank
from runner.shop.tank_figures import (
    density_of,
    efficiency_of,
    hazards_of,
    ppe_of,
    solution_of,
    temperature_of,
)
from runner.units import Kind, write, write_time


@dataclass(frozen=True, slots=True)
class _Power:
    """What is set at the rectifier, and where it goes."""

    total_a: float
    parts_a: float
    density_a_dm2: float
    energised_dm2: float


@dataclass(frozen=True, slots=True)
class _Yield:
    """What a deposit gives: its target, time, mean and how sure the mean is."""

    target_um: float
    ratio: float | None
    dwell_s: float
    mean_um: float
    um_per_ah_dm2: float
    deposited_g: float
    efficiency: Efficiency
    efficiency_from: str


def plan_step(
    step: Step,
    shop: Shop,
    *,
    parts_dm2: float,
    extra_dm2: float,
    ratio: float | None,
    before: tuple[PlannedStep, ...],
) -> PlannedStep:
    """The sheet's row for a step.

    Args:
        step: As the procedure says it.
        shop: Where its tank stands.
        parts_dm2: Plated area of the load.
        extra_dm2: Bare tips and thieves, which take current and give no thickness.
        ratio: Thinnest over mean for this part; the tank's own where None.
        before: Rows of the steps before it.
    """
    tank = shop.tanks[step.tank] if step.tank else None
    rectifier = shop.rectifiers[tank.rectifier] if tank and tank.rectifier and step.energised else None
    power = _power(step, parts_dm2, extra_dm2)
    given = _yield(step, tank, power, parts_dm2, ratio) if tank and power else None
    dwell_s = given.dwell_s if given else step.dwell.least_s if step.dwell else None
    density = density_of(tank).value if tank and power else None
    temperature = _temperature(step, tank)
    solution = solution_of(tank) if tank else None
    volts = solution.voltage_v if solution and step.energised else None
    return PlannedStep(
        number=step.number,
        name=step.name,
        does=step.does,
        follows=_follows(tank, given, dwell_s),
        tank=step.tank,
        tank_title=tank.title if tank else None,
        solution=tank.solution if tank else None,
        rectifier=rectifier.id if rectifier else None,
        rectifier_max_a=rectifier.max_current_a if rectifier else None,
        tank_max_dm2=tank.max_area_dm2 if tank else None,
        polarity=step.polarity,
        live_entry=step.live_entry,
        entry_voltage_v=step.entry_voltage_v,
        voltage_v=step.voltage_v,
        volts_low_v=volts.low if volts else None,
        volts_high_v=volts.high if volts else None,
        current_a=power.total_a if power else None,
        parts_current_a=power.parts_a if power else None,
        tips_current_a=power.total_a - power.parts_a if power else None,
        parts_dm2=parts_dm2 if tank else None,
        energised_dm2=power.energised_dm2 if power else parts_dm2 + extra_dm2 if step.energised else None,
        current_density_a_dm2=power.density_a_dm2 if power else None,
        density_low_a_dm2=density.low if density else None,
        density_high_a_dm2=density.high if density else None,
        temperature_low_c=temperature.low if temperature else None,
        temperature_high_c=temperature.high if temperature else None,
        dwell_s=dwell_s,
        dwell_max_s=step.dwell.most_s if step.dwell else None,
        charge_ah=faraday.charge_passed_ah(power.total_a, dwell_s) if power and dwell_s else None,
        metal=step.deposit.metal if step.deposit else None,
        deposit_type=step.deposit.type if step.deposit else None,
        target_um=given.target_um if given else None,
        thickness_ratio=given.ratio if given else None,
        mean_thickness_um=given.mean_um if given else None,
        min_thickness_um=(
            distribution.minimum_from_mean_um(given.mean_um, given.ratio) if given and given.ratio else None
        ),
        mean_expanded_u_um=_uncertainty_um(given, power, rectifier),
        deposited_g=given.deposited_g if given else None,
        um_per_ah_dm2=given.um_per_ah_dm2 if given else None,
        efficiency=given.efficiency.points if given else (),
        efficiency_from=given.efficiency_from if given else None,
        wheel_rpm=wheel.wheel_rpm(step.wheel.diameter_mm, step.wheel.speed_m_s) if step.wheel else None,
        next_within_s=_next_within(step, tank, shop),
        current_within_s=step.current_within_s,
        signal=solution.signal if solution else None,
        hazards=(*(hazards_of(tank) if tank else ()), *step.hazards),
        ppe=tuple(dict.fromkeys((*(ppe_of(tank) if tank else ()), *step.ppe))),
        confirm=_confirm(step, tank),
        do=step.do,
        why=step.why,
        checks=tuple(
            planned_check(check, step, tank, power.total_a if power else None, before)
            for check in step.checks
        ),
        sign=step.sign,
        warnings=tuple(_warnings(step, tank, power, given, rectifier)),
        refusals=tuple(_refusals(step, tank, power, rectifier, parts_dm2)),
    )


def _power(step: Step, parts_dm2: float, extra_dm2: float) -> _Power | None:
    """Amps for parts, tips and thieves together; None without current or where volts are set instead."""
    density = step.density_a_dm2
    if density is None or not step.energised:
        return None
    total_a = current.amps_needed_a(density, parts_dm2, extra_dm2)
    parts_a = current.amps_needed_a(density, parts_dm2)
    return _Power(total_a, parts_a, density, parts_dm2 + extra_dm2)


def _yield(step: Step, tank: Tank, power: _Power, parts_dm2: float, ratio: float | None) -> _Yield | None:
    """Time and mean for a deposit.

    Where the deposit follows charge, the mean is what the minimum asks for at the ratio. Where the clock
    decides (chromium does not throw), no ratio is promised, and a dwell in the procedure is kept.
    """
    solution, efficiency = solution_of(tank), efficiency_of(tank)
    if step.deposit is None or solution.ion is None or efficiency.value is None:
        return None
    ion, by_charge = solution.ion, solution.follows == "charge"
    at = efficiency.value.at(power.density_a_dm2)
    ratio = (ratio or tank.thickness_ratio) if by_charge else None
    target_um = step.deposit.thickness_um
    mean_um = distribution.mean_for_minimum_um(target_um, ratio) if ratio else target_um
    dwell_s = faraday.dwell_needed_s(ion, mean_um, parts_dm2, power.parts_a, at)
    if step.dwell and not by_charge:
        dwell_s = step.dwell.least_s
        mean_um = faraday.mean_thickness_um(
            ion, faraday.charge_passed_ah(power.parts_a, dwell_s), parts_dm2, at
        )
    return _Yield(
        target_um=target_um,
        ratio=ratio,
        dwell_s=dwell_s,
        mean_um=mean_um,
        um_per_ah_dm2=faraday.um_per_ah_dm2(ion),
        deposited_g=_deposited_g(ion, power, dwell_s, at),
        efficiency=efficiency.value,
        efficiency_from=efficiency.origin,
    )


def _deposited_g(ion: Ion, power: _Power, dwell_s: float, efficiency: float) -> float:
    """Metal on parts, tips and thieves: what the tank loses."""
    return faraday.mass_deposited_g(ion, faraday.charge_passed_ah(power.total_a, dwell_s), efficiency)


def _temperature(step: Step, tank: Tank | None) -> Window | None:
    """The step's own (an oven's), else the tank's."""
    if step.temperature_c is not None:
        return step.temperature_c.window()
    return temperature_of(tank).value if tank else None


def _follows(tank: Tank | None, given: _Yield | None, dwell_s: float | None) -> Follows:
    if tank and given:
        return solution_of(tank).follows
    return "clock" if dwell_s is not None else "hand"


def _uncertainty_um(given: _Yield | None, power: _Power | None, rectifier: Rectifier | None) -> float | None:
    """Expanded uncertainty of the mean from the ammeter alone: the shop states no more."""
    if given is None or power is None or rectifier is None:
        return None
    meter_a = rectifier.current_uncertainty_a(power.total_a)
    if meter_a is None:
        return None
    relative = uncertainty.from_expanded(meter_a) / power.total_a
    return uncertainty.thickness_uncertainty_um(given.mean_um, relative, 0.0, 0.0, 0.0)


def _next_within(step: Step, tank: Tank | None, shop: Shop) -> float | None:
    if step.next_within_s is not None:
        return step.next_within_s
    return shop.limits.next_within_s if tank else None


def _confirm(step: Step, tank: Tank | None) -> tuple[str, ...]:
    """Cautions of the tank's solution, and live current where this step has it on."""
    if tank is None:
        return ()
    own = solution_of(tank).safety.confirm
    return (*own, LIVE_CURRENT) if step.energised else own


def _warnings(
    step: Step, tank: Tank | None, power: _Power | None, given: _Yield | None, rectifier: Rectifier | None
) -> list[str]:
    found = []
    if power and rectifier and not current.meter_can_show(power.total_a, rectifier.max_current_a):
        found.append(
            f"{write(power.total_a, Kind.CURRENT)} is under a tenth of {rectifier.id}'s "
            f"{write(rectifier.max_current_a, Kind.CURRENT)}: its meter cannot be read"
        )
    density = density_of(tank).value if tank and power else None
    if power and density and not density.holds(power.density_a_dm2):
        found.append(
            f"{write(power.density_a_dm2, Kind.DENSITY)} lies outside the window of "
            f"{density.low:g} to {write(density.high, Kind.DENSITY)}"
        )
    if given and given.ratio is None and tank and solution_of(tank).follows == "charge":
        found.append("no thickness ratio is known: this time promises the mean, not the minimum")
    if given and step.dwell and step.dwell.most_s is not None and given.dwell_s > step.dwell.most_s:
        found.append(f"{write_time(given.dwell_s)} are needed, {write_time(step.dwell.most_s)} allowed")
    if given and given.mean_um < given.target_um:
        found.append(
            f"gives {write(given.mean_um, Kind.THICKNESS)}, "
            f"{write(given.target_um, Kind.THICKNESS)} are asked"
        )
    return found


def _refusals(
    step: Step, tank: Tank | None, power: _Power | None, rectifier: Rectifier | None, parts_dm2: float
) -> list[str]:
    """What makes the load impossible here: too much for the rectifier or for the tank."""
    found = []
    if power and rectifier and power.total_a > rectifier.max_current_a:
        found.append(
            f"{write(power.total_a, Kind.CURRENT)} are more than {rectifier.id} gives "
            f"({write(rectifier.max_current_a, Kind.CURRENT)}): fewer pieces on a rack"
        )
    if rectifier and rectifier.max_voltage_v is not None and (step.voltage_v or 0) > rectifier.max_voltage_v:
        found.append(
            f"{write(step.voltage_v or 0, Kind.VOLTAGE)} are more than {rectifier.id} gives "
            f"({write(rectifier.max_voltage_v, Kind.VOLTAGE)})"
        )
    if tank and tank.max_area_dm2 is not None and parts_dm2 > tank.max_area_dm2:
        found.append(
            f"{write(parts_dm2, Kind.AREA)} are more than {tank.title} takes at once "
            f"({write(tank.max_area_dm2, Kind.AREA)}): fewer pieces on a rack"
        )
    return found
