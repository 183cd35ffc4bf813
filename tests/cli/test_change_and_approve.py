"""`tankwalk people change` and `tankwalk approve`: what the owner and the chargehand sign from a shell."""

from __future__ import annotations

from pathlib import Path

import pytest

from support.cli import Ran, Shell, pin_lines

OWNER_PIN, PIN, NEW_PIN = "135790", "864213", "271828"


class Signing(Shell):
    """Commands that answer in JSON, with PINs on standard input."""

    def __call__(self, *args: str, pins: tuple[str, ...] = ()) -> Ran:
        return self.given(pin_lines(*pins), *args, "--json")


@pytest.fixture
def shell(shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Signing:
    """The shell, with an owner and an operator on the roll."""
    ran = Signing(shop, monkeypatch, capsys)
    ran("people", "add", "olive", "--name", "Olive", "--role", "owner", "--pin-stdin", pins=(OWNER_PIN,))
    ran("people", "add", "otto", "--name", "Otto", "--role", "operator", "--pin-stdin", pins=(PIN, OWNER_PIN))
    return ran


def test_a_new_key_changes_the_fingerprint_and_nothing_else(shell: Signing) -> None:
    """The owner's PIN first, the new one second."""
    before = {row["id"]: row for row in shell("people", "list").json()["people"]}
    ran = shell("people", "change", "otto", "--new-key", "--pin-stdin", pins=(OWNER_PIN, NEW_PIN))
    assert ran.status == 0
    after = {row["id"]: row for row in shell("people", "list").json()["people"]}
    assert after["otto"]["fingerprint"] == ran.json()["fingerprint"] != before["otto"]["fingerprint"]
    assert after["otto"]["role"] == "operator"


def test_who_leaves_has_no_key_and_may_come_back_with_a_new_one(shell: Signing) -> None:
    """Leaving asks for nothing but the owner; coming back asks for a new PIN."""
    assert shell("people", "change", "otto", "--leave", "--pin-stdin", pins=(OWNER_PIN,)).status == 0
    rows = {row["id"]: row for row in shell("people", "list").json()["people"]}
    assert (rows["otto"]["active"], rows["otto"]["fingerprint"]) == (False, None)
    assert shell("people", "change", "otto", "--name", "O.", "--pin-stdin", pins=(OWNER_PIN,)).status == 2
    back = shell("people", "change", "otto", "--return", "--pin-stdin", pins=(OWNER_PIN, NEW_PIN))
    assert back.status == 0


@pytest.mark.parametrize(
    ("args", "pins"),
    [
        (("otto",), (OWNER_PIN,)),
        (("otto", "--leave", "--new-key"), (OWNER_PIN, NEW_PIN)),
        (("nobody", "--role", "owner"), (OWNER_PIN,)),
        (("otto", "--role", "owner"), (PIN,)),
        (("otto", "--new-key"), (OWNER_PIN,)),
        (("otto", "--new-key"), (OWNER_PIN, "123")),
        (("olive", "--leave"), (OWNER_PIN,)),
    ],
)
def test_a_change_that_cannot_be_changes_nothing(
    shell: Signing, args: tuple[str, ...], pins: tuple[str, ...]
) -> None:
    """Nothing to change, two things at once, nobody of that name, a wrong PIN, no PIN, the last owner."""
    before = shell("people", "list").out
    ran = shell("people", "change", *args, "--pin-stdin", pins=pins)
    assert ran.status == 2
    assert ran.json()["errors"]
    assert shell("people", "list").out == before


def test_an_approved_text_stands_until_it_changes(shell: Signing) -> None:
    """Approved once, refused a second time; a changed text under the same revision is not approved either."""
    file = shell.shop / "procedures" / "pole-sleeves.toml"
    ran = shell("approve", str(file), "--pin-stdin", pins=(OWNER_PIN,))
    assert (ran.status, ran.json()["standing"]) == (0, "approved as revision A")
    assert shell("approve", str(file), "--pin-stdin", pins=(OWNER_PIN,)).status == 2
    file.write_text(file.read_text(encoding="utf-8") + "\n# more\n", encoding="utf-8")
    ran = shell("approve", str(file), "--pin-stdin", pins=(OWNER_PIN,))
    assert ran.status == 2
    assert "another text" in ran.err


def test_an_operator_approves_nothing(shell: Signing) -> None:
    """Whoever may is named."""
    file = shell.shop / "procedures" / "pole-sleeves.toml"
    ran = shell("approve", str(file), "--by", "otto", "--pin-stdin", pins=(PIN,))
    assert ran.status == 2
    assert "who may: olive" in ran.err
