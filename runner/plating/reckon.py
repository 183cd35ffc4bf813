"""What does one sum of the trade come to?

Owns the sums that are asked one at a time, each checked for its reader and answered as a JSON document.
Must not read text with units or print: that is the caller's. Bad figures are an `InputFault`, never a
`ValueError`.
"""

from __future__ import annotations

import math
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from runner.faults import fault
from runner.plating import bake as baking
from runner.plating import faraday, rinsing
from runner.plating.finish import finish_json, read_finish
from runner.plating.metals import ion as ion_of
from runner.plating.solutions import solution as solution_of
from runner.plating.wheel import wheel_rpm
from runner.text import shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from runner.plating.metals import Ion
    from runner.plating.solutions import Solution

_GIVEN = "given with the question"
_SHOP_SIZE = "give figures of the shop's own size"
_WHEEL_CAUTION = "never above the speed marked on the wheel, whatever a sum says"


@contextmanager
def _sense(remedy: str) -> Iterator[None]:
    """Turn a sum's own refusal into a fault that says what to do."""
    try:
        yield
    except (ValueError, OverflowError) as refused:
        raise fault(str(refused), remedy) from None


def _above_zero(name: str, value: float, example: str) -> None:
    if not (math.isfinite(value) and value > 0):
        raise fault(f"{name} must be above zero, found {value:g}", f'give it like "{example}"')


def _finite(answer: dict[str, Any]) -> dict[str, Any]:
    # Figures from the two ends of the floating range give an answer that JSON has no word for.
    for name, value in answer.items():
        if isinstance(value, float) and not math.isfinite(value):
            raise fault(f"{name} is beyond what can be reckoned", _SHOP_SIZE)
    return answer


def _ion(metal: str, row: Solution | None, valence: int | None) -> Ion:
    if row is None:
        return ion_of(metal, valence)
    if row.ion is None:
        raise fault(f"{row.name} deposits nothing by current", "name the solution that is plated from")
    if row.ion.metal != metal.strip().lower():
        raise fault(
            f"{row.name} does not deposit {shown(metal, 60)}",
            f"give {row.ion.metal}, or the solution that {shown(metal, 60)} is plated from",
        )
    return row.ion if valence is None else ion_of(metal, valence)


def _efficiency(row: Solution | None, given: float | None, density_a_dm2: float) -> tuple[float, str]:
    if given is not None:
        if not 0 < given <= 1:
            raise fault(
                f"efficiency must be above 0 and at most 1, found {given:g}", "give it as a ratio, like 0.955"
            )
        return given, _GIVEN
    if row is None or row.efficiency is None:
        raise fault("no efficiency is known here", "give it as a ratio, like 0.955")
    return row.efficiency.at(density_a_dm2), str(row.efficiency.source or row.source)


