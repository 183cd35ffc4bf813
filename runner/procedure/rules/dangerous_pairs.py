"""Rules that keep apart what kills or burns when it meets.

Acid and cyanide, bleach and acid, chromic acid and solvent: by the film on the part, by a rinse that two
routes share, by neighbours on the floor. None of them may be overridden. Which classes may not meet stands in
`runner.plating.pairs`.
"""

from __future__ import annotations

from collections.abc import Iterator

from runner.plating.classes import ChemicalClass
from runner.plating.effects_table import effect
from runner.plating.pairs import FILMS, PAIRS, SHARED_ABOVE, Pair
from runner.plating.severity import Severity
from runner.plating.sources import Known, Source
from runner.procedure.rules.rule import Case, Found, Rule, rule
from runner.procedure.rules.shared_use import Visit
from runner.procedure.surface import Cling, Soil, Stage
from runner.text import shown

GUARDS = "dangerous pairs"

GASES = Source("EU CLP, EUH031 and EUH032; EPA-600/2-80-076", Known.MEMORY)
_BURNS = Source("EU CLP, H271", Known.MEMORY)
_FROTH = Source("handbooks: caustic on aluminium and zinc", Known.MEMORY)


def _met(case: Case, stage: Stage) -> Iterator[tuple[Pair, ChemicalClass, ChemicalClass, Cling]]:
    """The pairs that a stage brings together, with the class in the tank and that on the part."""
    assert stage.tank is not None
    here = case.shared.classes_of(stage.tank.id)
    for cling in stage.before.film:
        brought = case.shared.classes_of(cling.tank)
        for pair in PAIRS:
            for kind in (pair.one, pair.other):
                if kind in here and pair.against(kind) in brought and kind not in brought:
                    yield pair, kind, pair.one if kind is pair.other else pair.other, cling


@rule(
    "meets-on-the-part",
    GUARDS,
    Severity.DANGER,
    "What clings to the part is rinsed away before a tank in which it would free gas or burn.",
    GASES,
    overridable=False,
)
def meets_on_the_part(case: Case) -> Iterator[Found]:
    """A film that meets its enemy in the next tank."""
    for stage in case.history:
        if not stage.works:
            continue
        for pair, kind, brought, cling in _met(case, stage):
            ratio = 1 / cling.share
            if cling.rinses and ratio >= pair.doubt_below and cling.sure:
                continue
            bare = cling.rinses == 0
            danger = bare or ratio < pair.danger_below
            thinned = "without a rinse" if bare else f"rinsed only about {ratio:.0f} times thinner"
            if not danger and not cling.sure:
                if ratio >= pair.doubt_below:
                    continue
                thinned = "through a rinse whose flow the shop does not state"
            yield Found(
                stage,
                f'the {brought} of tank "{shown(cling.tank, 60)}" comes into {kind}, {thinned}',
                f"{pair.gives[0].upper()}{pair.gives[1:]}.",
                "Put a rinse of its own with running water between, look that hollows run clear, and "
                "state its "
                "stages and flow.",
                Severity.DANGER if danger else Severity.DOUBT,
                pair.source,
            )


@rule(
    "shared-water",
    GUARDS,
    Severity.DANGER,
    "A rinse that takes one of a dangerous pair takes nothing of the other, in any procedure of the shop.",
    GASES,
    overridable=False,
)
def shared_water(case: Case) -> Iterator[Found]:
    """One rinse, or one cleaner, that two enemies are brought into."""
    told: set[tuple[str, Pair]] = set()
    for stage in case.history:
        if stage.tank is None:
            continue
        here = case.shared.classes_of(stage.tank.id)
        for pair in PAIRS:
            if {pair.one, pair.other} & here or (stage.tank.id, pair) in told:
                continue
            one = case.shared.bringing(stage.tank.id, pair.one)
            other = case.shared.bringing(stage.tank.id, pair.other)
            # A film that holds both is no meeting: a strip of sulfide is caustic as well.
            if not one or not other or one == other:
                continue
            told.add((stage.tank.id, pair))
            sure = _certain(case, one, pair.one) and _certain(case, other, pair.other)
            yield Found(
                stage,
                f"this tank takes {pair.one} from {_from(one)} and {pair.other} from {_from(other)}",
                f"{pair.gives[0].upper()}{pair.gives[1:]}; shared water, sump and drain bring them together.",
                "Give each its own rinse, with its own drain, in every procedure.",
                Severity.DANGER if sure else Severity.DOUBT,
                pair.source,
            )


def _certain(case: Case, visits: tuple[Visit, ...], kind: ChemicalClass) -> bool:
    return any(
        cling.sure and cling.share >= SHARED_ABOVE and kind in case.shared.classes_of(cling.tank)
        for visit in visits
        for cling in visit.film
    )


