"""The critical list as a document: by part and bar, a diagram a row, the bibliography at its end."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from gripway.catalog.tables.sources import sources
from gripway.edition.critical_notes import Cell
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.page.diagram.diagram import diagram
from gripway.page.document import document
from gripway.page.markup import filled

HEADS = ("Bar", "Note", "Mark", "Grip", "Why", "Instead", "Cents", "Decided", "Sources")
CRITICAL_DIAGRAM_MM = 18.0

Row = Mapping[str, Cell]


@dataclass(frozen=True, slots=True)
class CriticalPart:
    """The rows of one part (those of the CSV list), its flute, and the title of its movement.

    `made` says in words how the marks were made: tempo and house style.
    """

    title: str
    instrument: Instrument
    rows: Sequence[Row]
    made: str = ""


def critical_page(parts: Sequence[CriticalPart]) -> str:
    """One HTML page that needs nothing else, to be printed."""
    numbers = _numbers(parts)
    body = filled(
        "critical.html",
        title=TITLE,
        heads=HEADS,
        left_head=LEFT,
        tables=[
            (
                _heading(part),
                part.made,
                [(heading, [*_rows(some, numbers)]) for heading, some in _sections(part)],
                left_in(part.rows),
            )
            for part in parts
        ],
        cited=[_citation(key) for key in numbers],
    )
    return document(TITLE, "critical_document.css", body)


TITLE = "Critical notes: fingerings"
LEFT = "Left unmarked"


def critical_markdown(parts: Sequence[CriticalPart]) -> str:
    """The same as Markdown, the grips in words in place of diagrams."""
    numbers = _numbers(parts)
    lines = [f"# {TITLE}"]
    for part in parts:
        lines += ["", f"## {_heading(part)}", *(["", part.made] if part.made else [])]
        for heading, some in _sections(part):
            lines += ["", f"### {heading}", "", _line(HEADS), _line("---" for _ in HEADS)]
            lines += [_line(_cells(row, numbers)) for row in some.rows]
        if left := left_in(part.rows):
            lines += ["", f"### {LEFT}", "", *(f"- {each}" for each in left)]
    lines += ["", "## Sources", ""]
    lines += [f"{number}. {_citation(key)}" for key, number in numbers.items()]
    return "\n".join(lines) + "\n"


def _line(cells: Iterator[str] | Sequence[str]) -> str:
    return f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |"


def _numbers(parts: Sequence[CriticalPart]) -> dict[str, int]:
    """Every source that is cited with its number, in the order they are cited."""
    rows = (row for part in parts for row in part.rows if not row["left"])
    keys = (key for row in rows for key in str(row["sources"]).split())
    return {key: number for number, key in enumerate(dict.fromkeys(keys), start=1)}


def _citation(key: str) -> str:
    known = sources()
    return known[key].citation if key in known else key


def _heading(part: CriticalPart) -> str:
    name = str(part.rows[0]["part"]) if part.rows else part.instrument.title
    return f"{part.title}, {name}" if part.title else name


def _sections(part: CriticalPart) -> Iterator[tuple[str, CriticalPart]]:
    """The rows with a mark, and those that were decided to have none, each with its heading."""
    for heading, is_marked in (("Marked", True), ("Decided, and not marked", False)):
        if rows := [row for row in part.rows if bool(row["mark"]) == is_marked and not row["left"]]:
            yield heading, replace(part, rows=rows)


def left_in(rows: Sequence[Row]) -> list[str]:
    """What was left unmarked, a line for each reason: pitches with their grips and bars."""
    bars: dict[str, dict[str, list[str]]] = {}
    for row in rows:
        if row["left"]:
            grip = f"{row['pitch']} {Grip.parse(str(row['grip'])).short}"
            bars.setdefault(str(row["left"]), {}).setdefault(grip, []).append(str(row["bar"]))
    return [
        f"{why}: " + "; ".join(grip + _in_bars(at) for grip, at in grips.items())
        for why, grips in bars.items()
    ]


def _in_bars(bars: Sequence[str]) -> str:
    named = ", ".join(dict.fromkeys(filter(None, bars)))
    return f" (bar {named})" if named else ""


def _rows(part: CriticalPart, numbers: Mapping[str, int]) -> Iterator[tuple[list[str], str]]:
    """The cells of every row, and the diagram of its grip; no drawing where it has none."""
    for row in part.rows:
        yield [*_cells(row, numbers)], _diagram(row, part.instrument) if row["grip"] else ""


def _diagram(row: Row, instrument: Instrument) -> str:
    grip = Grip.parse(str(row["grip"]))
    return diagram(instrument, grip, size_mm=CRITICAL_DIAGRAM_MM, title=str(row["pitch"]))


def _cents(value: Cell) -> str:
    return f"{round(value):+d} cents" if isinstance(value, float) else ""


def _cells(row: Row, numbers: Mapping[str, int]) -> Iterator[str]:
    """The cells of a row as a reader has them, by HEADS."""
    more, cents, spread = row["effort_more"], row["cents"], row["cents_spread"]
    grip = Grip.parse(str(row["grip"])).short if row["grip"] else ""
    instead = Grip.parse(str(row["runner_up"])).short if row["runner_up"] else ""
    decided = ": ".join(filter(None, (str(row["decision"]), str(row["decision_reason"]))))
    yield str(row["bar"])
    yield f"{row['note']}, {row['pitch']}"
    yield str(row["mark"])
    yield f"{grip} ({row['kind']})" if grip else ""
    yield str(row["reason"])
    effort = f"{more:+.2f} effort" if isinstance(more, float) else ""
    yield ", ".join(filter(None, (instead, effort, _cents(row["runner_up_cents"]))))
    own = f"{cents:+.0f} ± {spread:.0f}" if isinstance(cents, float) and isinstance(spread, float) else ""
    trill = _cents(row["trill_cents"])
    yield f"{own}; trill {trill}" if trill else own
    yield decided
    yield ", ".join(str(numbers[key]) for key in str(row["sources"]).split())
