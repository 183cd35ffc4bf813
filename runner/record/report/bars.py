"""Small drawings: actual against planned as inline SVG, and a hash as a QR code.

Owns the drawing. Each drawing has its own scale, and says in words what it shows; colour never says alone
what words do not. Takes plain numbers only, so nothing of a file's text gets into markup here.
"""

from __future__ import annotations

from collections.abc import Sequence

import segno
from markupsafe import Markup

WIDE, HIGH = 100, 10

_LARGEST = 1e12  # beyond it a forged figure is drawn at the edge; the words beside tell it as it is

_SVG = Markup(
    '<svg class="bar" viewBox="0 0 {w} {h}" width="{w}" height="{h}" role="img" aria-label="{label}">'
    "{inner}</svg>"
)
_RECT = Markup('<rect class="{kind}" x="{x}" y="{y}" width="{w}" height="{h}"/>')
_TICK = Markup('<path class="{kind}" d="M{x} 0V{h}"/>')
_DOT = Markup('<circle class="{kind}" cx="{x}" cy="{y}" r="2"/>')


def bar(actual: float, low: float | None, high: float | None, *, off: bool) -> Markup:
    """A length against its window.

    Args:
        actual: What was.
        low: The least planned, a full tick.
        high: The most allowed, a full tick.
        off: Whether it lies outside, as the record judges it.
    """
    x = _scale([actual, low, high])
    inner = [_RECT.format(kind="ground", x=0, y=1, w=WIDE, h=HIGH - 2)]
    if low is not None and high is not None:
        inner.append(_RECT.format(kind="window", x=x(low), y=1, w=round(x(high) - x(low), 1), h=HIGH - 2))
    inner.append(_RECT.format(kind="off" if off else "was", x=0, y=3, w=x(actual), h=HIGH - 6))
    inner += [_TICK.format(kind="tick", x=x(one), h=HIGH) for one in (low, high) if one is not None]
    return _drawn(inner, "actual as a bar against the planned limits as ticks")


def dots(actual: Sequence[float], planned: float | None, low: float | None, high: float | None) -> Markup:
    """Readings against what was to be set and its window."""
    x = _scale([*actual, planned, low, high])
    inner = [_RECT.format(kind="ground", x=0, y=1, w=WIDE, h=HIGH - 2)]
    if low is not None and high is not None:
        inner.append(_RECT.format(kind="window", x=x(low), y=1, w=round(x(high) - x(low), 1), h=HIGH - 2))
    inner += [_TICK.format(kind="tick", x=x(one), h=HIGH) for one in (planned,) if one is not None]
    for one in actual:
        outside = (low is not None and one < low) or (high is not None and one > high)
        inner.append(_DOT.format(kind="off" if outside else "was", x=x(one), y=HIGH / 2))
    return _drawn(inner, "readings as dots against the planned value as a tick and its window as a band")


class _Scale:
    """From figures to places on a drawing."""

    def __init__(self, top: float) -> None:
        self._top = top

    def __call__(self, value: float) -> float:
        return round(min(max(value, 0.0), self._top) / self._top * (WIDE - 4), 1)


def _scale(values: Sequence[float | None]) -> _Scale:
    known = [min(value, _LARGEST) for value in values if value is not None]
    return _Scale(max(known, default=0.0) or 1.0)


def _drawn(inner: Sequence[Markup], label: str) -> Markup:
    return _SVG.format(w=WIDE, h=HIGH, label=label, inner=Markup().join(inner))


def qr(text: str, size_px: int = 132) -> Markup:
    """A QR code of a text, with the quiet zone that a reader needs."""
    code = segno.make(text, error="m", micro=False)
    drawn = code.svg_inline(border=4, omitsize=True, svgclass="qr", lineclass=None)
    sized = drawn.replace(
        "<svg ", f'<svg width="{size_px}" height="{size_px}" role="img" aria-label="QR" ', 1
    )
    return Markup(sized)  # noqa: S704 - drawn from modules by segno; the text is not in it
