"""Rules about polarity, current density, what a dwell can lay down, and what a rectifier can give."""

from __future__ import annotations

from collections.abc import Iterator

from runner.plating.chromium_window import BRIGHT_BANDS, DECORATIVE_LONGEST_S
from runner.plating.constants import SECONDS_PER_HOUR
from runner.plating.faraday import um_per_ah_dm2
from runner.plating.severity import Severity
from runner.plating.sources import Figure, Known, Source, Window
from runner.procedure.rules.rule import Case, Found, Rule, rule
from runner.procedure.surface import Stage
from runner.shop.tank_figures import density_of, efficiency_of, temperature_of

GUARDS = "current and load"

_PRACTICE = Source("what platers hold of current", Known.PRACTICE)
_TABLE = Source("the solutions table, or the shop's own window", Known.PRACTICE)
_FARADAY = Source("Faraday's law", Known.COMPUTED)

_NEAR = 1.01
"""A figure written in A/ft² and read in A/dm² is not outside by a rounding."""

GROSS = Figure(1.5, "times over the window, or under it", _PRACTICE)
LEAST_OF_RANGE = Figure(0.1, "of a rectifier's range", _PRACTICE)
NEEDS_CURRENT = frozenset({"strip", "etch", "electroclean", "activate"})


@rule(
    "wrong-polarity",
    GUARDS,
    Severity.SPOIL,
    "The part is the polarity that the solution is made for.",
    _PRACTICE,
)
def wrong_polarity(case: Case) -> Iterator[Found]:
    """Polarity against the solution's row; a deposit is always cathodic."""
    for stage in case.history:
        if stage.step.polarity is None or stage.solution is None:
            continue
        if stage.step.deposit is not None and stage.step.polarity == "anodic":
            yield Found(
                stage,
                "the part is anodic where metal should be laid down",
                "Current the wrong way round dissolves the part and its plate.",
                'Write polarity = "cathodic".',
            )
        elif not stage.solution.energised:
            yield Found(
                stage,
                f"current is used in {stage.solution.name}, which is run without",
                "What current does to the part there is not known.",
                "Take the current out, or ask the chargehand.",
                Severity.DOUBT,
            )
        elif stage.step.polarity not in stage.solution.polarity:
            right = " or ".join(sorted(stage.solution.polarity))
            yield Found(
                stage,
                f"the part is {stage.step.polarity} in {stage.solution.name}, which is run {right}",
                "The wrong way round plates dirt on, takes hydrogen in, or strips what should stay.",
                f'Write polarity = "{right}", and look at the lead before the rack goes in.',
            )


@rule(
    "no-current",
    GUARDS,
    Severity.DOUBT,
    "A solution that works by current is not used without.",
    _PRACTICE,
)
def no_current(case: Case) -> Iterator[Found]:
    """An anodic strip, etch or electrocleaner in which no current is asked for."""
    for stage in case.history:
        if stage.solution is None or not stage.solution.energised or stage.step.polarity is not None:
            continue
        if stage.step.does in NEEDS_CURRENT:
            yield Found(
                stage,
                f"no current is asked for in {stage.solution.name}",
                "Without current it does not do what it is there for, and may eat the part.",
                "Write polarity and current_density or voltage.",
            )


def _figure(value: float, unit: str) -> str:
    return f"{value:.3g} {unit}"


@rule(
    "density-outside-the-window",
    GUARDS,
    Severity.SPOIL,
    "Current density lies inside the window of the tank.",
    _TABLE,
)
def density_outside_the_window(case: Case) -> Iterator[Found]:
    """Density and voltage against the shop's own window, or the table's."""
    for stage in case.history:
        if stage.tank is None or stage.step.polarity is None or stage.solution is None:
            continue
        density, voltage = stage.step.density_a_dm2, stage.step.voltage_v
        if density is not None:
            yield from _outside(stage, density, density_of(stage.tank).value, "A/dm²")
        elif voltage is not None:
            yield from _outside(stage, voltage, stage.solution.voltage_v, "V")


def _outside(stage: Stage, value: float, window: Window | None, unit: str) -> Iterator[Found]:
    if window is None or window.low / _NEAR <= value <= window.high * _NEAR:
        return
    over = value > window.high
    gross = value > window.high * GROSS.value or value < window.low / GROSS.value
    yield Found(
        stage,
        f"{_figure(value, unit)} is {'over' if over else 'under'} the window of {window.low:g} to "
        f"{window.high:g} {unit}",
        "Too much burns edges and pits."
        if over
        else "Too little leaves recesses bare, or does not work at all.",
        f"Keep it between {window.low:g} and {window.high:g} {unit}, or give the tank its own window "
        "in shop.toml.",
        Severity.SPOIL if gross and stage.deposits else Severity.DOUBT,
        window.source,
    )


