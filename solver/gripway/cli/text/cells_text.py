"""The worst changes and cells of scales and patterns as a player reads them."""

from rich.console import Console
from rich.text import Text

from gripway.catalog.tables.practice_figures import practice_tables
from gripway.cli.text.hardest_text import HEADS, print_matrix
from gripway.cli.text.practise_text import DRILL_COLUMNS, drill_rows, ends_words, ladder_words
from gripway.cli.text.route_rows import REASON, fingers_text
from gripway.cli.text.route_text import LEGEND
from gripway.cli.text.terminal import paint, print_indented, print_table, rendered, words
from gripway.effort.load import LATE
from gripway.grip_graph.hardest import LOAD
from gripway.page.sheet.outlook_words import climb_words
from gripway.practice.cells.pattern_cells import PatternCell, PatternChange
from gripway.practice.cells.pattern_export import places_words
from gripway.practice.plan.plan import PlannedCell
from gripway.route.words.place_words import change_name
from gripway.tasks.pattern_cell_lists import MOST_PATTERNS, HardPatterns, left_over, title_of

MORE = "Options: --top N for more cells, --tempo QPM for another tempo."

COLUMNS = ("change", "fingers", "needs", "load", "lead", REASON)


@rendered
def cells_text(console: Console, found: HardPatterns, most: int) -> None:
    """Matrix, worst changes and cells, in at most 100 columns; colour only on a terminal."""
    console.print(title_of(found), style="bold", markup=False)
    console.print(HEADS[LOAD] + "\n", markup=False)
    print_matrix(console, found.matrix, LOAD, absent="", name=found.spelt)
    rows = [_row(each) for each in found.changes[:most]]
    if rows:
        print_table(console, "Worst changes", COLUMNS, rows, beneath=REASON)
        console.print(LEGEND)
    for number, (cell, planned) in enumerate(zip(found.cells, found.worked, strict=True), start=1):
        _cell(console, number, cell, planned)
    if found.worked:
        console.print(
            words(f"{climb_words(0, practice_tables().figures)} {ends_words(found.worked)}".rstrip())
        )
    more = f" {MORE}" if found.cells_left or not found.cells else ""
    console.print(words(f"{left_over(found)}{more}"))
    console.print()
    console.print(Text("Cautions", style="bold"))
    print_indented(console, *found.cautions)


def _row(each: PatternChange) -> tuple[str | Text, ...]:
    notes, change = each.at.route.notes, each.change
    before, after = notes[change.to - 1], notes[change.to]
    grips = " to ".join(note.candidate.grip.short for note in (before, after) if note.candidate)
    return (
        change_name(each.at.route, change.to),
        fingers_text(change),
        f"{change.needed_ms:.0f} ms",
        paint(f"{change.load:.2f}", "bold red" if change.load > LATE else ""),
        change.advice.lead,
        f"{grips}: {places_words(each.places, MOST_PATTERNS)}",
    )


def _cell(console: Console, number: int, found: PatternCell, planned: PlannedCell) -> None:
    cell = planned.cell
    console.print(words(f"Cell {number}: {' '.join(cell.pitches)}   load {cell.load:.2f}", style="bold"))
    pairs = zip(cell.pitches, cell.candidates, strict=True)
    grips = ", ".join(f"{pitch} {candidate.grip.short}" for pitch, candidate in pairs)
    places = f"In {places_words(found.places, MOST_PATTERNS)}."
    print_indented(console, grips, places, planned.why, planned.worth.advice, ladder_words(planned))
    console.print()
    print_table(console, "", DRILL_COLUMNS, list(drill_rows(number, planned)))
