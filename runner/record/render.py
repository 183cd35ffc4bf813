"""The record of a batch, rendered from its journal and from nothing else.

Owns the list of renderers, one a journal format; a release of the program keeps every old one, so that a
record made years ago still comes out byte for byte.
"""

from __future__ import annotations

from collections.abc import Callable

from runner.record.fold import Folded, fold
from runner.record.render_1 import render_1

RENDERERS: dict[int, Callable[[Folded], bytes]] = {1: render_1}
"""Format of the journal's first line, and what renders it."""


def render(raw: bytes) -> bytes:
    """The bytes of ``record.toml`` for a journal's bytes.

    Raises:
        FoldFault: The journal does not fold.
    """
    return render_folded(fold(raw))


def render_folded(folded: Folded) -> bytes:
    """The bytes of ``record.toml`` for a journal that has been folded."""
    return RENDERERS[folded.state.opened.format](folded)
