"""Which single faults of sound routes `check` tells, as a page, with why the others are not told.

Owns the counting, the table and the reasons; the faults themselves are made in `faulty_routes`. A fault
counts as told where a rule speaks that was silent before; beside it stands the worst that is said of it.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping
from pathlib import Path

from runner.plating.severity import Severity
from runner.procedure.reading import load_procedure
from runner.procedure.rules.check import check_among, followed
from runner.shop.finding import procedure_files
from runner.shop.reading import load_shop
from support.faulty_routes import faults

ROOT = Path(__file__).resolve().parents[2]
PAGE = Path("runner") / "procedure" / "rules" / "FAULTS.md"
COLUMNS = (*Severity, None, "format")
HEADS = ("danger", "spoil", "doubt", "advice", "not told", "format")

Counts = dict[str, Counter[object]]

REASONS: dict[str, str] = {
    "another rinse": (
        "Clean water thins a film wherever it runs. Told are the rinses that matter: where "
        "enemies, copper, chromium or too little water come together."
    ),
    "another tank": (
        "A cleaner for a like cleaner, a pickle for a dip of the same acid, one chromium strip "
        "for another, a hot last rinse taken cold, one nickel for another where no designation "
        "names the type."
    ),
    "bake a sixth as long": "",
    "bench step removed": (
        "Racking, polishing, gauging and looking change no metal and no film: without them the "
        "route is poorer and still plates. What must be seen or gauged is the shop's and its "
        "customer's to write, the look for acid before a cyanide strip too."
    ),
    "cleaning removed": (
        "Nothing was handled since the one before: between two deposits, or before a bench step; "
        "or it only kills what acid is left before the rinse that follows."
    ),
    "current gap 30 min": "From cyanide strike to cyanide copper: copper stays active in that film.",
    "density × 0.3": (
        "Still inside the window of the solution's row, and without a given time the plan makes "
        "the dwell as much longer."
    ),
    "density × 3": (
        "Still inside the window of the solution's row: strike 5 to 20, acid copper 2.2 to 10.8, "
        "sulfamate to 30, anodic etch 10 to 40 A/dm²."
    ),
    "deposit removed": "The route names no designation, and what follows holds on the metal below as well.",
    "dip removed": (
        "The dip between nickel strike and acid copper: the way is short and limited, and the "
        "nickel is active still."
    ),
    "drying or bake removed": "Before a bench step of a strip route that only looks.",
    "live entry left out": "Zinc, zincate and nickel that waited suffer for it; elsewhere it is a habit.",
    "oven temperature moved": "",
    "plate a fifth as thick": "The route names no designation: nobody has said how thick it must be.",
    "polarity turned": "Stainless steel may be electrocleaned either way round.",
    "rinse removed": (
        "A drag-out before a running rinse saves metal, not parts; of two rinses one is enough by"
        " the shop's own flow; a cleaner or an acid goes into its like; a hot rinse only dries "
        "the part sooner."
    ),
    "step doubled": (
        "The same tank twice over: time is lost and nothing is spoiled. Told is what the second "
        "time harms: chromium on chromium, a strip with nothing left to strip or entered wet, a "
        "zincate on a zincate."
    ),
    "steps swapped": (
        "Neighbours that may stand either way: two rinses, rinse and soak, rack and soak, look "
        "and soak, a rinse and a dip whose film the next bath bears; and a dip into a bath's own "
        "drag-out before the bath, which many make on purpose."
    ),
    "strike a fifth as thick": (
        "Thick enough still: on stainless steel, which nothing after it eats, and below cyanide "
        "copper, which goes on building the same layer."
    ),
    "strip removed": (
        "The last strip: nothing is plated in the route, and a part that keeps a layer is whole. "
        "The last look asks for bare metal."
    ),
    "way × 10 min": (
        "Into a dryer, a bench step or a warm last rinse's own drying: nothing wet comes after it"
        " that a dry part would spoil."
    ),
}
"""By the kind of fault, why those not told would be signed by a plater; empty where all are told."""


HEAD = (
    "Printed by `python tests/bench/mutations.py --page`. From each route that comes along every single",
    "fault is made: a step out, doubled or swapped with the next, its tank, polarity, density,",
    "thickness, temperature or time changed. The columns say the worst that a rule says of it; the last",
    "but one counts files that are not even read. `--missed` names each fault that nothing is said of.",
)


def count(kinds: set[str] | None = None) -> tuple[Counts, list[str]]:
    """How often each worst severity is said, by kind of fault; and the faults that nothing is said of."""
    shop = load_shop(ROOT)
    routes = {file: load_procedure(file, shop) for file in procedure_files(ROOT)}
    counts: Counts = defaultdict(Counter)
    missed: list[str] = []
    for file, sound in routes.items():
        if "\ninclude" in sound.source.text:
            continue  # its parts are read from their folder, not from this text; they stand in other routes
        others = followed((route for other, route in routes.items() if other != file), shop)
        before = {(f.rule, f.severity) for f in check_among(sound, shop, others)}
        for fault in faults(sound.source.text, shop, kinds):
            if fault.procedure is None:
                counts[fault.kind]["format"] += 1
                continue
            found = check_among(fault.procedure, shop, others)
            new = [f for f in found if (f.rule, f.severity) not in before]
            counts[fault.kind][new[0].severity if new else None] += 1
            if not new:
                missed.append(f"{fault.kind:26} {file.stem:15} step {fault.step:2} {fault.what}")
    return counts, sorted(missed)


def rows(counts: Counts) -> list[str]:
    """The table's rows, by kind."""
    return [_row(kind, found) for kind, found in sorted(counts.items())]


def page(counts: Counts) -> str:
    """The table with all faults, and the reasons."""
    total: Counter[object] = Counter()
    for found in counts.values():
        total.update(found)
    return "\n".join(
        [
            "# Single faults put into sound routes",
            "",
            *HEAD,
            "",
            "| fault | all | " + " | ".join(HEADS) + " | told |",
            "| --- |" + " ---: |" * (len(HEADS) + 2),
            *rows(counts),
            _row("all", total),
            "",
            "## Why the others are not told",
            "",
            "Each was looked at. A plater would sign these routes, or the fault cannot be seen from a route.",
            "",
            "| fault | why |",
            "| --- | --- |",
            *(f"| {kind} | {REASONS[kind] or 'all are told'} |" for kind in sorted(counts)),
            "",
        ]
    )


def _row(kind: str, found: Mapping[object, int]) -> str:
    read = sum(found.values()) - found.get("format", 0)
    told = f"{(read - found.get(None, 0)) / read:.0%}" if read else "-"
    cells = " | ".join(str(found.get(key, 0)) for key in COLUMNS)
    return f"| {kind} | {sum(found.values())} | {cells} | {told} |"
