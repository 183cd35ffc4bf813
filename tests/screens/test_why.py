"""Why a step: its reason, what goes wrong and the surface, by one key."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.plating.sources import Known
from runner.procedure.goes_wrong import goes_wrong
from support.screen import stage
from support.sheets import CHROMIUM, DIP, FINAL, NICKEL, RINSE, sheet
from support.shipped import ROUTES, plans


@pytest.mark.parametrize("route", ROUTES)
def test_every_step_in_a_tank_says_what_goes_wrong(route: str) -> None:
    """On every route that comes along, each sentence with how it is known."""
    known = {str(word) for word in Known}
    for step in plans()[route].steps:
        told = list(goes_wrong(plans()[route], step))
        assert told or step.tank is None
        assert all(sentence and how in known for sentence, how in told)


def test_a_rinse_says_what_it_keeps_apart() -> None:
    """The table of carry-over says what the film of the tank before would do in the tank after."""
    plan = plans()["stirrup-irons.toml"]
    step = next(one for one in plan.steps if one.tank == "strip-nickel-rinse")
    assert any(sentence.startswith("Left out, ") for sentence, _ in goes_wrong(plan, step))


def test_chromium_by_the_clock_says_that_time_does_not_make_it_good() -> None:
    """It lays down by the clock: low current is lost cover."""
    plan = plans()["stirrup-irons.toml"]
    step = next(one for one in plan.steps if one.metal == "chromium")
    assert any("lost cover" in sentence for sentence, _ in goes_wrong(plan, step))


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_one_key_shows_why_and_another_goes_back(tmp_path: Path, size: tuple[int, int]) -> None:
    """The page has reason, what goes wrong and the surface; escape leads back to the walk."""
    async with stage(tmp_path, size=size) as s:
        await s.walk(sheet(NICKEL, RINSE, CHROMIUM, FINAL))
        await s.press("w")
        await s.sees("Why: step 1", "WHAT GOES WRONG", "THE SURFACE NOW", "common practice")
        await s.press("escape")
        await s.sees("space")
        assert "WHAT GOES WRONG" not in s.text()


@pytest.mark.parametrize("width", [40, 76, 80, 120])
async def test_what_goes_wrong_stands_whole_on_the_page(tmp_path: Path, width: int) -> None:
    """However the rows are broken: what the acid dip carries into the nickel is told to its end."""
    plan = plans()["bell-pushes.toml"]
    rinse = next(one for one in plan.steps if one.name == "Rinse before nickel")
    told = [sentence for sentence, _ in goes_wrong(plan, rinse)]
    assert any("iron, copper and acid go into the bath" in sentence for sentence in told)
    async with stage(tmp_path, size=(width, 60)) as s:
        await s.walk(sheet(DIP, RINSE, FINAL))
        s.app.show_help("Why", (), "\n".join(f"· {sentence}  (common practice)" for sentence in told))
        await s.sees("escape: back")
        page = " ".join(row.partition("│")[2].partition("│")[0] for row in s.rows())
        assert all(sentence in " ".join(page.split()) for sentence in told)


async def test_it_is_about_the_step_under_way(tmp_path: Path) -> None:
    """In the dip it tells of the dip, not of what comes next."""
    async with stage(tmp_path) as s:
        await s.walk(sheet(DIP, RINSE, FINAL))
        await s.press("w")
        await s.sees("Why: step 1")
