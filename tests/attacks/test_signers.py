"""The list of signers beside the records forged or shortened, and the shop's journal taken from beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from runner.record.keys import UnlockedKey
from support.forger import stock_says
from support.saying import Found, Made, Proved
from support.works import BATCHES, SEALED, Works

SHOP, SIGNERS = "shop.jsonl", "allowed_signers"


def _first_key(text: str) -> str:
    return " ".join(text.split("\n")[1].split()[2:])


LISTS: dict[str, tuple[Callable[[str], str], str]] = {
    "a name that fits everybody": (lambda text: text + f"* {_first_key(text)}\n", "pattern"),
    "a name that fits some": (lambda text: text.replace("otto ", "ott? ", 1), "pattern"),
    "two names": (lambda text: text.replace("otto ", "otto,cleo ", 1), "a list or no plain name"),
    "a key more": (lambda text: text + f"cleo {UnlockedKey.in_memory().public_line}\n", "does not know so"),
    "a key less": (
        lambda text: "".join(row for row in text.splitlines(keepends=True) if "cleo" not in row),
        "missing",
    ),
    "two keys changed over": (
        lambda text: text.replace("otto ", "@ ").replace("cleo ", "otto ").replace("@ ", "cleo "),
        "does not know so",
    ),
    "any purpose": (
        lambda text: text.replace(
            'namespaces="batch-addendum@tankwalk,batch-record@tankwalk,journal-line@tankwalk" ', "", 1
        ),
        "so",
    ),
    "practice's purposes": (
        lambda text: text.replace("batch-record@", "practice-record@", 1),
        "does not know so",
    ),
    "an authority": (
        lambda text: text.replace("namespaces=", "cert-authority,namespaces=", 1),
        "other than namespaces",
    ),
    "a date": (
        lambda text: text.replace("namespaces=", 'valid-after="19700101",namespaces=', 1),
        "other than",
    ),
    "nothing": (lambda _: "", "missing"),
    "no ASCII": (lambda text: text.replace("otto", "ötto", 1), "cannot be read"),
    "escapes": (lambda text: "\x1b[2Jotto " + text, "no plain name"),
}


@pytest.mark.parametrize("name", LISTS)
def test_a_list_of_signers_changed_is_found(works: Works, found: Found, name: str) -> None:
    """Found: it must be what the shop's journal comes to, key by key, name by name, purpose by purpose."""
    file = works.logs / SIGNERS
    change, reason = LISTS[name]
    before = file.read_text("ascii")
    after = change(before)
    assert after != before
    file.write_text(after, encoding="utf-8")
    found(works.folder, SIGNERS, reason)
    found(works.batch(SEALED), SIGNERS, reason)


def test_a_forgers_key_on_the_list_fools_stock_tools_alone(works: Works, forger: Made, found: Found) -> None:
    """Found, where stock tools see nothing: they believe the list that they are given."""
    stranger = UnlockedKey.in_memory()
    works.people["cleo"] = replace(works.people["cleo"], key=stranger)
    folder = works.batch(SEALED)
    forger().sign_record(folder, b"nothing happened\n", "cleo")
    list_of = works.logs / SIGNERS
    assert not stock_says(folder, list_of, "cleo")
    list_of.write_text(list_of.read_text("ascii") + f"cleo {stranger.public_line}\n", encoding="ascii")
    assert stock_says(folder, list_of, "cleo")
    findings = found(works.folder, f"{SEALED} record.toml.sig", "not by a key of cleo")
    assert any(one.where == SIGNERS for one in findings)


def test_without_the_shops_journal_nothing_proves_but_on_a_list_from_outside(
    works: Works, found: Found, verdict: Proved, tmp_path: Path
) -> None:
    """Found: else taking it away would hide a cut end. On a list given from outside it is noted."""
    kept = tmp_path / "kept"
    kept.write_bytes((works.logs / SIGNERS).read_bytes())
    (works.logs / SHOP).unlink()
    for batch in BATCHES:
        found(works.batch(batch), SHOP, "there is none")
        came = verdict(works.batch(batch), signers=kept)
        assert (came.ok, came.trust) == (True, "pinned")
        assert came.batches[0].notes[-1].startswith("proved without a shop's journal")
