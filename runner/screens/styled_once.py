"""A screen that is shown again and again, and styled only the first time and after a change of colours.

Owns that alone. The library reckons the style of every widget of a screen each time that it comes up, which
takes longer than to draw it.
"""

from __future__ import annotations

from textual import events, on
from textual.screen import Screen, ScreenResultType


class StyledOnce(Screen[ScreenResultType]):
    """What a kept screen is made of; a class set on a part of it still restyles that part."""

    _styled_in = ""

    @on(events.ScreenResume)
    def style_once(self, event: events.ScreenResume) -> None:
        """Tell the library, which comes after its screens, whether the colours are other ones."""
        event.refresh_styles = self._styled_in != self.app.theme
        self._styled_in = self.app.theme
