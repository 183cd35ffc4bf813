"""The routes that come along, planned for a small load."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from runner.cli.example import example_files, make_shop
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.procedure.sheet import Plan
from runner.shop.finding import PEOPLE_FILE, SHOP_FILE
from runner.shop.reading import load_shop

ROUTES = sorted(
    file.name for file in example_files().glob("*.toml") if file.name not in {SHOP_FILE, PEOPLE_FILE}
)


@cache
def plans() -> dict[str, Plan]:
    """The plan of each route, read once."""
    with TemporaryDirectory() as folder:
        place = Path(folder) / "shop"
        make_shop(place)
        shop = load_shop(place)
        return {
            name: compute(load_procedure(place / "procedures" / name, shop), shop, Order(4.0, 2))
            for name in ROUTES
        }
