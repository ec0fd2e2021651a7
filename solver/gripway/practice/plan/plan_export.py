"""A plan as plain data: the documented JSON, and a pandas frame of the tempos reached."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from gripway.catalog.tables.practice_figures import practice_tables
from gripway.errors import check_frame_of
from gripway.model.tempo import beat_name
from gripway.practice.cells.cells import CellPlace
from gripway.practice.cells.counted_beat import beat_of_cell
from gripway.practice.cells.worth_learning import Alternate, CellWorth
from gripway.practice.drills.drills import Drill
from gripway.practice.plan.balance import MIRROR, BalanceSpot
from gripway.practice.plan.exposure import SoundLevel
from gripway.practice.plan.plan import Day, Plan, PlannedCell
from gripway.practice.ways.breathing import long_lines
from gripway.practice.ways.whole_passage import Stretch

if TYPE_CHECKING:
    import pandas as pd


def plan_data(plan: Plan) -> dict[str, Any]:
    """The plan as the JSON object that `gripway practise --format json` prints."""
    return {
        "instrument": plan.route.instrument,
        "cells": [cell_data(planned) for planned in plan.cells],
        "cells_left": plan.cells_left,
        "untouched": [cell.title for cell in plan.untouched],
        "days": [day_data(day) for day in plan.days],
        "plan": {
            "order": plan.order,
            "minutes_a_day": plan.minutes,
            "days_before": plan.days_before,
            "gain": plan.gain,
            "bound": plan.bound,
            "proved": plan.proved,
        },
        "breathing": list(_breathing_data(plan)),
        "hardest_load": None if plan.hardest is None else round(plan.hardest, 3),
        "balance": [_balance_data(spot) for spot in plan.balance],
        "mirror": MIRROR,
        "sound": [_sound_data(level) for level in plan.sound],
        "cautions": list(plan.cautions),
        "remarks": [
            {"text": remark.text, "bar": remark.bar, "id": remark.note_id}
            for remark in plan.route.passage.remarks
        ],
    }


def cell_data(planned: PlannedCell) -> dict[str, Any]:
    """One entry of `cells`."""
    cell, ladder = planned.cell, planned.ladder
    return {
        "notes": list(cell.pitches),
        "grips": [candidate.grip.text for candidate in cell.candidates],
        "places": [_place(place) for place in cell.places],
        "places_back": [_place(place) for place in cell.back],
        "load": round(cell.load, 3),
        "trill": cell.trill.kind if cell.trill else None,
        "worst": cell.worst,
        "change_ms": round(cell.change.change_ms, 1),
        "available_ms": round(cell.change.available_ms, 1),
        "movers": dict(cell.change.movers),
        "lead": cell.change.advice.lead or None,
        "why": planned.why,
        "drills": [drill_data(drill) for drill in planned.drills],
        "beat": beat_name(beat_of_cell(cell, practice_tables().figures)),
        "ladder": {
            "from": ladder.start,
            "to": ladder.goal,
            "part": ladder.target,
            "steps": list(ladder.steps),
            "reached": ladder.reached,
        },
        "worth": _worth_data(planned.worth),
        "reached": [{"when": entry.when, "tempo": entry.quarters} for entry in planned.reached],
    }


def drill_data(drill: Drill) -> dict[str, Any]:
    """One entry of a cell's `drills`; `changes` are the notes (from 0) its worst change leads to.

    `fastest` is its highest tempo in quarters a minute, None where it has no tempo.
    """
    return {
        "kind": drill.kind,
        "rhythm": drill.rhythm,
        "notes": drill.notation,
        "grips": [grip.text for grip in drill.grips],
        "metre": "{}/{}".format(*drill.metre),
        "key": drill.passage.notes[0].fifths,
        "changes": list(drill.changes),
        "fastest": None if drill.free else drill.fastest,
    }


def day_data(day: Day) -> dict[str, Any]:
    """One entry of `days`: `minutes` with all rests, `from` the tempo an item starts at."""
    return {
        "day": day.day,
        "minutes": _plain(day.minutes),
        "items": [
            {
                "cell": item.cell,
                "drill": item.drill,
                "minutes": _plain(item.minutes),
                "from": item.start,
                "to": item.end,
                "tempos": list(item.steps),
            }
            for item in day.items
        ],
        "studies": [
            {
                "way": study.way,
                "cell": study.cell,
                "about": study.about,
                "tempos": study.tempos,
                "stride": study.stride,
                "octave_lower": study.lower,
                **_stretch_data(study),
            }
            for study in day.studies
        ],
        "passage": _passage_data(day.passage) if day.passage else None,
        "rest_s": _plain(day.rest_s),
        "long_rests": list(day.long_rests),
        "long_rest_minutes": day.long_rest,
    }


def _stretch_data(stretch: Stretch) -> dict[str, Any]:
    """The passage on a day: `share` of its tempo, `tempo` in quarters where the day's first cell stands."""
    return {
        "notes": [stretch.first, stretch.last],
        "bars": list(stretch.bars),
        "share": round(stretch.share, 3),
        "tempo": stretch.quarters,
        "times": stretch.times,
        "minutes": _plain(stretch.minutes),
    }


