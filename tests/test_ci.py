"""One command checks everything, and it is the README's own test command that it runs."""

from __future__ import annotations

import os
import re
from pathlib import Path

ROOT = Path(__file__).parents[1]


def test_the_readme_has_one_test_command_that_ci_can_run() -> None:
    """On a line of its own, installed and not editable, on both cores: what `.ci/run` looks for."""
    lines = (ROOT / "README.md").read_text(encoding="utf-8").splitlines()
    found = [line for line in lines if re.match(r"python3 -m venv .*pytest", line)]
    assert found == ["python3 -m venv .venv && .venv/bin/pip install '.[test]' && .venv/bin/pytest -n 2"]


def test_ci_can_be_run() -> None:
    """By anybody who has the tree."""
    assert os.access(ROOT / ".ci" / "run", os.X_OK)