@rule(
    "chromium-burnt-or-bare",
    GUARDS,
    Severity.DOUBT,
    "Chromium's current suits its temperature: cold and hard driven it burns, hot and starved it is bare.",
    BRIGHT_BANDS["hexavalent-chromium"].source,
)
def chromium_burnt_or_bare(case: Case) -> Iterator[Found]:
    """Density against the bright band at both ends of the tank's own temperatures."""
    for stage in case.history:
        density = stage.step.density_a_dm2
        if not stage.deposits or stage.solution is None or stage.tank is None or density is None:
            continue
        band, window = BRIGHT_BANDS.get(stage.solution.name), temperature_of(stage.tank).value
        if band is None or window is None:
            continue
        # Without a window of the shop's own nobody knows how warm it is: then each end has the best case.
        own = stage.tank.temperature_c is not None
        burns = band.burns_over(window.low if own else window.high)
        bare = band.bare_under(window.high if own else window.low)
        if density > burns * _NEAR:
            yield Found(
                stage,
                f"{_figure(density, 'A/dm²')} is hard driven for {window.low:g} °C, where about "
                f"{burns:.3g} is the most",
                "Chromium burns grey at the edges when it is too cold for its current.",
                "Lower the current, or hold the tank warmer.",
                source=band.source,
            )
        elif density < bare / _NEAR:
            yield Found(
                stage,
                f"{_figure(density, 'A/dm²')} is starved for {window.high:g} °C, where about "
                f"{bare:.3g} is the least",
                "Hot chromium at low current comes out milky or not at all.",
                "Raise the current, or hold the tank cooler.",
                source=band.source,
            )


@rule(
    "dwell-too-short-for-the-thickness",
    GUARDS,
    Severity.SPOIL,
    "The time given can lay down the thickness asked for.",
    _FARADAY,
)
def dwell_too_short_for_the_thickness(case: Case) -> Iterator[Found]:
    """The mean that the dwell gives at its density, against the least thickness asked for."""
    for stage in case.history:
        deposit, dwell = stage.step.deposit, stage.step.dwell
        if (
            not stage.deposits
            or deposit is None
            or dwell is None
            or stage.tank is None
            or stage.solution is None
        ):
            continue
        ion, efficiency = stage.solution.ion, efficiency_of(stage.tank).value
        if ion is None or efficiency is None:
            continue
        density = deposit.current_density_a_dm2
        by_clock = stage.solution.follows == "clock"
        time_s = dwell.least_s if by_clock else (dwell.most_s or dwell.least_s)
        mean_um = um_per_ah_dm2(ion) * density * efficiency.at(density) * time_s / SECONDS_PER_HOUR
        needed_um = deposit.thickness_um / (stage.tank.thickness_ratio or 1.0)
        if mean_um * _NEAR < needed_um:
            yield Found(
                stage,
                f"{time_s:g} s at {_figure(density, 'A/dm²')} gives {mean_um:.2g} µm as a mean, where "
                f"{needed_um:.2g} "
                "µm are needed",
                "What is not plated in the time is not there, least of all at the thinnest place.",
                "Give it more time, or leave the dwell out and let the plan compute it.",
                Severity.SPOIL if mean_um * _NEAR < deposit.thickness_um else Severity.DOUBT,
            )
        longest = DECORATIVE_LONGEST_S
        if stage.solution.name == "hexavalent-chromium" and dwell.least_s > longest.value:
            yield Found(
                stage,
                f"decorative chromium for {dwell.least_s:g} s, where {longest.value:g} s is the most "
                "in print",
                "Thick decorative chromium cracks coarsely and burns at the edges.",
                "Shorten it; a thick deposit is hard chromium's work.",
                Severity.DOUBT,
                longest.source,
            )


@rule(
    "rectifier-and-tank-load",
    GUARDS,
    Severity.SPOIL,
    "The load fits the rectifier and the tank.",
    _PRACTICE,
)
def rectifier_and_tank_load(case: Case) -> Iterator[Found]:
    """Asked only where the batch's area is known."""
    area_dm2 = case.facts.energised_dm2
    if area_dm2 is None or area_dm2 <= 0:
        return
    for stage in case.history:
        density = stage.step.density_a_dm2
        if stage.tank is None or density is None or stage.step.polarity is None:
            continue
        rectifier = case.shop.rectifiers.get(stage.tank.rectifier or "")
        current_a = density * area_dm2
        if rectifier is not None and current_a > rectifier.max_current_a * _NEAR:
            yield Found(
                stage,
                f"{current_a:.0f} A are needed, and {rectifier.id} gives {rectifier.max_current_a:.0f} A",
                "The load gets less than it needs, however long it hangs.",
                "Hang fewer pieces at once.",
            )
        elif rectifier is not None and current_a < rectifier.max_current_a * LEAST_OF_RANGE.value:
            yield Found(
                stage,
                f"{current_a:.1f} A is under a tenth of {rectifier.id}'s {rectifier.max_current_a:.0f} A",
                "The meter cannot be read there and the ripple is coarse.",
                "Hang more, add a thief, or use a smaller rectifier.",
                Severity.DOUBT,
            )
        if stage.tank.max_area_dm2 is not None and area_dm2 > stage.tank.max_area_dm2 * _NEAR:
            yield Found(
                stage,
                f"{area_dm2:.3g} dm² hang at once, and the tank takes {stage.tank.max_area_dm2:.3g} dm²",
                "Parts shade each other and the bath warms and drifts.",
                "Hang fewer pieces at once.",
                Severity.DOUBT,
            )


RULES: tuple[Rule, ...] = (
    wrong_polarity,
    no_current,
    density_outside_the_window,
    chromium_burnt_or_bare,
    dwell_too_short_for_the_thickness,
    rectifier_and_tank_load,
)
