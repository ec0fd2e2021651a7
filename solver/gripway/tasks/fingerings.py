"""The fingerings already in a score: kept as pins where they can be, and checked against the route."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from gripway.asked.wishes import Wishes
from gripway.candidates.grip_check import GripCheck
from gripway.candidates.with_found_grips import beside_of
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.edition.even_out import EVERY_OTHER
from gripway.edition.printed_marks import unreadable
from gripway.edition.printed_pins import source_grips, with_source_pins
from gripway.edition.shorthand import spelt_out
from gripway.limits.answer import solve_within
from gripway.model.figures import Figure, figures_by_id, written_notes
from gripway.model.grip import Grip
from gripway.model.passage import Note, Passage, Remark
from gripway.route.result import Other, RouteNote
from gripway.tasks.flute_player import Flute, asked_of

MOTION_ONLY = frozenset({"harmonic", "trill"})
"""Kinds of grips that the search never takes for a held note."""


def with_kept_fingerings(passage: Passage, instrument: Flute, wishes: Wishes) -> Wishes:
    """The wishes with every fingering of the source that is a grip of its note kept as a pin."""
    mine, wishes = asked_of(instrument, wishes)
    check = mine.grip_check(wishes, passage.notes)
    playable = tuple(_playable(note, check) for note in passage.notes)
    return with_source_pins(replace(passage, notes=playable), wishes)


def _playable(note: Note, check: GripCheck) -> Note:
    """A note with only those of its fingerings that can be pinned."""
    grips = [
        grip for grip in source_grips(spelt_out(note, check)) if check.candidates(note.pitch.number, grip)
    ]
    return replace(note, fingering=tuple(grip.text for grip in grips))


def source_figures(
    notes: Sequence[Note], instrument: Flute, wishes: Wishes
) -> dict[tuple[str, Figure], Grip]:
    """The figures that have a grip in the source, each with the first one, for parts to be edited.

    So bars marked later get what the bars marked before have.
    """
    mine, wishes = asked_of(instrument, wishes)
    check = mine.grip_check(wishes, notes)
    found: dict[tuple[str, Figure], Grip] = {}
    about = figures_by_id(notes, effort_tables().figures.figure_tempo_factor)
    for note in written_notes(notes):
        for grip in source_grips(spelt_out(note, check)):
            for candidate in check.candidates(note.pitch.number, grip)[:1]:
                found.setdefault((mine.instrument.id, about[note.id]), candidate.row_grip)
    return found


def fingering_remarks(passage: Passage, instrument: Flute, wishes: Wishes) -> tuple[Remark, ...]:
    """What there is to say of the fingerings in the source: they are left as they are, but looked at.

    Said are those that cannot be read as a grip, that are no grip of their note on this flute,
    and those the search would not choose, with what they cost more, if that is as much as a
    mark has to be worth (mark_least_gain_effort). `wishes` are those of the
    user, without pins from the source.
    """
    notes = written_notes(passage.notes)
    fingered = [note for note in notes if note.fingering]
    if not fingered:
        return ()
    mine, wishes = asked_of(instrument, wishes)
    working = mine.solver(wishes, beside_of(passage))
    check = GripCheck(working.book)
    fingered = [spelt_out(note, check) for note in fingered]
    chosen: dict[str, RouteNote] = {}
    if any(True for note in fingered for _ in source_grips(note)):
        route = solve_within(working, passage, replace(wishes, others=EVERY_OTHER))
        chosen = {note.note.id: note for note in reversed(route.notes)}
    found = (text for note in fingered for text in ((note, words) for words in _said(note, check, chosen)))
    return tuple(Remark(words, bar=note.bar, note_id=note.id) for note, words in found)


def _said(note: Note, check: GripCheck, chosen: dict[str, RouteNote]) -> Iterator[str]:
    """The remarks on one note's fingerings."""
    name = note.pitch.name
    for text in unreadable(note):
        yield f"the fingering {text!r} of {name} is left as it is: it does not read as a grip"
    for grip in source_grips(note):
        if amiss := check.amiss(note.pitch.number, grip, note.pitch.name):
            yield f"the fingering of {name} cannot be kept: {amiss.what}"
            continue
        own = check.candidates(note.pitch.number, grip)
        rows = {candidate.row_grip for candidate in own}
        route = chosen[note.id]
        if route.candidate is None or route.candidate.row_grip in rows:
            continue
        others = [other for other in route.others if other.candidate.row_grip in rows]
        nearest = min(others, key=lambda other: other.effort_more, default=None)
        if nearest is not None and nearest.effort_more < effort_tables().figures.mark_least_gain_effort:
            continue
        if nearest is None and own[0].kind in MOTION_ONLY:
            yield f"the fingering {grip.short} of {name} is for notes in motion, not for this one"
            continue
        yield f"the fingering {grip.short} of {name} {_against(route, nearest)}"


def _against(route: RouteNote, other: Other | None) -> str:
    """How a fingering of the source compares with the grip the search would choose."""
    candidate = route.candidate
    if candidate is None or other is None:
        return "cannot be reached from the notes around it"
    cents = [each.tendency.cents for each in (other.candidate, candidate)]
    lean = f", {cents[0]:+.0f} cents against {cents[1]:+.0f}" if None not in cents else ""
    return f"takes {other.effort_more:.2f} more effort than {candidate.grip.short}{lean}"
