"""Which shop does a command mean, and which files of it are procedures?

Owns the order in which a shop is looked for, and the names of its files. Must not read them, nor ask the
environment: what it says is handed in.
"""

from __future__ import annotations

from pathlib import Path

from runner.faults import fault
from runner.text import shown

PROCEDURES = "procedures"
SHOP_FILE = "shop.toml"
PEOPLE_FILE = "people.toml"
LOGS = "logs"

ENVIRONMENT = "TANKWALK_SHOP"
"""The variable that names a shop where no option does."""

_REMEDY = "name a shop's folder with --shop, write one with `tankwalk init DIR`, or try `tankwalk demo`"


def shop_file(folder: Path) -> Path:
    """Where the shop of a folder is described."""
    return folder / PROCEDURES / SHOP_FILE


def people_file(folder: Path) -> Path:
    """Where the people of a shop are listed."""
    return folder / PROCEDURES / PEOPLE_FILE


def find_shop(
    option: Path | str | None, environment: str | None, file: Path | None, here: Path | None = None
) -> Path:
    """The folder of the shop that a command means.

    Args:
        option: What ``--shop`` says, if given.
        environment: What the variable `ENVIRONMENT` holds, if set; empty counts as not set.
        file: The procedure that the command is about, if any.
        here: The folder to look from; the current one where left out.

    Raises:
        InputFault: The folder named, or none of those looked through, holds ``procedures/shop.toml``.
    """
    base = Path.cwd() if here is None else here
    for given, by in ((option, "--shop"), (environment or None, ENVIRONMENT)):
        if given is not None:
            return _named(base / given, f"{by} names {shown(given)!r}, which")
    above = (base / file).absolute().parents if file is not None else ()
    for folder in above:
        if _is_shop(folder):
            return folder
    return _named(base, f"the folder {shown(base)}")


def procedure_files(folder: Path) -> list[Path]:
    """Every whole procedure of a shop, by name; parts to be included lie in a folder of their own."""
    beside = {SHOP_FILE, PEOPLE_FILE}
    found = (folder / PROCEDURES).glob("*.toml")
    return sorted(path for path in found if path.name not in beside)


def _named(folder: Path, what: str) -> Path:
    if not _is_shop(folder):
        raise fault(f"{what} holds no shop: there is no {PROCEDURES}/{SHOP_FILE} in it", _REMEDY)
    return folder


def _is_shop(folder: Path) -> bool:
    try:
        return shop_file(folder).is_file()
    except (OSError, ValueError):
        # A name too long for the disk, a folder that may not be entered, a NUL: no shop of ours.
        return False
