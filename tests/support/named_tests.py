"""Which tests does a page of documentation name, and are they there?"""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]


@cache
def functions(file: Path) -> frozenset[str]:
    """Names of all the functions of a file, in classes too."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    return frozenset(
        node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    )


def missing(page: str) -> list[str]:
    """The tests named in a page's text that are not there, by file or by name."""
    named = re.findall(r"`(tests/[^`]+)`", page)
    assert named
    gone = []
    for one in named:
        file, _, name = one.partition("::")
        path = ROOT / file
        if not path.is_file() or (name and name not in functions(path)):
            gone.append(one)
    return gone
