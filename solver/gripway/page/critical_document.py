"""The critical list as a document: by part and bar, a diagram a row, the bibliography at its end."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from gripway.catalog.tables.sources import citation
from gripway.edition.critical_notes import BY_EDITOR, Cell
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.mark_text import PLAIN_HAND, Hand
from gripway.page.diagram.diagram import diagram
from gripway.page.document import document
from gripway.page.markup import filled

SEARCH = "By the search"
HEADS = ("Bar", "Note", "Mark", "Grip", "Why", SEARCH, "Cents", "Sources")
CRITICAL_DIAGRAM_MM = 13.0

Row = Mapping[str, Cell]


@dataclass(frozen=True, slots=True)
class CriticalPart:
    """The rows of one part (those of the CSV list), its flute, and the title of its movement.

    `made` says in words how the marks were made: tempo and house style; grips are written in its `hand`.
    """

    title: str
    instrument: Instrument
    rows: Sequence[Row]
    made: str = ""
    hand: Hand = PLAIN_HAND


def critical_page(parts: Sequence[CriticalPart]) -> str:
    """One HTML page that needs nothing else, to be printed."""
    numbers = _numbers(parts)
    body = filled(
        "critical.html",
        title=TITLE,
        heads=HEADS,
        explained=_explained(),
        left_head=LEFT,
        tables=[
            (
                _heading(part),
                part.made,
                [(heading, [*_rows(some, numbers)]) for heading, some in _sections(part)],
                left_in(part.rows, part.hand),
            )
            for part in parts
        ],
        cited=[citation(key) for key in numbers],
    )
    return document(TITLE, "critical_document.css", body)


TITLE = "Critical notes: fingerings"
LEFT = "Left unmarked"
STANDARD = "standard"


def critical_markdown(parts: Sequence[CriticalPart]) -> str:
    """The same as Markdown, the grips in words in place of diagrams."""
    numbers = _numbers(parts)
    lines = [f"# {TITLE}", "", _explained()]
    for part in parts:
        lines += ["", f"## {_heading(part)}", *(["", part.made] if part.made else [])]
        for heading, some in _sections(part):
            lines += ["", f"### {heading}", "", _line(HEADS), _line("---" for _ in HEADS)]
            lines += [_line(_cells(row, numbers, part.hand)) for row in some.rows]
        if left := left_in(part.rows, part.hand):
            lines += ["", f"### {LEFT}", "", *(f"- {each}" for each in left)]
    lines += ["", "## Sources", ""]
    lines += [f"{number}. {citation(key)}" for key, number in numbers.items()]
    return "\n".join(lines) + "\n"


def _line(cells: Iterator[str] | Sequence[str]) -> str:
    return f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |"


def _numbers(parts: Sequence[CriticalPart]) -> dict[str, int]:
    """Every source that is cited with its number, in the order they are cited."""
    rows = (row for part in parts for row in part.rows if not row["left"])
    keys = (key for row in rows for key in str(row["sources"]).split())
    return {key: number for number, key in enumerate(dict.fromkeys(keys), start=1)}


def _heading(part: CriticalPart) -> str:
    name = str(part.rows[0]["part"]) if part.rows else part.instrument.title
    return f"{part.title}, {name}" if part.title else name


def _sections(part: CriticalPart) -> Iterator[tuple[str, CriticalPart]]:
    """The rows with a mark, and those that were decided to have none, each with its heading."""
    for heading, is_marked in (("Marked", True), ("Decided, and not marked", False)):
        if rows := [row for row in part.rows if bool(row["mark"]) == is_marked and not row["left"]]:
            yield heading, replace(part, rows=rows)


def left_in(rows: Sequence[Row], hand: Hand = PLAIN_HAND) -> list[str]:
    """What was left unmarked, a line for each reason: pitches with their grips and bars."""
    bars: dict[str, dict[str, list[str]]] = {}
    for row in rows:
        if row["left"]:
            grip = f"{row['pitch']} {_grip(row['grip'], hand)}"
            bars.setdefault(str(row["left"]), {}).setdefault(grip, []).append(str(row["bar"]))
    return [
        f"{why}: " + "; ".join(grip + _in_bars(at) for grip, at in grips.items())
        for why, grips in bars.items()
    ]


def _in_bars(bars: Sequence[str]) -> str:
    named = ", ".join(dict.fromkeys(filter(None, bars)))
    return f" (bar {named})" if named else ""


def _rows(part: CriticalPart, numbers: Mapping[str, int]) -> Iterator[tuple[list[str], str]]:
    """The cells of every row, and the diagram of a grip that is not the standard one."""
    for row in part.rows:
        is_drawn = row["grip"] and row["kind"] != STANDARD
        yield [*_cells(row, numbers, part.hand)], _diagram(row, part.instrument) if is_drawn else ""


def _diagram(row: Row, instrument: Instrument) -> str:
    grip = Grip.parse(str(row["grip"]))
    return diagram(instrument, grip, size_mm=CRITICAL_DIAGRAM_MM, title=str(row["pitch"]))


def _cents(value: Cell) -> str:
    return f"{round(value):+d} cents" if isinstance(value, float) else ""


def _grip(text: Cell, hand: Hand) -> str:
    return hand.whole(Grip.parse(str(text))) if text else ""


def _explained() -> str:
    """What the column of the search says."""
    return (
        f"{SEARCH}: the standard grip, else the nearest other one, in place of the grip here, with the "
        "effort it would take more or less, and its cents. Effort is the search's own measure of how much "
        "the fingers have to do and how safely the note speaks in tune."
    )


def _why(row: Row) -> str:
    """Why a note has its mark, or none: in the editor's words where there are any."""
    said = str(row["decision_reason"])
    return str(row["reason"]).replace(BY_EDITOR, f"{BY_EDITOR}: {said}" if said else BY_EDITOR, 1)


def _effort(more: Cell) -> str:
    if not isinstance(more, float):
        return ""
    return f"{abs(more):.2f} {'less' if more < 0 else 'more'} effort"


def _cells(row: Row, numbers: Mapping[str, int], hand: Hand) -> Iterator[str]:
    """The cells of a row as a reader has them, by HEADS."""
    cents, spread = row["cents"], row["cents_spread"]
    grip, instead = _grip(row["grip"], hand), _grip(row["runner_up"], hand)
    yield str(row["bar"])
    yield f"{row['note']}, {row['pitch']}"
    yield str(row["mark"])
    yield f"{grip} ({row['kind']})" if grip else ""
    yield _why(row)
    costs = ", ".join(filter(None, (_effort(row["effort_more"]), _cents(row["runner_up_cents"]))))
    yield ": ".join(filter(None, (instead, costs)))
    own = f"{cents:+.0f} ± {spread:.0f}" if isinstance(cents, float) and isinstance(spread, float) else ""
    trill = _cents(row["trill_cents"])
    yield f"{own}; trill {trill}" if trill else own
    yield ", ".join(str(numbers[key]) for key in str(row["sources"]).split())
