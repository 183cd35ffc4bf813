"""A plan of the small route, for tests that look at one of its steps."""

from __future__ import annotations

from runner.procedure.plan import Order, compute
from runner.procedure.reading import parse_procedure
from runner.procedure.sheet import Plan, PlannedStep
from runner.shop.reading import parse_shop
from support.shops import ROUTE, SHOP

NICKEL_STEP = 6
ONE = Order(10.0, 1)


def planned(order: Order = ONE, *, shop: str = SHOP, route: str = ROUTE) -> Plan:
    """The plan of the small route, or of another, in the small shop, or in another."""
    standing = parse_shop(shop)
    return compute(parse_procedure(route, standing), standing, order)


def nickel(order: Order = ONE, *, shop: str = SHOP, route: str = ROUTE) -> PlannedStep:
    """Its nickel step."""
    return planned(order, shop=shop, route=route).step(NICKEL_STEP)


def changed(text: str, good: str, other: str) -> str:
    """A text with one part exchanged."""
    assert text.count(good) == 1
    return text.replace(good, other)
