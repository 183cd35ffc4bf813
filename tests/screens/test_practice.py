"""A practice walk: faults come, somebody notices or does not, and nothing of it is production's."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from runner.batch.practice_faults import LESSONS, Fault, Trouble, answers, schedule
from runner.batch.practice_log import Verdict
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.practice_left import Left, find
from runner.record.verify import verify
from runner.screens.practice_app import PracticeApp, PracticeBoardScreen
from support.floors import ROUTE
from support.practising import SEED, ask, practising, to_its_end
from support.screen import Stage
from support.sheets import DIP, FINAL, NICKEL, RINSE, sheet

COLD = Fault(1, 10.0, Trouble.COLD, "bath 40 °C")
DROP = Fault(1, 900.0, Trouble.CURRENT, "the ammeter stands lower than it was set", 0.5)
PHONE = Fault(1, 10.0, Trouble.PHONE, "the phone in the office rings")


async def into_nickel(s: Stage) -> None:
    """Answer the pH, read the cautions, put the rack in, read the ammeter."""
    await s.type("4")
    await s.press("enter", "space", "1", "2", "3", "space")
    await s.type("40")
    await s.press("enter")


async def later(app: PracticeApp, s: Stage, seconds: float) -> None:
    """Let practice time pass, a second of the hand's clock at a time."""
    until = app.now().up_ms + seconds * 1000
    while app.now().up_ms < until:
        await s.wait(1)


async def call(s: Stage, trouble: Trouble, doing: str) -> None:
    """Say what is wrong and what is to be done, by their digits."""
    await s.press("s")
    await s.sees("What is wrong?")
    await s.press(str(list(Trouble).index(trouble) + 1))
    await s.sees("What do you do about it?")
    await s.press(str(answers(trouble, SEED).index(doing) + 1))
    await s.settled()


async def test_a_fault_shows_and_a_right_call_ends_it(tmp_path: Path) -> None:
    """The ammeter falls; called rightly it stands again where it was set, and the journal has a note."""
    async with practising(tmp_path, sheet(NICKEL, RINSE, FINAL), DROP) as (app, s):
        await into_nickel(s)
        await s.sees("ammeter 40 A")
        await later(app, s, 900)
        await s.sees("ammeter 20 A")
        await call(s, Trouble.CURRENT, LESSONS[Trouble.CURRENT].right)
        await s.sees("✓ right")
        await s.wait(1)
        await s.sees("ammeter 40 A")
        assert [one.verdict for one in app.noted.calls] == [Verdict.RIGHT]
        (note,) = app.practice.practised.notes
        assert note.text.startswith("practice: called the current has dropped, then: look at contacts")


async def test_a_wrong_cause_leaves_the_fault_standing(tmp_path: Path) -> None:
    """Somebody who looks again may call it once more."""
    async with practising(tmp_path, sheet(NICKEL, RINSE, FINAL), COLD) as (app, s):
        await into_nickel(s)
        await later(app, s, 12)
        await s.sees("bath 40 °C")
        await call(s, Trouble.BURNT, LESSONS[Trouble.BURNT].right)
        await s.sees("not that: look again", "bath 40 °C")
        await call(s, Trouble.COLD, LESSONS[Trouble.COLD].wrong[0])
        await s.sees("noticed. Something else was to be done")
        assert [one.verdict for one in app.noted.calls] == [Verdict.WRONG_CAUSE, Verdict.WRONG_ACTION]
        assert any("To do: tell the chargehand" in line for line in app.told())


async def test_a_call_where_nothing_shows_is_a_false_call(tmp_path: Path) -> None:
    """It is kept as one."""
    async with practising(tmp_path, sheet(NICKEL, RINSE, FINAL)) as (app, s):
        await into_nickel(s)
        await call(s, Trouble.BURNT, LESSONS[Trouble.BURNT].right)
        await s.sees("a false call")
        assert [one.verdict for one in app.noted.calls] == [Verdict.FALSE]
        assert any("1 false call" in line for line in app.told())


async def test_a_fault_that_a_rack_leaves_with_is_missed(tmp_path: Path) -> None:
    """The debrief says so, and why it matters; a note stands in the journal."""
    async with practising(tmp_path, sheet(NICKEL, RINSE, FINAL), COLD) as (app, s):
        await into_nickel(s)
        await later(app, s, 20)
        await s.press("f")
        await s.settled()
        assert [one.verdict for one in app.noted.calls] == [Verdict.MISSED]
        assert "practice: the bath is too cold: missed" in app.practice.practised.notes[-1].text
        told = "\n".join(app.told())
        assert "▲ missed" in told
        assert LESSONS[Trouble.COLD].matters in told
        assert "(common practice)" in told


