"""Rules about the layers below: strikes, undercoats, zincate, live entry, and which nickel lies on which."""

from __future__ import annotations

from collections.abc import Iterator

from runner.plating.families import ALUMINIUM, COVERS, DIE_CAST, LIGHT, UNKNOWN, ZINCATE
from runner.plating.severity import Severity
from runner.plating.sources import Known, Source, Window
from runner.plating.undercoats import UNDERCOATS
from runner.procedure.rules.rule import Case, Found, Rule, rule
from runner.procedure.surface import Activity

GUARDS = "order and adhesion"

_PRACTICE = Source("what platers hold of layers", Known.PRACTICE)
ENTRY_V = Window(2, 4, Source("what platers hold of live entry: 2 to 4 V, then raised", Known.PRACTICE))
_B252 = Source("ASTM B252 and what platers hold of zinc", Known.MEMORY)
_B253 = Source("ASTM B253", Known.MEMORY)
_B456 = Source("ASTM B456 and ISO 1456 on double-layer nickel", Known.MEMORY)


@rule(
    "undercoat-too-thin",
    GUARDS,
    Severity.SPOIL,
    "Zinc, aluminium and steel are covered thickly enough before an acid bath could reach them.",
    UNDERCOATS[0].source,
)
def undercoat_too_thin(case: Case) -> Iterator[Found]:
    """The layers on the basis, at the first acid bath over them."""
    for row in UNDERCOATS:
        if case.basis not in row.basis:
            continue
        for stage in case.history:
            layers = stage.before.layers
            if not stage.deposits or stage.group not in row.into or not layers:
                continue
            # What came in with the part has no figure: nothing can be said of it.
            metal = [layer for layer in layers if layer.metal != ZINCATE]
            if not metal or any(layer.thickness_um is None for layer in metal):
                break
            total_um = sum(layer.thickness_um or 0.0 for layer in metal)
            iso_um = row.iso_um if case.procedure.finish else None
            least = max(row.doubt_um, iso_um or 0.0)
            if total_um < least:
                ruin = total_um < row.ruin_um
                yield Found(
                    stage,
                    f"only {total_um:.3g} µm lies on {case.basis} here, where {least:g} µm is the least",
                    f"{row.what[0].upper()}{row.what[1:]}.",
                    f"Build {'copper' if case.basis in {DIE_CAST, ALUMINIUM} else 'the strike'} to "
                    f"{least:g} µm "
                    "or more before this step.",
                    Severity.SPOIL if ruin else Severity.DOUBT,
                    row.source,
                )
            break


@rule(
    "entered-without-current",
    GUARDS,
    Severity.DOUBT,
    "Zinc, zincate and fresh nickel go in with the current on.",
    _PRACTICE,
)
def entered_without_current(case: Case) -> Iterator[Found]:
    """Live entry, where metal would come out or dissolve before the current flows."""
    for stage in case.history:
        if not stage.deposits or stage.step.live_entry:
            continue
        top = stage.before.top
        eaten = top in {DIE_CAST, "zinc", ZINCATE}
        if eaten or (top == "nickel" and stage.group in {"nickel", "chromic acid", "trivalent chromium"}):
            yield Found(
                stage,
                f"{top} is entered without current",
                "The bath works on it before metal covers it."
                if eaten
                else "Bipolar current at the touch makes the nickel passive in patches.",
                "Write live_entry = true: contact at 2 to 4 V, then raise.",
                Severity.DOUBT if eaten else Severity.ADVICE,
            )


@rule(
    "entered-too-hard",
    GUARDS,
    Severity.ADVICE,
    "A live entry is made at 2 to 4 V, then raised.",
    ENTRY_V.source,
)
def entered_too_hard(case: Case) -> Iterator[Found]:
    """All the amps of a set go through the first tip to touch."""
    for stage in case.history:
        entry_v = stage.step.entry_voltage_v
        if entry_v is not None and not ENTRY_V.holds(entry_v):
            yield Found(
                stage,
                f"contact is made at {entry_v:g} V",
                "The whole current goes through the first tip to touch and burns there."
                if entry_v > ENTRY_V.high
                else "So little may not cover the part as it goes in.",
                f"Enter at {ENTRY_V.low:g} to {ENTRY_V.high:g} V, then raise.",
            )


