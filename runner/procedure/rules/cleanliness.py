"""Rules about what is clean enough to plate on, and how it is cleaned."""

from __future__ import annotations

from collections.abc import Iterator

from runner.plating.families import ALUMINIUM, COPPERS, DIE_CAST, IRONS, STEELS, ZINCATE
from runner.plating.polarity import CLEANING_POLARITIES, CleaningPolarity
from runner.plating.severity import Severity
from runner.plating.sources import Known, Source
from runner.procedure.rules.rule import Case, Found, Rule, rule
from runner.procedure.surface import Activity, Soil, Stage, Water
from runner.text import shown

GUARDS = "cleanliness"

_CLEANING = Source("ASTM B183, B252, B281 and B322", Known.MEMORY)
_PRACTICE = Source("what platers hold of cleaning", Known.PRACTICE)
_HARMED = IRONS | {DIE_CAST, "zinc"}
"""Metals on which copper comes out by exchange."""

_DIPS = frozenset({"weak acid", "hydrochloric acid", "fluoride acid"})


@rule(
    "plated-on-soil",
    GUARDS,
    Severity.SPOIL,
    "The last cleaning comes after the last handling, polish or drying.",
    _CLEANING,
)
def plated_on_soil(case: Case) -> Iterator[Found]:
    """How clean the surface is as a deposit begins."""
    for stage in case.history:
        if not stage.deposits or stage.before.soil is Soil.CLEAN:
            continue
        soil, top = stage.before.soil, stage.before.top
        if soil is Soil.SOAKED and (case.basis == ALUMINIUM or top == ZINCATE):
            continue
        by = _soiler(case, stage)
        if soil is Soil.SOAKED:
            yield Found(
                stage,
                "soaked or electrocleaned, and not both, since it was last oily",
                "A soak lifts oil and leaves a film; current takes the film and cannot take the oil.",
                "Soak first, then electroclean the way round that suits the metal.",
                Severity.ADVICE if stage.group == "zinc" else Severity.DOUBT,
            )
        else:
            yield Found(
                stage,
                "plated on oil or polishing compound"
                if soil is Soil.OILY
                else f"plated on a surface not cleaned since {by}",
                "Grease from oil or hands keeps the deposit from holding: it blisters or peels.",
                "Soak and electroclean after the last polish, gauge, rack or dry, and before this step.",
            )


def _soiler(case: Case, stage: Stage) -> str:
    number = stage.before.soil_step
    if not 1 <= number <= len(case.history):
        return "it came in"
    return f"step {number} ({shown(case.history[number - 1].step.name, 60)})"


@rule(
    "cleaned-the-wrong-way-round",
    GUARDS,
    Severity.SPOIL,
    "The metal on top says which way round it is electrocleaned.",
    _CLEANING,
)
def cleaned_the_wrong_way_round(case: Case) -> Iterator[Found]:
    """Polarity, time and density of electrocleaning against the table."""
    for stage in case.history:
        if stage.effect is None or stage.effect.cleans != "current" or stage.step.polarity is None:
            continue
        for row in CLEANING_POLARITIES:
            if stage.before.top not in row.metals or row.polarity != stage.step.polarity:
                continue
            if _within(stage, row) or _mended_later(case, stage, row):
                continue
            yield Found(
                stage,
                f"{stage.before.top} is cleaned {row.polarity}",
                f"{row.what[0].upper()}{row.what[1:]}.",
                _right_way(row),
                row.severity,
                row.source,
            )


def _within(stage: Stage, row: CleaningPolarity) -> bool:
    if row.to_s is None:
        return False
    dwell = stage.step.dwell
    time_s = (dwell.most_s or dwell.least_s) if dwell else None
    density = stage.step.density_a_dm2
    mild = row.to_a_dm2 is None or density is None or density <= row.to_a_dm2
    return time_s is not None and time_s <= row.to_s and mild


def _mended_later(case: Case, stage: Stage, row: CleaningPolarity) -> bool:
    """Whether the other way round, or an activation, follows before anything is plated."""
    for later in case.after(stage):
        if later.deposits:
            return False
        cleans = later.effect is not None and later.effect.cleans == "current"
        if row.unless_reversed and cleans and later.step.polarity not in {None, stage.step.polarity}:
            return True
        if row.unless_activated and later.works and later.after.activity is Activity.ACTIVE:
            return True
    return False


