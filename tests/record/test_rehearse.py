"""A rehearsal: every route that comes along, from a fresh shop to a record that stock tools accept."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from runner.batch.events import BatchOpened
from runner.batch.kinds import read_event
from runner.cli.example import example_files, make_shop
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.record.fold import fold
from runner.record.rehearse import Rehearsal, rehearse
from runner.record.render import render
from runner.shop.finding import PEOPLE_FILE, SHOP_FILE
from runner.shop.reading import load_shop
from support.floors import write_shop
from support.journals import moment

ROUTES = sorted(
    file.name for file in example_files().glob("*.toml") if file.name not in {SHOP_FILE, PEOPLE_FILE}
)
NAMESPACE = "practice-record@tankwalk"


def walked(folder: Path, route: str, order: Order) -> Rehearsal:
    """A route of a shop's folder, rehearsed."""
    shop = load_shop(folder)
    procedure = load_procedure(folder / "procedures" / route, shop)
    plan = compute(procedure, shop, order)
    return rehearse(folder / "logs", plan, shop.title, route, procedure.source.text, moment())


@pytest.fixture(scope="module", params=ROUTES, ids=[Path(name).stem for name in ROUTES])
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Rehearsal:
    """Each route that comes along, rehearsed in a fresh shop."""
    folder = tmp_path_factory.mktemp("rehearsed") / "shop"
    make_shop(folder)
    return walked(folder, request.param, Order(4.0, 2))


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Rehearsal:
    """A short route, rehearsed."""
    return walked(write_shop(tmp_path_factory.mktemp("small") / "shop"), "route.toml", Order(5.0, 2))


def record_of(made: Rehearsal) -> dict[str, Any]:
    """Its record, read by a general TOML reader."""
    return tomllib.loads(made.record.read_text(encoding="utf-8"))


class TestEveryRoute:
    """What holds for each route that comes along."""

    def test_it_ends_released_without_a_deviation(self, made: Rehearsal) -> None:
        """On a fast clock a walk in good order has nothing to explain."""
        record = record_of(made)
        assert (record["mode"], record["outcome"]) == ("practice", "released")
        assert record["deviation"] == []
        assert record["parts"]["pieces_released"] == 2

    def test_the_record_is_the_journal_folded_and_rendered(self, made: Rehearsal) -> None:
        """Byte for byte, and it names the journal's own hash, length and lines."""
        raw = made.journal.read_bytes()
        assert render(raw) == made.record.read_bytes()
        told = record_of(made)["journal"]
        assert (told["bytes"], told["lines"]) == (len(raw), raw.count(b"\n"))
        assert told["unsigned_lines"] == []

    def test_every_step_of_the_route_was_walked_once_in_order(self, made: Rehearsal) -> None:
        """The journal's first line holds the plan that the steps are counted against."""
        opened = fold(made.journal.read_bytes()).state.opened
        assert [step["number"] for step in record_of(made)["step"]] == [
            step.number for step in opened.plan.steps
        ]

    def test_no_step_was_shorter_than_its_plan(self, made: Rehearsal) -> None:
        """The clock is fast, not skipped; a tenth of a second is what a record rounds to."""
        for step in record_of(made)["step"]:
            if "dwell_s" in step["planned"]:
                assert step["actual"]["dwell_s"] >= step["planned"]["dwell_s"] - 0.1

    def test_every_deposit_came_to_its_planned_mean(self, made: Rehearsal) -> None:
        """The ammeter showed what was set, so that charge, and with it the mean, is the plan's (Faraday)."""
        for step in record_of(made)["step"]:
            planned, actual = step["planned"], step["actual"]
            if "mean_thickness_um" in planned:
                assert actual["mean_thickness_um"] == pytest.approx(planned["mean_thickness_um"], rel=0.02)

    def test_it_says_in_words_that_it_is_practice(self, made: Rehearsal) -> None:
        """So that nobody takes it for a production record."""
        assert "PRACTICE" in record_of(made)["notice"]
        assert record_of(made)["batch"].startswith("practice-")


