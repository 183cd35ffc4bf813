"""What do cleaners, acids, strips and waters do to a surface?

Owns their rows. Must not know how they are looked up (`effects_table`).
"""

from __future__ import annotations

from runner.plating.effects import Attack, Effect
from runner.plating.families import (
    ALUMINIUM,
    COPPERS,
    DIE_CAST,
    IRONS,
    LEADED,
    LIGHT,
    STAINLESS,
    STEELS,
    ZINCATE,
)
from runner.plating.severity import Severity
from runner.plating.sources import Known, Source

_PRACTICE = Source("what platers hold of the surface", Known.PRACTICE)
_CHART = Source("handbooks: caustic on aluminium and zinc gives hydrogen, heat and froth", Known.MEMORY)
_B183 = Source("ASTM B183", Known.MEMORY)
_B252 = Source("ASTM B252: 0.25 to 0.75 % by volume for die castings, nothing stronger", Known.MEMORY)
_B253 = Source("ASTM B253", Known.MEMORY)
_B254 = Source("ASTM B254", Known.MEMORY)
_B281 = Source("ASTM B281: leaded alloys take fluoboric acid, no sulfuric", Known.MEMORY)
_B320 = Source("ASTM B320", Known.MEMORY)
_AGED = Source("Metal Finishing Guidebook 2013, p. 156: aged nickel", Known.READ)
_STRIPS = Source("handbook practice on stripping", Known.MEMORY)

_SPOIL, _DOUBT, _DANGER = Severity.SPOIL, Severity.DOUBT, Severity.DANGER
_ZINCS = frozenset({DIE_CAST, "zinc"})
_CHROMIUM = frozenset({"chromium"})
_NICKEL = frozenset({"nickel"})
_PLAIN_COPPERS = COPPERS - {LEADED}
_RUST = frozenset({"rust", "scale", "oxide", "phosphate film", "chromate film"})

_FROTH = Attack(_ZINCS, _DANGER, "strong caustic eats zinc with heat, froth and hydrogen", _CHART)
_FROTH_ALUMINIUM = Attack(
    frozenset({ALUMINIUM, ZINCATE}),
    _DANGER,
    "strong caustic eats aluminium with heat, froth and hydrogen",
    _CHART,
)
_ETCHES_ZINC = Attack(_ZINCS, _SPOIL, "strong hot alkali etches zinc", _B252)
_ETCHES_ALUMINIUM = Attack(frozenset({ALUMINIUM, ZINCATE}), _SPOIL, "hot alkali etches aluminium", _B253)
_NO_CURRENT_ON_ALUMINIUM = Attack(
    frozenset({ALUMINIUM, ZINCATE}),
    _SPOIL,
    "aluminium is not electrocleaned: it etches and films over",
    _PRACTICE,
)
_ACID_EATS_LIGHT = Attack(LIGHT, _SPOIL, "the acid dissolves it", _B252)
_NITRIC = Attack(
    STEELS | COPPERS | _ZINCS | _NICKEL, _SPOIL, "nitric acid dissolves it and gives brown fumes", _STRIPS
)