def _right_way(row: CleaningPolarity) -> str:
    if row.severity is Severity.SPOIL:
        return "Clean it by soaking alone, in the cleaner made for it."
    if row.to_a_dm2 is not None:
        return f"Clean it anodic, at most {row.to_a_dm2:g} A/dm² and {row.to_s:g} s."
    return (
        f"Clean it {'anodic' if row.polarity == 'cathodic' else 'cathodic'}, or activate it again afterwards."
    )


@rule(
    "dried-between-wet-steps",
    GUARDS,
    Severity.DOUBT,
    "Nothing dries between wet steps, but before a strip that is entered dry.",
    _PRACTICE,
)
def dried_between_wet_steps(case: Case) -> Iterator[Found]:
    """A part that was wet, dried, and goes wet again into anything but a cleaner or a dry strip."""
    dried = False
    for stage in case.history:
        if stage.step.does in {"dry", "bake", "blast", "polish"}:
            dried = stage.step.does == "dry" and stage.before.was_wet
        if not dried or not stage.works:
            continue
        dried = False
        cleans = stage.effect is not None and stage.effect.cleans != "no"
        dry_strip = stage.solution is not None and not stage.solution.wet
        if stage.before.water is Water.DRY and not cleans and not dry_strip and stage.step.does != "strip":
            yield Found(
                stage,
                "the part was dried and goes wet again without cleaning",
                "Salts dry on and the metal films over: the next layer holds badly there.",
                "Leave the drying out, or clean the part again.",
            )


@rule(
    "copper-in-the-steel-dip",
    GUARDS,
    Severity.SPOIL,
    "A dip that copper or brass has been in is not used for steel or zinc, in any procedure of the shop.",
    _PRACTICE,
)
def copper_in_the_steel_dip(case: Case) -> Iterator[Found]:
    """One dip, two metals, over all procedures; told where the steel comes, and where the copper does."""
    told: set[str] = set()
    for stage in case.history:
        if stage.group not in _DIPS or stage.tank is None or stage.tank.id in told or stage.step.polarity:
            continue
        top = stage.before.top
        enemies = COPPERS if top in _HARMED else _HARMED if top in COPPERS else frozenset()
        others = [visit for visit in case.shared.visits.get(stage.tank.id, ()) if visit.top in enemies]
        if not others:
            continue
        told.add(stage.tank.id)
        other = next((visit for visit in others if visit.route != case.procedure.title), others[0])
        joined = bool(case.procedure.assembly) and other.route == case.procedure.title
        harmed = top if top in _HARMED else other.top
        yield Found(
            stage,
            f'{top} is dipped where {other.top} is too, in "{shown(other.route, 60)}", step {other.step}',
            f"Copper dissolves in the dip and comes out loose on the next rack of {harmed}, and the "
            "plate peels.",
            "Keep one dip for each, and another for copper and brass.",
            Severity.DOUBT if joined or harmed not in STEELS | {DIE_CAST} else None,
        )


@rule(
    "no-look-for-water-break",
    GUARDS,
    Severity.ADVICE,
    "Somebody looks at the water film before the first deposit.",
    Source("ASTM B322: water-break test after the last rinse", Known.MEMORY),
)
def no_look_for_water_break(case: Case) -> Iterator[Found]:
    """A question answered by a look, somewhere between the last cleaning and the first deposit."""
    first = next((stage for stage in case.history if stage.deposits), None)
    if first is None:
        return
    before = case.before(first)
    cleaned = [stage.number for stage in before if stage.effect is not None and stage.effect.cleans != "no"]
    since = before[cleaned[-1] - 1 :] if cleaned else before
    looked = any(check.choices for stage in since for check in stage.step.checks if check.when != "before")
    if not looked:
        yield Found(
            first,
            "nobody looks at the water film before it",
            "Five seconds' look tells whether it is clean: the film runs off whole, or it breaks "
            "over grease.",
            'Add a check to the rinse before: { ask = "Water film", when = "after", choices = […] }.',
        )


RULES: tuple[Rule, ...] = (
    plated_on_soil,
    cleaned_the_wrong_way_round,
    dried_between_wet_steps,
    copper_in_the_steel_dip,
    no_look_for_water_break,
)
