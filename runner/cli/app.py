"""Opening the terminal app: the one command that loads the screens."""

from __future__ import annotations

import gc
import sys
import traceback
from pathlib import Path
from typing import TYPE_CHECKING

from runner.cli.common import NO, shop_folder, terminal
from runner.faults import fault
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.moment import SystemClock
from runner.shop.heading import heading

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp


def open_app(shop: Path | None, *, big: bool | None = None) -> int:
    """Open the app on a shop.

    Returns:
        Its exit status.
    """
    folder = shop_folder(shop)
    heading(folder)
    require_terminal()
    return run_app(Floor(folder, Keys()), big=big)


def require_terminal() -> None:
    """Refuse to draw screens into a pipe.

    Raises:
        InputFault: Standard input, output or error is no terminal; the screen library draws on the last.
    """
    if not (terminal() and sys.stderr.isatty()):
        raise fault("the app needs a terminal", "run it in one, or use a command without a screen")


def run_app(floor: Floor, notice: str = "", *, big: bool | None = None) -> int:
    """Run the app on a floor; in big print as asked for, else as the shop says."""
    from runner.screens.app import TankwalkApp  # noqa: PLC0415  # the screens load only where one is wanted

    clock = SystemClock()
    big = floor.big_print if big is None else big
    return carry(TankwalkApp(floor, clock.now, notice=notice, big=big), floor)


def carry(app: TankwalkApp, floor: Floor) -> int:
    """Run an app that is made, and leave the terminal and a crash report behind it as they should be."""
    # What is loaded by now stays. To search it all for what may go held a key up by 60 ms now and then.
    gc.freeze()
    try:
        app.run(mouse=False)
    except Exception:  # noqa: BLE001  # whatever it was: the journal is whole, and the reader needs words
        return _crashed(floor, traceback.format_exc())
    finally:
        floor.close()
    if app.crash is not None:
        return _crashed(floor, app.crash)
    return app.return_code or 0


def _crashed(floor: Floor, report: str) -> int:
    file = floor.folder / "logs" / "crash.txt"
    try:
        file.write_text(report, encoding="utf-8")
        place = f"what happened stands in {file}"
    except OSError:
        place = "the report could not be written either"
    sys.stderr.write(
        f"tankwalk stopped on a fault of its own; {place}. What was acknowledged is on the disk: "
        "carry on on paper, start again, and each walk goes on where it stands.\n"
    )
    return NO
