"""The drills of a plan as one part in MusicXML: headings, grips as fingerings, the tempo to begin at."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from gripway.catalog.tables.practice_figures import PracticeTables
from gripway.errors import RequestError
from gripway.practice.cells.counted_beat import place_of
from gripway.practice.drills.drills import Drill
from gripway.practice.plan.plan import Plan, PlannedCell
from gripway.score.writing.write_score import Section, WrittenScore, write_score


def practice_score(plan: Plan, tables: PracticeTables) -> WrittenScore:
    """The practice part of a plan, cell after cell; RequestError where there is nothing to practise."""
    title = plan.route.passage.title
    return drill_score(plan.cells, f"Practice{f': {title}' if title else ''}", tables)


def drill_score(cells: Sequence[PlannedCell], title: str, tables: PracticeTables) -> WrittenScore:
    """The drills of cells, one after another; RequestError where there are none."""
    sections = [
        section
        for number, planned in enumerate(cells, start=1)
        for section in cell_sections(number, planned, tables)
    ]
    if not sections:
        raise RequestError(
            "nothing is hard at this tempo: there are no drills to write",
            next_step="Raise the tempo",
        )
    return write_score(sections, title=title)


def cell_sections(number: int, planned: PlannedCell, tables: PracticeTables) -> Iterator[Section]:
    """A section for each drill of a cell, every one on a line of its own."""
    for place, drill in enumerate(planned.drills):
        yield Section(
            drill.passage,
            heading=drill_heading(number, planned, place, tables),
            metre=drill.metre,
            tempo=float(planned.ladder.start) if place == 0 else None,
            new_system=True,
            fingerings=printed_grips(drill),
        )


def drill_heading(number: int, planned: PlannedCell, place: int, tables: PracticeTables) -> str:
    """`1.2 Move and stop`; the first of a cell names its notes and their place too."""
    head = f"{number}.{place + 1} {drill_title(planned.drills[place], tables)}"
    if place:
        return head
    there = place_of(planned.cell)
    return f"Cell {number}: {planned.cell.title}{f', {there}' * bool(there)} / {head}"


def drill_title(drill: Drill, tables: PracticeTables) -> str:
    """`In rhythms: long, short`, `Back into the bar (107)`, as on the sheet."""
    rhythm = f": {rhythm_words(drill.rhythm)}" if drill.rhythm else ""
    return f"{tables.drills[drill.kind].title}{rhythm}{f' ({drill.bar})' * bool(drill.bar)}"


LENGTHS = {"L": "long", "S": "short"}


def rhythm_words(rhythm: str) -> str:
    """A rhythm in words.

    >>> rhythm_words("SSLS"), rhythm_words("LSSS")
    ('2 short, long, short', 'long, 3 short')
    """
    runs = ((LENGTHS[sign], len([*run])) for sign, run in groupby(rhythm))
    return ", ".join(word if count == 1 else f"{count} {word}" for word, count in runs)


def grips_in_turn(drill: Drill) -> dict[str, str]:
    """The pitches that have more than one grip in a drill: `T 1 2 3 4 | 1 2 Eb, then T 1 2 | 1 2 Eb`."""
    taken: dict[str, list[str]] = {}
    for note, grip in zip(drill.passage.notes, drill.grips, strict=True):
        taken.setdefault(note.pitch.name, []).append(grip.short)
    runs = {name: [grip for grip, _ in groupby(grips)] for name, grips in taken.items()}
    return {name: ", then ".join(run) for name, run in runs.items() if len(run) > 1}


def printed_grips(drill: Drill) -> dict[int, str]:
    """The grips under the notes: where a pitch comes for the first time in a drill, or with another grip."""
    shown: dict[int, str] = {}
    printed = {}
    for place, (note, grip) in enumerate(zip(drill.passage.notes, drill.grips, strict=True)):
        if shown.get(note.pitch.number) != grip.short:
            shown[note.pitch.number] = printed[place] = grip.short
    return printed
