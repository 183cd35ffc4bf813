"""``tankwalk report`` on the command line: where it writes, what it says, how it ends."""

from __future__ import annotations

import hashlib
import subprocess
import sys
import time
from pathlib import Path

import pytest

from runner.record.report.material import gather
from runner.record.report.pages import report_html
from support.cli import call, program, raw_controls
from support.journals import moment
from support.pages import Page
from support.works import ABANDONED, OPEN, SEALED, Works


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")


@pytest.mark.parametrize("file", ["", "record.toml", "journal.jsonl", "record.toml.sig"])
def test_a_batch_is_printed_by_its_folder_or_a_file_in_it(
    sound: Works, capsys: pytest.CaptureFixture[str], file: str
) -> None:
    """Into a file named for it, here; the record's folder stays as it is."""
    before = sorted(sound.batch(SEALED).iterdir())
    ran = call(capsys, "report", str(sound.batch(SEALED) / file))
    assert (ran.status, ran.err) == (0, "")
    assert ran.out == f"printed: {SEALED}-report.html\nproves; trust: beside the records\n"
    Page(Path(f"{SEALED}-report.html").read_text(encoding="utf-8")).harmless()
    assert sorted(sound.batch(SEALED).iterdir()) == before


def test_json_tells_what_was_printed(sound: Works, capsys: pytest.CaptureFixture[str]) -> None:
    """File, verdict, trust and hashes; and where the verifier lies that needs no tankwalk."""
    ran = call(capsys, "report", "--json", "--out", "a.html", str(sound.batch(SEALED)))
    told = ran.json()
    record = (sound.batch(SEALED) / "record.toml").read_bytes()
    assert (ran.status, told["file"], told["refused"], told["ok"]) == (0, "a.html", None, True)
    assert (told["batch"], told["status"], told["trust"]) == (SEALED, "sealed", "beside the records")
    assert told["record_sha256"] == hashlib.sha256(record).hexdigest()
    assert told["record_sha256"] in Path("a.html").read_text(encoding="utf-8")
    assert Path(told["auditor_check"]).name == "auditor_check.py"
    assert Path(told["auditor_check"]).is_file()


def test_an_open_batch_is_printed_and_is_no_fault(sound: Works, capsys: pytest.CaptureFixture[str]) -> None:
    """As with verify: exit status 0."""
    ran = call(capsys, "report", str(sound.batch(OPEN)))
    assert (ran.status, ran.out.splitlines()[-1]) == (
        0,
        "open; what is there proves; trust: beside the records",
    )


