"""Letters and digits that fill four rows of a terminal, drawn in half blocks, to be read from two metres.

Owns their shapes, which are this program's own: seven dots high and up to five wide. Where a row of the
terminal is 4 mm high, a small font, they stand 14 mm high: at 2 m that is 24 minutes of arc, where ISO
9241-303 asks for 16 at least and prefers 20 to 22 (from memory). Must not know a screen library.
"""

from __future__ import annotations

import unicodedata

ROWS = 4
"""Rows of a line of big letters."""

DOTS = 7
"""Height of a letter; the eighth row of dots parts it from what is below."""

_SHAPES = {
    "A": " ### /#   #/#   #/#####/#   #/#   #/#   #",
    "B": "#### /#   #/#   #/#### /#   #/#   #/#### ",
    "C": " ####/#    /#    /#    /#    /#    / ####",
    "D": "#### /#   #/#   #/#   #/#   #/#   #/#### ",
    "E": "#####/#    /#    /#### /#    /#    /#####",
    "F": "#####/#    /#    /#### /#    /#    /#    ",
    "G": " ####/#    /#    /#  ##/#   #/#   #/ ####",
    "H": "#   #/#   #/#   #/#####/#   #/#   #/#   #",
    "I": "###/ # / # / # / # / # /###",
    "J": "  ###/   # /   # /   # /   # /#  # / ##  ",
    "K": "#   #/#  # /# #  /##   /# #  /#  # /#   #",
    "L": "#    /#    /#    /#    /#    /#    /#####",
    "M": "#   #/## ##/# # #/# # #/#   #/#   #/#   #",
    "N": "#   #/##  #/## ##/# # #/# ###/#  ##/#   #",
    "O": " ### /#   #/#   #/#   #/#   #/#   #/ ### ",
    "P": "#### /#   #/#   #/#### /#    /#    /#    ",
    "Q": " ### /#   #/#   #/#   #/# # #/#  # / ## #",
    "R": "#### /#   #/#   #/#### /# #  /#  # /#   #",
    "S": " ####/#    /#    / ### /    #/    #/#### ",
    "T": "#####/  #  /  #  /  #  /  #  /  #  /  #  ",
    "U": "#   #/#   #/#   #/#   #/#   #/#   #/ ### ",
    "V": "#   #/#   #/#   #/#   #/ # # / # # /  #  ",
    "W": "#   #/#   #/#   #/# # #/# # #/## ##/#   #",
    "X": "#   #/#   #/ # # /  #  / # # /#   #/#   #",
    "Y": "#   #/#   #/ # # /  #  /  #  /  #  /  #  ",
    "Z": "#####/    #/   # /  #  / #   /#    /#####",
    "0": " ### /#   #/#  ##/# # #/##  #/#   #/ ### ",
    "1": " # /## / # / # / # / # /###",
    "2": "#### /    #/    #/ ### /#    /#    /#####",
    "3": "#### /    #/    #/ ### /    #/    #/#### ",
    "4": "#   #/#   #/#   #/#####/    #/    #/    #",
    "5": "#####/#    /#    /#### /    #/    #/#### ",
    "6": " ### /#    /#    /#### /#   #/#   #/ ### ",
    "7": "#####/    #/   # /   # /  #  /  #  /  #  ",
    "8": " ### /#   #/#   #/ ### /#   #/#   #/ ### ",
    "9": " ### /#   #/#   #/ ####/    #/    #/ ### ",
    ":": " / /#/ /#/ / ",
    ".": " / / / / / /#",
    ",": "  /  /  /  /  / #/# ",
    "-": "   /   /   /###/   /   /   ",
    "+": "   /   / # /###/ # /   /   ",
    "/": "    #/    #/   # /  #  / #   /#    /#    ",
    "(": " #/# /# /# /# /# / #",
    ")": "# / #/ #/ #/ #/ #/# ",
    " ": "  /  /  /  /  /  /  ",
}

LETTERS = {character: tuple(shape.split("/")) for character, shape in _SHAPES.items()}
"""Each character's rows of dots."""

_HALVES = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def big(text: str, cells: int) -> list[str] | None:
    """A text in four rows of half blocks; None where it does not fit, or has a character without a shape.

    Args:
        text: Letters in any case; marks above them are left out.
        cells: Most cells in a row.
    """
    plain = unicodedata.normalize("NFKD", text.upper())
    letters = [LETTERS.get(one) for one in plain if not unicodedata.combining(one)]
    known = [letter for letter in letters if letter is not None]
    if len(known) < len(letters):
        return None
    dots = [" ".join(letter[row] for letter in known) for row in range(DOTS)]
    dots.append(" " * len(dots[0]))
    if len(dots[0]) > cells:
        return None
    return [
        "".join(_HALVES[top == "#", low == "#"] for top, low in zip(*dots[at : at + 2], strict=True)).rstrip()
        for at in range(0, DOTS + 1, 2)
    ]