async def test_the_phone_takes_the_walk_away_and_the_place_is_kept(tmp_path: Path) -> None:
    """The screen shows no step while it rings; after it the same step runs on, and the answer is judged."""
    async with practising(tmp_path, sheet(NICKEL, RINSE, FINAL), PHONE) as (app, s):
        await into_nickel(s)
        before = app.practice.practised.runs
        await later(app, s, 11)
        await s.sees("PRACTICE", "THE PHONE RINGS")
        assert "BRIGHT NICKEL" not in s.text()
        right = LESSONS[Trouble.PHONE].right
        await s.press("escape", str(answers(Trouble.PHONE, SEED).index(right) + 1))
        await s.sees("It has stopped", "Which step is the rack in?")
        digit = s.row_with("Bright nickel").split()[0]
        await s.press(digit)
        await s.sees("BRIGHT NICKEL", "SEEN")
        assert app.practice.practised.runs == before
        assert app.noted.places[0].correct
        assert [one.verdict for one in app.noted.calls] == [Verdict.RIGHT]


async def test_the_route_asks_before_its_cautions(tmp_path: Path) -> None:
    """While the rack is still safe; the answer is told right or wrong with its reason, and kept."""
    asked = {1: (ask("What first?", "fan", "current"),)}
    async with practising(tmp_path, sheet(DIP, FINAL), asked=asked) as (app, s):
        await s.press("space")
        await s.sees("What first?")
        digit = next(str(n) for n in (1, 2) if f"{n}  current" in s.text())
        await s.press(digit)
        await s.sees("▲ It is: fan", "The data sheet decides.")
        await s.press("escape", "space")
        await s.sees("Eyewash runs and its way is clear")
        assert [one.correct for one in app.noted.answers] == [False]
        assert any("▲ wrong: current" in line for line in app.told())


@pytest.mark.parametrize("size", [(80, 24), (40, 12)])
async def test_a_question_of_the_route_is_headed_with_its_step(tmp_path: Path, size: tuple[int, int]) -> None:
    """With the rack still in the tank before, 'this tank' would be read as that one."""
    asked = {1: (ask("What never comes near this tank?", "acid", "water"),)}
    async with practising(tmp_path, sheet(DIP, FINAL), asked=asked, size=size) as (_, s):
        await s.press("space")
        await s.sees("What never comes near this tank?")
        assert "Before step 1, Acid dip" in s.row_with("Before step")
        assert s.text().index("Before step 1") < s.text().index("What never comes")


async def test_windows_and_screens_say_practice(tmp_path: Path) -> None:
    """Walk, help, why, a call, the PIN and the board: each says the word."""
    async with practising(tmp_path, sheet(DIP, FINAL)) as (app, s):
        for key, words in (
            ("question_mark", "The walk"),
            ("w", "Why:"),
            ("s", "What is wrong?"),
            ("u", "PIN"),
        ):
            await s.press(key)
            await s.sees(words)
            await s.wait(1)
            assert "PRACTICE" in s.text(), words
            assert str(app.screen.query("Vertical, VerticalScroll").first().border_title) == "PRACTICE"
            await s.press("escape")
        await s.press("b")
        await s.sees("PRACTICE ·", "1 open batch")
        await s.press("o", "r", "u")
        assert isinstance(app.screen, PracticeBoardScreen), "nothing of the shop's is reached from here"


async def test_the_board_s_foot_lists_what_works_in_practice(tmp_path: Path) -> None:
    """No opening, records or people, at the foot and under the question mark; the digit leads back."""
    async with practising(tmp_path, sheet(DIP, FINAL)) as (_, s):
        await s.press("b")
        await s.sees("1 open batch")
        foot = s.rows()[-1]
        assert re.sub(" {2,}", "|", foot.strip()) == (
            "1-9|go to it|q|leave|a|alarms|F2|colours|F3|big print|?|help"
        )
        await s.press("question_mark")
        await s.sees("The board")
        assert not any(words in s.text() for words in ("records", "people", "open a batch"))
        await s.press("escape", "1")
        await s.sees("SEEN")


async def test_a_shop_gives_the_call_another_key(tmp_path: Path) -> None:
    """Foot, practice row and help name it; it calls, and the old key does nothing."""
    given = '\n[keys.walk]\nwrong = "e"\nwhy = "y"\n'
    async with practising(tmp_path, sheet(DIP, FINAL), size=(120, 40), keys_given=given) as (_, s):
        await s.sees("e: something is wrong   y: why")
        assert " e  wrong!" in s.rows()[-1]
        await s.press("s")
        await s.settled()
        assert "What is wrong?" not in s.text()
        await s.press("e")
        await s.sees("What is wrong?")
        await s.press("escape", "question_mark")
        await s.sees("practice alone: say that something is wrong")
        assert "e     practice alone" in s.text()


