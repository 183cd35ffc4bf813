"""Shops with batches to be printed, and prints of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.batch.moment import Moment
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.record.rehearse import rehearse
from runner.record.report.material import gather
from runner.record.report.pages import report_html
from runner.shop.reading import load_shop
from support.cli import example
from support.journals import moment
from support.messy import BATCH, make_messy
from support.pages import Page, Printed
from support.works import Works, make_works

PRINTED = Moment(moment().at_ms + 86_400_000, "office", 0)


@pytest.fixture(scope="session")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Works:
    """A shop with batches of every kind; not to be changed."""
    folder = tmp_path_factory.mktemp("printed")
    return make_works(folder / "shop", folder / "keys")


@pytest.fixture
def works(sound: Works, tmp_path: Path) -> Works:
    """A copy for one test to change."""
    return sound.copy(tmp_path / "shop")


@pytest.fixture(scope="session")
def messy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the batch in which nearly everything went wrong; not to be changed."""
    folder = tmp_path_factory.mktemp("messy")
    return make_messy(folder / "shop", folder / "keys").batch(BATCH)


@pytest.fixture(scope="session")
def printed() -> Printed:
    """The report of a folder, read back; that nothing in it can run or load is seen to every time."""

    def made(folder: Path) -> Page:
        page = Page(report_html(gather(folder), PRINTED))
        page.harmless()
        return page

    return made


@pytest.fixture(scope="session")
def demo_rehearsal(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a rehearsal of the demo's longest route to a finish."""
    folder = example(tmp_path_factory.mktemp("demo") / "shop")
    shop = load_shop(folder)
    procedure = load_procedure(folder / "procedures" / "stirrup-irons.toml", shop)
    plan = compute(procedure, shop, Order(3.0, 4))
    made = rehearse(folder / "logs", plan, shop.title, "stirrup-irons.toml", procedure.source.text, moment())
    return made.record.parent
