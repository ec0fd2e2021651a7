"""The plan of the day: what it asks for, its drills as music and sound, and the lines of the log."""

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tests.web.pages import ROOFTOP, ask, error_of, opened, score_body

from gripway.catalog.own_files.practice_log import read_log
from gripway.practice.plan.log_reading import history_of
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import plan_sheet
from gripway.tasks.practise import PracticeTime, practise
from gripway.tasks.scores import read
from gripway.web.practice_day import DAYS, MOST_AHEAD

FAST = {"tempo": 150}


LONGER = 40
"""Minutes of a day on which several cells are met."""


@pytest.fixture(scope="module")
def work() -> str:
    """The rooftop study, opened."""
    token: str = opened(**score_body(ROOFTOP))["work"]
    return token


def day_of(work: str, **body: Any) -> dict[str, Any]:
    """Today's plan."""
    answer = ask("practice", work, wishes=FAST, **body)
    assert answer.status_code == 200, answer.text
    data: dict[str, Any] = answer.json()
    return data


@pytest.fixture(scope="module")
def today(work: str) -> dict[str, Any]:
    """The first day, without a log."""
    return day_of(work)


def drills(day: dict[str, Any]) -> list[dict[str, Any]]:
    """The drills of a day."""
    return [block for block in day["blocks"] if block["kind"] == "drill"]


def done_entry(day: dict[str, Any], but: str = "") -> dict[str, Any]:
    """The line of a day of which all drills are done, `but` those of one cell, of which none is."""
    met = dict(day["day_entry"]["met"])
    for notes in met.keys() - {but}:
        places = {place for cell, place in (drill["counts"] for drill in drills(day)) if cell == notes}
        while met[notes] + 1 in places:
            met[notes] += 1
    return day["day_entry"] | {"met": met, "missed": [but] * bool(but)}


def test_it_is_the_first_day_of_the_plan(today: dict[str, Any]) -> None:
    """Cells and drills in the order of `practise`, each engraved and with its notes to hear."""
    plan = practise(read(ROOFTOP, tempo=150).passage, flute(), time=PracticeTime(20, 5))
    day = today
    items = plan.days[0].items
    assert [drill["label"] for drill in drills(day)] == [
        f"{item.cell + 1}.{item.drill + 1}" for item in items
    ]
    for drill, item in zip(drills(day), items, strict=True):
        passage = plan.cells[item.cell].drills[item.drill].passage
        assert len(drill["music"]["systems"]) >= 1
        assert [note[0] for note in drill["heard"]] == [note.pitch.number for note in passage.notes]
    assert [block["notes"] for block in day["blocks"] if block["kind"] == "cell"]
    assert day["cautions"]


def test_what_is_ticked_is_a_log_of_the_command(work: str, today: dict[str, Any], tmp_path: Path) -> None:
    """The lines with their time are read from a file as `--log` reads them; the next plan goes on there."""
    day = today
    step = next(step for drill in drills(day) for step in drill["steps"])
    when = "2026-11-28T10:00:00"
    lines = [done_entry(day) | {"when": when}, step["entry"] | {"when": when, "drill": "Move and stop"}]
    path = tmp_path / "log.jsonl"
    head = '{"log": "gripway practice log", '
    path.write_text("".join(f"{head}{json.dumps(line)[1:]}\n" for line in lines), encoding="utf-8")
    history = history_of(read_log(path).entries)
    assert (history.odd, history.sittings) == ((), 1)
    assert [reached.quarters for reached in history.reached] == [step["entry"]["quarters"]]
    after = day_of(work, log=lines)
    reached = [block["reached"] for block in after["blocks"] if block.get("notes") == step["entry"]["notes"]]
    assert all(["2026-11-28", step["beats"]] in points for points in reached)
    assert drills(after) != drills(day), "a day that is over does not come again"


