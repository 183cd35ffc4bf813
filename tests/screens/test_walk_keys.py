"""What each key of the walk does, in the states in which it is pressed."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest
import pytest_asyncio
from msgspec.structs import replace

from runner.batch.state import Phase
from runner.batch.terms import Where
from support.screen import NOW, Stage, stage
from support.sheets import CHROMIUM, DIP, FINAL, NICKEL, RACK, RINSE, sheet


@pytest_asyncio.fixture
async def s(tmp_path: Path) -> AsyncIterator[Stage]:
    """The app at 80×24."""
    async with stage(tmp_path) as it:
        yield it


async def in_nickel(s: Stage) -> str:
    """A rack in the nickel tank, everything answered; thirty minutes to go."""
    batch = await s.walk(sheet(NICKEL, RINSE, CHROMIUM, FINAL))
    await s.type("4")
    await s.press("enter")
    await s.press("space", "1", "2", "3")
    await s.sees("PUT IT INTO BRIGHT NICKEL")
    await s.press("space")
    await s.type("40")
    await s.press("enter")
    await s.press("space", "1")
    await s.sees("LEAVE IT IN")
    return batch


async def test_space_says_what_it_does_in_each_state_and_does_it(s: Stage) -> None:
    """Begin, answer, done, cautions, in, lifted: one key, and the foot names its meaning each time."""
    batch = await s.walk(sheet(RACK, DIP, NICKEL))
    assert "space  begin" in s.rows()[-1]
    await s.press("space")
    assert s.state(batch).phase is Phase.IN_STEP
    assert "1-2  answer" in s.rows()[-1]
    await s.press("space")
    await s.sees("press the digit of what you see")
    await s.press("1")
    assert "press the digit" not in s.text()
    assert "space  read cautions" in s.rows()[-1]
    await s.press("space")
    await s.press("1")
    await s.type("4")
    await s.press("enter", "space", "1", "2", "3")
    assert "space  done" in s.rows()[-1]
    await s.press("space")
    assert "space  it is in" in s.rows()[-1]
    assert "PUT IT INTO ACID DIP" in s.rows()[NOW]
    await s.press("space", each_s=2.0)
    assert s.state(batch).runs[-1].step == 2


async def test_space_before_its_time_lifts_nothing(s: Stage) -> None:
    """A dwell is not cut short by the key pressed most; the line says what is left and what f does."""
    batch = await in_nickel(s)
    await s.press("space")
    await s.sees("nickel: ", "left. If it is out already, press f.")
    assert s.state(batch).phase is Phase.IN_STEP


async def test_an_early_lift_is_taken_at_once_as_a_deviation(s: Stage) -> None:
    """A fact is never refused: f notes the lift with its time, and the deviation asks its reason later."""
    batch = await in_nickel(s)
    await s.press("f")
    state = s.state(batch)
    assert state.phase is Phase.BETWEEN
    assert state.runs[-1].left == s.clock()
    assert [one.what for one in state.deviations] != []
    assert state.deviations[0].reason is None


async def test_a_rack_that_went_in_before_its_questions_is_noted_with_one_key(s: Stage) -> None:
    """Nobody is refused the truth: f says that it is in, and what was not asked in time is a deviation."""
    batch = await s.walk(sheet(NICKEL, FINAL))
    assert "f  it is in now" in s.rows()[-1]
    await s.press("f")
    state = s.state(batch)
    assert state.phase is Phase.IN_STEP
    assert state.deviations


@pytest.mark.parametrize(("key", "asks"), [("n", "Note"), ("t", "What is wrong?")])
async def test_a_remark_or_trouble_is_asked_as_text(s: Stage, key: str, asks: str) -> None:
    """N writes a remark, t a deviation; escape writes nothing."""
    batch = await in_nickel(s)
    await s.press(key)
    await s.sees(asks)
    await s.press("escape")
    before = s.state(batch)
    assert (before.notes, before.deviations) == ((), ())
    await s.press(key)
    await s.sees(asks)
    await s.type("bath warm at the left end")
    await s.press("enter")
    await s.until(lambda: s.state(batch) is not before, "it was written")
    after = s.state(batch)
    said = [note.text for note in after.notes] if key == "n" else [one.detail for one in after.deviations]
    assert said == ["bath warm at the left end"]


@pytest.mark.parametrize(("digit", "where"), [("1", Where.IN_TANK), ("2", Where.LIFTED)])
async def test_a_pause_says_where_the_rack_is_and_space_goes_on(s: Stage, digit: str, where: Where) -> None:
    """In the tank with the current off, or lifted: both are told apart, shown, and left with one key."""
    batch = await in_nickel(s)
    await s.press("p")
    await s.sees("Where is the rack?")
    await s.press(digit)
    await s.sees("PAUSED", where)
    assert s.state(batch).runs[-1].pauses[-1].where is where
    assert "space  back in, go on" in s.rows()[-1]
    await s.wait(20)
    await s.press("space")
    assert s.state(batch).phase is Phase.IN_STEP
    assert s.state(batch).runs[-1].pauses[-1].ended is not None


async def test_the_ammeter_is_read_again_and_the_lift_out_moves(s: Stage) -> None:
    """35.5 A instead of 40 A means a later lift; the reading stands on the screen."""
    batch = await in_nickel(s)
    before = s.row_with("latest")
    await s.press("a")
    await s.sees("READ", "ammeter, A")
    await s.type("35.5")
    await s.press("enter")
    assert s.state(batch).runs[-1].readings[-1].amps == 35.5
    await s.sees("35.5 A")
    assert s.row_with("latest") != before


async def test_the_ampere_hour_count_is_taken(s: Stage) -> None:
    """H asks for the counter since this rack went in."""
    batch = await in_nickel(s)
    await s.wait(600)
    await s.press("h")
    await s.sees("A·h since this rack went in")
    await s.type("6,5")
    await s.press("enter")
    assert s.state(batch).runs[-1].readings[-1].ah == 6.5


async def test_escape_leaves_a_meter_reading_and_not_the_walk(s: Stage) -> None:
    """A reading begun by mistake costs one key; a second escape goes to the board and loses nothing."""
    batch = await in_nickel(s)
    held = s.state(batch)
    await s.press("a")
    await s.type("35")
    await s.press("escape")
    assert "READ" not in s.text()
    await s.press("escape")
    await s.sees("1 open batch")
    assert s.state(batch) == held
    await s.press("1")
    await s.sees("LEAVE IT IN")


async def test_b_goes_to_the_board_and_a_digit_comes_back_to_the_same_place(s: Stage) -> None:
    """The walk goes on while another rack is looked at; coming back needs no PIN."""
    batch = await in_nickel(s)
    held = s.state(batch)
    await s.press("b")
    await s.sees("1 open batch", "in Bright nickel", "lift in")
    await s.wait(60)
    await s.press("1")
    await s.sees("LEAVE IT IN", "lift out in")
    assert s.state(batch) == held


async def test_unlocking_signs_what_is_noted_from_there_on(tmp_path: Path) -> None:
    """After a restart nobody's key is unlocked: escape goes back, f goes on; the head says so until u."""
    async with stage(tmp_path) as first:
        batch = await in_nickel(first)
    async with stage(tmp_path) as s:
        await s.press("1")
        await s.sees("Take batch", "With f facts stand unsigned, and in the name of Otto Demo.")
        await s.press("escape")
        await s.until(lambda: "Take batch" not in s.text(), "the board is back")
        assert batch not in s.floor._holds
        await s.press("1")
        await s.sees("Take batch")
        await s.press("f")
        await s.sees("no key: u", "LEAVE IT IN")
        await s.press("u")
        await s.pin("cleo")
        await s.until(lambda: s.state(batch).taken_by.id == "cleo", "the batch was taken")
        await s.until(lambda: "no key" not in s.text(), "the head was quiet")


