"""Rules about cautions: what a tank holds that its row does not speak of, and work without anything worn.

Hazards and PPE of a tank's own row cannot be struck out: what a shop writes is added to them. What
extraction, eyewash and showers there are, no file says, and no rule asks.
"""

from __future__ import annotations

from collections.abc import Iterator

from runner.plating.families import COVERS
from runner.plating.severity import Severity
from runner.plating.sources import Figure, Known, Source
from runner.procedure.rules.rule import Case, Found, Rule, rule
from runner.procedure.surface import Stage
from runner.shop.chemistry import named_classes
from runner.shop.tank_figures import density_of, solution_of, temperature_of
from runner.text import shown

GUARDS = "cautions and windows"

_CLP = Source("EU CLP, usual classification; the supplier's sheet decides", Known.MEMORY)
_PRACTICE = Source("common practice", Known.PRACTICE)

SULFURIC_BURNS_G_L = Figure(
    165, "g/L", Source("EU CLP: sulfuric acid burns from 15 % by mass, about 165 g/L", Known.MEMORY)
)
_WEAK = frozenset({"sulfuric-dip", "zinc-dip"})
_NAMED_TANK = frozenset(
    {"electroclean", "etch", "desmut", "zincate", "activate", "neutralise", "passivate", "strip"}
)
_ACIDS = frozenset({"weak acid", "hydrochloric acid", "fluoride acid", "nitric acid"})
_DONE_IN: dict[str, frozenset[str]] = {
    "clean": frozenset(),
    "electroclean": frozenset(),
    "rinse": frozenset({"water"}),
    "activate": _ACIDS | {"chromic acid", "nickel strike"},
    "etch": _ACIDS | {"chromic acid", "alkali"},
    "desmut": _ACIDS | {"alkali"},
    "zincate": frozenset({"zincate"}),
    "neutralise": frozenset({"bisulfite", "alkali"}),
    "passivate": frozenset({"passivate", "nitric acid", "chromic acid"}),
}
"""Groups of solutions in which each thing is done; cleaning is asked of the solution's effect."""

_BENCH = {
    "polish": (
        "goggles, dust mask, ear defenders, and no gloves at the spindle",
        "Wheels throw, and dust harms lungs.",
    ),
    "blast": ("goggles, dust mask or fed air, gauntlets", "Blasting dust harms lungs."),
    "paint": ("a mask for its vapour, goggles, gloves", "Paint vapour and spray harm lungs and catch fire."),
    "bake": ("heat gloves, goggles", "Oven and parts burn for an hour after."),
}


@rule(
    "contents-beyond-the-row",
    GUARDS,
    Severity.DOUBT,
    "What a tank holds beside its row's chemistry has cautions of its own.",
    _CLP,
)
def contents_beyond_the_row(case: Case) -> Iterator[Found]:
    """Contents that name a class, or a strength, of which the row's cautions do not speak."""
    told: set[str] = set()
    for stage in case.history:
        if stage.tank is None or stage.tank.id in told:
            continue
        told.add(stage.tank.id)
        row = solution_of(stage.tank)
        missing = named_classes(stage.tank) - row.classes
        if missing and not stage.tank.hazards:
            yield Found(
                stage,
                f'tank "{shown(stage.tank.id, 60)}" holds {", ".join(sorted(missing))}, of which '
                f"{row.name} knows nothing",
                "Its hazards, PPE and first aid are shown to nobody.",
                "Choose the row that it is, or write hazards and ppe from the supplier's sheet into "
                "the tank.",
            )
        strong = any(
            "sulfuric" in substance.lower() and strength >= SULFURIC_BURNS_G_L.value
            for substance, strength in stage.tank.contents_g_l.items()
        )
        if row.name in _WEAK and strong and "face shield" not in stage.tank.ppe:
            yield Found(
                stage,
                f'tank "{shown(stage.tank.id, 60)}" is stronger than a weak dip',
                "From about 15 % by mass sulfuric acid burns at once, and the cautions shown are "
                "those of a weak one.",
                'Write ppe = ["face shield"] and its hazards into the tank, or thin it.',
                source=SULFURIC_BURNS_G_L.source,
            )


@rule(
    "nothing-worn",
    GUARDS,
    Severity.ADVICE,
    "Work at wheel, cabinet, oven and spray says what is worn.",
    _PRACTICE,
)
def nothing_worn(case: Case) -> Iterator[Found]:
    """Steps without a tank bring no PPE of their own."""
    for stage in case.history:
        if stage.tank is None and stage.step.does in _BENCH and not stage.step.ppe:
            worn, why = _BENCH[stage.step.does]
            yield Found(stage, "it does not say what is worn", why, f"Write ppe: {worn}; local rules decide.")


