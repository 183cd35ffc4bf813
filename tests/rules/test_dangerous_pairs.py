"""What kills or burns when it meets: each rule finds its fault and keeps still at the sound twin.

The pairs are those of EU CLP, EUH031 and EUH032, and of EPA-600/2-80-076, a chart of incompatible wastes,
both from memory; silica after HSE OC 273/18, read; wheel speeds after the Metal Finishing Guidebook, from
memory.
"""

from __future__ import annotations

from typing import Any

import pytest

from runner.procedure.rules.catalogue import CATALOGUE
from runner.procedure.rules.check import Findings, check_shop, stands
from runner.procedure.rules.rule import BatchFacts
from runner.procedure.rules.shared_use import gather
from runner.procedure.surface_walk import follow
from support.rule_shop import (
    ALUMINIUM,
    BRASS,
    CYANIDE,
    NICKEL,
    SHOP,
    SOAK,
    STEEL,
    STRIP,
    STRONG,
    ZINC,
    Step,
    a_shop,
    at,
    bench,
    check,
    instead,
    rinse,
    route,
    twin,
    wet,
    without,
)


def _after(steps: list[Step], tank: str) -> list[Step]:
    """Without the rinse after a tank."""
    return without(steps, at(steps, tank) + 1)


@pytest.mark.parametrize(
    ("bad", "sound"),
    [
        (_after(ZINC, "zinc-dip"), ZINC),
        (without(ZINC, at(ZINC, "r8")), ZINC),
        (instead(ZINC, at(ZINC, "r8"), tank="still"), ZINC),
        (_after(ALUMINIUM, "cyanide-copper-strike"), ALUMINIUM),
        ([*CYANIDE[:2], *NICKEL], [*CYANIDE, *NICKEL]),
        ([wet("passivate", "passivate"), wet("other", "bisulfite-neutraliser")], STEEL),
        ([wet("other", "hypochlorite-treatment"), wet("activate", "sulfuric-dip")], STEEL),
        ([wet("other", "sulfide-copper-strip"), wet("activate", "sulfuric-dip")], STEEL),
        (
            [wet("clean", "solvent-cleaner"), wet("other", "chromic-predip")],
            [wet("clean", "solvent-cleaner"), *SOAK],
        ),
        ([wet("clean", "solvent-cleaner"), wet("desmut", "nitric-desmut")], STEEL),
    ],
    ids=[
        "acid dip to cyanide",
        "cyanide to acid dip",
        "cyanide through a still rinse",
        "cyanide strike to acid dip",
        "cyanide to nickel, which is acid too",
        "acid to bisulfite",
        "hypochlorite to acid",
        "sulfide to acid",
        "solvent to chromic acid",
        "solvent to nitric acid",
    ],
)
def test_what_clings_meets_nothing_it_would_gas_or_burn_in(bad: list[Step], sound: list[Step]) -> None:
    """Unrinsed, or rinsed in a tank that hardly runs, it is a danger; through running rinses it is not."""
    twin("meets-on-the-part", "danger", check(bad, "copper"), check(sound, "copper"))


def test_a_rinse_of_unknown_flow_between_cyanide_and_acid_is_a_doubt() -> None:
    """Missing figures are at most a doubt."""
    found = check(instead(ZINC, at(ZINC, "r8"), tank="unstated"), "zinc die-cast")
    assert {str(f.severity) for f in found if f.rule == "meets-on-the-part"} == {"doubt"}


def test_a_rinse_that_takes_cyanide_takes_no_acid_in_any_procedure() -> None:
    """Neither file is wrong by itself; together they are."""
    acid = route([wet("activate", "sulfuric-dip"), rinse("r8")], title="Acid")
    cyanide = route(ZINC, "zinc die-cast", title="Cyanide")
    alone = check(ZINC, "zinc die-cast")
    twin("shared-water", "danger", check(ZINC, "zinc die-cast", others=(acid,)), alone)
    both = check_shop({"acid.toml": acid, "cyanide.toml": cyanide}, SHOP)
    assert all(any(f.rule == "shared-water" for f in both[name]) for name in both)
    assert all(stands(findings) for findings in both.values())


