"""Rules about what the next tank bears of what clings to the part.

Rinses are reckoned from their stages and flow; the table of what a tank bears, and where no rinse is right,
stands in `runner.plating.carryover`.
"""

from __future__ import annotations

from collections.abc import Iterator

from runner.plating.carryover import FILM_TO_DRY, carry
from runner.plating.families import DIE_CAST, STAINLESS
from runner.plating.pairs import PAIRS
from runner.plating.severity import Severity
from runner.plating.sources import Known, Source
from runner.procedure.rules.rule import Case, Found, Rule, rule
from runner.procedure.surface import Cling, Stage, Water
from runner.procedure.surface_rinse import UNSTATED_RATIO, rinse_ratio
from runner.text import shown

GUARDS = "rinsing"

_YATES = Source("Rinsing with Less Water, 1977, and what platers hold of rinsing", Known.READ)
_PRACTICE = Source("what platers hold of rinsing", Known.PRACTICE)

_DRYING = frozenset({"dry", "bake", "unrack", "paint", "mask"})
_MAY_STAY = frozenset({"passivate", "alkali", "solvent", "sulfide"})


def _times(cling: Cling) -> str:
    return "not rinsed" if cling.rinses == 0 else f"rinsed about {1 / cling.share:,.0f} times"


@rule(
    "rinsed-too-little",
    GUARDS,
    Severity.SPOIL,
    "A film is thinned as far as the next tank bears it.",
    _YATES,
)
def rinsed_too_little(case: Case) -> Iterator[Found]:
    """Each film against the tank it comes into."""
    for stage in case.history:
        if not stage.works or stage.tank is None:
            continue
        assert stage.solution is not None
        for cling in stage.before.film:
            if cling.tank == stage.tank.id or _is_dangerous(case, stage, cling):
                continue
            row = carry(cling.solution, stage.solution.name)
            if row is None or 1 / cling.share >= row.ratio:
                continue
            if cling.rinses and not cling.sure and 1 / cling.share >= min(row.ratio, UNSTATED_RATIO.value):
                continue
            yield Found(
                stage,
                f'what clings from tank "{shown(cling.tank, 60)}" is {_times(cling)}; '
                f"{row.ratio:,.0f} times is the "
                "least here",
                f"{row.what[0].upper()}{row.what[1:]}.",
                "Put a running rinse between, or give it another stage or more water.",
                row.severity if cling.rinses == 0 else Severity.DOUBT,
                row.source,
            )


def _is_dangerous(case: Case, stage: Stage, cling: Cling) -> bool:
    """Whether the dangerous pairs speak of it already."""
    if stage.tank is None:
        return False
    brought, here = case.shared.classes_of(cling.tank), case.shared.classes_of(stage.tank.id)
    return any(
        {pair.one, pair.other} <= brought | here
        and not {pair.one, pair.other} <= brought
        and not {pair.one, pair.other} <= here
        for pair in PAIRS
    )


@rule(
    "dried-unrinsed",
    GUARDS,
    Severity.SPOIL,
    "Nothing dries on the part but clean water.",
    FILM_TO_DRY.source,
)
def dried_unrinsed(case: Case) -> Iterator[Found]:
    """The film as a part is dried, baked, taken off the rack, or as the route ends."""
    for stage in case.history:
        ends = case.next(stage) is None and stage.wet
        dries = stage.step.does in _DRYING and stage.tank is None and stage.before.water is Water.WET
        if not dries and not ends:
            continue
        for cling in stage.after.film if ends else stage.before.film:
            if 1 / cling.share >= FILM_TO_DRY.ratio or (cling.rinses and not cling.sure):
                continue
            mild = cling.rinses > 0 or ends or (_group(case, cling) in _MAY_STAY)
            yield Found(
                stage,
                f'what clings from tank "{shown(cling.tank, 60)}" is {_times(cling)} as the part '
                f"{'leaves the line' if ends else 'dries'}",
                f"{FILM_TO_DRY.what[0].upper()}{FILM_TO_DRY.what[1:]}.",
                "Rinse it last in clean running water.",
                Severity.DOUBT if mild else None,
            )


def _group(case: Case, cling: Cling) -> str:
    return next((s.group for s in case.history if s.tank is not None and s.tank.id == cling.tank), "")


@rule(
    "left-wet",
    GUARDS,
    Severity.DOUBT,
    "A wet part is dried before it is worked, baked or taken off.",
    _PRACTICE,
)
def left_wet(case: Case) -> Iterator[Found]:
    """Wet under the wheel or in the oven is doubt; wet off the rack, or at the end, is advice."""
    for stage in case.history:
        if stage.before.water is Water.WET and stage.tank is None:
            worked = stage.step.does in {"polish", "blast", "bake", "paint"}
            if worked or stage.step.does == "unrack":
                yield Found(
                    stage,
                    "the part comes to it wet",
                    "Wet metal stains, steel rusts, and in an oven closed places steam.",
                    "Dry it first.",
                    None if worked else Severity.ADVICE,
                )
                return
    last = case.history[-1]
    if last.after.water is Water.WET:
        yield Found(
            last,
            "the route ends with the part wet",
            "Wet metal stains, and steel rusts.",
            "Dry it.",
            Severity.ADVICE,
        )


