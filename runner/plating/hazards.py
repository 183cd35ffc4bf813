"""What does a hazard code say?

Owns the GHS signal words and the texts of the H-statements used in this house. Must not know which solution
carries which. Classification is from memory (EU CLP, annexes III and VI, and the usual self-classification)
and the supplier's safety data sheet overrides every line of it.
"""

from __future__ import annotations

from typing import Literal

from runner.faults import fault
from runner.plating.sources import Known, Source
from runner.text import shown

Signal = Literal["Danger", "Warning"]
"""The two GHS signal words."""

DEFER = "Follow the supplier's safety data sheet and local law."
"""Said wherever a caution is shown: it goes before anything printed here."""

CLP = Source("EU CLP, annex VI, and usual self-classification; the supplier's sheet decides", Known.MEMORY)

H_STATEMENTS: dict[str, str] = {
    "H225": "highly flammable liquid and vapour",
    "H271": "may cause fire or explosion; strong oxidiser",
    "H272": "may intensify fire; oxidiser",
    "H290": "may be corrosive to metals",
    "H300": "fatal if swallowed",
    "H301": "toxic if swallowed",
    "H302": "harmful if swallowed",
    "H310": "fatal in contact with skin",
    "H311": "toxic in contact with skin",
    "H314": "causes severe skin burns and eye damage",
    "H315": "causes skin irritation",
    "H317": "may cause an allergic skin reaction",
    "H318": "causes serious eye damage",
    "H319": "causes serious eye irritation",
    "H330": "fatal if inhaled",
    "H331": "toxic if inhaled",
    "H332": "harmful if inhaled",
    "H334": "may cause allergy or asthma symptoms or breathing difficulties if inhaled",
    "H335": "may cause respiratory irritation",
    "H336": "may cause drowsiness or dizziness",
    "H340": "may cause genetic defects",
    "H341": "suspected of causing genetic defects",
    "H350": "may cause cancer",
    "H350i": "may cause cancer by inhalation",
    "H360D": "may damage the unborn child",
    "H360FD": "may damage fertility; may damage the unborn child",
    "H361f": "suspected of damaging fertility",
    "H372": "causes damage to organs through prolonged or repeated exposure",
    "H410": "very toxic to aquatic life with long lasting effects",
    "EUH031": "contact with acids liberates toxic gas",
    "EUH032": "contact with acids liberates very toxic gas",
    "EUH071": "corrosive to the respiratory tract",
}


def h_statement(code: str) -> str:
    """A hazard code with its text: ``H314: causes severe skin burns and eye damage``.

    Raises:
        InputFault: A code that the table does not have.
    """
    if code not in H_STATEMENTS:
        raise fault(
            f"{shown(code, 20)!r} is no hazard statement of the table",
            "take the code from the supplier's safety data sheet",
        )
    return f"{code}: {H_STATEMENTS[code]}"
