"""Rules on what water and hollows bring to a tank that would free gas from it.

The film on the part itself is judged in `dangerous_pairs`; here stand the last rinse's own water, and what a
hole keeps through any rinse. Must not hold which classes may not meet.
"""

from __future__ import annotations

from collections.abc import Iterator

from runner.plating.classes import ChemicalClass
from runner.plating.pairs import PAIRS, Pair
from runner.plating.severity import Severity
from runner.plating.sources import Known, Source
from runner.procedure.rules.dangerous_pairs import GASES, GUARDS
from runner.procedure.rules.rule import Case, Found, Rule, rule
from runner.procedure.rules.shared_use import Visit
from runner.procedure.surface import Stage
from runner.procedure.surface_rinse import rinse_ratio
from runner.text import shown

_CUPS = Source(
    "Metal Finishing Guidebook 2012-13, Table II: cups carry two to six times what a bad drainer does",
    Known.READ,
)

_GAS = tuple(
    (pair, kind, brought)
    for pair in PAIRS
    for kind, brought in ((pair.one, pair.other), (pair.other, pair.one))
    if pair.danger_below > 1
)
"""Pairs whose films must be thinned, however little is left of them: each with what is met and what comes."""


@rule(
    "rinse-brings-back",
    GUARDS,
    Severity.DANGER,
    "The last rinse before a tank holds nothing, from any procedure, in which that tank would free gas.",
    GASES,
    overridable=False,
)
def rinse_brings_back(case: Case) -> Iterator[Found]:
    """A drag-out just before the tank: what clings then is the drag-out's own water."""
    for stage in case.history[1:]:
        rinse = case.history[stage.number - 2]
        if not stage.works or not rinse.rinses or rinse.tank is None or stage.tank is None:
            continue
        ratio, sure = rinse_ratio(rinse.tank, case.facts.carried_l_h)
        here = case.shared.classes_of(stage.tank.id)
        for pair, kind, brought in _GAS:
            if kind not in here:
                continue
            thinned, visit = _weakest(case, rinse, brought, kind, ratio)
            if visit is None or thinned >= pair.doubt_below:
                continue
            yield Found(
                stage,
                f'the rinse before it holds {brought} from "{shown(visit.route, 60)}", step {visit.step}, '
                f"only about {thinned:.0f} times thinner",
                f"{pair.gives[0].upper()}{pair.gives[1:]}.",
                "A drag-out comes first, a running rinse of its own last: put one between.",
                Severity.DANGER if sure and thinned < pair.danger_below else Severity.DOUBT,
                pair.source,
            )


def _weakest(
    case: Case, rinse: Stage, brought: ChemicalClass, kind: ChemicalClass, ratio: float
) -> tuple[float, Visit | None]:
    """How thin a class is in a rinse, after the visit that brings most; this route's own is judged apart."""
    assert rinse.tank is not None
    worst, by = 0.0, None
    for visit, cling in case.shared.strongest.get(rinse.tank.id, ()):
        if visit.step == rinse.number and visit.route == case.procedure.title:
            continue
        classes = case.shared.classes_of(cling.tank)
        if brought in classes and kind not in classes and cling.share > worst:
            worst, by = cling.share, visit
    return (ratio / worst if by else ratio), by


@rule(
    "cups-carry-over",
    GUARDS,
    Severity.DOUBT,
    "Blind holes and cups are tipped and flushed between two tanks that must not meet.",
    _CUPS,
)
def cups_carry_over(case: Case) -> Iterator[Found]:
    """What a hole keeps through a rinse no flow says; asked where there are holes, or nobody has said."""
    facts = case.facts
    if facts.blind is False or not (facts.blind or facts.booked):
        return
    came: Stage | None = None
    for stage in case.history:
        if not stage.works:
            continue
        if came is not None and came.number + 1 < stage.number and (apart := _apart(case, came, stage)):
            pair, brought = apart
            from_where = f'{brought} from "{shown(came.step.name, 60)}"'
            what = f"cups and blind holes bring {from_where} into it"
            remedy = "Tip and flush each hole in the rinse, look that it runs clear, and hang it to drain."
            if not facts.blind:
                what = f"nobody has said whether blind holes or cups could bring {from_where} into it"
                remedy = "Not known: ask the chargehand, then book the parts with yes or no."
            gives = f"{pair.gives[0].upper()}{pair.gives[1:]}"
            yield Found(stage, what, f"{gives}; a hole keeps what the rinse does not reach.", remedy)
            if not facts.blind:
                return  # one question is enough
        came = stage


def _apart(case: Case, came: Stage, stage: Stage) -> tuple[Pair, ChemicalClass] | None:
    """The pair of two tanks that a rinse must part, and what the first brings to it."""
    assert came.tank is not None
    assert stage.tank is not None
    before, here = case.shared.classes_of(came.tank.id), case.shared.classes_of(stage.tank.id)
    for pair, kind, brought in _GAS:
        if kind in here and kind not in before and brought in before:
            return pair, brought
    return None


RULES: tuple[Rule, ...] = (rinse_brings_back, cups_carry_over)