async def test_a_meter_is_read_only_where_there_is_one_and_takes_the_choices_place(s: Stage) -> None:
    """Where no current is on the key says so; where a look is open, its digits go into the meter's field."""
    looked = replace(NICKEL, checks=(replace(RACK.checks[0], when="during"),), confirm=())
    batch = await s.walk(sheet(RACK, looked, FINAL))
    await s.press("space")
    await s.press("a")
    await s.sees("there is no meter to read", "1-2  answer")
    await s.press("1", "space")
    await s.press("space", each_s=2.0)
    await s.sees("LOOK", "1-2  answer")
    await s.press("a", "2")
    await s.sees("READ", "▸ 2")
    assert "1-2  answer" not in s.text()
    assert s.state(batch).runs[-1].answers == ()


async def test_a_unit_typed_after_a_figure_is_not_dropped_in_silence(s: Stage) -> None:
    """118 F would be taken for 118 °C: the line says that the unit stands there, and the figure is kept."""
    batch = await s.walk(sheet(NICKEL, FINAL))
    await s.type("118")
    await s.press("F")
    await s.sees("the figure alone: its unit stands beside the question", "▸ 118")
    assert s.state(batch).run is None


async def test_a_second_press_of_a_choice_answers_no_other_question(s: Stage) -> None:
    """Nobody reads the next question in 300 ms; after that, its digit is an answer."""
    batch = await s.walk(sheet(replace(RACK, checks=(*RACK.checks, *RACK.checks)), FINAL))
    await s.press("space")
    await s.press("1", "1", each_s=0.1)
    assert len(s.state(batch).runs[-1].answers) == 1
    await s.press("1")
    assert len(s.state(batch).runs[-1].answers) == 2


