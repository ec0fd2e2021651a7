"""The plan as data: the documented keys, and figures that agree with each other."""

import itertools
import json
import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from tests.oracles.passages import barred, passages, played
from tests.oracles.practice import A_MAJOR, FIGURES
from tests.tiers import examples, thinned

from gripway.errors import RequestError
from gripway.model.passage import Passage
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, plan_data, practise, reached_frame


@settings(max_examples=examples(10))
@given(passages(least=2, most=10, lowest=72, highest=93))
def test_a_plan_of_random_notes_keeps_to_its_time(passage: Passage) -> None:
    """Items name drills there are, days keep to their minutes, tempos to the ladder up to the drill's end."""
    plan = practise(passage, flute(), time=PracticeTime(minutes=12, days=3))
    data = json.loads(json.dumps(plan_data(plan)))
    assert {"cells", "days", "cautions"} <= data.keys()
    assert bool(data["days"]) == (plan.hardest is not None)
    assert plan.proved or plan.gain < plan.bound
    for day in data["days"]:
        lasting = [item["minutes"] for item in (*day["items"], *day["studies"], day["passage"]) if item]
        rests = FIGURES.rest_s / 60 * max(0, len(lasting) - 1)
        assert day["minutes"] == sum(lasting) + rests
        assert day["minutes"] <= 12
        for item in day["items"]:
            cell = data["cells"][item["cell"]]
            assert item["drill"] < len(cell["drills"])
            fastest = cell["drills"][item["drill"]]["fastest"]  # None: free
            steps = cell["ladder"]["steps"]
            assert item["to"] in (*steps, fastest)
            assert item["from"] in (*steps, fastest) or item["from"] < steps[0]  # one tempo alone is no work
            assert item["from"] <= item["to"] <= (fastest or cell["ladder"]["steps"][-1])
        for number in range(len(data["cells"])):
            spot = sum(item["minutes"] for item in day["items"] if item["cell"] == number)
            assert spot <= FIGURES.spot_most_min


def test_long_days_have_long_rests_and_keep_to_their_minutes() -> None:
    """Ninety minutes in turns: long rests stand between items, and the whole fits."""
    text = " ".join(["F#6 G#6 A6 r D6 E6 F6 D6 r B5 C6 D6 E6 r A6 B6 C#7 r C#6 B5 D6 r"])
    plan = practise(
        played(text, 150), flute(), time=PracticeTime(minutes=90, days=3, order="interleaved", cells=6)
    )
    assert len(plan.cells) > 2
    for day in plan.days:
        assert day.minutes <= 90
        assert day.minutes <= 30 or day.long_rests
        assert all(place < len(day.lasting) - 1 for place in day.long_rests)


@pytest.mark.parametrize("minutes", thinned([30, 60, 120], 3))
@pytest.mark.parametrize("order", ["blocked", "interleaved"])
def test_no_stretch_is_longer_than_25_minutes_without_the_long_rest(minutes: int, order: str) -> None:
    """The rule printed among the cautions holds on every day, and the day still keeps to its minutes."""
    text = "F#6 G#6 A6 r D6 E6 F6 D6 r B5 C6 D6 E6 r A6 B6 C#7 r C#6 B5 D6 r G#5 F#6 C6 r B6 C7 A#6"
    time = PracticeTime(minutes=minutes, days=1, order=order, cells=12)
    plan = practise(played(text, 150), flute(), time=time)
    assert max(day.minutes for day in plan.days) > min(minutes, 60) * 0.5
    for day in plan.days:
        assert day.minutes <= minutes
        ends = [0, *(place + 1 for place in day.long_rests), len(day.lasting)]
        for first, last in itertools.pairwise(ends):
            stretch = day.lasting[first:last]
            assert sum(stretch) + (len(stretch) - 1) * day.rest_s / 60 <= 25


