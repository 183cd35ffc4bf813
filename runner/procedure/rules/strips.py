"""Rules about what comes off, in which order, and what the strip or dip must not eat."""

from __future__ import annotations

from collections.abc import Iterator

from runner.plating.families import COVERS
from runner.plating.severity import Severity
from runner.plating.sources import Known, Source
from runner.procedure.rules.rule import Case, Found, Rule, rule
from runner.procedure.surface import Soil, Water

GUARDS = "strips and what they eat"

_STRIPS = Source("handbook practice on stripping", Known.MEMORY)
_DRY = Source("a trade column on stripping nickel-chromium: water in the acid pits steel", Known.COPY)


@rule(
    "strip-out-of-order",
    GUARDS,
    Severity.SPOIL,
    "What lies on top comes off first: nickel is stripped only after the chromium on it.",
    _STRIPS,
)
def strip_out_of_order(case: Case) -> Iterator[Found]:
    """A strip for a layer that lies under another one, or is not there."""
    for stage in case.history:
        if stage.step.does != "strip":
            continue
        layers = [layer.metal for layer in stage.before.layers]
        left = [layer.metal for layer in stage.after.layers]
        for metal in stage.step.removes:
            if metal in left and left[-1] not in stage.step.removes:
                yield Found(
                    stage,
                    f"{metal} is to come off while {left[-1]} lies on it",
                    f"The strip cannot reach {metal} through {left[-1]}: it goes in at pores and "
                    "edges and eats the "
                    "part from there.",
                    f"Strip {left[-1]} first.",
                )
            elif metal not in layers and case.procedure.existing is not None:
                yield Found(
                    stage,
                    f"{metal} is to come off, and none is on the part by then",
                    "A strip with nothing to take off works on the metal below.",
                    'Take the step out, or name the layer in "existing".',
                    Severity.DOUBT,
                )


@rule(
    "strip-for-another-metal",
    GUARDS,
    Severity.SPOIL,
    "A strip takes off the metal that it is made for.",
    _STRIPS,
)
def strip_for_another_metal(case: Case) -> Iterator[Found]:
    """What the step removes against what the solution's row strips."""
    for stage in case.history:
        if stage.step.does != "strip" or stage.solution is None or stage.effect is None:
            continue
        for metal in stage.step.removes:
            if metal in stage.solution.strips or metal in stage.effect.lifts:
                continue
            cover = metal in COVERS
            yield Found(
                stage,
                f"{stage.solution.name} is no strip for {metal}",
                "Whether it lifts that cover is not known here."
                if cover
                else f"It leaves the {metal} on and works on the rest.",
                "Ask the chargehand."
                if cover
                else f"Take a tank whose solution strips {metal}, made for {case.basis}.",
                Severity.DOUBT if cover else Severity.SPOIL,
            )


@rule(
    "eats-the-metal",
    GUARDS,
    Severity.SPOIL,
    "No dip, cleaner or strip eats the metal that it touches or lays bare.",
    _STRIPS,
)
def eats_the_metal(case: Case) -> Iterator[Found]:
    """The table of attacks, for the metal on top; after a strip, for what it lays bare."""
    for stage in case.history:
        if stage.effect is None or stage.deposits:
            continue
        metal = stage.after.top if stage.step.does == "strip" else stage.before.top
        attack = stage.effect.attack_on(metal)
        if attack is None or attack.severity is Severity.DANGER:
            continue
        yield Found(
            stage,
            f"{stage.effect.solution} meets {metal}",
            f"{attack.what[0].upper()}{attack.what[1:]}.",
            f"Take the solution made for {metal}, or leave the step out.",
            attack.severity,
            attack.source,
        )


@rule(
    "strip-entered-wet",
    GUARDS,
    Severity.SPOIL,
    "Strong sulfuric and nitric strips are entered dry.",
    _DRY,
)
def strip_entered_wet(case: Case) -> Iterator[Found]:
    """Water on the part as it goes into a strip that bears none."""
    for stage in case.history:
        if stage.solution is not None and not stage.solution.wet and stage.before.water is Water.WET:
            yield Found(
                stage,
                f"the part comes wet into {stage.solution.name}",
                "Water thins the acid where it hangs: it spits, it heats, and thin acid pits the metal.",
                "Rinse, blow out holes and hooks, and dry the rack hand-dry before this step.",
            )


@rule(
    "stripped-through-grease",
    GUARDS,
    Severity.ADVICE,
    "Oil and wax come off before a strip, which they shield the plate from.",
    _STRIPS,
)
def stripped_through_grease(case: Case) -> Iterator[Found]:
    """A strip in a tank for a part that nobody has cleaned."""
    for stage in case.history:
        if stage.step.does == "strip" and stage.wet and stage.before.soil is Soil.OILY:
            yield Found(
                stage,
                "it is stripped as it came in, oil and all",
                "Grease shields the plate: it comes off in patches, and those bare first are overrun.",
                "Soak and rinse before it.",
            )
            return


RULES: tuple[Rule, ...] = (
    strip_out_of_order,
    strip_for_another_metal,
    strip_entered_wet,
    eats_the_metal,
    stripped_through_grease,
)
