"""Routes that are odd and yet well formed: any step, in any tank, in any order, with any figures."""

from __future__ import annotations

from typing import Any

import tomli_w
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from runner.faults import InputFault
from runner.plating.solutions import SOLUTIONS
from runner.procedure.model import Procedure
from runner.procedure.model_words import BASES, DOES, LAYERS, TYPES
from runner.procedure.reading import parse_procedure
from runner.procedure.rules.check import Findings, check_procedure
from runner.procedure.rules.rule import BatchFacts
from runner.procedure.surface_explain import explain
from runner.procedure.surface_walk import bases_of, follow
from support.rule_shop import SHOP

_TIMES = st.sampled_from(["1 s", "30 s", "5 min", "2 h", "30 h"])
_DENSITIES = st.sampled_from(["0.1 A/dm²", "3 A/dm²", "12 A/dm²", "180 A/dm²"])
_WINDOW = st.sampled_from([{"min": "-10 °C", "max": "5 °C"}, {"min": "100 °C", "max": "500 °C"}])


@st.composite
def _steps(draw: st.DrawFn) -> dict[str, Any]:
    does = draw(st.sampled_from(DOES))
    step: dict[str, Any] = {"name": draw(st.sampled_from(["a", "rinse", "[b]{}"])), "does": does}
    tank = draw(st.none() | st.sampled_from(sorted(SHOP.tanks)))
    if does in {"plate", "strike"}:
        tank = draw(st.sampled_from([t for t in sorted(SHOP.tanks) if SOLUTIONS[SHOP.tanks[t].solution].ion]))
        ion = SOLUTIONS[SHOP.tanks[tank].solution].ion
        assert ion is not None
        step["deposit"] = {
            "metal": ion.metal,
            "thickness": draw(st.sampled_from(["0.01 µm", "2 µm", "900 µm"])),
            "current_density": draw(_DENSITIES),
        }
        if draw(st.booleans()):
            step["deposit"]["type"] = draw(st.sampled_from(TYPES))
        step["polarity"] = draw(st.sampled_from(["cathodic", "anodic"]))
    elif tank is not None and SHOP.tanks[tank].rectifier and draw(st.booleans()):
        step["polarity"] = draw(st.sampled_from(["cathodic", "anodic"]))
        if draw(st.booleans()):
            step["current_density"] = draw(_DENSITIES)
        else:
            step["voltage"] = "6 V"
    if tank is not None:
        step["tank"] = tank
        step["dwell"] = draw(_TIMES)
    elif draw(st.booleans()):
        step["dwell"] = draw(_TIMES)
    if does == "strip":
        step["removes"] = draw(st.lists(st.sampled_from(LAYERS), min_size=1, max_size=3, unique=True))
    if does == "blast":
        step["media"] = draw(st.sampled_from(["sand", "glass bead"]))
    if does == "polish" and draw(st.booleans()):
        step["wheel"] = {"diameter": "100 mm", "speed": draw(st.sampled_from(["1 m/s", "100 m/s"]))}
    if tank is None and draw(st.booleans()):
        step["temperature"] = draw(_WINDOW)
    if draw(st.booleans()):
        step["next_within"] = draw(_TIMES.filter(lambda time: time != "30 h"))
    if "polarity" in step and draw(st.booleans()):
        step["current_within"] = "1 min"
    return step


@st.composite
def odd_routes(draw: st.DrawFn) -> Procedure | None:
    """A procedure, or None where the format refuses what was drawn."""
    document: dict[str, Any] = {"format": 1, "title": draw(st.sampled_from(["A", "Ä — b"]))}
    key = draw(st.sampled_from(["basis", "assembly"]))
    document[key] = draw(st.lists(st.sampled_from(BASES), min_size=1, max_size=4, unique=True))
    if draw(st.booleans()):
        document["existing"] = draw(st.lists(st.sampled_from(LAYERS), max_size=4))
    if draw(st.booleans()):
        document["finish"] = draw(
            st.sampled_from(["Fe/Ni20b/Cr r", "Zn/Cu8a/Ni25d/Cr mp", "Al/Ag5", "Cu/Cr50 r/Ni5p"])
        )
    if draw(st.booleans()):
        document["strength"] = draw(st.sampled_from(["500 MPa", "1000 MPa", "2900 MPa", "HRC 45"]))
    document["step"] = draw(st.lists(_steps(), min_size=1, max_size=14))
    try:
        return parse_procedure(tomli_w.dumps(document), SHOP)
    except InputFault:
        return None


facts = st.none() | st.builds(
    BatchFacts,
    piece_dm2=st.none() | st.sampled_from([0.0, 0.001, 5.0, 9999.0]),
    pieces=st.none() | st.integers(1, 1000),
    hollow=st.none() | st.booleans(),
    blind=st.none() | st.booleans(),
)


def judged(procedure: Procedure, batch: BatchFacts | None, strength_mpa: float | None) -> Findings:
    """What the rules find in it, with its surface told too."""
    for basis in bases_of(procedure):
        assert len(explain(follow(procedure, SHOP, basis))) == len(procedure.steps) + 1
    return check_procedure(procedure, SHOP, batch, strength_mpa, others=(procedure,))


def try_odd(examples: int) -> int:
    """Judge so many odd routes; returns how many of them were well formed."""
    tried = 0

    @settings(max_examples=examples, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(odd_routes(), facts, st.none() | st.sampled_from([999.0, 1000.0, 2500.0]))
    def judge(procedure: Procedure | None, batch: BatchFacts | None, strength_mpa: float | None) -> None:
        nonlocal tried
        if procedure is None:
            return
        tried += 1
        for finding in judged(procedure, batch, strength_mpa):
            assert finding.message and finding.why and finding.remedy and finding.source and finding.known
            assert finding.step is None or 1 <= finding.step <= len(procedure.steps)

    judge()
    return tried