def test_a_batch_that_does_not_prove_is_printed_and_is_a_no(
    works: Works, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit status 1, with the findings, and the print is there."""
    (works.batch(SEALED) / "record.toml.sig").unlink()
    ran = call(capsys, "report", str(works.batch(SEALED)))
    assert ran.status == 1
    assert "NO  record.toml.sig: " in ran.out
    assert "DOES NOT PROVE" in Path(f"{SEALED}-report.html").read_text(encoding="utf-8")


def test_a_pinned_owner_or_list_is_told(sound: Works, capsys: pytest.CaptureFixture[str]) -> None:
    """The trust word, as verify gives it; a wrong owner is a no."""
    signers = str(sound.logs / "allowed_signers")
    ran = call(capsys, "report", "--signers", signers, str(sound.batch(SEALED)))
    assert (ran.status, ran.out.splitlines()[-1]) == (0, "proves; trust: pinned")
    other = "SHA256:" + "A" * 43
    assert call(capsys, "report", "--owner", other, str(sound.batch(SEALED))).status == 1


def test_a_certificate_is_printed_or_refused_with_its_reason(
    sound: Works, capsys: pytest.CaptureFixture[str]
) -> None:
    """Refused it is a no, exit status 1, and no file is written."""
    ran = call(capsys, "report", "--certificate", str(sound.batch(SEALED)))
    assert ran.status == 0
    assert "Certificate of conformity" in Path(f"{SEALED}-certificate.html").read_text(encoding="utf-8")
    no = call(capsys, "report", "--certificate", str(sound.batch(ABANDONED)))
    assert no.status == 1
    assert no.out.startswith(f"NO  no certificate of {ABANDONED}: it was abandoned")
    told = call(capsys, "report", "--certificate", "--json", str(sound.batch(ABANDONED)))
    assert (told.status, told.json()["file"]) == (1, None)
    assert told.json()["refused"].startswith("it was abandoned")
    assert [one.name for one in Path().iterdir()] == [f"{SEALED}-certificate.html"]


def test_the_verifier_is_laid_beside_it(sound: Works, capsys: pytest.CaptureFixture[str]) -> None:
    """Copied out, it proves the batch by itself."""
    assert call(capsys, "report", "--checker", str(sound.batch(SEALED))).status == 0
    whole = [
        "-I",
        "auditor_check.py",
        str(sound.batch(SEALED)),
        "--signers",
        str(sound.logs / "allowed_signers"),
    ]
    assert (
        subprocess.run([sys.executable, *whole], capture_output=True, timeout=60, check=False).returncode == 0
    )


def test_an_earlier_print_is_replaced(sound: Works, capsys: pytest.CaptureFixture[str]) -> None:
    """A print can always be made again."""
    for _ in range(2):
        assert call(capsys, "report", "--out", "a.html", str(sound.batch(SEALED))).status == 0


def test_nothing_else_is_replaced(works: Works, capsys: pytest.CaptureFixture[str]) -> None:
    """Neither a file of somebody's, nor anything in a batch's folder; a folder is no file."""
    mine = Path("mine.html")
    mine.write_text("<html>mine</html>", encoding="utf-8")
    batch = works.batch(SEALED)
    record = (batch / "record.toml").read_bytes()
    for out in (mine, batch / "record.toml", batch / "new.html", Path(), works.logs / "shop.jsonl"):
        ran = call(capsys, "report", "--json", "--out", str(out), str(batch))
        assert len(ran.errors()) == 1
    assert mine.read_text(encoding="utf-8") == "<html>mine</html>"
    assert (batch / "record.toml").read_bytes() == record
    assert not (batch / "new.html").exists()


@pytest.mark.parametrize("where", ["nowhere", ".", "logs", "shop", "signers"])
def test_a_call_that_means_no_batch_is_wrong(
    works: Works, capsys: pytest.CaptureFixture[str], where: str
) -> None:
    """Exit status 2: nothing there, no batch there, a whole shop, a list of signers that is none."""
    places = {"logs": works.logs, "shop": works.folder, "signers": works.batch(SEALED)}
    more = ("--signers", "nowhere") if where == "signers" else ()
    ran = call(capsys, "report", "--json", *more, str(places.get(where, Path(where))))
    assert ran.errors()


def test_a_folder_that_cannot_be_written_to_is_said(sound: Works, capsys: pytest.CaptureFixture[str]) -> None:
    """No traceback: the file and the reason."""
    ran = call(capsys, "report", "--json", "--out", "gone/a.html", str(sound.batch(SEALED)))
    assert ran.errors()[0]["file"]


def test_a_hostile_name_of_a_folder_stays_text(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """On the terminal and in the name of the file."""
    folder = tmp_path / "\x1b[31m$(id)"
    folder.mkdir()
    (folder / "journal.jsonl").write_bytes(b"{}\n")
    ran = call(capsys, "report", str(folder))
    assert ran.status == 1
    assert raw_controls(ran.out) == []
    assert [one.name for one in Path().iterdir()] == ["__31m__id_-report.html"]


def test_it_loads_no_screens_and_no_table_library(sound: Works, tmp_path: Path) -> None:
    """A print is made where no terminal is, by what a print needs."""
    code = (
        "import sys; from runner.cli.main import run; run(sys.argv[1:]);"
        "print(sorted({'textual', 'rich', 'pydantic'} & set(sys.modules)))"
    )
    ran = program("report", str(sound.batch(SEALED)), cwd=tmp_path, start=(sys.executable, "-c", code))
    assert ran.out.splitlines()[-1] == "[]"


def test_the_longest_demo_route_prints_in_a_third_of_a_second(demo_rehearsal: Path) -> None:
    """47 steps read, proved and printed; processor time, since other work on the machine is not ours."""
    took = []
    for _ in range(3):
        began = time.process_time()
        page = report_html(gather(demo_rehearsal), moment())
        took.append(time.process_time() - began)
    assert page.count('<section class="step') == 47
    assert min(took) < 0.3
