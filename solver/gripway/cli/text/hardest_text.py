"""The hardest changes as a player reads them: a matrix of pitches, and the worst with their reasons."""

from collections.abc import Callable

from rich.console import Console
from rich.text import Text

from gripway.catalog.flute.instruments import full_title
from gripway.cli.text.route_rows import REASON, fingers_text
from gripway.cli.text.route_text import LEGEND
from gripway.cli.text.terminal import paint, print_table, rendered
from gripway.effort.load import LATE
from gripway.grip_graph.hardest import BEST, EFFORT, FINGERS, LOAD, MS, HardChanges, PairChange
from gripway.model.instrument import Instrument
from gripway.model.pitch import plain_name
from gripway.route.words.sentence import CAUTION

HEADS = {
    LOAD: "load: the time the fingers need over the time they have",
    MS: "ms: the time the fingers need",
    EFFORT: "effort of the change, without holding its grips",
    FINGERS: "fingers that move",
}
COLUMNS = ("change", "fingers", "needs", "load", "effort", "lead", REASON)
LATE_MARK, TENTH_MARK = "!", "!!"
LABEL = 5


@rendered
def hardest_text(
    console: Console, found: HardChanges, instrument: Instrument, measure: str, most: int
) -> None:
    """The matrix and the list, in at most 100 columns; colour only on a terminal."""
    pair = "the best two grips" if found.pair == BEST else "standard grips"
    time = f"{found.available_ms:g} ms from onset to onset, slurred"
    console.print(f"{full_title(instrument)} · {pair} · {time}", style="bold", markup=False)
    console.print(HEADS[measure] + "\n", markup=False)
    print_matrix(console, found, measure)
    chosen = found.hardest(most, measure)
    if chosen:
        print_table(console, "Hardest changes", COLUMNS, [_row(each) for each in chosen], beneath=REASON)
        console.print(LEGEND)
    console.print(CAUTION)


def print_matrix(
    console: Console,
    found: HardChanges,
    measure: str,
    absent: str = "none",
    name: Callable[[int], str] = plain_name,
) -> None:
    """Rows from a pitch, columns to a pitch, in as many blocks of columns as the width asks for.

    `absent` stands where there is no change, `name` spells a pitch.
    """
    worst = _hardest_tenth(found, measure)
    cells = {(each.before.pitch, each.after.pitch): _cell(each, measure, worst) for each in found.changes}
    width = max((cell.cell_len for cell in cells.values()), default=1) + 1
    room = max(1, (console.width - LABEL) // width)
    for start in range(0, len(found.pitches), room):
        columns = found.pitches[start : start + room]
        names = "".join(f"{name(pitch):<{width}}" for pitch in columns)
        console.print(Text(" " * LABEL + names, style="bold"), no_wrap=True)
        for low in found.pitches:
            line = Text().append(f"{name(low):<{LABEL}}", style="bold")
            for high in columns:
                cell = cells.get((low, high), Text("·" if low == high else absent)).copy()
                cell.align("left", width)
                line.append_text(cell)
            if absent or any((low, high) in cells for high in columns):
                console.print(line, no_wrap=True, overflow="crop")
        console.print()
    console.print(f"from the pitch at the left to the pitch on top; {LATE_MARK} load above 1: late;")
    none = f"; {absent}: not in this time" if absent else ""
    console.print(f"{TENTH_MARK} late, and among the hardest tenth of these changes{none}\n")


def _hardest_tenth(found: HardChanges, measure: str) -> float:
    """The measure from which on a change is among the hardest tenth."""
    sizes = sorted((each.measure(measure) for each in found.changes), reverse=True)
    return sizes[(len(sizes) - 1) // 10] if sizes else 0.0


def _cell(each: PairChange, measure: str, worst: float) -> Text:
    size = each.measure(measure)
    shown = f"{size:.0f}" if measure in (MS, FINGERS) else f"{size:.2f}"
    if each.change.load <= LATE:
        return Text(shown)
    hardest = size >= worst
    return Text(shown + (TENTH_MARK if hardest else LATE_MARK), style="bold red" if hardest else "")


def _row(each: PairChange) -> tuple[str | Text, ...]:
    change = each.change
    return (
        f"{plain_name(each.before.pitch)} to {plain_name(each.after.pitch)}",
        fingers_text(change),
        f"{change.needed_ms:.0f} ms",
        paint(f"{change.load:.2f}", "bold red" if change.load > LATE else ""),
        f"{change.moving.effort:.2f}",
        change.advice.lead,
        f"{each.before.grip.short} to {each.after.grip.short}: {each.why}",
    )
