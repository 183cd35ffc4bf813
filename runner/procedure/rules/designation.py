"""Rules about the coating against the designation that it is to meet.

Thickness, order, type and the shares of a double layer. A strike counts toward no thickness.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from runner.plating.families import ALUMINIUM, COPPERS, DIE_CAST, IRONS
from runner.plating.finish import Finish, read_finish
from runner.plating.finish import Layer as Asked
from runner.plating.severity import Severity
from runner.plating.sources import Figure, Known, Source
from runner.procedure.rules.rule import Case, Found, Rule, rule
from runner.procedure.surface import Stage

GUARDS = "coating against its designation"

_ISO = Source("ISO 1456 and ISO 27830; letters in the Metal Finishing Guidebook, p. 227", Known.READ)
_LAYERS = Source("ASTM B456 and ISO 1456 on double and triple nickel", Known.MEMORY)
_COPPER = Source("ISO 1456: the letter a is ductile copper from an acid bath", Known.MEMORY)

SEMI_BRIGHT_SHARE = Figure(0.6, "of double-layer nickel, at least", _LAYERS)
TRIPLE_SHARE = Figure(0.5, "of triple-layer nickel, at least", _LAYERS)
HIGH_SULFUR_SHARE = Figure(0.1, "of all nickel, at most", _LAYERS)
_NEAR = 0.99
"""A thickness written in mil and read in µm is not short by a rounding."""

_NEVER: dict[str, frozenset[str]] = {
    "semi-bright-nickel": frozenset({"bright", "high-sulfur"}),
    "sulfamate-nickel": frozenset({"bright"}),
    "wood-nickel-strike": frozenset({"bright", "semi-bright"}),
}
"""Types that a bath does not lay down."""

_BASES: dict[str, frozenset[str]] = {
    "steel": IRONS,
    "zinc alloy": frozenset({DIE_CAST}),
    "copper": COPPERS,
    "aluminium": frozenset({ALUMINIUM}),
}


@dataclass(frozen=True, slots=True)
class _Built:
    """Neighbouring deposits of one metal, strikes left out."""

    metal: str
    stages: tuple[Stage, ...]

    @property
    def thickness_um(self) -> float:
        return sum(stage.step.deposit.thickness_um for stage in self.stages if stage.step.deposit)

    @property
    def types(self) -> tuple[str | None, ...]:
        return tuple(stage.step.deposit.type if stage.step.deposit else None for stage in self.stages)

    def share_of(self, kind: str) -> float:
        """Of its thickness, the share of one type."""
        deposits = [stage.step.deposit for stage in self.stages if stage.step.deposit]
        return sum(d.thickness_um for d in deposits if d.type == kind) / self.thickness_um


def _built(case: Case) -> list[_Built]:
    """What is plated, as layers of one metal, in order."""
    layers: list[_Built] = []
    for stage in case.history:
        deposit = stage.step.deposit
        if not stage.deposits or deposit is None or stage.step.does == "strike":
            continue
        if layers and layers[-1].metal == deposit.metal:
            layers[-1] = _Built(deposit.metal, (*layers[-1].stages, stage))
        else:
            layers.append(_Built(deposit.metal, (stage,)))
    return layers


def _asked(case: Case) -> Finish | None:
    return read_finish(case.procedure.finish) if case.procedure.finish else None


def _matched(case: Case) -> Iterator[tuple[Asked, _Built]]:
    """Each layer of the designation with the one that answers it, in order; those missing left out."""
    finish, rest = _asked(case), _built(case)
    for asked in finish.layers if finish else ():
        place = next((i for i, built in enumerate(rest) if built.metal == asked.metal), None)
        if place is not None:
            yield asked, rest[place]
            rest = rest[place + 1 :]


@rule(
    "another-basis-designated",
    GUARDS,
    Severity.SPOIL,
    "The designation is for the metal that the part is made of.",
    _ISO,
)
def another_basis_designated(case: Case) -> Iterator[Found]:
    """The symbol at the start of the designation against the basis."""
    finish = _asked(case)
    if finish is None or case.basis not in frozenset().union(*_BASES.values()):
        return
    if case.basis not in _BASES.get(finish.basis, frozenset()):
        yield Found(
            None,
            f"{case.procedure.finish} is for {finish.basis}, and the part is {case.basis}",
            "What resists on one metal does not on another: each has its own thicknesses.",
            "Write the designation for this metal.",
        )


@rule(
    "layer-missing",
    GUARDS,
    Severity.SPOIL,
    "Every layer of the designation is plated, in its order.",
    _ISO,
)
def layer_missing(case: Case) -> Iterator[Found]:
    """A layer that no step, or none in the right place, lays down."""
    finish, rest = _asked(case), _built(case)
    for asked in finish.layers if finish else ():
        place = next((i for i, built in enumerate(rest) if built.metal == asked.metal), None)
        if place is None:
            strike = any(
                stage.step.does == "strike" and stage.step.deposit and stage.step.deposit.metal == asked.metal
                for stage in case.history
            )
            yield Found(
                None,
                f"{case.procedure.finish} asks for {asked.metal}, and no step plates it there"
                + (" (a strike does not count)" if strike else ""),
                "The certificate would say what is not on the part.",
                "Plate the layer in its place, or write the designation that is plated.",
            )
            continue
        rest = rest[place + 1 :]


@rule(
    "thinner-than-designated",
    GUARDS,
    Severity.SPOIL,
    "Each layer has the designated thickness at its thinnest; the strike does not count.",
    _ISO,
)
def thinner_than_designated(case: Case) -> Iterator[Found]:
    """Sums of neighbouring layers of one metal against the figure in the code."""
    for asked, built in _matched(case):
        if built.thickness_um < asked.thickness_um * _NEAR:
            yield Found(
                built.stages[-1],
                f"{built.thickness_um:.3g} µm of {asked.metal}, where {case.procedure.finish} asks for "
                f"{asked.thickness_um:g} µm",
                "The figure of a designation is the least thickness anywhere on the significant surface.",
                f"Plate {asked.thickness_um:g} µm or more.",
            )


@rule(
    "another-type-than-designated",
    GUARDS,
    Severity.SPOIL,
    "Nickel, chromium and copper are of the designated type.",
    _ISO,
)
def another_type_than_designated(case: Case) -> Iterator[Found]:
    """Letters of the code against the types that the steps lay down."""
    for asked, built in _matched(case):
        types = built.types
        if asked.type is None or (all(kind is None for kind in types) and asked.metal != "copper"):
            continue
        wrong, severity, source = "", Severity.SPOIL, _ISO
        if asked.type == "double":
            if len(built.stages) == 1:
                wrong = "one layer of nickel, where two are asked for (d)"
            elif types[0] not in {"semi-bright", None} or types[-1] not in {"bright", None}:
                wrong = f"{types[0]} under {types[-1]} nickel, where semi-bright lies under bright (d)"
        elif asked.type == "ductile":
            solution = built.stages[-1].solution
            if solution is not None and solution.name != "acid-copper":
                wrong, severity, source = "copper that is not from an acid bath (a)", Severity.DOUBT, _COPPER
        elif asked.metal == "nickel" and asked.type == "bright":
            if any(kind not in {"bright", None} for kind in types):
                wrong, severity = f"{types[0]} nickel, where bright is asked for (b)", Severity.DOUBT
        elif asked.metal == "nickel":
            if any(kind == "bright" for kind in types):
                wrong, severity = "bright nickel, where dull or semi-bright is asked for", Severity.DOUBT
        elif asked.metal == "chromium" and any(kind not in {asked.type, None} for kind in types):
            wrong = f"{types[0]} chromium, where {asked.type} is asked for"
        if wrong:
            yield Found(
                built.stages[-1],
                f"{wrong} in {case.procedure.finish}",
                "Each type corrodes in its own way, and the designation promises one of them.",
                "Plate the type that is designated, or write the designation that is plated.",
                severity,
                source,
            )


@rule(
    "shares-of-nickel",
    GUARDS,
    Severity.DOUBT,
    "Double-layer nickel is at least three fifths semi-bright; a high-sulfur layer is thin.",
    _LAYERS,
)
def shares_of_nickel(case: Case) -> Iterator[Found]:
    """Shares of the nickel layers."""
    for built in _built(case):
        types = set(built.types)
        if built.metal != "nickel" or not {"semi-bright", "bright"} <= types:
            continue
        least = TRIPLE_SHARE.value if "high-sulfur" in types else SEMI_BRIGHT_SHARE.value
        share = built.share_of("semi-bright")
        if share < least * _NEAR:
            yield Found(
                built.stages[0],
                f"semi-bright is {share:.0%} of the nickel, where {least:.0%} is the least",
                "The bright layer is there to corrode in place of it, and what is left must hold.",
                "Plate more semi-bright, or less bright.",
            )
        thin = built.share_of("high-sulfur")
        if thin > HIGH_SULFUR_SHARE.value / _NEAR:
            yield Found(
                built.stages[0],
                f"high-sulfur nickel is {thin:.0%} of the nickel, where {HIGH_SULFUR_SHARE.value:.0%} "
                "is the most",
                "It corrodes sideways and lifts what is over it.",
                "Plate less of it.",
            )


@rule(
    "type-from-another-bath",
    GUARDS,
    Severity.DOUBT,
    "Bright, semi-bright and hard deposits come from the bath made for each.",
    Source("what platers hold of baths", Known.PRACTICE),
)
def type_from_another_bath(case: Case) -> Iterator[Found]:
    """The type of a deposit against its solution, and against what the same tank lays elsewhere here."""
    of_tank: dict[str, str] = {}
    for stage in case.history:
        deposit, solution = stage.step.deposit, stage.solution
        if not stage.deposits or deposit is None or solution is None or deposit.type is None:
            continue
        assert stage.tank is not None
        before = of_tank.setdefault(stage.tank.id, deposit.type)
        hard_bath = solution.name == "hard-chromium"
        wrong = deposit.type in _NEVER.get(solution.name, frozenset())
        if deposit.metal == "chromium" and (deposit.type == "hard") is not hard_bath:
            wrong = True
        if wrong or before != deposit.type:
            yield Found(
                stage,
                f"{deposit.type} {deposit.metal} from {solution.name}"
                + ("" if wrong else f", which lays {before} {deposit.metal} elsewhere in this route"),
                "A bath lays one type down, by what is in it.",
                "Name the tank that lays it down, or the type that comes.",
            )


RULES: tuple[Rule, ...] = (
    another_basis_designated,
    layer_missing,
    thinner_than_designated,
    another_type_than_designated,
    shares_of_nickel,
    type_from_another_bath,
)