@rule(
    "rinse-carries-back",
    GUARDS,
    Severity.DOUBT,
    "The last rinse before a tank holds nothing, from any procedure, that the tank does not bear.",
    _PRACTICE,
)
def rinse_carries_back(case: Case) -> Iterator[Found]:
    """What other films leave in the rinse just before, reckoned from its stages and flow."""
    told: set[tuple[str, str]] = set()
    for stage in case.history[1:]:
        rinse = case.history[stage.number - 2]
        if not stage.works or not rinse.rinses or rinse.tank is None or stage.solution is None:
            continue
        ratio, sure = rinse_ratio(rinse.tank, case.facts.carried_l_h)
        for visit, cling in case.shared.strongest.get(rinse.tank.id, ()) if sure else ():
            row = carry(cling.solution, stage.solution.name)
            own = visit.step == rinse.number and visit.route == case.procedure.title
            if row is None or own or ratio / cling.share >= row.ratio:
                continue
            if (stage.solution.name, cling.solution) in told:
                continue
            told.add((stage.solution.name, cling.solution))
            yield Found(
                stage,
                f'the rinse before it holds {cling.solution} from "{shown(visit.route, 60)}", '
                f"step {visit.step}",
                f"{row.what[0].upper()}{row.what[1:]}.",
                "Take a rinse that nothing of that goes into, or one with more water.",
                source=row.source,
            )


@rule(
    "rinsed-where-none-is-right",
    GUARDS,
    Severity.DOUBT,
    "No rinse stands where a surface would go passive in it for nothing.",
    _PRACTICE,
)
def rinsed_where_none_is_right(case: Case) -> Iterator[Found]:
    """Semi-bright to bright nickel, zinc's strike to its copper, the dip of stainless to its strike."""
    for stage in case.history:
        if not stage.deposits or stage.solution is None:
            continue
        came = next((s for s in reversed(case.before(stage)) if s.works), None)
        rinses = stage.number - came.number - 1 if came else 0
        if came is None or came.solution is None or rinses == 0:
            continue
        if not all(s.rinses for s in case.history[came.number : stage.number - 1]):
            continue
        both = (came.solution.name, stage.solution.name)
        if both == ("semi-bright-nickel", "watts-nickel"):
            severity, why = (
                Severity.DOUBT,
                "Nickel goes passive in water, and the bright layer peels from it.",
            )
        elif both == ("cyanide-copper-strike", "cyanide-copper") and case.basis == DIE_CAST:
            severity, why = (
                Severity.ADVICE,
                "The two baths bear each other, and a thin strike lets water at the zinc.",
            )
        elif (
            came.group == "hydrochloric acid"
            and stage.group == "nickel strike"
            and came.before.top == STAINLESS
        ):
            severity, why = Severity.ADVICE, "Stainless steel heals in water; the strike bears the acid."
        elif both[0] == "chromic-predip" and stage.group == "chromic acid":
            severity, why = Severity.ADVICE, "The pre-dip is there to be carried in."
        else:
            continue
        yield Found(
            stage,
            f'a rinse stands between it and "{shown(came.step.name, 60)}"',
            why,
            "Go straight from one tank to the other.",
            severity,
        )


@rule(
    "rinse-without-figures",
    GUARDS,
    Severity.ADVICE,
    "A rinse states its stages and its flow, or nobody can reckon it.",
    _PRACTICE,
)
def rinse_without_figures(case: Case) -> Iterator[Found]:
    """Once for each rinse tank."""
    told: set[str] = set()
    for stage in case.history:
        if not stage.rinses or stage.tank is None or stage.tank.id in told:
            continue
        told.add(stage.tank.id)
        if stage.tank.rinse is None or stage.tank.rinse.flow_l_h is None:
            yield Found(
                stage,
                f'rinse "{shown(stage.tank.id, 60)}" states no flow',
                f"It is taken to thin {UNSTATED_RATIO.value:g} times a stage, which nobody has checked.",
                'Write rinse = { stages = 2, flow = "120 L/h" } in shop.toml.',
                source=UNSTATED_RATIO.source,
            )


@rule(
    "not-neutralised",
    GUARDS,
    Severity.ADVICE,
    "Hexavalent chromium is neutralised after its rinses.",
    _PRACTICE,
)
def not_neutralised(case: Case) -> Iterator[Found]:
    """Advice on open shapes, doubt with blind holes and folds; and no bisulfite after trivalent chromium."""
    plated = [s for s in case.history if s.deposits and s.group in {"chromic acid", "trivalent chromium"}]
    if not plated:
        return
    last = plated[-1]
    neutralised = [s for s in case.after(last) if s.group == "bisulfite"]
    if last.group == "chromic acid" and not neutralised:
        yield Found(
            last,
            "no neutraliser follows",
            "Chromium(VI) that stays in holes and folds bleeds out yellow, and reaches hands.",
            "Rinse, dip in bisulfite until no yellow runs, rinse again.",
            Severity.DOUBT if case.facts.blind else None,
        )
    if last.group == "trivalent chromium" and neutralised:
        yield Found(
            neutralised[0],
            "a neutraliser follows trivalent chromium",
            "There is no chromium(VI) to turn into anything.",
            "Leave it out.",
        )


RULES: tuple[Rule, ...] = (
    rinsed_too_little,
    dried_unrinsed,
    left_wet,
    rinse_carries_back,
    rinsed_where_none_is_right,
    rinse_without_figures,
    not_neutralised,
)
