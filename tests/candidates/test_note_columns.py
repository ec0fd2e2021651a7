"""Pins and what is wrong with them; the column of every note."""

import pytest
from tests.oracles.flutes import number, solver_of
from tests.oracles.passages import played

from gripway.asked.wishes import STANDARD_ONLY, Pin, Wishes
from gripway.candidates.note_columns import note_columns
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.route.result import OPTIMAL

BOOK = solver_of().book
NOTES = played("D6 E6 D6").notes


def pinned(*pins: Pin) -> Wishes:
    """Wishes with these pins."""
    return Wishes(pins=pins)


def test_a_pin_by_index_and_by_id() -> None:
    """A pin holds for the note of its index or of its id, and for no other."""
    grip = Grip.parse("T L2 L3 |")
    for pin in (Pin(2, grip), Pin("n3", grip)):
        columns = note_columns(NOTES, BOOK, pinned(pin))
        assert {c.grip for c in columns[2].candidates} == {grip}
        assert len({c.grip for c in columns[0].candidates}) > 1


@pytest.mark.parametrize("line", ["D6:1/2", "G5 D6 G5", "D6 r D6"])
def test_a_pinned_trill_grip_may_stand_anywhere(line: str) -> None:
    """A player who asks for a trill grip gets it, without its partner beside it, also on a lone note."""
    passage, grip = played(line), Grip.parse("| Kd Eb")
    pins = (Pin(k, grip) for k, note in enumerate(passage.notes) if note.pitch.name == "D6")
    route = solver_of().solve(passage, pinned(*pins))
    assert route.status == OPTIMAL
    assert {note.candidate.grip for note in route.notes if note.note.pitch.name == "D6"} == {grip}


def test_two_pins_that_contradict() -> None:
    """Two grips for one note are an error that names the note and both grips."""
    first, second = Grip.parse("T L2 L3 |"), Grip.parse("T L2 L3 | Eb")
    with pytest.raises(RequestError, match="contradict") as error:
        note_columns(
            NOTES, BOOK, pinned(Pin(0, Grip.parse("T L2 L3 |")), Pin("n1", Grip.parse("T L2 L3 | Eb")))
        )
    assert error.value.place == "note 1 (id n1)"
    assert f"{first} and {second}" in error.value.what


def test_the_same_pin_twice_is_one() -> None:
    """Saying it twice, by index and by id, is no contradiction."""
    grip = Grip.parse("T L2 L3 | Eb")
    note_columns(NOTES, BOOK, pinned(Pin(0, grip), Pin("n1", grip)))


@pytest.mark.parametrize(("note", "named"), [(3, "4"), (-1, "-1"), ("n9", "n9"), ("P1-n1", "P1-n1")])
def test_a_pin_on_no_note(note: int | str, named: str) -> None:
    """An index or id that is not there is an error that repeats the pin, an index as a number from 1."""
    with pytest.raises(RequestError, match="no note") as error:
        note_columns(NOTES, BOOK, pinned(Pin(note, Grip.parse("T L2 L3 | Eb"))))
    assert error.value.place.startswith(f"pin {named}=")


def test_a_pin_of_no_known_grip_lists_the_grips() -> None:
    """A grip that is none of the pitch is an error whose next step lists those there are."""
    with pytest.raises(RequestError) as error:
        note_columns(NOTES, BOOK, pinned(Pin(0, Grip.parse("L4 | R1"))))
    listed = error.value.next_step.removeprefix("Its grips are: ").split("; ")
    assert listed == sorted({c.grip.text for c in BOOK.column(number("D6"), False, False)})


def test_standard_only_leaves_the_standard() -> None:
    """Only standard grips are left; both of E6, which has two."""
    columns = note_columns(NOTES, BOOK, Wishes(choose=STANDARD_ONLY))
    assert {c.kind for column in columns for c in column.candidates} == {"standard"}
    assert len({c.row_grip for c in columns[1].candidates}) == 2


def test_thumb_places_are_kept_where_a_b_flat_is_played() -> None:
    """The thumb may stay on Tb in a passage with B-flat, and is not looked at in one without."""
    with_b_flat, without = (note_columns(played(line).notes, BOOK, Wishes()) for line in ("F5 Bb5", "F5 C6"))
    assert any(c.grip.has("Tb") for c in with_b_flat[0].candidates)
    assert not any(c.grip.has("Tb") for c in without[0].candidates)