@pytest.mark.whole
def test_the_second_day_has_the_order_of_its_sheet(work: str) -> None:
    """Once the first day is ticked, the next one is drill by drill what the sheet of the same log has.

    Where cells come in turn a line of the sheet has the order.
    """
    first = day_of(work)
    when = {"when": "2026-11-28T10:00:00"}
    lines = [done_entry(first) | when]
    lines += [step["entry"] | when for drill in drills(first) for step in drill["steps"]]
    time = PracticeTime(20, 5)
    plan = practise(read(ROOFTOP, tempo=150).passage, flute(), time=time, history=history_of(lines))
    sheet = str(plan_sheet(replace(plan, days=plan.days[:1]), flute()))
    second = day_of(work, log=lines)
    labels = [f"{drill['label']} {drill['title']}" for drill in drills(second)]
    shown = re.findall(r'class="name">(\d+\.\d+ [^<]*?)\s*<', sheet)
    in_turn = ", ".join(f"{item.cell + 1}.{item.drill + 1}" for item in plan.days[0].items)
    assert shown == labels or (sorted(shown) == sorted(labels) and f"cell after cell: {in_turn}." in sheet)
    assert labels != [f"{drill['label']} {drill['title']}" for drill in drills(first)]


def test_beyond_the_last_day_is_the_last() -> None:
    """However far on the page asks; a day further than any plan goes is refused."""
    easy = opened(notes="C5 D5 E5 F5")["work"]
    far = day_of(easy, ahead=MOST_AHEAD)
    assert far["day"] == far["last_day"] == DAYS
    assert day_of(easy, ahead=DAYS) == day_of(easy, ahead=DAYS - 1) == far
    assert day_of(easy, ahead=DAYS - 2)["day"] == DAYS - 1
    assert ask("practice", easy, wishes=FAST, ahead=MOST_AHEAD + 1).status_code == 400


@pytest.mark.whole
def test_other_days_can_be_looked_at(work: str) -> None:
    """Each day of the plan as `practise` has it; beyond the last day the last one."""
    plan = practise(read(ROOFTOP, tempo=150).passage, flute(), time=PracticeTime(20, 5))
    for ahead, planned in enumerate([*plan.days, plan.days[-1]]):
        day = day_of(work, ahead=ahead)
        assert (day["day"], day["last_day"]) == (planned.day, plan.days[-1].day)
        assert {drill["label"] for drill in drills(day)} == {
            f"{item.cell + 1}.{item.drill + 1}" for item in planned.items
        }


@pytest.mark.whole
def test_a_cell_that_was_missed_comes_again_on_the_next_day(work: str) -> None:
    """Whichever cell of the first day nothing was done of: it is on the second day, from its first drill."""
    day = day_of(work, minutes=LONGER)
    cells = [*day["day_entry"]["met"]]
    assert len(cells) > 1
    for cell in cells:
        steps = [step for drill in drills(day) if drill["counts"][0] != cell for step in drill["steps"]]
        when = {"when": "2026-11-28T10:00:00"}
        lines = [done_entry(day, but=cell) | when, *(step["entry"] | when for step in steps)]
        after = day_of(work, minutes=LONGER, log=lines)
        assert 1 in [place for notes, place in (d["counts"] for d in drills(after)) if notes == cell]


def test_a_log_that_says_nonsense_changes_nothing(work: str, today: dict[str, Any]) -> None:
    """Lines of no kind and with no tempo are passed over."""
    odd = [{"kind": "reached", "when": 3}, {"kind": "else"}, {}]
    assert day_of(work, log=odd) == today


@pytest.mark.parametrize(
    "body", [{"minutes": 0}, {"minutes": 181}, {"log": "x"}, {"log": [1]}, {"ahead": -1}, {"odd": 1}]
)
def test_what_makes_no_plan_is_refused(work: str, body: dict[str, Any]) -> None:
    """Times out of bounds, logs that are none, keys that are unknown."""
    answer = ask("practice", work, wishes=FAST, **body)
    assert answer.status_code == 400
    assert error_of(answer)["code"] == "request"
