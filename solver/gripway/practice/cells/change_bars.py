"""Where the hard change of a cell stands: the bars of both its notes, and from where its drills are."""

from collections.abc import Sequence

from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell, CellPlace
from gripway.practice.cells.counted_beat import place_of
from gripway.route.words.place_words import places_text


def bars_text(cell: Cell, notes: Sequence[Note], most: int | None = None) -> str:
    """`bars 20, 47-48`: the bars of the hard change wherever the passage has it, of so many places.

    `notes` are those of the passage in played order. Places with other grips are not named.
    """
    places = _with_its_grips(cell)[:most]
    if cell.trill or not all(place.bar for place in places):
        return cell_places_text(places)
    begins = [place.index + (cell.worst - 1) * place.whole for place in places]
    return places_text(
        [(notes[at].bar, at) for begin in begins for at in (begin, begin + 1) if at < len(notes)]
    )


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


def where_words(cell: Cell, notes: Sequence[Note], back: str = "; ", drilled: str = "; ") -> str:
    """`bars 5, 12; backwards bar 6; drilled from bar 5, beat 3`; the beat alone of a change met once.

    `back` and `drilled` are what stands before each of these two.
    """
    there = place_of(cell)
    backwards = f"{back}backwards {cell_places_text(cell.back)}" if cell.back else ""
    if there and len(cell.places) == 1:
        return f"{there}{backwards}"
    graces = " in grace notes only" * _only_graces(cell, notes)
    return f"{bars_text(cell, notes)}{graces}{backwards}{f'{drilled}drilled from {there}' * bool(there)}"
