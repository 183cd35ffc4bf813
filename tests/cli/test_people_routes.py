"""`tankwalk people routes`: the ledger of who is able to walk what, from a shell."""

from __future__ import annotations

from pathlib import Path

import pytest

from support.cli import Ran, Shell, pin_lines

OWNER_PIN, PIN = "135790", "864213"


class People(Shell):
    """`tankwalk people` in an example shop with an owner and an operator, PINs on standard input."""

    @property
    def route(self) -> str:
        """A route's file."""
        return str(self.shop / "procedures" / "pole-sleeves.toml")

    def __call__(self, *args: str, pins: tuple[str, ...] = (), json: bool = True) -> Ran:
        asked = ("--pin-stdin",) if pins else ()
        return self.given(pin_lines(*pins), "people", *args, *asked, *(("--json",) if json else ()))


@pytest.fixture
def shell(shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> People:
    """The shop and its people."""
    ran = People(shop, monkeypatch, capsys)
    ran("add", "olive", "--name", "Olive", "--role", "owner", pins=(OWNER_PIN,))
    ran("add", "otto", "--name", "Otto", "--role", "operator", pins=(PIN, OWNER_PIN))
    return ran


def test_without_a_ledger_the_list_says_so(shell: People) -> None:
    """And that everybody walks every route."""
    assert shell("routes", "list").json() == {"routes": []}
    assert "no route has a ledger" in shell("routes", "list", json=False).out


def test_practised_signed_off_and_withdrawn_stand_in_the_list(shell: People) -> None:
    """Each with the PIN of who may; a second sign-off is refused, with words."""
    assert shell("routes", "practised", "otto", shell.route, pins=(OWNER_PIN,)).status == 0
    (row,) = shell("routes", "list").json()["routes"]
    assert (row["id"], row["practised"], row["signed_off_by"], row["begun"]) == ("otto", 1, None, False)
    assert shell("routes", "sign-off", "otto", shell.route, pins=(OWNER_PIN,)).json()["by"] == "olive"
    (row,) = shell("routes", "list").json()["routes"]
    assert (row["signed_off_by"], row["begun"]) == ("olive", True)
    assert "signed off by olive" in shell("routes", "list", json=False).out
    again = shell("routes", "sign-off", "otto", shell.route, pins=(OWNER_PIN,))
    assert again.status == 2
    assert "is signed off" in again.err
    gone = ("routes", "withdraw", "otto", shell.route, "--reason", "long away")
    assert shell(*gone, pins=(OWNER_PIN,)).status == 0
    assert "not signed off" in shell("routes", "list", json=False).out


def test_an_operator_signs_nobody_off(shell: People) -> None:
    """Who may is named."""
    ran = shell("routes", "sign-off", "otto", shell.route, "--by", "otto", pins=(PIN,))
    assert ran.status == 2
    assert "who may: olive" in ran.err
