"""The list for the critical notes: every marked note as a row of plain cells, safe for a spreadsheet."""

from collections.abc import Iterable, Iterator, Sequence

from gripway.candidates.cents import cents_data
from gripway.edition.marks import MarkedNote
from gripway.model.mark_text import GRIP, HOLD, RELEASE, SIMILE, MarkSign
from gripway.route.result import Other, RouteNote

COLUMNS = (
    "part",
    "bar",
    "note",
    "id",
    "pitch",
    "mark",
    "grip",
    "kind",
    "reason",
    "runner_up",
    "effort_more",
    "cents",
    "cents_spread",
    "cents_source",
    "sources",
    "decision",
    "decision_reason",
)
"""Columns of the list; `note` counts the notes of the bar from 1."""

Cell = str | float | int | None


def critical_notes(
    part: str, notes: Sequence[RouteNote], marked: Iterable[MarkedNote]
) -> Iterator[dict[str, Cell]]:
    """A row for each marked note of a part, in playing order; `notes` are all of its notes."""
    numbers = _numbers_in_bar(notes)
    for each in marked:
        note, candidate = each.note, each.note.candidate
        nearest = _runner_up(note)
        lean = cents_data(candidate)
        yield {
            "part": part,
            "bar": note.note.bar,
            "note": numbers[note.note.id],
            "id": note.note.id,
            "pitch": note.note.pitch.name,
            "mark": " ".join(" ".join(written.text.split()) for written in each.written),
            "grip": candidate.grip.text if candidate else "",
            "kind": candidate.kind if candidate else "",
            "reason": "; ".join(_reasons(each)),
            "runner_up": nearest.candidate.grip.text if nearest else "",
            "effort_more": round(nearest.effort_more, 3) if nearest else None,
            "cents": lean["cents"],
            "cents_spread": lean["cents_spread"],
            "cents_source": lean["cents_source"],
            "sources": " ".join(candidate.sources) if candidate else "",
            "decision": each.decision.kind if each.decision else "",
            "decision_reason": each.decision.reason if each.decision else "",
        }


def _runner_up(note: RouteNote) -> Other | None:
    """The other grip of the tables that the reason speaks of: the standard one, else the nearest.

    The thumb's place or a held finger makes no other grip.
    """
    own = note.candidate.row_grip if note.candidate else None
    others = [other for other in note.others if other.candidate.row_grip != own]
    leaves = note.candidate is not None and note.candidate.kind != "standard"
    standard = [other for other in others if leaves and other.candidate.kind == "standard"]
    return next(iter((*standard, *others)), None)


def _numbers_in_bar(notes: Sequence[RouteNote]) -> dict[str, int]:
    """The number of each written note in its bar, as the bar is played the first time."""
    numbers: dict[str, int] = {}
    count: dict[str, int] = {}
    for note in notes:
        if note.note.id not in numbers:
            count[note.note.bar] = count.get(note.note.bar, 0) + 1
            numbers[note.note.id] = count[note.note.bar]
    return numbers


def _reasons(each: MarkedNote) -> Iterator[str]:
    """Why a note has its marks; a grip an editor decided on stands for that."""
    decided = each.decision is not None and (each.decision.plain or each.decision.grip is not None)
    for sign in each.signs:
        if sign.kind == GRIP:
            yield "the editor's decision" if decided else each.note.why
        else:
            yield _reason(sign)
        if sign.moving.mask:
            yield f"the trill with {_other_note(each.note)} moves {' '.join(sign.moving.touches)}"


def _other_note(note: RouteNote) -> str:
    """The name of the other note of a trill."""
    auxiliary = note.note.ornament.upper or note.note.ornament.lower if note.note.ornament else None
    return auxiliary.name if auxiliary else "its other note"


def _reason(sign: MarkSign) -> str:
    """What a sign other than a grip is for."""
    if sign.kind == SIMILE:
        return "the figure marked before comes again with the same grips"
    touches = " ".join(sign.grip.touches)
    if sign.kind == HOLD:
        return f"{touches} stay down until released"
    if sign.kind == RELEASE:
        return f"{touches} come up here"
    return (
        "the thumb goes to Tb whenever it is down, until T"
        if sign.grip.has("Tb")
        else "the thumb comes back to T"
    )
