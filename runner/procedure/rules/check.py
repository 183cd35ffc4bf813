"""What is wrong with a route, or with all routes of a shop?

Owns the asking of every rule, for each metal that a route is for, and the order of what they find. Must not
hold a rule, read a file or print.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from runner.plating.severity import Severity
from runner.procedure.model import Procedure
from runner.procedure.rules.catalogue import CATALOGUE
from runner.procedure.rules.rule import BatchFacts, Case, Finding
from runner.procedure.rules.shared_use import SharedUse, gather
from runner.procedure.surface import History
from runner.procedure.surface_walk import bases_of, follow
from runner.shop.model import Shop

Findings = tuple[Finding, ...]
Followed = tuple[tuple[str, tuple[History, ...]], ...]
"""Titles of routes with their histories, one a metal."""

_Routes = dict[str, tuple[Procedure, dict[str, History]]]


def histories(procedure: Procedure, shop: Shop, facts: BatchFacts | None = None) -> dict[str, History]:
    """The surface through the route, for each metal that it is for."""
    carried_l_h = (facts or BatchFacts()).carried_l_h
    return {basis: follow(procedure, shop, basis, carried_l_h) for basis in bases_of(procedure)}


def check_procedure(
    procedure: Procedure,
    shop: Shop,
    facts: BatchFacts | None = None,
    strength_mpa: float | None = None,
    others: Iterable[Procedure] = (),
) -> Findings:
    """What every rule finds in a route, worst first, then by step.

    Args:
        procedure: The route.
        shop: Whose tanks it names.
        facts: Of the batch, where there is one.
        strength_mpa: Tensile strength of the steel in MPa; that of the file where None.
        others: The other procedures of the shop, which share its rinses and dips.
    """
    around = followed((other for other in others if other is not procedure), shop)
    return check_among(procedure, shop, around, facts, strength_mpa)


def followed(procedures: Iterable[Procedure], shop: Shop) -> Followed:
    """Routes that others are to be checked among, followed once."""
    return tuple((route.title, tuple(histories(route, shop).values())) for route in procedures)


def check_among(
    procedure: Procedure,
    shop: Shop,
    around: Followed,
    facts: BatchFacts | None = None,
    strength_mpa: float | None = None,
) -> Findings:
    """As `check_procedure`, among routes that are followed already."""
    own = histories(procedure, shop, facts)
    shared = gather(shop, ((procedure.title, tuple(own.values())), *around))
    return _checked(procedure, shop, facts or BatchFacts(), strength_mpa, own, shared)


def check_shop(
    procedures: Mapping[str, Procedure], shop: Shop, strength_mpa: float | None = None
) -> dict[str, Findings]:
    """What every rule finds in all routes of a shop, by the name that each is given under."""
    routes: _Routes = {name: (route, histories(route, shop)) for name, route in procedures.items()}
    shared = gather(shop, ((route.title, own.values()) for route, own in routes.values()))
    return {
        name: _checked(route, shop, BatchFacts(), strength_mpa, own, shared)
        for name, (route, own) in routes.items()
    }


def _checked(
    procedure: Procedure,
    shop: Shop,
    facts: BatchFacts,
    strength_mpa: float | None,
    own: Mapping[str, History],
    shared: SharedUse,
) -> Findings:
    strength = strength_mpa if strength_mpa is not None else procedure.strength_mpa
    several = len(own) > 1
    # The same finding for several metals is told once, for the first of them.
    found: dict[tuple[str, int | None, str], Finding] = {}
    for basis, history in own.items():
        case = Case(procedure, shop, facts, strength, basis, history, shared)
        for rule in CATALOGUE:
            for finding in rule.findings(case, several=several):
                found.setdefault((finding.rule, finding.step, finding.why), finding)
    return tuple(sorted(found.values(), key=lambda finding: finding.order))


def stands(findings: Iterable[Finding]) -> bool:
    """Whether any finding forbids the route: a danger, or ruin for the parts."""
    return any(finding.severity in {Severity.DANGER, Severity.SPOIL} for finding in findings)


def finding_json(finding: Finding) -> dict[str, Any]:
    """A finding as a JSON document."""
    return {
        "rule": finding.rule,
        "severity": str(finding.severity),
        "step": finding.step,
        "message": finding.message,
        "why": finding.why,
        "remedy": finding.remedy,
        "source": finding.source,
        "known": finding.known,
        "overridable": finding.overridable,
    }
