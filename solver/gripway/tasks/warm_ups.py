"""A week's warm-up: the worst changes of the third octave in several parts."""

from collections.abc import Sequence

from gripway.asked.wishes import Wishes
from gripway.catalog.tables.practice_figures import practice_tables
from gripway.limits.answer import solve_within
from gripway.model.passage import Passage
from gripway.practice.cells.repertoire_cells import PartRoute, repertoire_cells
from gripway.practice.plan.exposure import sound_of
from gripway.practice.plan.warm_up import WarmUpCard, WarmUpItem, warm_up_item
from gripway.tasks.flute_player import Flute, asked_of
from gripway.tasks.practise import planned_cell


def warm_up(
    parts: Sequence[tuple[str, Passage]],
    instrument: Flute,
    wishes: Wishes | None = None,
    most: int | None = None,
) -> WarmUpCard:
    """The card of parts with their names: at most `most` changes, as tables/practice has them without it.

    Only changes with a note from D6 up count. Each part is solved for itself, at its own tempo.
    """
    (mine, wishes), tables = asked_of(instrument, wishes), practice_tables()
    figures = tables.figures
    most = figures.warm_up_changes if most is None else most
    ready = {}
    routes = []
    for name, passage in parts:
        working, whole = mine.ready(passage, wishes)
        routes.append(PartRoute(name, solve_within(working, whole, wishes)))
        ready[id(routes[-1])] = working
    found = repertoire_cells(routes, figures.warm_up_lowest_note_number, figures)
    items: list[WarmUpItem] = []
    for each in found:
        if len(items) < most:
            planned = planned_cell(each.cell, each.at.route, wishes, ready[id(each.at)], tables, soft=True)
            if item := warm_up_item(each, planned, tables):
                items.append(item)
    flute = mine.instrument.id
    minutes = max(figures.warm_up_min, sum(item.minutes for item in items))
    return WarmUpCard(
        instrument=flute,
        parts=tuple(name for name, _ in parts),
        items=tuple(items),
        left=len(found) - len(items),
        sound=tuple(sound_of(flute, minutes, tables)),
    )
