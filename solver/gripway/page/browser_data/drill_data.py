"""The plan of a day for the page: its cells, its drills engraved and as they are heard, its other work."""

from collections.abc import Iterator
from typing import Any

from gripway.model.instrument import Instrument
from gripway.model.passage import quarters_per_minute
from gripway.page.browser_data.pictures import picture
from gripway.page.browser_data.sheet_data import engraved_data
from gripway.page.sheet.sheet_model import SheetCell, SheetDrill, SheetPage
from gripway.practice.drills.drill_minutes import up_to_fastest
from gripway.practice.plan.log_reading import day_entry, notes_of, reached_entry
from gripway.practice.plan.plan import Day, Item, Plan
from gripway.score.reading.score_reading import read_score
from gripway.score.writing.write_score import Section, write_score


def day_data(
    plan: Plan, day: Day, page: SheetPage, instrument: Instrument, width_mm: float
) -> dict[str, Any]:
    """A day of a plan, which `page` has in words; the music is `width_mm` wide.

    Every step of a drill has the line of the log that says it was clean. `day_entry` is the line that says
    up to which drill a day has gone, by the notes of its cells: as it stands before any drill is done. What
    a drill counts for in it are its cell's notes and its place (`counts`). The lines lack their time.
    """
    drilled = {item.cell for item in day.items}
    return {
        "title": page.title,
        "facts": page.facts,
        "hints": list(page.hints),
        "cautions": list(page.cautions),
        "day": day.day,
        "last_day": plan.days[-1].day,
        "day_entry": day_entry(
            {notes_of(plan.cells[cell].cell): plan.cells[cell].met for cell in drilled}, ""
        ),
        "blocks": list(_blocks(plan, day, page, instrument, width_mm)),
    }


def _blocks(
    plan: Plan, day: Day, page: SheetPage, instrument: Instrument, width_mm: float
) -> Iterator[dict[str, Any]]:
    items, beat = {f"{item.cell + 1}.{item.drill + 1}": item for item in day.items}, ""
    for block in page.blocks:
        if isinstance(block, SheetCell):
            beat = block.beat
            yield _cell(block, instrument)
        elif isinstance(block, SheetDrill):
            yield _drill(plan, items[block.label], block, width_mm) | {"beat": beat}
        else:
            yield {"kind": "work", "words": block.words, "to_tick": block.to_tick}


def _cell(cell: SheetCell, instrument: Instrument) -> dict[str, Any]:
    return {
        "kind": "cell",
        "number": cell.number,
        "notes": cell.notes,
        "facts": cell.facts,
        "lines": list(cell.lines),
        "beat": cell.beat,
        "target": cell.target,
        "reached": [[point.day, point.beats] for point in cell.points],
        "hands": [[pitch, grip.short, picture(instrument, grip)] for pitch, grip in cell.hands],
    }


def _drill(plan: Plan, item: Item, drill: SheetDrill, width_mm: float) -> dict[str, Any]:
    planned = plan.cells[item.cell]
    cell, played = planned.cell, up_to_fastest(item.steps, planned.drills[item.drill])
    written = write_score([Section(drill.passage, metre=drill.metre)])
    target, quarters = round(cell.goal_quarters), quarters_per_minute(drill.passage)
    return {
        "kind": "drill",
        "label": drill.label,
        "title": drill.title,
        "facts": drill.facts,
        "counts": [notes_of(cell), item.drill + 1],
        "music": engraved_data(read_score(written.data, "the drill"), width_mm),
        "steps": [
            {"beats": beats, "speed": step / quarters, "entry": reached_entry(cell, step, target, "")}
            for beats, step in zip(drill.steps, played, strict=False)  # none where it is played freely
        ],
        "heard": [
            [note.pitch.number, round(note.onset_ms, 1), round(note.length_ms, 1), note.slurred]
            for note in drill.passage.notes
        ],
    }
