"""In which bars the hard change of a cell stands: those of both its notes."""

from collections.abc import Sequence

from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell
from gripway.route.words.place_words import places_text


def bars_text(cell: Cell, notes: Sequence[Note], most: int | None = None) -> str:
    """`bars 20, 47-48`: the bars of the hard change wherever the passage has it, of so many places.

    `notes` are those of the passage in played order.
    """
    places = cell.places[:most]
    if cell.trill or not all(place.bar for place in places):
        return places_text([(place.bar, place.index) for place in places])
    begins = [place.index + (cell.worst - 1) * place.whole for place in places]
    return places_text(
        [(notes[at].bar, at) for begin in begins for at in (begin, begin + 1) if at < len(notes)]
    )
