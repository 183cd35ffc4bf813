"""``tankwalk reckon``: one sum of the trade."""

from __future__ import annotations

from typing import Any

import click

from runner.cli.common import Quantity, json_option, print_json, say
from runner.plating import reckon
from runner.plating.bake import strength_of_hardness
from runner.units import Kind


@click.group(name="reckon")
def command() -> None:
    """One sum of the trade, with its source."""


def _answer(document: dict[str, Any], *, as_json: bool) -> None:
    if as_json:
        print_json(document)
        return
    for name, value in document.items():
        if isinstance(value, float):
            say(f"{name:>22}  {value:.6g}")
        elif isinstance(value, dict):
            say(f"{name:>22}  " + ", ".join(f"{key} {inner}" for key, inner in value.items()))
        elif isinstance(value, list):
            for item in value:
                said = ", ".join(f"{k} {v}" for k, v in item.items()) if isinstance(item, dict) else str(item)
                say(f"{name:>22}  {said}")
        elif value is not None:
            say(f"{name:>22}  {value}")


@command.command()
@click.option("--metal", required=True)
@click.option("--solution", required=True)
@click.option("--area", type=Quantity(Kind.AREA), required=True, help="Plated area.")
@click.option("--current", type=Quantity(Kind.CURRENT), required=True)
@click.option("--time", type=Quantity(Kind.TIME), help="Gives the thickness.")
@click.option("--thickness", type=Quantity(Kind.THICKNESS), help="Gives the dwell instead.")
@click.option("--efficiency", type=float, help="Cathode efficiency, 0 to 1, in place of the table's.")
@click.option("--valence", type=int, help="In place of the solution's.")
@json_option
def deposit(  # one parameter an option
    *,
    metal: str,
    solution: str,
    area: float,
    current: float,
    time: float | None,
    thickness: float | None,
    efficiency: float | None,
    valence: int | None,
    as_json: bool,
) -> None:
    """Charge, mass and mean thickness for a time, or the dwell for a thickness."""
    answer = reckon.deposit(
        metal=metal,
        solution=solution,
        area_dm2=area,
        current_a=current,
        time_s=time,
        thickness_um=thickness,
        efficiency=efficiency,
        valence=valence,
    )
    _answer(answer, as_json=as_json)


@command.command()
@click.option("--ratio", type=float, required=True, help="Bath over last rinse, such as 1000.")
@click.option("--stages", type=int, required=True, help="Counterflow stages.")
@json_option
def rinse(*, ratio: float, stages: int, as_json: bool) -> None:
    """Water for counterflow rinses, in volumes of the drag-out."""
    _answer(reckon.rinse(ratio=ratio, stages=stages), as_json=as_json)


@command.command()
@click.option(
    "--strength", type=Quantity(Kind.STRENGTH, strength_of_hardness), required=True, help="Or HRC 45."
)
@json_option
def bake(*, strength: float, as_json: bool) -> None:
    """Hydrogen relief bake for a steel's strength."""
    _answer(reckon.bake(strength_mpa=strength), as_json=as_json)


@command.command()
@click.option("--diameter", type=Quantity(Kind.LENGTH), required=True)
@click.option("--speed", type=Quantity(Kind.SPEED), required=True)
@json_option
def wheel(*, diameter: float, speed: float, as_json: bool) -> None:
    """Spindle speed for a wheel's surface speed; never above the figure marked on the wheel."""
    _answer(reckon.wheel(diameter_mm=diameter, speed_m_s=speed), as_json=as_json)


@command.command()
@click.argument("designation")
@json_option
def finish(*, designation: str, as_json: bool) -> None:
    """What a finish designation asks for."""
    _answer(reckon.finish(designation), as_json=as_json)
