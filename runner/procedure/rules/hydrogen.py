"""Rules about what puts hydrogen into strong steel.

They speak from 1000 MPa up. The bake that lets it out again stands in `baking`.
"""

from __future__ import annotations

from collections.abc import Iterator

from runner.plating.bake import NO_BAKE_BELOW_MPA
from runner.plating.families import IRONS
from runner.plating.severity import Severity
from runner.plating.sources import Figure, Known, Source
from runner.procedure.rules.rule import Case, Found, Rule, rule

GUARDS = "hydrogen in strong steel"

_B242 = Source("ASTM B242, its abstract read", Known.MEMORY)

ACID_LONGEST_S = Figure(60, "s in acid without current", Source("ASTM B242: brief", Known.MEMORY))


@rule(
    "strength-not-known",
    GUARDS,
    Severity.DOUBT,
    "Nobody plates hardened steel without knowing its strength.",
    NO_BAKE_BELOW_MPA.source,
)
def strength_not_known(case: Case) -> Iterator[Found]:
    """High-carbon steel that takes up hydrogen, and no strength anywhere."""
    if case.basis != "high-carbon steel" or case.strength_mpa is not None:
        return
    took = next(
        (stage for stage in case.history if len(stage.after.hydrogen) > len(stage.before.hydrogen)), None
    )
    if took is not None:
        yield Found(
            took,
            "the strength of this steel is not known, and hydrogen goes into it here",
            "From 1000 MPa up hydrogen breaks it days later, under load, without warning.",
            'Not known: ask the chargehand for the certificate, or test a spot; say "1200 MPa" or "HRC 38".',
        )


@rule(
    "cathodic-on-strong-steel",
    GUARDS,
    Severity.SPOIL,
    "Strong steel is never cleaned, etched or activated cathodically.",
    _B242,
)
def cathodic_on_strong_steel(case: Case) -> Iterator[Found]:
    """Cathodic current that lays nothing down, on strong steel."""
    if case.strong_mpa is None:
        return
    for stage in case.history:
        if stage.step.polarity == "cathodic" and not stage.deposits and stage.before.top in IRONS:
            yield Found(
                stage,
                "strong steel is cathodic here",
                "Cathodic current drives hydrogen into it, and it cracks under load.",
                "Clean and etch it anodic.",
            )


@rule(
    "acid-on-strong-steel",
    GUARDS,
    Severity.SPOIL,
    "Strong steel stays out of plain acid, or in it for seconds only.",
    _B242,
)
def acid_on_strong_steel(case: Case) -> Iterator[Found]:
    """How long strong steel lies in acid without current."""
    if case.strong_mpa is None:
        return
    for stage in case.history:
        took_in = len(stage.after.hydrogen) > len(stage.before.hydrogen)
        if not took_in or stage.step.polarity is not None or stage.effect is None:
            continue
        dwell = stage.step.dwell
        longest_s = (dwell.most_s or dwell.least_s) if dwell else None
        long = longest_s is None or longest_s > ACID_LONGEST_S.value
        ruin = dwell is not None and dwell.least_s > ACID_LONGEST_S.value
        if ruin or long or stage.group == "hydrochloric acid":
            yield Found(
                stage,
                "strong steel lies in acid without current"
                + ("" if longest_s is None else f" for up to {longest_s:g} s"),
                "Acid that eats steel puts hydrogen into it, more with every second.",
                "Blast the skin off dry, or etch it anodic; else inhibited acid, for seconds, and bake.",
                Severity.SPOIL if ruin else Severity.DOUBT,
            )


RULES: tuple[Rule, ...] = (strength_not_known, cathodic_on_strong_steel, acid_on_strong_steel)