def _passage_data(stretch: Stretch) -> dict[str, Any]:
    """The passage on a day, and the bars that it is played without at first, at which tempo."""
    found = stretch.around
    around = found and {
        "without": [list(ends) for ends in found.ranges],
        "share": round(found.share, 3),
        "tempo": found.quarters,
    }
    return {**_stretch_data(stretch), "around": around}


def reached_frame(plan: Plan) -> "pd.DataFrame":
    """The tempos reached, one row an entry of the log: cell (from 1), notes, when, tempo, target.

    >>> import gripway
    >>> passage = gripway.notes("E6 F#6 G#6 A6 B6", tempo=160)
    >>> len(gripway.reached_frame(gripway.practise(passage, gripway.flute())))
    0
    """
    import pandas as pd

    check_frame_of(plan, Plan, "practise(...)")
    rows = [
        {
            "cell": number,
            "notes": " ".join(planned.cell.pitches),
            "when": entry.when,
            "tempo": entry.quarters,
            "target": planned.ladder.target,
        }
        for number, planned in enumerate(plan.cells, start=1)
        for entry in planned.reached
    ]
    return pd.DataFrame(rows, columns=["cell", "notes", "when", "tempo", "target"])


def _place(place: CellPlace) -> dict[str, Any]:
    return {"bar": place.bar, "index": place.index, "whole": place.whole}


def _worth_data(worth: CellWorth) -> dict[str, Any]:
    found = worth.threshold
    return {
        "learn": worth.learn,
        "advice": worth.advice,
        "saves": round(worth.saves, 2),
        "costs": round(worth.costs, 2),
        "standard_load": None if worth.standard_load is None else round(worth.standard_load, 3),
        "standard_below": None
        if found is None or found.standard_quarters is None
        else round(found.standard_quarters),
        "fingers_from": None if found is None or found.slow_quarters is None else round(found.slow_quarters),
        "alternates": [_alternate_data(alternate) for alternate in worth.alternates],
    }


def _alternate_data(alternate: Alternate) -> dict[str, Any]:
    tendency = alternate.candidate.tendency
    return {
        "pitch": alternate.pitch,
        "grip": alternate.candidate.grip.text,
        "kind": alternate.candidate.kind,
        "cents": _tenth(tendency.cents),
        "cents_spread": _tenth(tendency.spread_cents),
        "cents_vs_standard": _tenth(tendency.vs_standard),
        "taken": alternate.taken,
        "notes": alternate.notes,
    }


def _breathing_data(plan: Plan) -> Iterator[dict[str, Any]]:
    """The lines in which breaths are to be marked."""
    for line in long_lines(plan.route.passage.notes, practice_tables().figures):
        yield {"bars": list(line.bars), "without_rest_s": round(line.lasts_s, 1)}


def _balance_data(spot: BalanceSpot) -> dict[str, Any]:
    return {
        "notes": list(spot.pitches),
        "grips": list(spot.grips),
        "support": spot.difference,
        "fingers": list(spot.fingers),
        "places": [{"bar": place.bar, "index": place.index} for place in spot.places],
        "watch": spot.watch,
    }


def _sound_data(level: SoundLevel) -> dict[str, Any]:
    return {
        "db": _plain(level.level),
        "minutes_to_80": round(level.lower, 1),
        "minutes_to_85": round(level.upper, 1),
        "minutes_to_87": round(level.limit, 1),
        "share_of_85": round(level.share, 3),
        "daily_db": round(level.daily, 1),
    }


def _tenth(value: float | None) -> float | None:
    return None if value is None else round(value, 1)


def _plain(value: float) -> float | int:
    """A whole number without its point."""
    return int(value) if value == int(value) else value