@rule(
    "tank-not-named",
    GUARDS,
    Severity.DOUBT,
    "A step that works by a solution names its tank.",
    _PRACTICE,
)
def tank_not_named(case: Case) -> Iterator[Found]:
    """Without a tank nothing is known of the solution."""
    for stage in case.history:
        step = stage.step
        by_hand = step.does == "strip" and all(cover in COVERS for cover in step.removes)
        if stage.tank is None and step.does in _NAMED_TANK and not by_hand:
            yield Found(
                stage,
                "it names no tank, so what it does to the part is not known",
                "Its solution, cautions and times cannot be looked up.",
                "Name the tank, or ask the chargehand.",
            )


def _fits(stage: Stage) -> bool:
    """Whether what the step does is what its tank does."""
    effect, does = stage.effect, stage.step.does
    if effect is None or does not in _DONE_IN:
        return True
    if does in {"clean", "electroclean"}:
        return effect.cleans != "no" if does == "clean" else effect.cleans == "current"
    if does == "activate" and stage.solution is not None and stage.solution.strips:
        return False
    if does == "activate" and (stage.before.top in effect.activates or _alkaline_activation(stage)):
        return True
    return stage.group in _DONE_IN[does]


def _alkaline_activation(stage: Stage) -> bool:
    """Nickel is activated cathodic in an electrocleaner too."""
    cleans = stage.effect is not None and stage.effect.cleans == "current"
    return cleans and stage.step.polarity == "cathodic"


@rule(
    "tank-for-something-else",
    GUARDS,
    Severity.DOUBT,
    "A tank does what its step is for: a cleaner cleans, a rinse is water, a passivate passivates.",
    _PRACTICE,
)
def tank_for_something_else(case: Case) -> Iterator[Found]:
    """What the step does against the solution of its tank."""
    for stage in case.history:
        if not _fits(stage):
            assert stage.solution is not None
            yield Found(
                stage,
                f"it is to {stage.step.does}, and {stage.solution.name} is not made for that",
                f"What {stage.solution.name} does to {stage.before.top} there is not what the step is for.",
                "Name the tank that does it, or say what the step really does; else ask the chargehand.",
            )


@rule(
    "tank-off-its-window",
    GUARDS,
    Severity.DOUBT,
    "A tank is kept where its solution works.",
    _PRACTICE,
)
def tank_off_its_window(case: Case) -> Iterator[Found]:
    """The shop's own windows, and a step's own temperature, against those of the solution's row."""
    told: set[str] = set()
    for stage in case.history:
        if stage.tank is None or stage.solution is None:
            continue
        kept, row = temperature_of(stage.tank).value, stage.solution.temperature_c
        asked = stage.step.temperature_c
        if stage.tank.id not in told and kept and row and (kept.low > row.high or kept.high < row.low):
            told.add(stage.tank.id)
            yield Found(
                stage,
                f"the tank is kept at {kept.low:g} to {kept.high:g} °C, where {row.low:g} to "
                f"{row.high:g} °C is usual",
                f"{stage.solution.title} does not work as it should there.",
                "Set the heater right, or ask the supplier whether this make differs.",
                source=row.source,
            )
        if asked and kept and (asked.low > kept.high or asked.high < kept.low):
            yield Found(
                stage,
                f"the step asks for {asked.low:g} to {asked.high:g} °C, and the tank is kept at "
                f"{kept.low:g} to "
                f"{kept.high:g} °C",
                "It cannot be both.",
                "Take the temperature out of the step, or set the tank.",
            )
        own, table = density_of(stage.tank).value, stage.solution.density_a_dm2
        if own and table and stage.step.polarity and (own.low > table.high or own.high < table.low):
            yield Found(
                stage,
                f"the tank's own window is {own.low:g} to {own.high:g} A/dm², where {table.low:g} to "
                f"{table.high:g} "
                "A/dm² is in print",
                "Nothing of the two is the same.",
                "Check the figure for a slip of the unit.",
                source=table.source,
            )


RULES: tuple[Rule, ...] = (
    contents_beyond_the_row,
    tank_not_named,
    tank_for_something_else,
    tank_off_its_window,
    nothing_worn,
)