async def test_abandoning_needs_the_batch_number_typed_out(s: Stage) -> None:
    """Enter alone ends nothing, a wrong number neither; number, reason and PIN end and seal it."""
    batch = await in_nickel(s)
    await s.press("x")
    await s.sees(f"type {batch} to go through with it")
    await s.press("enter")
    await s.type("2026-0009")
    await s.press("enter")
    await s.sees(f"type {batch} to go through with it")
    assert not s.state(batch).phase.ended
    await s.type(batch)
    await s.press("enter")
    await s.sees("Why is it abandoned?")
    await s.type("called back")
    await s.press("enter")
    await s.pin("otto")
    await s.sees("No batch is open")
    assert (s.floor.logs / batch / "record.toml.sig").exists()


async def test_a_second_press_within_300_ms_is_the_same_press(s: Stage) -> None:
    """A gloved hand's double press puts the rack in and does not lift it again; later it counts."""
    batch = await s.walk(sheet(FINAL))
    await s.press("space", "space", each_s=0.29)
    assert len(s.state(batch).runs) == 1
    assert s.state(batch).phase is Phase.IN_STEP
    assert "SIGN" in s.text()
    await s.press("space", each_s=0.31)
    await s.sees("Sign step 1")


async def test_digits_typed_fast_each_count(s: Stage) -> None:
    """33 never becomes 3: no time passes on the clock between the two."""
    batch = await in_nickel(s)
    await s.press("a")
    await s.type("33")
    await s.sees("▸ 33")
    await s.press("enter")
    assert s.state(batch).runs[-1].readings[-1].amps == 33.0


async def test_a_tick_that_comes_before_the_screen_is_made_ends_nothing(s: Stage) -> None:
    """The clock is looked at twice a second, also in the moment in which a walk is opened."""
    batch = await s.open(sheet(FINAL))
    s.app.to_walk(batch)
    s.app._tick()
    await s.sees("BEGIN")


async def test_a_digit_too_many_is_rubbed_out(s: Stage) -> None:
    """Backspace takes the last digit, so that a slip costs one key."""
    batch = await in_nickel(s)
    await s.press("a")
    await s.type("335")
    await s.press("backspace", "enter")
    assert s.state(batch).runs[-1].readings[-1].amps == 33.0


async def test_keys_typed_ahead_are_applied_in_order(s: Stage) -> None:
    """Enter after the digits means those digits, though the disk is busy with the key before."""
    batch = await s.walk(sheet(NICKEL, FINAL))
    s.clock.wait(1)
    s.send("f", "4", "0", "enter", "4", "enter")
    await s.until(lambda: bool(s.state(batch).runs and s.state(batch).runs[-1].readings), "it was read")
    state = s.state(batch)
    assert state.phase is Phase.IN_STEP
    assert [reading.amps for reading in state.runs[-1].readings] == [40.0]


async def test_a_walk_that_is_shown_another_batch_keeps_nothing_of_the_one_before(s: Stage) -> None:
    """One screen shows all walks: a figure begun at one rack is not there at the next."""
    await in_nickel(s)
    await s.press("a")
    await s.type("3")
    await s.sees("▸ 3▁")
    s.app.to_walk(await s.open(sheet(FINAL), part="rosettes"))
    await s.sees("rosettes", "BEGIN")
    assert "▸" not in s.text()
    await s.press("b")
    await s.sees("2 open batches")