def test_a_shared_rinse_is_found_within_one_file() -> None:
    """The same rinse before and after the cyanide."""
    shared = instead(ZINC, at(ZINC, "r7"), tank="r8")
    twin("shared-water", "danger", check(shared, "zinc die-cast"), check(ZINC, "zinc die-cast"))


@pytest.mark.parametrize(
    ("tank", "beside"),
    [
        ("cyanide_copper", "sulfuric-dip"),
        ("dip_copper", "cyanide-copper-strike"),
        ("r8", "dip-copper"),
        ("watts_nickel", "cyanide-copper"),
    ],
)
def test_acid_and_cyanide_are_no_neighbours(tank: str, beside: str) -> None:
    """Whichever of the two names the other, and where one is the rinse that takes the cyanide."""
    near = a_shop(**{tank: {"beside": [beside]}})
    bad = check([*ZINC, wet("other", "sulfuric-dip")], "zinc die-cast", shop=near)
    twin("neighbours", "danger", bad, check(ZINC, "zinc die-cast"))


def test_a_cyanide_tank_may_stand_by_the_rinse_before_it() -> None:
    """Water that took a weak acid is worth a word, not a refusal."""
    near = a_shop(cyanide_copper_strike={"beside": ["r7"]})
    found = check(ZINC, "zinc die-cast", shop=near)
    assert [str(f.severity) for f in found if f.rule == "neighbours"] == ["advice"]


def test_contents_make_a_cyanide_tank_of_a_zincate() -> None:
    """A class named among the contents counts as the row's own."""
    mixed = a_shop(zincate={"contents": {"sodium cyanide": "10 g/L"}})
    unrinsed = without(ALUMINIUM, 5)
    bad = check(unrinsed, "aluminium", shop=mixed)
    twin("meets-on-the-part", "danger", bad, check(unrinsed, "aluminium"))
    twin("meets-on-the-part", "danger", bad, check(ALUMINIUM, "aluminium", shop=mixed))


@pytest.mark.parametrize(
    ("bad", "sound", "rule", "severity", "basis"),
    [
        (
            [wet("activate", "hydrochloric-pickle"), wet("other", "chromic-predip")],
            [wet("activate", "hydrochloric-pickle"), rinse("r2"), wet("other", "chromic-predip")],
            "film-reacts",
            "danger",
            "low-carbon steel",
        ),
        ([wet("desmut", "nitric-desmut")], ALUMINIUM, "oil-in-oxidiser", "doubt", "aluminium"),
        (
            STRIP,
            instead(STRIP, 2, tank="carbonate-chromium-strip"),
            "caustic-on-light-metal",
            "danger",
            "zinc die-cast",
        ),
        ([wet("etch", "aluminium-etch")], STEEL, "caustic-on-light-metal", "danger", "zinc die-cast"),
    ],
)
def test_films_oil_and_caustic(
    bad: list[Step], sound: list[Step], rule: str, severity: str, basis: str
) -> None:
    """Each with its twin."""
    layers: dict[str, Any] = {"existing": ["chromium", "nickel"]} if bad is STRIP else {}
    twin(rule, severity, check(bad, basis, **layers), check(sound, basis, **layers))


def _blast(media: str) -> Findings:
    return check([bench("blast", media=media, ppe=["dust mask"])])


@pytest.mark.parametrize("media", ["silica sand", "sand", "fine quartz", "Flint grit", "washed SAND, wet"])
def test_nothing_with_free_silica_is_blasted_with(media: str) -> None:
    """HSE OC 273/18: no sand or other free silica, wet or dry."""
    twin("silica-in-the-blast", "danger", _blast(media), _blast("aluminium oxide"))


