"""An editor's decisions: read, found again in a part, kept by the search, written."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from gripway.asked.wishes import Pin, Wishes
from gripway.candidates.grip_check import GripCheck
from gripway.candidates.note_columns import trilled, why_no_trill
from gripway.catalog.own_files.decisions_file import decisions_text as decisions_text
from gripway.edition.marks import MarkedNote
from gripway.edition.places.decided_places import NO_PART, Decided, Lost, find_places, place_of
from gripway.edition.plain_grip import is_plain
from gripway.model.decision import Decision
from gripway.model.figures import first_times, written_notes
from gripway.model.grip import Grip
from gripway.model.house_style import PLAIN_STYLE, HouseStyle
from gripway.model.mark_text import GRIP, NOTHING, THUMB
from gripway.model.passage import Note, Passage
from gripway.score.reading.parts import PartInfo, title_of
from gripway.score.reading.score_reading import ScoreReading
from gripway.tasks.flute_player import Flute, flute_player


def decisions(path: str | Path, house: HouseStyle = PLAIN_STYLE) -> tuple[Decision, ...]:
    """The decisions of a TOML file; DecisionsFileError names file, decision and key.

    Grips may be written with the abbreviations of a house style.
    """
    from gripway.catalog.own_files.decisions_file import read_decisions

    return read_decisions(Path(path), house.hand.texts)


def decided_in(
    known: Sequence[Decision],
    reading: ScoreReading,
    whole: Sequence[Note],
    flute: Flute,
    wishes: Wishes,
) -> Decided:
    """The decisions for the part of a reading, at their notes; those whose grip it cannot have are lost.

    `whole` are all notes of the part. Decisions for other parts of the score are passed over.
    """
    check = flute_player(flute, wishes.player).grip_check(wishes, whole)
    return decided_with(known, reading.part, whole, check)


def decided_with(
    known: Sequence[Decision], part: PartInfo, whole: Sequence[Note], check: GripCheck
) -> Decided:
    """The same for a flute whose grips are at hand."""
    mine = [each for each in known if not each.place.part or _is_named(part, each.place.part)]
    notes = written_notes(whole)
    found = find_places(mine, notes)
    places = {whole[place].id: place for place in first_times(whole)}
    by_note, lost = {}, list(found.lost)
    for name, decision in found.by_note.items():
        pitch = whole[places[name]].pitch
        grip = decision.grip
        amiss = check.amiss(pitch.number, grip, pitch.name) if grip is not None else None
        if amiss is not None:
            lost.append(Lost(decision, amiss.kind, amiss.what))
        elif decision.thumb and check.with_thumb(pitch.number, decision.thumb) is None:
            what = f"{pitch.name} has no standard grip with the thumb on {decision.thumb}"
            lost.append(Lost(decision, "no-grip", what))
        elif decision.plain and check.standard(pitch.number) is None:
            lost.append(Lost(decision, "no-grip", "the note has no standard grip on this flute"))
        elif why := _no_trill(decision, whole, places[name], check):
            lost.append(Lost(decision, "no-grip", why))
        else:
            by_note[name] = decision
    return replace(found, by_note=by_note, lost=tuple(lost))


def _no_trill(decision: Decision, whole: Sequence[Note], place: int, check: GripCheck) -> str:
    """Why what a decision says of a trill cannot be, empty where it can or says nothing."""
    grip = _grip_of(decision, whole[place].pitch.number, check)
    if grip is None or not decision.moving.mask:
        return ""
    return why_no_trill(whole, place, trilled(grip, decision.moving), check.book)


def of_no_part(known: Iterable[Decision], parts: Sequence[PartInfo]) -> tuple[Lost, ...]:
    """Decisions for parts that a score has not."""
    named = (each for each in known if each.place.part)
    return tuple(
        Lost(each, NO_PART) for each in named if not any(_is_named(part, each.place.part) for part in parts)
    )


def _is_named(part: PartInfo, name: str) -> bool:
    folded = " ".join(name.split()).casefold()
    return folded in (title_of(part).casefold(), part.name.casefold(), part.id.casefold(), str(part.index))


def with_decisions(passage: Passage, flute: Flute, wishes: Wishes, decided: Decided) -> Wishes:
    """The wishes with the grips that were decided as pins; pins asked for win over them."""
    check = flute_player(flute, wishes.player).grip_check(wishes, passage.notes)
    asked = {passage.notes[pin.note].id if isinstance(pin.note, int) else pin.note for pin in wishes.pins}
    return replace(wishes, pins=(*wishes.pins, *_pins(passage, check, decided, asked)))


def _pins(passage: Passage, check: GripCheck, decided: Decided, asked: set[str]) -> Iterator[Pin]:
    for place in first_times(passage.notes):
        note = passage.notes[place]
        decision = decided.by_note.get(note.id)
        if decision is None or note.id in asked:
            continue
        if (grip := _grip_of(decision, note.pitch.number, check)) is not None:
            yield Pin(note.id, grip, decision.moving)


def _grip_of(decision: Decision, pitch: int, check: GripCheck) -> Grip | None:
    """The grip a decision asks for at a pitch; None where it leaves that open."""
    if decision.thumb:
        return check.with_thumb(pitch, decision.thumb)
    return check.standard(pitch) if decision.plain else decision.grip


def as_decisions(
    whole: Sequence[Note], part: str, marked: Iterable[MarkedNote], decided: Decided
) -> tuple[Decision, ...]:
    """The decisions of a part at their places of today, those that are lost as they were, and the marks.

    Every grip that is marked and not yet decided becomes a decision, and so does a thumb that goes to T or
    Tb in a standard grip. The reason is the editor's to write.
    """
    notes = written_notes(whole)
    signs = {
        each.note.note.id: sign
        for each in marked
        for sign in each.signs
        if sign.kind == GRIP or (sign.kind == THUMB and is_plain(each.note))
    }
    found = []
    for index, note in enumerate(notes):
        place = place_of(notes, index, part)
        if (known := decided.by_note.get(note.id)) is not None:
            found.append(replace(known, place=place))
        elif note.id in signs:
            sign = signs[note.id]
            is_grip = sign.kind == GRIP
            thumb = "" if is_grip else " ".join(sign.grip.touches)
            grip, moving = (sign.grip, sign.moving) if is_grip else (None, NOTHING)
            found.append(Decision(place, grip=grip, thumb=thumb, moving=moving))
    return (*found, *(each.decision for each in decided.lost))


def pinned_decisions(whole: Sequence[Note], part: str, pins: Iterable[Pin]) -> tuple[Decision, ...]:
    """Pins (by note id) as decisions of a part, in its order; those for no note of it are left out."""
    notes = written_notes(whole)
    wanted = {pin.note: pin for pin in pins}
    return tuple(
        Decision(place_of(notes, index, part), grip=wanted[note.id].grip, moving=wanted[note.id].moving)
        for index, note in enumerate(notes)
        if note.id in wanted
    )