def _from(visits: tuple[Visit, ...]) -> str:
    first = visits[0]
    return f'"{shown(first.route, 60)}", step {first.step}'


@rule(
    "neighbours",
    GUARDS,
    Severity.DANGER,
    "Tanks of a dangerous pair do not stand side by side: drips, ducts and sumps are shared.",
    GASES,
    overridable=False,
)
def neighbours(case: Case) -> Iterator[Found]:
    """Two tanks on the floor, one of them used here."""
    told: set[frozenset[str]] = set()
    for stage in case.history:
        if stage.tank is None:
            continue
        near = case.shared.beside.get(stage.tank.id, frozenset())
        for other in sorted(near):
            both = frozenset({stage.tank.id, other})
            if both in told:
                continue
            for pair in PAIRS:
                severity = _near(case, pair, stage.tank.id, other)
                if severity is None:
                    continue
                told.add(both)
                yield Found(
                    stage,
                    f'tanks "{shown(stage.tank.id, 60)}" and "{shown(other, 60)}" stand side by side',
                    f"One holds {pair.one}, the other {pair.other}: {pair.gives}.",
                    "Move one of them, or part them by a bund, a duct and a sump of their own.",
                    severity,
                    pair.source,
                )
                break


def _near(case: Case, pair: Pair, tank: str, other: str) -> Severity | None:
    """How bad two neighbours are; water with acid in it beside a cyanide tank is usual, and worth a word."""
    if not pair.neighbours:
        return None
    for one, two in ((tank, other), (other, tank)):
        holds, next_to = (case.shared.holds(name) for name in (one, two))
        if (
            pair.one in holds
            and pair.other in next_to
            and pair.other not in holds
            and pair.one not in next_to
        ):
            water = pair.one not in case.shared.classes_of(one)
            return Severity.ADVICE if water else Severity.DANGER
    return None


@rule(
    "film-reacts",
    GUARDS,
    Severity.DANGER,
    "No film goes unrinsed into a tank that it boils or fumes in.",
    GASES,
    overridable=False,
)
def film_reacts(case: Case) -> Iterator[Found]:
    """Hydrochloric acid into chromic acid, caustic into strong acid."""
    for stage in case.history:
        for cling in stage.before.film if stage.works else ():
            film = effect(cling.solution)
            if film is None or cling.rinses:
                continue
            for row in FILMS:
                if film.group in row.of and stage.group in row.into:
                    yield Found(
                        stage,
                        f'what clings from tank "{shown(cling.tank, 60)}" comes in unrinsed',
                        f"{row.gives[0].upper()}{row.gives[1:]}.",
                        "Rinse well between the two.",
                        source=row.source,
                    )


@rule(
    "oil-in-oxidiser",
    GUARDS,
    Severity.DOUBT,
    "Nothing oily goes into chromic or nitric acid.",
    _BURNS,
    overridable=False,
)
def oil_in_oxidiser(case: Case) -> Iterator[Found]:
    """Oil, compound or paint on the part as it enters an oxidiser."""
    for stage in case.history:
        if not stage.tank or ChemicalClass.OXIDISER not in case.shared.classes_of(stage.tank.id):
            continue
        painted = stage.before.top in {"paint", "lacquer", "powder coat"}
        if painted or stage.before.soil is Soil.OILY:
            yield Found(
                stage,
                f"the part comes {'painted' if painted else 'oily'} into chromic or nitric acid",
                "These acids set fire to oil, wax and paint, and oil floats in the tank for the next rack.",
                "Clean it first.",
            )


@rule(
    "caustic-on-light-metal",
    GUARDS,
    Severity.DANGER,
    "No strong caustic on zinc or aluminium, bare or where old plate is worn through.",
    _FROTH,
    overridable=False,
)
def caustic_on_light_metal(case: Case) -> Iterator[Found]:
    """What the table of attacks calls a danger, on the metal itself or through worn old plate."""
    for stage in case.history:
        if stage.effect is None:
            continue
        worn = any(layer.step == 0 for layer in stage.before.layers)
        for metal in (stage.before.top, *((case.basis,) if worn else ())):
            attack = stage.effect.attack_on(metal)
            if attack is not None and attack.severity is Severity.DANGER:
                yield Found(
                    stage,
                    f"{metal} goes into {stage.effect.solution}",
                    f"{attack.what[0].upper()}{attack.what[1:]}.",
                    "Take the solution made for this metal, such as soda in place of caustic.",
                    source=attack.source,
                )
                break


RULES: tuple[Rule, ...] = (
    meets_on_the_part,
    shared_water,
    neighbours,
    film_reacts,
    oil_in_oxidiser,
    caustic_on_light_metal,
)