def deposit(
    metal: str,
    solution: str | None,
    area_dm2: float,
    current_a: float,
    *,
    time_s: float | None = None,
    thickness_um: float | None = None,
    efficiency: float | None = None,
    valence: int | None = None,
) -> dict[str, Any]:
    """What a current lays down in a time, or the time that a mean thickness takes.

    Args:
        metal: Plain name.
        solution: A row of the solutions table; None for a metal plated from none of them, and then the
            efficiency must be given, and the valence where the metal has several.
        area_dm2: Everything that takes the current.
        current_a: What the ammeter shows.
        time_s: Time in the tank; give this or the thickness.
        thickness_um: Mean thickness wanted.
        efficiency: Ratio that overrides the solution's.
        valence: Overrides the solution's.

    Returns:
        Charge, mass, mean thickness, current density, efficiency, ``dwell_s``, the ion, notes and sources.

    Raises:
        InputFault: A metal that the solution does not deposit, or a figure that makes no sense.
    """
    _above_zero("area", area_dm2, "12 dm²")
    _above_zero("current", current_a, "48 A")
    row = None if solution is None else solution_of(solution)
    ion = _ion(metal, row, valence)
    density_a_dm2 = current_a / area_dm2
    if not math.isfinite(density_a_dm2):
        raise fault(
            "the current density is beyond what can be reckoned", "give figures of the shop's own size"
        )
    share, share_source = _efficiency(row, efficiency, density_a_dm2)
    if (time_s is None) == (thickness_um is None):
        raise fault(
            "give a time or a thickness, one of the two", 'say --time "30 min" or --thickness "20 µm"'
        )
    with _sense(_SHOP_SIZE):
        if time_s is not None:
            _above_zero("time", time_s, "30 min")
            dwell_s = time_s
        else:
            assert thickness_um is not None
            _above_zero("thickness", thickness_um, "20 µm")
            dwell_s = faraday.dwell_needed_s(ion, thickness_um, area_dm2, current_a, share)
        charge_ah = faraday.charge_passed_ah(current_a, dwell_s)
        mass_g = faraday.mass_deposited_g(ion, charge_ah, share)
        mean_um = faraday.mean_thickness_um(ion, charge_ah, area_dm2, share)
    return _finite(
        {
            "charge_ah": charge_ah,
            "mass_g": mass_g,
            "mean_thickness_um": mean_um,
            "current_density_a_dm2": density_a_dm2,
            "efficiency": share,
            "dwell_s": dwell_s,
            "ion": ion.name,
            "notes": _deposit_notes(row, density_a_dm2),
            "sources": {"molar mass and density": str(ion.source), "efficiency": share_source},
        }
    )


def _deposit_notes(row: Solution | None, density_a_dm2: float) -> list[str]:
    notes = ["a mean over the area: the thinnest place is thinner"]
    if row is None:
        return notes
    window = row.density_a_dm2
    if window is not None and not window.holds(density_a_dm2):
        notes.append(
            f"{density_a_dm2:.3g} A/dm² is outside {window.low:g} to {window.high:g} A/dm² for {row.name}: "
            f"outside it the deposit itself is another; {window.source}"
        )
    if row.follows == "clock":
        notes.append(f"{row.name} is run by the clock: it does not throw, so a thickness is no plan for it")
    return notes


def rinse(ratio: float, stages: int) -> dict[str, Any]:
    """Water that a rinsing ratio takes in counterflow tanks, in volumes per volume of drag-out.

    Raises:
        InputFault: A ratio not above 1, or stages that are no whole number from 1.
    """
    with _sense("give a ratio above 1, like 1000, and the number of counterflow tanks, like 3"):
        return {
            "water_per_dragout": rinsing.counterflow_water(ratio, stages),
            "approximation": rinsing.counterflow_water_approximate(ratio, stages),
            "note": "volumes of water for one volume of drag-out, counterflow",
        }


def bake(strength_mpa: float) -> dict[str, Any]:
    """The relief bake for steel of a tensile strength; hours 0 and nulls where none is asked for.

    Raises:
        InputFault: A strength not above zero.
    """
    _above_zero("strength", strength_mpa, "1450 MPa")
    asked = baking.relief_bake(strength_mpa)
    window, start = asked.temperature_c, asked.start_within_h
    return {
        "hours": asked.hours,
        "temperature_c": None if window is None else {"min": _whole(window.low), "max": _whole(window.high)},
        "start_within_h": None if start is None else _whole(start.value),
        "source": asked.source.text,
        "known": str(asked.source.known),
        "start_source": None if start is None else str(start.source),
        "note": asked.note,
    }


def wheel(diameter_mm: float, speed_m_s: float) -> dict[str, Any]:
    """Turns a minute that give a wheel its surface speed.

    Raises:
        InputFault: A diameter or speed not above zero.
    """
    _above_zero("diameter", diameter_mm, "200 mm")
    _above_zero("speed", speed_m_s, "35 m/s")
    return _finite({"rpm": wheel_rpm(diameter_mm, speed_m_s), "note": _WHEEL_CAUTION})


def finish(designation: str) -> dict[str, Any]:
    """A finish code, taken apart.

    Raises:
        InputFault: A code that cannot be read.
    """
    return finish_json(read_finish(designation))


def _whole(value: float) -> float:
    """A whole figure without its decimal point, as a table prints it."""
    return int(value) if value.is_integer() else value
