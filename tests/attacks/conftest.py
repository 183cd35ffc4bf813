"""The shop that is attacked, and what its verification must say."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.record.reader import Finding
from runner.record.verify import Verdict, verify
from support.cli import call
from support.forger import Forger
from support.saying import Found, Made, Proved
from support.works import Works, make_works


@pytest.fixture(scope="session")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Works:
    """The shop before any attack; not to be changed."""
    folder = tmp_path_factory.mktemp("works")
    return make_works(folder / "shop", folder / "keys")


@pytest.fixture
def works(sound: Works, tmp_path: Path) -> Works:
    """A copy for one attack."""
    return sound.copy(tmp_path / "shop")


@pytest.fixture(scope="session")
def second(tmp_path_factory: pytest.TempPathFactory) -> Works:
    """Another shop, with people of the same names and other keys; not to be changed."""
    folder = tmp_path_factory.mktemp("second")
    return make_works(folder / "shop", folder / "keys")


@pytest.fixture
def elsewhere(second: Works, tmp_path: Path) -> Works:
    """A copy of the other shop."""
    return second.copy(tmp_path / "elsewhere")


@pytest.fixture
def forger(works: Works) -> Made:
    """Makes a forger who has the keys of some people."""

    def made(*ids: str) -> Forger:
        return Forger(works, {who: works.people[who].key for who in ids})

    return made


@pytest.fixture
def verdict(capsys: pytest.CaptureFixture[str]) -> Proved:
    """Proves, and makes sure that the command line says the same."""

    def proved(path: Path, signers: Path | None = None, owner: str | None = None) -> Verdict:
        came = verify(path, signers, owner)
        options = [] if signers is None else [f"--signers={signers}"]
        options += [] if owner is None else [f"--owner={owner}"]
        ran = call(capsys, "verify", "--json", str(path), *options)
        assert ran.status == (0 if came.ok else 1)
        assert ran.err == ""
        assert ran.out.isascii()
        document = ran.json()
        assert document["ok"] is came.ok
        assert document["findings"] == [{"what": one.what, "where": one.where} for one in came.findings]
        return came

    return proved


@pytest.fixture
def found(verdict: Proved) -> Found:
    """What does not prove."""

    def findings(
        path: Path, where: str = "", what: str = "", signers: Path | None = None, owner: str | None = None
    ) -> list[Finding]:
        came = list(verdict(path, signers, owner).findings)
        assert came, "nothing was found"
        assert any(where in one.where and what in one.what for one in came), came
        return came

    return findings
