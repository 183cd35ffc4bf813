"""Which rules are there?

Owns the list of all rules, gathered from the files that hold them, each named for what it guards. Must not
hold a rule.
"""

from __future__ import annotations

from runner.procedure.rules.adhesion import RULES as ADHESION
from runner.procedure.rules.baking import RULES as BAKING
from runner.procedure.rules.carried_pairs import RULES as CARRIED_PAIRS
from runner.procedure.rules.cautions import RULES as CAUTIONS
from runner.procedure.rules.cleanliness import RULES as CLEANLINESS
from runner.procedure.rules.current import RULES as CURRENT
from runner.procedure.rules.dangerous_pairs import RULES as DANGEROUS_PAIRS
from runner.procedure.rules.designation import RULES as DESIGNATION
from runner.procedure.rules.hydrogen import RULES as HYDROGEN
from runner.procedure.rules.layers import RULES as LAYERS
from runner.procedure.rules.machines import RULES as MACHINES
from runner.procedure.rules.rinsing import RULES as RINSING
from runner.procedure.rules.rule import Rule
from runner.procedure.rules.strips import RULES as STRIPS
from runner.procedure.rules.timing import RULES as TIMING

CATALOGUE: tuple[Rule, ...] = (
    *DANGEROUS_PAIRS,
    *CARRIED_PAIRS,
    *MACHINES,
    *ADHESION,
    *LAYERS,
    *STRIPS,
    *CLEANLINESS,
    *RINSING,
    *CURRENT,
    *HYDROGEN,
    *BAKING,
    *DESIGNATION,
    *TIMING,
    *CAUTIONS,
)
"""Every rule, those that guard people first."""
