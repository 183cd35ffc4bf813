"""How much of one solution does the next tank bear?

Owns the table of dilutions that a film needs before the next tank, and where no rinse is right at all.
Ratios are those of good rinsing in print, or of the limit that the bath keeps; most are practice, and a
shop that carries more knows its own tanks. Must not reckon a rinse (`rinsing` does).
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.plating.effects import Group
from runner.plating.effects_table import effect
from runner.plating.severity import Severity
from runner.plating.sources import Known, Source

UNDILUTED = 1.0
"""The ratio of a film that may come as it is."""


@dataclass(frozen=True, slots=True)
class Carry:
    """One row of the table.

    Attributes:
        of: Groups or solutions that the film is of.
        into: Groups or solutions that it comes to.
        ratio: Least dilution, times.
        severity: Where no rinse stands between at all.
        what: What happens, as a sentence without its stop.
        source: Where that is known from.
    """

    of: frozenset[str]
    into: frozenset[str]
    ratio: float
    severity: Severity
    what: str
    source: Source


_PRACTICE = Source("what platers hold of rinsing", Known.PRACTICE)
_YATES = Source(
    "Rinsing with Less Water, 1977: 37 mg/L of metal, 15 mg/L of chromium in the last rinse", Known.READ
)
_TDS = Source("about 750 mg/L after cleaners and acids, EPA and handbooks", Known.MEMORY)
_CHLORIDE = Source(
    "acid copper keeps 50 to 120 ppm of chloride (Metal Finishing Guidebook, p. 206)", Known.READ
)
_CHROMIC = Source(
    "chromic baths keep chloride under 50 ppm and sulfate at a hundredth of the acid", Known.MEMORY
)
_COPPER = Source("Watts nickel bears 10 to 20 ppm of copper", Known.MEMORY)

_SPOIL, _DOUBT = Severity.SPOIL, Severity.DOUBT


def _of(*names: str) -> frozenset[str]:
    return frozenset(names)


_ACIDS = _of("weak acid", "hydrochloric acid", "fluoride acid", "nitric acid", "strong sulfuric")
_NICKELS = _of("nickel", "nickel strike")
_CHROMIUMS = _of("chromic acid", "trivalent chromium")
_DEPOSITS = _NICKELS | _of("acid copper", "zinc", "copper without cyanide")

CARRIES: tuple[Carry, ...] = (
    # Where no rinse is right, or none is needed.
    Carry(_of("weak acid"), _of("acid copper", "weak acid", "nickel strike"),
          UNDILUTED, _DOUBT, "", _PRACTICE),
    Carry(_of("hydrochloric acid"), _of("nickel strike", "hydrochloric acid"),
          UNDILUTED, _DOUBT, "", _PRACTICE),
    Carry(_of("semi-bright-nickel"), _of("watts-nickel"), UNDILUTED, _DOUBT, "", _PRACTICE),
    Carry(_of("cyanide"), _of("cyanide"), UNDILUTED, _DOUBT, "", _PRACTICE),
    Carry(_of("chromic-predip"), _of("chromic acid"), UNDILUTED, _DOUBT, "", _PRACTICE),
    Carry(_of("alkali", "solvent"), _of("alkali"), UNDILUTED, _DOUBT, "", _PRACTICE),
    Carry(_of("water", "hypochlorite", "sulfide"), _of("water"), UNDILUTED, _DOUBT, "", _PRACTICE),
    # Alkali on its way to acid, and acid on its way to alkali.
    Carry(_of("alkali", "chromium strip"), _ACIDS, 50, _SPOIL,
          "alkali spends the acid and lets soap and oil go, which settle on the parts", _TDS),
    Carry(_of("alkali", "chromium strip", "zincate"), _DEPOSITS | _CHROMIUMS | _of("passivate"), 100, _SPOIL,
          "alkali drops the metal out of the bath and leaves a film under the deposit", _TDS),
    Carry(_of("alkali"), _of("cyanide", "zincate"), 10, _DOUBT, "cleaner builds up in the bath", _PRACTICE),
    Carry(_of("zincate"), _of("nitric acid"), 20, _SPOIL,
          "caustic spits in nitric acid and spends it", _PRACTICE),
    Carry(_of("nitric acid"), _of("zincate", "alkali"), 20, _SPOIL,
          "nitric acid thins the zincate where it hangs", _PRACTICE),
    Carry(_of("zincate"), _of("cyanide"), 10, _DOUBT, "zinc from the film goes into the copper", _PRACTICE),
    # Between the plating baths.
    Carry(_of("hydrochloric acid", "nickel strike"), _of("acid copper"), 1000, _SPOIL,
          "chloride over its limit makes acid copper dull and stripes it", _CHLORIDE),
    Carry(_of("hydrochloric acid", "nickel strike", "nickel", "zinc"), _of("chromic acid"), 500, _SPOIL,
          "chloride and sulfate throw chromium off its balance: bare and milky patches", _CHROMIC),
    Carry(_of("weak acid"), _of("chromic acid"), 100, _DOUBT,
          "sulfate throws chromium off its balance", _CHROMIC),
    Carry(_of("nickel", "nickel strike"), _of("trivalent chromium"), 100, _DOUBT,
          "nickel darkens trivalent chromium", _PRACTICE),
    Carry(_of("acid copper", "cyanide", "copper without cyanide"), _CHROMIUMS, 2000, _SPOIL,
          "copper spoils chromium", _YATES),
    Carry(_of("acid copper", "copper without cyanide"), _NICKELS, 1000, _SPOIL,
          "copper in nickel turns recesses black", _COPPER),
    Carry(_of("acid copper"), _of("zinc"), 1000, _SPOIL, "copper in zinc darkens it", _PRACTICE),
    Carry(_of("zinc"), _NICKELS | _of("acid copper"), 1000, _SPOIL, "zinc streaks the deposit", _PRACTICE),
    Carry(_of("watts-nickel"), _of("semi-bright-nickel"), 100, _SPOIL,
          "brightener carries sulfur into the layer that must have none", _PRACTICE),
    Carry(_of("nickel strike"), _of("nickel"), 10, _DOUBT,
          "strong acid and chloride shift the bath: two rinses are usual", _PRACTICE),
    Carry(_of("nickel"), _of("nickel"), 10, _DOUBT, "one nickel's additives spoil the other", _PRACTICE),
    Carry(_of("nickel"), _of("acid copper"), 50, _DOUBT, "nickel builds up in the copper", _PRACTICE),
    Carry(_of("fluoride acid"), _DEPOSITS | _CHROMIUMS, 100, _SPOIL, "fluoride spoils the bath", _PRACTICE),
    Carry(_of("nitric acid"), _DEPOSITS | _CHROMIUMS, 1000, _SPOIL, "nitrate stops the deposit", _PRACTICE),
    Carry(_of("weak acid", "hydrochloric acid"), _DEPOSITS, 10, _DOUBT,
          "the dip's iron, copper and acid go into the bath", _PRACTICE),
    Carry(_of("hydrochloric acid"), _of("strong sulfuric"), 100, _DOUBT,
          "chloride makes the strip pit", _PRACTICE),
    # Chromium poisons whatever it reaches.
    Carry(_of("chromic acid", "chromium strip"), _of("trivalent chromium"), 20_000, _SPOIL,
          "a little chromium(VI) stops trivalent chromium", _YATES),
    Carry(_of("chromic acid"), _of("bisulfite"), 100, _DOUBT, "the acid spends the bisulfite", _PRACTICE),
    Carry(_of("chromic acid"), _DEPOSITS | _of("cyanide"), 5000, _SPOIL,
          "chromium(VI) makes nickel peel and copper skip", _YATES),
    Carry(_of("chromic acid", "trivalent chromium"), _of("alkali"), 100, _DOUBT,
          "chromium in a cleaner films the work", _PRACTICE),
    Carry(_of("zinc"), _of("passivate"), 20, _DOUBT, "plating salts make the film patchy", _PRACTICE),
)  # fmt: skip
"""The first row that fits counts, those at the top before all."""

ANY_OTHER = Carry(frozenset(), frozenset(), 10, _DOUBT, "one solution goes straight into another", _PRACTICE)
"""Where the table has no row for two different groups."""

FILM_TO_DRY = Carry(
    frozenset(), frozenset(), 500, _SPOIL, "what dries on stains the part and goes on eating it", _TDS
)
"""Of any film on a part that is dried, baked or taken off the rack."""

LEAST_SHARE_TO_COUNT = 1e-7
"""A film thinner than this share of its bath is pure water to any tank."""


def carry(of: str, into: str) -> Carry | None:
    """The row for a film of one solution brought into another; None where either is not known.

    The film of a group into the same group needs nothing but what a row says.
    """
    film, bath = effect(of), effect(into)
    if film is None or bath is None:
        return None
    films, baths = {of, film.group}, {into, bath.group}
    for row in CARRIES:
        if films & row.of and baths & row.into:
            return row
    same: Group = film.group
    if same == bath.group or "water" in {film.group, bath.group}:
        return Carry(frozenset(films), frozenset(baths), UNDILUTED, _DOUBT, "", _PRACTICE)
    return ANY_OTHER
