"""The verifier in one file against the program's own, and against stock tools that share no code with it."""

from __future__ import annotations

import ast
import os
import random
import shutil
import subprocess
import sys
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest

from runner.record import auditor_check, sshsig
from runner.record.verify import verify
from support.works import ABANDONED, DEVIATING, OPEN, SEALED, UNSIGNED, Works, make_works

FILE = Path(auditor_check.__file__)
FILES = ("journal.jsonl", "record.toml", "record.toml.sig")
SOUND = (SEALED, DEVIATING, ABANDONED, UNSIGNED, OPEN)


@pytest.fixture(scope="module")
def works(tmp_path_factory: pytest.TempPathFactory) -> Works:
    """A shop with batches of every kind; not to be changed."""
    folder = tmp_path_factory.mktemp("checked")
    return make_works(folder / "shop", folder / "keys")


@pytest.fixture
def batch(works: Works, tmp_path: Path) -> Callable[[str], Path]:
    """A copy of one batch's folder alone, its list of signers kept outside."""
    shutil.copy(works.logs / "allowed_signers", tmp_path / "signers")

    def copied(name: str) -> Path:
        return Path(shutil.copytree(works.batch(name), tmp_path / "logs" / name))

    return copied


def says(folder: Path, signers: Path) -> int:
    """What the one file says of a folder."""
    return auditor_check.main([str(folder), "--signers", str(signers)])


def ours_says(folder: Path, signers: Path) -> int:
    """What the program itself says of it."""
    return 0 if verify(folder, signers).ok else 1


def by_hand(folder: Path, signers: Path) -> int:
    """What stock tools say of it."""
    done = subprocess.run(
        ["sh", "-c", auditor_check.BY_HAND],
        cwd=folder,
        env={"PATH": os.environ["PATH"], "SIGNERS": str(signers)},
        capture_output=True,
        timeout=100,
        check=False,
    )
    return done.returncode