WET_EFFECTS: tuple[Effect, ...] = (
    Effect(
        "soak-cleaner",
        "alkali",
        _B183,
        cleans="soak",
        alkaline=True,
        attacks=(
            Attack(_ZINCS, _DOUBT, "a cleaner made for steel may etch zinc: use a mild one", _B252),
            _ETCHES_ALUMINIUM,
        ),
    ),
    Effect(
        "electrocleaner",
        "alkali",
        _B183,
        cleans="current",
        alkaline=True,
        attacks=(
            _ETCHES_ZINC,
            _NO_CURRENT_ON_ALUMINIUM,
        ),
    ),
    Effect(
        "mild-electrocleaner",
        "alkali",
        _B183,
        cleans="current",
        alkaline=True,
        attacks=(_NO_CURRENT_ON_ALUMINIUM,),
    ),
    Effect("aluminium-cleaner", "alkali", _B253, cleans="soak", alkaline=True),
    Effect(
        "aluminium-etch",
        "alkali",
        _B253,
        cleans="soak",
        alkaline=True,
        attacks=(_FROTH,),
    ),
    Effect(
        "smut-remover",
        "alkali",
        _B320,
        cleans="current",
        alkaline=True,
        activates=STEELS,
        attacks=(
            _ETCHES_ZINC,
            _NO_CURRENT_ON_ALUMINIUM,
        ),
    ),
    Effect("solvent-cleaner", "solvent", _PRACTICE, cleans="soak"),
    Effect(
        "sulfuric-dip",
        "weak acid",
        _B183,
        charges=True,
        activates=STEELS | _PLAIN_COPPERS,
        attacks=(
            Attack(_ZINCS, _SPOIL, "the dip is too strong for zinc, whose own is about a tenth of it", _B252),
            Attack(frozenset({ALUMINIUM}), _DOUBT, "sulfuric acid alone leaves the smut of the alloy", _B253),
            Attack(frozenset({ZINCATE}), _SPOIL, "acid takes the zincate off", _B253),
            Attack(
                frozenset({LEADED}), _SPOIL, "lead sulfate stays on the surface and the deposit peels", _B281
            ),
        ),
    ),
    Effect(
        "zinc-dip",
        "weak acid",
        _B252,
        activates=frozenset({DIE_CAST, "zinc"}) | _PLAIN_COPPERS,
        attacks=(Attack(frozenset({ZINCATE}), _SPOIL, "acid takes the zincate off", _B253),),
    ),
    Effect(
        "hydrochloric-pickle",
        "hydrochloric acid",
        _B183,
        charges=True,
        lifts=_RUST,
        activates=IRONS | _PLAIN_COPPERS,
        attacks=(
            _ACID_EATS_LIGHT,
            Attack(_CHROMIUM, _SPOIL, "hydrochloric acid dissolves chromium", _STRIPS),
        ),
    ),
    Effect(
        "fluoboric-dip",
        "fluoride acid",
        _B281,
        charges=True,
        activates=COPPERS | STEELS,
        attacks=(_ACID_EATS_LIGHT,),
    ),
    Effect("nitric-desmut", "nitric acid", _B253, activates=frozenset({ALUMINIUM}), attacks=(_NITRIC,)),
    Effect(
        "nickel-activation",
        "weak acid",
        _AGED,
        activates=_NICKEL,
        attacks=(
            _ACID_EATS_LIGHT,
            Attack(COPPERS, _DOUBT, "anodic current dissolves copper", _PRACTICE),
        ),
    ),
    Effect(
        "stainless-activation",
        "weak acid",
        _B254,
        charges=True,
        activates=frozenset({STAINLESS}) | _NICKEL | STEELS,
        attacks=(_ACID_EATS_LIGHT,),
    ),
    Effect(
        "steel-etch",
        "weak acid",
        Source("ASTM B242", Known.MEMORY),
        lifts=_RUST,
        activates=IRONS,
        charges=True,
        attacks=(
            _ACID_EATS_LIGHT,
            Attack(COPPERS | _NICKEL, _SPOIL, "anodic strong acid dissolves it", _PRACTICE),
        ),
    ),
    Effect(
        "sulfuric-strip",
        "strong sulfuric",
        _STRIPS,
        attacks=(
            Attack(_ZINCS, _SPOIL, "the acid attacks zinc at any dilution", _STRIPS),
            Attack(frozenset({ALUMINIUM, ZINCATE}), _DOUBT, "it may pit aluminium", _STRIPS),
        ),
    ),
    Effect(
        "hydrochloric-chromium-strip", "hydrochloric acid", _STRIPS, charges=True, attacks=(_ACID_EATS_LIGHT,)
    ),
    Effect(
        "caustic-chromium-strip", "chromium strip", _STRIPS, alkaline=True, attacks=(_FROTH, _FROTH_ALUMINIUM)
    ),
    Effect("carbonate-chromium-strip", "chromium strip", _STRIPS, alkaline=True),
    Effect(
        "cyanide-copper-strip",
        "cyanide",
        _STRIPS,
        alkaline=True,
        attacks=(
            Attack(COPPERS, _SPOIL, "it dissolves copper alloys as it dissolves copper", _STRIPS),
            Attack(frozenset({ALUMINIUM}), _SPOIL, "its caustic eats aluminium", _CHART),
        ),
    ),
    Effect("nitric-rack-strip", "nitric acid", _STRIPS, attacks=(_NITRIC,)),
    Effect(
        "sulfide-copper-strip",
        "sulfide",
        _STRIPS,
        alkaline=True,
        attacks=(Attack(COPPERS, _SPOIL, "it eats copper alloys as it eats copper", _STRIPS),),
    ),
    Effect(
        "zincate",
        "zincate",
        _B253,
        alkaline=True,
        attacks=(Attack(_ZINCS, _DANGER, "strong caustic eats zinc with heat, froth and hydrogen", _CHART),),
    ),
    Effect("passivate", "passivate", _PRACTICE),
    Effect("bisulfite-neutraliser", "bisulfite", _PRACTICE),
    Effect("hypochlorite-treatment", "hypochlorite", _PRACTICE, alkaline=True),
    Effect("chromic-predip", "chromic acid", _PRACTICE),
    Effect("rinse", "water", _PRACTICE),
    Effect("hot-rinse", "water", _PRACTICE),
)
