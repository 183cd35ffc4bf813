"""A new shop, and the people on its roll: what is written, what is asked, what is never shown."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.record.keys import Keys
from support.cli import Ran, Shell, call, raw_controls

OWNER_PIN, PIN = "135790", "864213"


class People(Shell):
    """`tankwalk people` in a shop, with PINs on standard input."""

    def __call__(self, *args: str, stdin: bytes = b"") -> Ran:
        return self.given(stdin, "people", *args)

    def owner(self) -> Ran:
        """The first person."""
        args = ("add", "olive", "--name", "Olive Demo", "--role", "owner", "--pin-stdin", "--json")
        return self(*args, stdin=f"{OWNER_PIN}\n".encode())

    def add(self, who: str, *args: str, stdin: bytes = f"{PIN}\n{OWNER_PIN}\n".encode()) -> Ran:
        """One more."""
        role = () if "--role" in args else ("--role", "operator")
        name = () if "--name" in args else ("--name", "Otto Demo")
        return self("add", who, *name, *role, *args, "--pin-stdin", "--json", stdin=stdin)

    def roll(self) -> list[dict[str, object]]:
        """Who is on it."""
        rows: list[dict[str, object]] = self("list", "--json").json()["people"]
        return rows


@pytest.fixture
def people(shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> People:
    """The command, in that shop."""
    return People(shop, monkeypatch, capsys)


class TestInit:
    """`tankwalk init`."""

    def test_a_new_shop_has_routes_and_empty_logs_and_nobody(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        """Nothing is written outside it: no key, no home folder."""
        new = tmp_path / "new" / "shop"
        ran = call(capsys, "init", str(new), "--json")
        assert (ran.status, ran.err, ran.json()) == (0, "", {"shop": str(new)})
        assert sorted(path.name for path in new.iterdir()) == ["logs", "procedures"]
        assert list((new / "logs").iterdir()) == []
        assert (new / "procedures" / "shop.toml").is_file()
        assert not (new / "procedures" / "people.toml").exists()
        assert sorted(path.name for path in tmp_path.iterdir()) == ["here", "new"]

    @pytest.mark.parametrize("standing", ["file", "folder"])
    def test_nothing_is_written_over(
        self, standing: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        """What stands there stays."""
        place = tmp_path / "there"
        kept = place if standing == "file" else place / "kept"
        kept.parent.mkdir(exist_ok=True)
        kept.write_text("mine", encoding="utf-8")
        (error,) = call(capsys, "init", str(place), "--json").errors()
        assert error["file"] == str(place)
        assert kept.read_text(encoding="utf-8") == "mine"
        assert len(list(kept.parent.iterdir())) == (1 if standing == "folder" else 2)

    def test_a_place_that_cannot_be_written_is_said(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        """A folder below a file is none; its name comes back harmless."""
        (tmp_path / "file").write_text("x", encoding="utf-8")
        ran = call(capsys, "init", str(tmp_path / "file" / "a\x1b[31m"), "--json")
        (error,) = ran.errors()
        assert str(error["file"]).endswith("a\x1b[31m")
        assert raw_controls(ran.err + ran.out) == []


class TestPeople:
    """`tankwalk people`."""

    def test_the_first_is_the_owner_and_adds_the_others(self, people: People, tmp_path: Path) -> None:
        """Each gets a key of their own, under their PIN, in the folder of keys; the roll lists both."""
        owner = people.owner().json()
        other = people.add("otto").json()
        assert owner["role"] == "owner"
        assert other == {**other, "id": "otto", "name": "Otto Demo", "role": "operator"}
        assert owner["fingerprint"] != other["fingerprint"]
        assert [(row["id"], row["fingerprint"], row["active"]) for row in people.roll()] == [
            ("olive", owner["fingerprint"], True),
            ("otto", other["fingerprint"], True),
        ]
        keys = Keys(tmp_path / "keys").fingerprints()
        assert sorted(keys) == sorted([str(owner["fingerprint"]), str(other["fingerprint"])])

    def test_no_pin_and_no_private_key_lies_in_the_shop(self, people: People, shop: Path) -> None:
        """What is copied with a shop's folder opens nothing."""
        people.owner()
        people.add("otto")
        for file in shop.rglob("*"):
            if file.is_file():
                content = file.read_bytes()
                assert OWNER_PIN.encode() not in content
                assert PIN.encode() not in content
                assert b"PRIVATE" not in content

    def test_an_empty_roll_is_an_empty_list(self, people: People) -> None:
        """And says what to do next."""
        assert people.roll() == []
        assert "people add" in people("list").out

    def test_the_list_is_read_by_people(self, people: People) -> None:
        """One line a person."""
        fingerprint = people.owner().json()["fingerprint"]
        assert people("list").out == f"olive  Olive Demo, owner  {fingerprint}\n"

    def test_the_owner_is_told_to_write_the_fingerprint_down(self, people: People) -> None:
        """It is what proves the shop's records elsewhere."""
        args = ("add", "olive", "--name", "Olive", "--role", "owner", "--pin-stdin")
        ran = people(*args, stdin=f"{OWNER_PIN}\n".encode())
        assert "SHA256:" in ran.out
        assert "on paper" in ran.out

    @pytest.mark.parametrize(
        ("stdin", "said"),
        [
            (b"", "the new PIN is missing"),
            (b"\n\n", "the new PIN is missing"),
            (b"12345\n135790\n", "6 to 64 digits"),
            (b"1" * 65 + b"\n135790\n", "6 to 64 digits"),
            (b"1" * 100_000, "6 to 64 digits"),
            (b"12345x\n135790\n", "digits only"),
            ("١٢٣٤٥٦\n135790\n".encode(), "digits only"),
            (b"\xff\xfe\x00\x1b[2J\n135790\n", "digits only"),
            (b"864213\n", "the PIN of olive is missing"),
            (b"864213\n135791\n", "not the PIN of this key"),
            (b"864213\nowner\n", "not the PIN of this key"),
        ],
    )
    def test_a_pin_that_is_none_adds_nobody(self, stdin: bytes, said: str, people: People) -> None:
        """Whatever stands on standard input; and no PIN is told again."""
        people.owner()
        ran = people.add("otto", stdin=stdin)
        (error,) = ran.errors()
        assert said in error["message"]
        assert raw_controls(ran.err + ran.out) == []
        assert "864213" not in ran.err + ran.out
        assert len(people.roll()) == 1

    @pytest.mark.parametrize(
        ("who", "args", "said"),
        [
            ("olive", (), "olive is taken"),
            ("Otto", (), "no name for a person"),
            ("o", (), "no name for a person"),
            ("o" * 33, (), "no name for a person"),
            ("../otto", (), "no name for a person"),
            ("ot\x1b[31m", (), "control character U+001B"),
            ("otto", ("--name", "O\x1b]0;t\x07"), "control character"),
            ("otto", ("--name", "O\u202e"), "control character"),
            ("otto", ("--name", ""), "empty"),
            ("otto", ("--name", "n" * 501), "501 characters"),
            ("otto", ("--role", "boss"), "boss"),
            ("otto", ("--by", "nobody"), "may manage people"),
        ],
    )
    def test_a_person_that_cannot_be_adds_nobody(
        self, who: str, args: tuple[str, ...], said: str, people: People
    ) -> None:
        """The option is to blame, not a file."""
        people.owner()
        ran = people.add(who, *args)
        (error,) = ran.errors()
        assert said in error["message"]
        assert error["line"] is None
        assert raw_controls(ran.err + ran.out) == []
        assert len(people.roll()) == 1

    def test_the_first_cannot_be_anything_but_the_owner(self, people: People) -> None:
        """Nobody could sign for them."""
        (error,) = people.add("otto", stdin=f"{PIN}\n".encode()).errors()
        assert "the first person cannot be operator" in error["message"]
        (named,) = people.add("otto", "--by", "olive").errors()
        assert "--by" in named["remedy"]

    def test_with_two_owners_one_is_named(self, people: People) -> None:
        """The one whose PIN comes on the second line."""
        people.owner()
        people.add("odin", "--role", "owner")
        (error,) = people.add("otto").errors()
        assert error["remedy"] == "say who with --by: odin, olive"
        added = people.add("otto", "--by", "odin", stdin=f"{PIN}\n{PIN}\n".encode())
        assert added.json()["id"] == "otto"

    def test_only_an_owner_adds_people(self, people: People) -> None:
        """An operator's right PIN is not enough."""
        people.owner()
        people.add("otto")
        (error,) = people.add("tess", "--by", "otto", stdin=f"{PIN}\n{PIN}\n".encode()).errors()
        assert "may manage people" in error["message"]

    def test_without_a_terminal_the_pin_must_come_on_standard_input(self, people: People) -> None:
        """A prompt into a pipe would wait for ever, or show the PIN."""
        ran = people("add", "olive", "--name", "Olive", "--role", "owner", "--json")
        (error,) = ran.errors()
        assert "--pin-stdin" in error["remedy"]

    def test_a_pin_is_no_argument(self, people: People) -> None:
        """Whoever lists the machine's processes would read it."""
        ran = people("add", "olive", "--name", "Olive", "--role", "owner", "--pin", OWNER_PIN, "--json")
        assert ran.status == 2
        assert OWNER_PIN not in ran.out + ran.err

    def test_a_roll_that_does_not_prove_is_not_written_to(self, people: People, shop: Path) -> None:
        """A changed byte in the shop's journal stops the adding of people until somebody has looked."""
        people.owner()
        journal = shop / "logs" / "shop.jsonl"
        journal.write_bytes(journal.read_bytes().replace(b"Olive", b"Oliwe"))
        before = journal.read_bytes()
        (error,) = people.add("otto").errors()
        assert "does not prove" in error["message"]
        assert journal.read_bytes() == before