async def test_a_practice_ends_sealed_with_a_debrief_and_is_none_of_the_shop_s(tmp_path: Path) -> None:
    """It proves in logs/practice; the shop has no journal, no batch and nothing on its board for it."""
    async with practising(tmp_path, sheet(FINAL), size=(80, 24)) as (app, s):
        await to_its_end(app, s)
        folder = app.practice.batch_folder
        await s.press("space")
        await s.until(lambda: app.return_code == 0, "it was left: a shop without people has no ledger")
    assert folder.parent == tmp_path / "shop" / "logs" / "practice"
    assert verify(folder).ok
    assert [path.name for path in (tmp_path / "shop" / "logs").iterdir()] == ["practice"]
    floor = Floor(tmp_path / "shop", Keys(tmp_path / "keys", rounds=1))
    assert floor.standing() == ()
    floor.close()


async def test_a_practice_that_was_left_goes_on_where_it_stood(tmp_path: Path) -> None:
    """The same fault shows at the same moment, what was called is kept, and the time away does not count."""
    plan = sheet(NICKEL, RINSE, FINAL)
    faults = schedule(plan, SEED)
    assert faults[0].trouble is Trouble.COLD
    async with practising(tmp_path, plan, *faults) as (app, s):
        await into_nickel(s)
        await later(app, s, faults[0].after_s + 1)
        await s.sees(faults[0].meter)
        await call(s, Trouble.BURNT, LESSONS[Trouble.BURNT].right)
        await s.sees("not that: look again")
        await s.press("b", "q")
        await s.until(lambda: app.return_code == 0, "it was left")
        before = app.practice.practised
    left = find(tmp_path / "shop" / "logs", plan, ROUTE)
    assert left is not None
    async with practising(tmp_path, plan, left=left) as (app, s):
        assert app.now() == before.last
        assert app.practice.practised.runs == before.runs
        await s.sees(faults[0].meter)
        await call(s, Trouble.COLD, LESSONS[Trouble.COLD].right)
        await s.sees("✓ right")
        assert [one.verdict for one in app.noted.calls] == [Verdict.WRONG_CAUSE, Verdict.RIGHT]
        assert app.noted.faults == faults
        assert app.practice.batch == before.opened.batch
        folder = app.practice.batch_folder
    assert verify(folder).findings == ()


async def test_where_the_rack_is_is_asked_again_where_that_was_left_open(tmp_path: Path) -> None:
    """The phone was answered, and the practice left at the question after it: only that one comes again."""
    plan = sheet(NICKEL, RINSE, FINAL)
    right = LESSONS[Trouble.PHONE].right
    async with practising(tmp_path, plan, PHONE) as (app, s):
        await into_nickel(s)
        await later(app, s, 11)
        await s.sees("THE PHONE RINGS")
        await s.press(str(answers(Trouble.PHONE, SEED).index(right) + 1))
        await s.sees("Which step is the rack in?")
        await s.press("ctrl+c")
        await s.until(lambda: app.return_code == 0, "it was left")
        left = Left(app.practice.batch_folder, app.noted, app.practice.practised)
    async with practising(tmp_path, plan, left=left) as (app, s):
        await s.wait(1)
        await s.sees("It has stopped", "Which step is the rack in?")
        await s.press(s.row_with("Bright nickel").split()[0])
        await s.sees("BRIGHT NICKEL", "SEEN")
        assert [one.correct for one in app.noted.places] == [True]
        assert [one.verdict for one in app.noted.calls] == [Verdict.RIGHT]
        await later(app, s, 5)
        assert "It has stopped" not in s.text()


@pytest.mark.parametrize("trouble", [Trouble.BURNT, Trouble.COLD, Trouble.CURRENT])
async def test_a_fault_can_be_seen_on_the_smallest_terminal(tmp_path: Path, trouble: Trouble) -> None:
    """At 40 by 12 nothing of what a look would show falls off the edge."""
    words = {
        Trouble.BURNT: ("grey, rough at an edge", "40 A", "57 °C"),
        Trouble.COLD: ("part even", "40 A", "40 °C"),
        Trouble.CURRENT: ("part even", "20 A", "57 °C"),
    }[trouble]
    meter = {Trouble.BURNT: "grey, rough at an edge", Trouble.COLD: "bath 40 °C"}.get(trouble, "")
    fault = Fault(1, 10.0, trouble, meter, 0.5 if trouble is Trouble.CURRENT else 1.0)
    async with practising(tmp_path, sheet(NICKEL, RINSE, FINAL), fault, size=(40, 12)) as (app, s):
        await into_nickel(s)
        await later(app, s, 12)
        await s.sees("PRACTICE", " · ".join(words))
