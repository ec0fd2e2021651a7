"""Where a cell stands: the bars of its notes, and from where its drills are."""

from collections.abc import Iterable, Sequence

from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell, CellPlace
from gripway.practice.cells.counted_beat import place_of
from gripway.practice.drills.drills import Drill
from gripway.route.words.place_words import places_text

CHANGE = 2
"""Notes of a change."""

FAR_MORE_TIME = 1.5
"""With more than so many times the time it has elsewhere a change is not hard there (judgement)."""


def bars_text(cell: Cell, notes: Sequence[Note], most: int | None = None) -> str:
    """`bars 20, 47-48`: the bars that hold all notes of the cell, of so many places.

    `notes` are those of the passage in played order. Places with other grips are not named, nor the
    first of more than `most` where it has far more time in all of them than later.
    """
    places = _with_its_grips(cell)
    whole = [place for place in places if place.whole]
    places = _quickest(cell, whole or places, notes, most) if most else whole or places
    if cell.trill or not all(place.bar for place in places):
        return cell_places_text(places)
    return _bars_of((place.index for place in places), len(cell.notes) if whole else CHANGE, notes)


def _quickest(
    cell: Cell, places: Sequence[CellPlace], notes: Sequence[Note], most: int
) -> Sequence[CellPlace]:
    """The first so many places of a cell; where it has far more time in all these, of those with little."""

    def time_ms(place: CellPlace) -> float:
        to = place.index + (cell.worst if place.whole else 1)
        return notes[to].onset_ms - notes[to - 1].onset_ms if to < len(notes) else 0.0

    if cell.trill:
        return places[:most]
    longest = FAR_MORE_TIME * min(map(time_ms, places), default=0.0)
    quick = [place for place in places if time_ms(place) <= longest]
    return quick[:most] if quick and quick[0] not in places[:most] else places[:most]


def _bars_of(begins: Iterable[int], count: int, notes: Sequence[Note]) -> str:
    """The bars of so many notes from each of some on."""
    return places_text(
        [(notes[at].bar, at) for begin in begins for at in range(begin, begin + count) if at < len(notes)]
    )


def _in_part(cell: Cell, notes: Sequence[Note]) -> str:
    """`E6 F#6 in bar 24`: where the hard change of a longer cell stands alone, in other bars."""
    count = len(cell.notes)
    whole = [at for each in cell.places if each.whole for at in range(each.index, each.index + count)]
    named = {notes[at].bar for at in whole if at < len(notes)}
    part = [each for each in cell.places if not (each.whole or each.other_grips) and each.bar]
    begins = [each.index for each in part if not {notes[each.index].bar, notes[each.index + 1].bar} <= named]
    if cell.trill or not begins:
        return ""
    return f"{' '.join(cell.pitches[cell.worst - 1 : cell.worst + 1])} in {_bars_of(begins, CHANGE, notes)}"


def _with_its_grips(cell: Cell) -> Sequence[CellPlace]:
    """The places of a cell where its change has its own grips."""
    return [place for place in cell.places if not place.other_grips] or cell.places


def _only_graces(cell: Cell, notes: Sequence[Note]) -> bool:
    """Whether the change stands in grace notes wherever it has its own grips, and elsewhere with others."""
    own = _with_its_grips(cell)
    begins = [place.index + (cell.worst - 1) * place.whole for place in own]
    return len(own) < len(cell.places) and all(any(n.grace for n in notes[at : at + 2]) for at in begins)


def cell_places_text(places: Sequence[CellPlace]) -> str:
    """`bars 5, 12`: the bars that places are in."""
    return places_text([(place.bar, place.index) for place in places])


def where_words(cell: Cell, notes: Sequence[Note], mark: str = "; ") -> str:
    """`bars 5, 12; E6 F#6 in bar 24`, the beat too of a cell met once; `mark` stands between the parts."""
    there = place_of(cell)
    if not _is_met_once(cell, notes) or not there:
        there = bars_text(cell, notes) + " in grace notes only" * _only_graces(cell, notes)
    return mark.join(filter(None, (there, _in_part(cell, notes))))


def drilled_words(cell: Cell, drills: Sequence[Drill], notes: Sequence[Note]) -> str:
    """`drilled as in bar 5, beat 3`: of a cell met in several places the one that all these drills are of.

    And that its grace notes are in time in one of them.
    """
    there = place_of(cell)
    if not there or any(drill.bar for drill in drills):
        return ""
    small = (any(note.grace for note in drill.passage.notes) for drill in drills)
    in_time = any(note.note.grace for note in cell.notes) and not all(small)
    where = "" if _is_met_once(cell, notes) else f"drilled as in {there}"
    return ", ".join(filter(None, (where, "its grace notes in time" * in_time)))


def _is_met_once(cell: Cell, notes: Sequence[Note]) -> bool:
    """Whether all notes of a cell are in one place only."""
    return sum(place.whole for place in cell.places) == 1 and not _only_graces(cell, notes)
