"""Which constants of nature do the sums stand on?

Owns the few that deposits and gases need, each with its source. Must not hold a figure of the trade.
"""

from __future__ import annotations

from runner.plating.sources import Figure, Known, Source

SECONDS_PER_HOUR = 3600.0
"""By definition."""

_CODATA = Source("CODATA recommended values of the fundamental constants, 2018", Known.READ)

ELEMENTARY_CHARGE = Figure(1.602176634e-19, "C", _CODATA)
"""Exact since 2019."""

AVOGADRO = Figure(6.02214076e23, "1/mol", _CODATA)
"""Exact since 2019."""

FARADAY = Figure(ELEMENTARY_CHARGE.value * AVOGADRO.value, "C/mol", _CODATA)
"""Charge of one mole of electrons: the product of two exact constants, so exact itself."""

MOLAR_GAS_VOLUME = Figure(22.41396954, "L/mol at 0 °C and 101.325 kPa", _CODATA)
"""Room that one mole of an ideal gas takes."""