def test_it_imports_the_standard_library_and_cryptography_alone() -> None:
    """Nothing of ours: an auditor reads one file, and has read all of it."""
    tree = ast.parse(FILE.read_text(encoding="utf-8"))
    named = {a.name for node in ast.walk(tree) if isinstance(node, ast.Import) for a in node.names}
    named |= {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    roots = {name.partition(".")[0] for name in named}
    assert roots - set(sys.stdlib_module_names) == {"cryptography"}


def test_the_file_alone_proves_a_batch(works: Works, tmp_path: Path) -> None:
    """Copied elsewhere and run with no way to our package, it says yes, and 2 where it is called wrongly."""
    alone = shutil.copy(FILE, tmp_path / "check.py")

    def run(*args: str) -> subprocess.CompletedProcess[str]:
        whole = [sys.executable, "-I", str(alone), *args]
        return subprocess.run(whole, capture_output=True, text=True, timeout=60, check=False, cwd=tmp_path)

    signers = str(works.logs / "allowed_signers")
    yes = run(str(works.batch(SEALED)), "--signers", signers)
    assert (yes.returncode, yes.stderr) == (0, "")
    assert "'cleo' stands for the record" in yes.stdout
    assert run(str(works.batch(SEALED))).returncode == 2
    assert run(str(tmp_path), "--signers", signers).returncode == 2
    assert run(str(works.batch(SEALED)), "--signers", str(alone)).returncode == 2
    assert run("--by-hand").stdout == auditor_check.BY_HAND


@pytest.mark.parametrize("name", SOUND)
def test_it_agrees_that_a_sound_batch_holds(batch: Callable[[str], Path], tmp_path: Path, name: str) -> None:
    """Sealed, with a deviation, abandoned, with unsigned lines, and open."""
    folder = batch(name)
    assert says(folder, tmp_path / "signers") == ours_says(folder, tmp_path / "signers") == 0


def test_it_proves_a_rehearsal(works: Works) -> None:
    """In the namespaces of practice, by the list that lies with it."""
    assert says(works.rehearsal, works.rehearsal / "allowed_signers") == 0


def test_unsigned_lines_are_told(works: Works, capsys: pytest.CaptureFixture[str]) -> None:
    """Whoever reads the verdict learns which facts rest on the next signature."""
    assert says(works.batch(UNSIGNED), works.logs / "allowed_signers") == 0
    assert "carries no signature" in capsys.readouterr().out


def flip(content: bytes, chance: random.Random) -> bytes:
    """One bit, anywhere."""
    at = chance.randrange(len(content))
    return content[:at] + bytes([content[at] ^ 1 << chance.randrange(8)]) + content[at + 1 :]


def cut(content: bytes, chance: random.Random) -> bytes:
    """The end gone, often at a line's end."""
    lines = content.splitlines(keepends=True)
    if chance.random() < 0.5:
        return content[: chance.randrange(len(content))]
    return b"".join(lines[: chance.randrange(len(lines))])


def swap(content: bytes, chance: random.Random) -> bytes:
    """Two lines in each other's place."""
    lines = content.splitlines(keepends=True)
    one, other = chance.sample(range(len(lines)), 2)
    lines[one], lines[other] = lines[other], lines[one]
    return b"".join(lines)


def repeat(content: bytes, chance: random.Random) -> bytes:
    """A line a second time."""
    lines = content.splitlines(keepends=True)
    return b"".join([*lines, chance.choice(lines)])


def seeded(seed: str) -> random.Random:
    """The same sample in every run."""
    return random.Random(seed)  # noqa: S311 - changes to try, no secret


@pytest.mark.parametrize("change", [flip, cut, swap, repeat])
@pytest.mark.parametrize("file", FILES)
def test_it_agrees_on_a_sample_of_changes(
    batch: Callable[[str], Path],
    tmp_path: Path,
    file: str,
    change: Callable[[bytes, random.Random], bytes],
) -> None:
    """Whatever is changed in a sealed batch, both say no; put back, both say yes."""
    chance = seeded(f"{file} {change.__name__}")
    folder, signers = batch(DEVIATING), tmp_path / "signers"
    before = (folder / file).read_bytes()
    for _ in range(12):
        changed = change(before, chance)
        if changed == before:
            continue  # two like lines of a record were swapped
        (folder / file).write_bytes(changed)
        assert ours_says(folder, signers) == says(folder, signers) == 1, changed
    (folder / file).write_bytes(before)
    assert ours_says(folder, signers) == says(folder, signers) == 0


@pytest.mark.parametrize("gone", ["record.toml", "record.toml.sig"])
def test_a_batch_that_ended_without_its_seal_does_not_hold(
    batch: Callable[[str], Path], tmp_path: Path, gone: str
) -> None:
    """Found by both."""
    folder, signers = batch(SEALED), tmp_path / "signers"
    (folder / gone).unlink()
    assert ours_says(folder, signers) == says(folder, signers) == 1


def test_another_batch_of_the_same_shop_does_not_pass_for_it(
    works: Works, batch: Callable[[str], Path], tmp_path: Path
) -> None:
    """A sound journal with the sound record of another, and a sound batch under another name."""
    folder, signers = batch(SEALED), tmp_path / "signers"
    for file in ("record.toml", "record.toml.sig"):
        shutil.copy(works.batch(DEVIATING) / file, folder / file)
    assert ours_says(folder, signers) == says(folder, signers) == 1
    renamed = shutil.copytree(works.batch(DEVIATING), folder.parent / "2026-0099")
    assert ours_says(renamed, signers) == says(renamed, signers) == 1


def test_a_key_counts_for_nobody_else_and_for_no_other_purpose(
    works: Works, batch: Callable[[str], Path], tmp_path: Path
) -> None:
    """A list that gives the keys to others, or for records alone, proves nothing."""
    folder = batch(SEALED)
    text = (works.logs / "allowed_signers").read_text(encoding="ascii")
    for spoilt in (text.replace("otto ", "owen2 "), text.replace(",journal-line@tankwalk", "")):
        assert spoilt != text
        (tmp_path / "other").write_text(spoilt, encoding="ascii")
        assert ours_says(folder, tmp_path / "other") == says(folder, tmp_path / "other") == 1


@pytest.mark.parametrize(
    "row", ["* ssh-ed25519 AAAA", "otto cert-authority ssh-ed25519 AAAA", "otto ssh-ed25519 AAAA", "otto"]
)
def test_a_list_that_cannot_be_weighed_is_refused(works: Works, tmp_path: Path, row: str) -> None:
    """Patterns, other options, damaged keys: the call is wrong, exit status 2."""
    (tmp_path / "odd").write_text(row + "\n", encoding="ascii")
    with pytest.raises(SystemExit) as wrong:
        says(works.batch(SEALED), tmp_path / "odd")
    assert wrong.value.code == 2


class TestByHand:
    """The commands for a stock system, run as they are printed."""

    def test_stock_tools_prove_a_batch(self, batch: Callable[[str], Path], tmp_path: Path) -> None:
        """sh, sed, sha256sum, ssh-keygen and python3 -m json.tool say yes without a line of ours."""
        assert by_hand(batch(UNSIGNED), tmp_path / "signers") == 0

    @pytest.mark.parametrize("change", [flip, cut, swap])
    def test_they_find_a_change_of_the_journal(
        self,
        batch: Callable[[str], Path],
        tmp_path: Path,
        change: Callable[[bytes, random.Random], bytes],
    ) -> None:
        """By the hash that the signed record names."""
        folder = batch(SEALED)
        journal = (folder / "journal.jsonl").read_bytes()
        (folder / "journal.jsonl").write_bytes(change(journal, seeded(change.__name__)))
        assert by_hand(folder, tmp_path / "signers") != 0

    def test_they_find_a_line_changed_under_a_record_signed_anew(
        self, works: Works, batch: Callable[[str], Path], tmp_path: Path
    ) -> None:
        """Who ended the batch can sign another record; the lines of the others then give it away."""
        folder = batch(SEALED)
        journal = (folder / "journal.jsonl").read_bytes()
        changed = journal.replace(b'"amps":', b'"amps":1', 1)
        assert changed != journal
        (folder / "journal.jsonl").write_bytes(changed)
        forge_record(works, folder, journal, changed)
        assert by_hand(folder, tmp_path / "signers") != 0
        assert says(folder, tmp_path / "signers") == 1


def forge_record(works: Works, folder: Path, journal: bytes, changed: bytes) -> None:
    """A record that names the changed journal, signed by who ended the batch."""
    record = (folder / "record.toml").read_bytes()
    record = record.replace(sha256(journal).hexdigest().encode(), sha256(changed).hexdigest().encode())
    record = record.replace(b"bytes = %d" % len(journal), b"bytes = %d" % len(changed))
    (folder / "record.toml").write_bytes(record)
    blob = works.people["cleo"].key.sign("batch-record@tankwalk", record)
    (folder / "record.toml.sig").write_text(sshsig.armour(blob), encoding="ascii")
