"""The list for the critical notes: every marked or decided note as a row of plain cells."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from gripway.candidates.cents import cents_data
from gripway.edition.marks import LeftNote, MarkedNote
from gripway.edition.plain_grip import costs_of, is_plain
from gripway.edition.trill_marks import moving_in_trill, trills_plainly
from gripway.model.decision import Decision
from gripway.model.mark_text import GRIP, HOLD, RELEASE, SIMILE, THUMB, MarkSign
from gripway.route.result import Other, Route, RouteNote

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
    "runner_up_cents",
    "cents",
    "cents_spread",
    "cents_source",
    "trill_cents",
    "sources",
    "decision",
    "decision_reason",
    "left",
)
"""Columns of the list; `note` counts the notes of the bar from 1, `left` says why a grip has no mark."""

BY_EDITOR = "the editor's decision"

Cell = str | float | int | None


@dataclass(frozen=True, slots=True)
class CriticalSource:
    """What a part's list is made from.

    `notes` are all its notes in playing order, `decided` an editor's decisions by note id, `free` the route
    without them (None where there are none), by which what they cost is measured. `left` are the notes
    whose grip is not the plain one and has no mark, each with the reason in words.
    """

    part: str
    notes: Sequence[RouteNote]
    marked: Sequence[MarkedNote]
    decided: Mapping[str, Decision] = field(default_factory=dict)
    free: Route | None = None
    left: Sequence[tuple[LeftNote, str]] = ()


def critical_notes(source: CriticalSource) -> Iterator[dict[str, Cell]]:
    """A row for each marked note, then for each decided to have no mark, then for each left unmarked."""
    numbers = _numbers_in_bar(source.notes)
    free = {note.note.id: note for note in reversed(source.free.notes)} if source.free else {}
    told = {each.note.note.id for each in source.marked}
    written = {note.note.id: note for note in reversed(source.notes)}
    unmarked = [
        MarkedNote(written[name], (), decision)
        for name, decision in source.decided.items()
        if name not in told and name in written
    ]
    for each in (*source.marked, *sorted(unmarked, key=lambda each: each.note.index)):
        name = each.note.note.id
        yield {"part": source.part, "note": numbers[name], **_row(each, free.get(name)), "left": ""}
    for left, why in source.left:
        row = _row(MarkedNote(left.note, ()), None)
        number, reason = numbers[left.note.note.id], left.note.why
        yield {"part": source.part, "note": number, **row, "reason": reason, "left": why}


def _row(each: MarkedNote, free: RouteNote | None) -> dict[str, Cell]:
    """The cells of a note but its part and its number in the bar."""
    note, candidate = each.note, each.note.candidate
    is_decided = each.decision is not None and not each.decision.is_open
    nearest = _instead(note, free) if is_decided and free is not None else _runner_up(note)
    lean = cents_data(candidate)
    upper = note.ornament.notes[1].candidate if trills_plainly(note) is not None and note.ornament else None
    return {
        "bar": note.note.bar,
        "id": note.note.id,
        "pitch": note.note.pitch.name,
        "mark": " ".join(" ".join(written.text.split()) for written in each.written),
        "grip": candidate.grip.text if candidate else "",
        "kind": candidate.kind if candidate else "",
        "reason": "; ".join(_reasons(each)),
        "runner_up": nearest.candidate.grip.text if nearest else "",
        "effort_more": round(nearest.effort_more, 3) if nearest else None,
        "runner_up_cents": cents_data(nearest.candidate)["cents"] if nearest else None,
        "cents": lean["cents"],
        "cents_spread": lean["cents_spread"],
        "cents_source": lean["cents_source"],
        "trill_cents": cents_data(upper)["cents"],
        "sources": " ".join(candidate.sources) if candidate else "",
        "decision": each.decision.kind if each.decision else "",
        "decision_reason": each.decision.reason if each.decision else "",
    }


def _instead(note: RouteNote, free: RouteNote) -> Other | None:
    """What a decided grip stands instead of: the standard one, else what the search alone has there.

    Its effort is against the decided grip's, below 0 where that takes more; None where that is not known.
    """
    costs, mine = costs_of(free), note.candidate
    if mine is None:
        return None
    own = [each.effort_more for each in costs if each.candidate.grip == mine.grip]
    same = [each.effort_more for each in costs if each.candidate.row_grip == mine.row_grip]
    others = [each for each in costs if each.candidate.row_grip != mine.row_grip]
    standard = [each for each in others if each.candidate.kind == "standard" != mine.kind]
    if not (own or same) or not others:
        return None
    other = (standard or others)[0]
    return Other(other.candidate, other.effort_more - min(own or same))


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
    decided = each.decision is not None and not each.decision.is_open
    if not each.signs and each.note.note.fingering:
        yield f"the score has {', '.join(each.note.note.fingering)} there already, which stays"
    elif each.decision is not None and not each.signs:
        yield f"no mark, by {BY_EDITOR}"
    for sign in each.signs:
        if sign.kind == GRIP:
            if decided:
                yield BY_EDITOR
            elif not (sign.moving.mask and is_plain(each.note)):  # a plain grip is marked for its trill alone
                yield each.note.why
        else:
            if decided and sign.kind == THUMB:
                yield BY_EDITOR
            yield _reason(sign)
    if moving := moving_in_trill(each.note).touches:
        yield f"the trill with {_other_note(each.note)} moves {' '.join(moving)}"


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
