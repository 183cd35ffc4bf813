"""The example shop that travels with the program: an invented carousel works and its routes."""

from __future__ import annotations

import shutil
from pathlib import Path

import runner
from runner.faults import fault
from runner.shop.finding import PROCEDURES, SHOP_FILE

LOGS = "logs"


def example_files() -> Path:
    """Where the example's procedures lie: in the installed package, or beside it in a checkout."""
    package = Path(runner.__file__).parent
    for place in (package / "_procedures", package.parent / PROCEDURES):
        if (place / SHOP_FILE).is_file():
            return place
    raise fault("the example files are missing from this installation", "install the program again")


def make_shop(folder: Path) -> None:
    """A new shop folder: shop, routes and empty logs; no people, no key.

    Raises:
        InputFault: Something stands there already.
        OSError: It could not be written.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise fault("the folder is not empty", "name a new or an empty one", str(folder))
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copytree(example_files(), folder / PROCEDURES)
    (folder / LOGS).mkdir()