@pytest.mark.skipif(shutil.which("ssh-keygen") is None, reason="no ssh-keygen on this machine")
class TestStockTools:
    """The live ``ssh-keygen -Y verify`` of OpenSSH, which knows nothing of this program."""

    @staticmethod
    def verify(made: Rehearsal, record: bytes, **changed: str) -> bool:
        """What it says to a record, with its own signer and namespace or others."""
        done = subprocess.run(
            [
                *("ssh-keygen", "-Y", "verify", "-f", str(made.allowed_signers)),
                *("-I", changed.get("signer", made.signer), "-n", changed.get("namespace", NAMESPACE)),
                *("-s", str(made.signature)),
            ],
            input=record,
            capture_output=True,
            check=False,
        )
        return done.returncode == 0

    def test_they_accept_every_routes_record(self, made: Rehearsal) -> None:
        """With the rehearsal's own list of signers."""
        assert self.verify(made, made.record.read_bytes())

    def test_they_refuse_a_changed_byte(self, small: Rehearsal) -> None:
        """Anywhere: the first, one in the middle, the last, one more, one less."""
        record = small.record.read_bytes()
        assert self.verify(small, record)
        for at in (0, len(record) // 2, len(record) - 1):
            assert not self.verify(small, record[:at] + bytes([record[at] ^ 1]) + record[at + 1 :])
        assert not self.verify(small, record + b"\n")
        assert not self.verify(small, record[:-1])

    @pytest.mark.parametrize("signer", ["practice-00000000", "olive", "practice"])
    def test_they_refuse_another_principal(self, signer: str, small: Rehearsal) -> None:
        """Who is not on the list."""
        assert not self.verify(small, small.record.read_bytes(), signer=signer)

    @pytest.mark.parametrize("namespace", ["batch-record@tankwalk", "practice-line@tankwalk", "file"])
    def test_they_refuse_another_namespace(self, namespace: str, small: Rehearsal) -> None:
        """A practice signature passes for no production record, nor for a line."""
        assert not self.verify(small, small.record.read_bytes(), namespace=namespace)


class TestApart:
    """Practice never mixes with production."""

    def test_nothing_of_it_stands_outside_its_folder(self, small: Rehearsal) -> None:
        """No shop journal, no list of production signers, no batch."""
        practice = small.record.parent.parent
        assert practice.name == "practice"
        assert [path.name for path in practice.parent.iterdir()] == ["practice"]

    def test_its_signatures_are_good_for_practice_alone(self, small: Rehearsal) -> None:
        """Its list of signers names the practice namespaces and one principal."""
        (line,) = small.allowed_signers.read_text(encoding="ascii").splitlines()
        assert 'namespaces="practice-line@tankwalk,practice-record@tankwalk"' in line
        assert line.startswith(f"{small.signer} ")

    def test_the_key_is_forgotten(self, small: Rehearsal) -> None:
        """No private key lies in its folder."""
        for file in small.record.parent.iterdir():
            assert b"PRIVATE" not in file.read_bytes()

    def test_no_home_folder_and_no_folder_of_keys_is_touched(self, tmp_path: Path) -> None:
        """Run as the real program with both pointed at empty folders: they stay empty."""
        shop = write_shop(tmp_path / "shop")
        home, keys = tmp_path / "home", tmp_path / "keys"
        home.mkdir()
        keys.mkdir()
        kept = {name: value for name, value in os.environ.items() if not name.startswith("XDG_")}
        args = ["rehearse", str(shop / "procedures" / "route.toml"), "--area", "1 dm2", "--pieces", "1"]
        subprocess.run(
            [sys.executable, "-m", "runner", *args],
            env={**kept, "HOME": str(home), "TANKWALK_KEYS": str(keys)},
            cwd=tmp_path,
            check=True,
            capture_output=True,
        )
        assert list(home.iterdir()) == []
        assert list(keys.iterdir()) == []
        assert not (shop / "procedures" / "people.toml").exists()


class TestManner:
    """How it walks."""

    def test_the_first_line_holds_all_that_is_needed_to_read_it(self, small: Rehearsal) -> None:
        """The procedure's text and the whole plan: nothing outside the journal is asked for."""
        first = fold(small.journal.read_bytes()).lines[0]
        opened = read_event(first.kind, first.data)
        assert isinstance(opened, BatchOpened)
        assert opened.procedure_text == (small.record.parents[3] / "procedures" / "route.toml").read_text(
            encoding="utf-8"
        )
        assert [step.name for step in opened.plan.steps] == ["Dip", "Nickel", "Look"]

    def test_checks_are_answered_as_planned(self, small: Rehearsal) -> None:
        """The planned value (4 A/dm² on 10 dm² are 40 A), and of choices the first that is in order."""
        steps = record_of(small)["step"]
        seen = {check["ask"]: check["seen"] for step in steps for check in step.get("check", [])}
        assert seen == {"Rectifier current": pytest.approx(40.0), "Colour": "even"}

    def test_it_takes_as_long_as_its_plan_on_its_own_clock(self, small: Rehearsal) -> None:
        """It begins when it was begun, and no second of it is this machine's."""
        record = record_of(small)
        began, ended = (datetime.fromisoformat(record[when]["at"]) for when in ("opened", "ended"))
        total_s = fold(small.journal.read_bytes()).state.opened.plan.total_s
        assert record["opened"]["at"] == "2026-01-01T10:00:00.000Z"
        assert total_s <= (ended - began).total_seconds() <= total_s + 600
        assert {step["actual"]["durations_from"] for step in record["step"]} == {"uptime"}

    def test_two_at_once_get_two_folders(self, tmp_path: Path) -> None:
        """And four get four; each record proves by itself."""
        folder = write_shop(tmp_path / "shop")
        with ThreadPoolExecutor(4) as pool:
            all_made = list(pool.map(lambda _: walked(folder, "route.toml", Order(5.0, 2)), range(4)))
        assert len({made.record.parent for made in all_made}) == 4
        assert len({made.signer for made in all_made}) == 4
        for made in all_made:
            assert render(made.journal.read_bytes()) == made.record.read_bytes()

    def test_numbers_run_on_past_what_is_no_rehearsal(self, tmp_path: Path) -> None:
        """A stray folder or another year's does not stop it, and none is written over."""
        folder = write_shop(tmp_path / "shop")
        practice = folder / "logs" / "practice"
        for stray in ("practice-2026-0007", "practice-2025-0099", "practice-2026-x", "other"):
            (practice / stray).mkdir(parents=True)
        made = walked(folder, "route.toml", Order(5.0, 2))
        assert made.record.parent.name == "practice-2026-0008"
        assert list((practice / "practice-2026-0007").iterdir()) == []
