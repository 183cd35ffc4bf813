"""What is asked of the operator before a tank that can hurt?

Owns the caution sentences that are confirmed while the rack is still in the step before, never while it
drips between tanks. They are worded by strength: a weak dip that reads like a cyanide tank teaches nobody to
read either. Must not know the tanks. A program is not an interlock.
"""

from __future__ import annotations

LIVE_CURRENT = (
    "Live current next: no metal tool near the bars, dry hands on the rectifier; local code decides."
)

CYANIDE = (
    "CYANIDE next, which can kill: rack rinsed free of acid, extraction on, someone within call. "
    "Follow the supplier's safety data sheet."
)
CHROMIC = (
    "CHROMIC ACID next, which burns deep and causes cancer: extraction on before the current, face shield "
    "down. Follow the supplier's safety data sheet."
)
TRIVALENT = "Chromium (trivalent) next: extraction on, goggles and gauntlets on. The data sheet decides."
STRONG_ACID = (
    "STRONG ACID next, which burns at once: face shield down, gauntlets and apron on, shower clear. "
    "Follow the supplier's safety data sheet."
)
FLUORIDE = (
    "FLUORIDE ACID next: burns show late and go deep. Gauntlets whole, calcium gluconate gel at hand. "
    "Follow the supplier's safety data sheet."
)
ACID = "Acid next: goggles and gauntlets on. The data sheet decides."
WEAK_ACID = "Weak acid next: goggles on. The data sheet decides."
STRONG_CAUSTIC = (
    "STRONG CAUSTIC next, which blinds: face shield down, gauntlets and apron on. "
    "Follow the supplier's safety data sheet."
)
HOT_ALKALI = "Hot alkali next: goggles and gauntlets on. The data sheet decides."
NICKEL = "Nickel next: keep it off the skin, extraction on. The data sheet decides."
BISULFITE = "Bisulfite next: rack rinsed of its acid, extraction on. The data sheet decides."

SOLVENT = (
    "Solvent next: no flame or spark, extraction on, no chromic or nitric acid near. The data sheet decides."
)
HYPOCHLORITE = "Hypochlorite next: no acid on rack or gloves, or chlorine comes off. The data sheet decides."
SULFIDE = (
    "SULFIDE next, from which acid frees a deadly gas: rack rinsed free of acid, extraction on. "
    "Follow the supplier's safety data sheet."
)