@rule(
    "smut-on-cast-iron",
    GUARDS,
    Severity.ADVICE,
    "Cast iron ends its preparation in an alkaline smut removal after the acid.",
    Source("ASTM B320", Known.MEMORY),
)
def smut_on_cast_iron(case: Case) -> Iterator[Found]:
    """The last solution before the first deposit on cast iron."""
    for stage in case.history:
        if not stage.deposits or stage.before.top != "cast iron":
            continue
        came = next((s for s in reversed(case.before(stage)) if s.works), None)
        if came is not None and came.effect is not None and not came.effect.alkaline:
            yield Found(
                stage,
                "cast iron comes to it straight from acid",
                "Acid leaves the graphite of the iron standing as smut, and the deposit sits on that.",
                "Remove the smut anodic in alkali after a brief acid, rinse, and plate.",
            )


@rule(
    "zincate-on-smut",
    GUARDS,
    Severity.DOUBT,
    "Aluminium is desmutted straight before the zincate.",
    _B253,
)
def zincate_on_smut(case: Case) -> Iterator[Found]:
    """The activity of aluminium as it goes into the zincate."""
    for stage in case.history:
        if stage.group == "zincate" and stage.before.top == ALUMINIUM:
            if stage.before.activity is not Activity.ACTIVE:
                yield Found(
                    stage,
                    "aluminium goes into the zincate with its oxide or smut on",
                    "Zinc comes down in patches there, and what is plated on it blisters.",
                    "Desmut in nitric acid first, and rinse.",
                )
        elif stage.group == "zincate" and stage.before.top == ZINCATE:
            yield Found(
                stage,
                "zincate goes on zincate",
                "A thick film is loose: the first is stripped in nitric acid before the second.",
                "Strip the first zincate in nitric acid and rinse.",
            )


@rule(
    "zincated-once",
    GUARDS,
    Severity.ADVICE,
    "Aluminium is zincated twice, the first film stripped in between.",
    _B253,
)
def zincated_once(case: Case) -> Iterator[Found]:
    """A deposit on the first zincate."""
    dips = [stage for stage in case.history if stage.group == "zincate"]
    for stage in case.history:
        if stage.deposits and stage.before.top == ZINCATE and len(dips) == 1:
            yield Found(
                stage,
                "plated on a single zincate",
                "The second film, on a surface that the first has evened out, is finer and holds better.",
                "Strip it in nitric acid, rinse, zincate again.",
            )


@rule(
    "nickel-upside-down",
    GUARDS,
    Severity.DOUBT,
    "Semi-bright nickel lies under the bright, never over it.",
    _B456,
)
def nickel_upside_down(case: Case) -> Iterator[Found]:
    """Semi-bright on bright."""
    for stage in case.history:
        deposit, layers = stage.step.deposit, stage.before.layers
        if not stage.deposits or deposit is None or not layers or layers[-1].metal != "nickel":
            continue
        if deposit.metal == "nickel" and deposit.type == "semi-bright" and layers[-1].type == "bright":
            yield Found(
                stage,
                "semi-bright nickel is laid on bright",
                "The bright one must be above: it corrodes first and spares what is below.",
                "Turn the two around.",
            )


@rule(
    "zinc-left-bare",
    GUARDS,
    Severity.ADVICE,
    "Plated zinc is passivated.",
    _PRACTICE,
)
def zinc_left_bare(case: Case) -> Iterator[Found]:
    """Zinc on top at the end, and no passivate after it."""
    last = case.history[-1].after
    plated = next((stage for stage in reversed(case.history) if stage.deposits), None)
    if plated is None or last.top != "zinc":
        return
    if not any(stage.group == "passivate" or stage.step.does == "paint" for stage in case.after(plated)):
        yield Found(
            plated,
            "nothing passivates the zinc after it",
            "Bare zinc goes white and powdery in a damp week.",
            "Rinse, passivate, rinse cold and dry cool.",
        )


@rule(
    "passivated-without-zinc",
    GUARDS,
    Severity.DOUBT,
    "A passivate for zinc finds zinc on top.",
    _PRACTICE,
)
def passivated_without_zinc(case: Case) -> Iterator[Found]:
    """What lies on top as the part comes into a passivate; aluminium takes a film from one as well."""
    for stage in case.history:
        if stage.group == "passivate" and stage.before.top not in LIGHT | COVERS | {UNKNOWN}:
            yield Found(
                stage,
                f"it comes into the passivate with {stage.before.top} on top",
                "The film is made of zinc that the dip dissolves: other metal grows none and fouls the dip.",
                "Plate zinc before it, or leave it out.",
            )


RULES: tuple[Rule, ...] = (
    undercoat_too_thin,
    entered_without_current,
    entered_too_hard,
    smut_on_cast_iron,
    zincate_on_smut,
    zincated_once,
    nickel_upside_down,
    zinc_left_bare,
    passivated_without_zinc,
)
