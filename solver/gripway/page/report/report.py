"""The report of routes: one HTML file that needs nothing else, for the screen and for paper."""

from collections.abc import Iterable, Sequence

from gripway.catalog.tables.sources import sources
from gripway.model.instrument import Instrument
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.document import document
from gripway.page.markup import filled
from gripway.page.report.report_part import ReportPart, written_part
from gripway.route.result import Route

CAUTIONS = (
    "Playing can hurt. Stop on pain, numbness or tingling, and rest often.",
    "A flute can be louder at your own ear than a working day allows: protect your hearing.",
    "gripway gives no medical advice. Your teacher, your clinician, your own ear and local rules come first.",
    "Cents are an expectation and times are indicative: believe their order before you believe their size.",
)


def report(parts: Sequence[ReportPart]) -> str:
    """The report of one part, or of several one after the other, as an HTML document."""
    symbols: dict[Instrument, GripSymbols] = {}
    glyphs: set[str] = set()
    several = len(parts) > 1
    written = []
    for number, part in enumerate(parts, start=1):
        flute = part.instrument
        shared = symbols.setdefault(flute, GripSymbols(flute, f"f{len(symbols)}-" if symbols else ""))
        written.append(written_part(part, shared, CAUTIONS, glyphs, f"p{number}-" if several else ""))
    title = parts[0].title
    body = filled(
        "report.html",
        title=title,
        parts=written,
        cautions=CAUTIONS,
        cited=_cited(part.route for part in parts),
        drawn=list(symbols.values()),
    )
    font = next((part.font for part in written if part.font), "")
    return document(
        title=f"{title} - grips", style="report/report.css", body=body, font=font, script="report/report.js"
    )


def _cited(routes: Iterable[Route]) -> list[str]:
    """The sources of every grip that stands in the report, in the words of the bibliography."""
    notes = [note for route in routes for note in route.notes]
    candidates = [note.candidate for note in notes if note.candidate]
    candidates += [other.candidate for note in notes for other in note.others]
    keys = {key for candidate in candidates for key in candidate.sources}
    known = sources()
    return sorted(known[key].citation for key in keys if key in known)
