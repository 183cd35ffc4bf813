"""Which figures make no sense in a sum?

Owns the refusals that every sum of this room shares. They are `ValueError`: whoever reads options or files
turns them into a fault with a place and a remedy. Must not know any sum.
"""

from __future__ import annotations

import math


def positive(**figures: float) -> None:
    """Refuse figures that are zero, negative, infinite or not a number.

    Raises:
        ValueError: Names the first such figure.
    """
    for name, value in figures.items():
        if not (math.isfinite(value) and value > 0):
            raise ValueError(f"{name} must be a number above zero, found {value}")


def not_negative(**figures: float) -> None:
    """Refuse figures that are negative, infinite or not a number.

    Raises:
        ValueError: Names the first such figure.
    """
    for name, value in figures.items():
        if not (math.isfinite(value) and value >= 0):
            raise ValueError(f"{name} must be zero or above, found {value}")


def share(**figures: float) -> None:
    """Refuse shares that are not above zero and at most one.

    Raises:
        ValueError: Names the first such figure.
    """
    for name, value in figures.items():
        if not 0 < value <= 1:
            raise ValueError(f"{name} must be above 0 and at most 1, found {value}")


def count(**figures: int) -> None:
    """Refuse counts that are no whole number of at least one.

    Raises:
        ValueError: Names the first such figure.
    """
    for name, value in figures.items():
        if isinstance(value, bool) or value != int(value) or value < 1:
            raise ValueError(f"{name} must be a whole number of at least 1, found {value}")
