"""Printed pages read back as a browser would read them, without a browser."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path

VOID = frozenset({"meta", "br", "path", "rect", "circle"})
DRAWN = frozenset(
    {"html", "head", "title", "style", "body", "header", "section", "div", "p", "b", "i", "br"}
) | {
    *(
        "span",
        "h1",
        "h2",
        "h3",
        "table",
        "thead",
        "tbody",
        "tr",
        "th",
        "td",
        "dl",
        "dt",
        "dd",
        "ul",
        "ol",
        "li",
    ),
    *("pre", "svg", "path", "rect", "circle", "meta"),
}
"""Every element that a page of ours is made of: none of them runs, loads or leads anywhere."""

HARMLESS = frozenset({"class", "lang", "charset", "name", "content", "http-equiv", "aria-hidden", "role"}) | {
    *("aria-label", "viewbox", "width", "height", "x", "y", "cx", "cy", "r", "d", "stroke"),
}
"""Every attribute that it uses."""


@dataclass
class Page(HTMLParser):
    """A page in pieces.

    Attributes:
        elements: Names of all elements, in order.
        attributes: Element, name and value of every attribute.
        text: All that a reader sees, blanks run together.
        title: Of the document.
        style: What stands in its style element.
        rows: Cells of every table's rows.
        blocks: Texts of preformatted blocks, the commands among them.
    """

    html: str = field(repr=False)
    elements: list[str] = field(default_factory=list)
    attributes: list[tuple[str, str, str]] = field(default_factory=list)
    rows: list[list[str]] = field(default_factory=list)
    blocks: list[str] = field(default_factory=list)
    title: str = ""
    style: str = ""
    text: str = ""

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._open: list[str] = []
        self._said: list[str] = []
        self.feed(self.html)
        self.close()
        assert self._open == [], "an element is left open"
        self.text = " ".join(" ".join(self._said).split())

    def __hash__(self) -> int:
        return id(self)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(tag)
        self.attributes += [(tag, name, value or "") for name, value in attrs]
        if tag not in VOID:
            self._open.append(tag)
        if tag == "tr":
            self.rows.append([])
        elif tag in {"td", "th"}:
            self.rows[-1].append("")
        elif tag == "pre":
            self.blocks.append("")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(tag)
        self.attributes += [(tag, name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        assert self._open, f"</{tag}> closes nothing"
        assert self._open[-1] == tag, f"</{tag}> closes <{self._open[-1]}>"
        self._open.pop()

    def handle_data(self, data: str) -> None:
        here = self._open[-1] if self._open else ""
        if here == "style":
            self.style += data
            return
        if here == "title":
            self.title += data
            return
        self._said.append(data)
        if "pre" in self._open:
            self.blocks[-1] += data
        elif any(cell in self._open for cell in ("td", "th")):
            self.rows[-1][-1] = " ".join(f"{self.rows[-1][-1]} {data}".split())

    def harmless(self) -> None:
        """Fails where anything in the page could run, load, lead elsewhere or be none of ours."""
        assert sorted(set(self.elements) - DRAWN) == []
        assert sorted({name for _, name, _ in self.attributes} - HARMLESS) == []
        assert "url(" not in self.style
        assert "@import" not in self.style
        assert "<" not in self.style
        policies = [value for _, name, value in self.attributes if name == "content" and "-src" in value]
        assert policies == ["default-src 'none'; style-src 'unsafe-inline'"]

    def row(self, *begin: str) -> list[str]:
        """The one row that begins with these cells."""
        found = [row for row in self.rows if row[: len(begin)] == list(begin)]
        assert len(found) == 1, (begin, found)
        return found[0]


Printed = Callable[[Path], Page]
"""What a batch's folder prints to."""
