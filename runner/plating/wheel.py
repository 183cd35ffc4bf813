"""How fast does the wheel turn?

Owns surface speed against spindle speed: ``v = π·D·n/60``. Must not know which speed suits which metal, nor
what is marked on a wheel: that mark is never exceeded, whatever a sum says.
"""

from __future__ import annotations

import math

from runner.plating import sense

_SECONDS_PER_MINUTE = 60
_MM_PER_M = 1000


def wheel_rpm(diameter_mm: float, speed_m_s: float) -> float:
    """Turns a minute that give a surface speed.

    Raises:
        ValueError: A diameter or speed not above zero.
    """
    sense.positive(diameter_mm=diameter_mm, speed_m_s=speed_m_s)
    return _SECONDS_PER_MINUTE * _MM_PER_M * speed_m_s / (math.pi * diameter_mm)


def wheel_speed_m_s(diameter_mm: float, rpm: float) -> float:
    """Surface speed at a number of turns a minute.

    Raises:
        ValueError: A diameter or speed not above zero.
    """
    sense.positive(diameter_mm=diameter_mm, rpm=rpm)
    return math.pi * diameter_mm * rpm / (_SECONDS_PER_MINUTE * _MM_PER_M)


def wheel_diameter_mm(speed_m_s: float, rpm: float) -> float:
    """Diameter that gives a surface speed at a number of turns a minute.

    Raises:
        ValueError: A speed not above zero.
    """
    sense.positive(speed_m_s=speed_m_s, rpm=rpm)
    return _SECONDS_PER_MINUTE * _MM_PER_M * speed_m_s / (math.pi * rpm)
