"""How it looks: three themes of our own, and the words and signs that stand beside every colour.

Owns the colours. Red is kept for danger, yellow for what departs from the plan, blue for what must be
worn, after the colour meanings of IEC 60073 and ISO 3864 (from memory); no state is told by colour alone.
Contrasts are computed in ``tests/screens/test_look.py`` by the formula of WCAG 2.2, and of what is really
painted in ``test_painted.py``. A window dims nothing behind it: a danger that shows there is still one.
"""

from __future__ import annotations

from textual.theme import Theme

DARK = Theme(
    name="tankwalk-dark",
    primary="#9ecbff",
    secondary="#b9c2cc",
    accent="#9ecbff",
    foreground="#f2f4f6",
    background="#101418",
    surface="#101418",
    panel="#1b2127",
    success="#7ee0b5",
    warning="#f0e442",
    error="#ff9a8f",
    dark=True,
    variables={"quiet": "#aab4be", "must": "#9ecbff", "input-cursor-background": "#f2f4f6"},
)

LIGHT = Theme(
    name="tankwalk-light",
    primary="#003f72",
    secondary="#3d4650",
    accent="#003f72",
    foreground="#101418",
    background="#fbfbf8",
    surface="#fbfbf8",
    panel="#e9e9e2",
    success="#00523b",
    warning="#5c4200",
    error="#8f1208",
    dark=False,
    variables={"quiet": "#49525b", "must": "#003f72", "input-cursor-background": "#101418"},
)

CONTRAST = Theme(
    name="tankwalk-contrast",
    primary="#ffffff",
    secondary="#ffffff",
    accent="#ffff00",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#000000",
    success="#ffffff",
    warning="#ffff00",
    error="#ffb3ab",
    dark=True,
    variables={"quiet": "#ffffff", "must": "#ffffff", "input-cursor-background": "#ffffff"},
)

THEMES = (DARK, LIGHT, CONTRAST)
"""In the order in which one key goes through them."""

RUNNING, DUE, WAITING, PAUSED, DEVIATION, DONE = "▶", "▲", "·", "‖", "!", "✓"
"""Signs of state; each stands beside its word."""

CSS = """
Screen { background: $background; color: $foreground; }
* {
    scrollbar-color: $quiet; scrollbar-color-hover: $quiet; scrollbar-color-active: $foreground;
    scrollbar-background: $background; scrollbar-background-hover: $background;
    scrollbar-background-active: $background; scrollbar-corner-color: $background;
}
.rule { color: $quiet; height: 1; }
.quiet { color: $quiet; }
.band { height: 1; background: $warning; color: $background; text-style: bold; content-align: center middle; }
.band.danger { background: $error; }
.hidden { display: none; }
Input { border: none; height: 1; padding: 0; background: $panel; }
Input:focus { border: none; background-tint: $foreground 0%; }
Input > .input--placeholder, Input > .input--suggestion { color: $quiet; text-style: none; }
Input > .input--cursor { background: $foreground; color: $background; text-style: none; }
Digits { width: auto; }
ModalScreen { align: center bottom; background: transparent; }
ModalScreen > Vertical, ModalScreen > VerticalScroll {
    width: 76; max-width: 100%; height: auto; max-height: 100%; padding: 0 2; margin-bottom: 1;
    background: $panel; border: round $quiet;
}
DataTable { background: $background; height: 1fr; }
DataTable > .datatable--header { background: $background; color: $quiet; text-style: none; }
DataTable > .datatable--cursor { background: $foreground; color: $background; }
ListView { background: $background; }
"""