def test_drills_are_timed_at_the_tempos_of_their_day_and_rests_make_no_sound() -> None:
    """The longest sounding day over 95.24 minutes, 92 dB to 85 dB(A) by 2003/10/EC; later days go faster."""
    plan = practise(played("F#6 G#6 A6 r F#6", 150), flute(), time=PracticeTime(minutes=20, days=5))
    playing = max(day.playing for day in plan.days)
    assert playing < max(day.minutes for day in plan.days)
    assert plan_data(plan)["sound"][0]["share_of_85"] == pytest.approx(playing / 95.24, abs=0.001)
    for day in plan.days:
        for item in day.items:
            cell = plan.cells[item.cell]
            notes = float(cell.drills[item.drill].lasts) * 4
            low, high = cell.ladder.foot, cell.ladder.target
            seconds = 0.0
            for step in item.steps:
                p = 0.9 - 0.1 * (step - low) / (high - low)
                seconds += (1 / p + 1 / p**2 + 1 / p**3) * (notes * 60 / step + FIGURES.breath_s)
            lasts = max(FIGURES.item_least_min, math.ceil(round(seconds, 6) / 30) / 2)
            assert item.minutes == lasts <= FIGURES.item_most_min


def test_where_nothing_is_hard_the_days_are_for_the_music() -> None:
    """No cells and no drills, other work, of three notes on one day, the passage nearer its tempo."""
    plan = practise(played("G5 A5 B5", 60, "1/4"), flute())
    assert plan.cells == ()
    assert [day.items for day in plan.days] == [()] * 5
    assert plan.days[0].studies
    assert all(day.passage for day in plan.days)
    chord = barred(" ".join(["G5:1/4 C6:1/4 E6:1/4 C6:1/4"] * 8), 60)
    longer = practise(chord, flute(), time=PracticeTime(15, 4))
    assert all(day.studies for day in longer.days)
    for one, other in pairwise(longer.days):
        assert {each.way for each in one.studies} != {each.way for each in other.studies}
    shares = [day.passage.share for day in plan.days if day.passage]
    assert (shares, shares[-1]) == (sorted(shares), 1.0)
    assert plan.hardest is not None
    assert plan.hardest < FIGURES.hard_load
    assert plan.cautions
    still = practise(played("G5"), flute())
    assert (still.hardest, still.days) == (None, ())
    assert len(reached_frame(plan)) == 0


@pytest.mark.parametrize(
    "asked", [{"minutes": 0}, {"minutes": 181}, {"days": 0}, {"days": 61}, {"cells": 0}, {"order": "x"}]
)
def test_time_that_makes_no_plan_is_refused(asked: dict[str, int]) -> None:
    """Each limit names its option and what to give."""
    with pytest.raises(RequestError) as told:
        PracticeTime(**asked)
    assert told.value.place == next(iter(asked))
    assert told.value.next_step


def test_a_sitting_climbs_no_more_notches_than_the_rule() -> None:
    """Whatever drills a cell has on a day, new or known: its tempos stay within the notches of a sitting."""
    plan = practise(played("(D6 E6 F6 D6)", 120), flute(), time=PracticeTime(minutes=10, days=5))
    ends = []
    for day, told in zip(plan.days, plan_data(plan)["days"], strict=True):
        assert [(row["from"], row["to"]) for row in told["items"]] == [(i.start, i.end) for i in day.items]
        for number in {item.cell for item in day.items}:
            steps = plan.cells[number].ladder.steps
            played_at = {steps.index(tempo) for i in day.items if i.cell == number for tempo in i.steps}
            assert max(played_at) - min(played_at) <= FIGURES.sitting_notches
            ends.append(max(played_at))
    assert max(ends) > FIGURES.sitting_notches


def test_every_day_ends_with_the_passage_where_it_works() -> None:
    """No faster than the cell furthest behind has climbed, and in bars that go into its minutes."""
    plan = practise(played(A_MAJOR, 180), flute(), time=PracticeTime(minutes=20, days=5))
    shares = []
    for day in plan.days:
        assert day.passage
        once = (
            sum(n.length_ms for n in plan.route.passage.notes) / 1000 / day.passage.share + FIGURES.breath_s
        )
        assert (day.passage.first, day.passage.last) == (0, len(plan.route.notes) - 1)
        assert day.passage.times * once <= day.passage.minutes * 60 < day.passage.times * once + 30
        shares.append(day.passage.share)
        ends = [item.end / plan.cells[item.cell].ladder.target for item in day.items]
        assert shares[-1] <= max(ends)
    assert shares == sorted(shares)
    assert shares[0] < 0.75
