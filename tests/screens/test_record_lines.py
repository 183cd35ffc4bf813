"""The lines of a record on the screen: each thing is said once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from runner.record.report.departures import FindingView
from runner.record.report.material import gather
from runner.record.report.view import view
from runner.screens.record_lines import sections_of
from support.journals import moment
from support.messy import BATCH, make_messy


@pytest.mark.parametrize(
    ("step", "message", "said"),
    [
        (
            "step 38",
            "step 38 (Dry): it dries before the bake",
            "spoil against step 38 (Dry): it dries before",
        ),
        ("step 3", "step 38 is too late", "spoil against step 3: step 38 is too late"),
        ("the route", "no panel is plated", "spoil against the route: no panel is plated"),
    ],
)
def test_a_rule_against_a_step_names_it_once(tmp_path: Path, step: str, message: str, said: str) -> None:
    """A rule's message begins with its step; only one that does not has it put in front."""
    works = make_messy(tmp_path / "shop", tmp_path / "keys")
    rule = FindingView(1, step, "spoil", "a-rule", message, "noted", open=False)
    record = replace(view(gather(works.logs / BATCH), moment()), rules=(rule,))
    sections = {section.name: section.lines.plain for section in sections_of(record, ())}
    assert said in sections["deviations"]
    assert f"{step}: {step} " not in sections["deviations"]