@pytest.mark.parametrize(
    "media",
    ["glass bead", "silicon carbide", "silica-free slag", "corundum, no silica", "thousand-grit oxide"],
)
def test_media_without_free_silica_pass(media: str) -> None:
    """A word that only looks like it, or denies it, is no finding."""
    assert not [f for f in _blast(media) if f.rule == "silica-in-the-blast"]


def _wheel(speed: str, basis: str = "low-carbon steel") -> Findings:
    return check([bench("polish", wheel={"diameter": "250 mm", "speed": speed}, ppe=["goggles"])], basis)


def test_no_wheel_runs_over_every_printed_speed() -> None:
    """9000 ft/min is the most in print; written in m/s it is 45.72."""
    twin("wheel-too-fast", "danger", _wheel("55 m/s"), _wheel("9000 ft/min"))
    twin("wheel-too-fast", "doubt", _wheel("44 m/s", "zinc die-cast"), _wheel("36 m/s", "zinc die-cast"))


@pytest.mark.parametrize(("dragout", "severity"), [("still", "danger"), ("unstated", "doubt")])
def test_a_drag_out_is_not_the_last_water_before_acid(dragout: str, severity: str) -> None:
    """What clings then is the drag-out's own water, with the cyanide that every part leaves in it."""
    strike, r8 = at(ZINC, "cyanide-copper-strike"), at(ZINC, "r8")
    sound = [*ZINC[: strike + 1], rinse(dragout), *ZINC[strike + 1 :]]
    bad = [*sound[: r8 + 2], rinse(dragout), *sound[r8 + 2 :]]
    assert (sound[r8 + 1]["tank"], bad[r8 + 2]["tank"]) == ("r8", dragout)
    twin("rinse-brings-back", severity, check(bad, "zinc die-cast"), check(sound, "zinc die-cast"))


def test_gloves_come_off_at_the_spindle() -> None:
    """PPE inverts there: what asks for gloves is the danger, what forbids them is not."""
    gloved = check([bench("polish", ppe=["goggles", "leather gloves"])])
    twin(
        "gloves-at-the-spindle", "danger", gloved, check([bench("polish", ppe=["no gloves at the spindle"])])
    )


@pytest.mark.parametrize("steps", [STRONG, SOAK])
def test_a_closed_hollow_part_is_not_heated(steps: list[Step]) -> None:
    """Asked only where the booking says so: in the oven, and in a hot tank."""
    twin("hollow-part-heated", "danger", check(steps, facts=BatchFacts(hollow=True)), check(steps))


def test_dangers_that_nobody_may_override() -> None:
    """Pairs, silica, overspeed, oxidisers and hollow parts: no chargehand signs them away."""
    kept = {rule.name for rule in CATALOGUE if not rule.overridable}
    assert kept == {
        "meets-on-the-part",
        "rinse-brings-back",
        "shared-water",
        "neighbours",
        "film-reacts",
        "oil-in-oxidiser",
        "caustic-on-light-metal",
        "silica-in-the-blast",
        "wheel-too-fast",
        "gloves-at-the-spindle",
        "hollow-part-heated",
    }


def test_sound_routes_of_every_metal_are_silent() -> None:
    """Not even a doubt."""
    for steps, basis in ((STEEL, "low-carbon steel"), (BRASS, "brass"), (ZINC, "zinc die-cast")):
        assert not check(steps, basis)


def test_what_a_rinse_takes_is_kept_in_bounds_however_many_routes_there_are() -> None:
    """Two steps for each film, so that a thousand routes in one call take ten times what a hundred do."""
    histories_of = [follow(route(ZINC, "zinc die-cast"), SHOP, "zinc die-cast")]
    few = gather(SHOP, ((str(number), histories_of) for number in range(2)))
    many = gather(SHOP, ((str(number), histories_of) for number in range(50)))
    assert {tank: len(kept) for tank, kept in many.strongest.items()} == {
        tank: len(kept) for tank, kept in few.strongest.items()
    }
