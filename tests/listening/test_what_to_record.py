"""What to record first: counted again, grip by grip, by the public tasks; and its page of one sheet."""

from dataclasses import replace
from pathlib import Path

import pytest
from tests.tiers import some

import gripway
from gripway.listening.what_to_record import PartNotes, RecordingCard, ToRecord, card_sentence, in_order
from gripway.model.grip import Grip
from gripway.model.player import OwnCents
from gripway.page.recording_card import _card_diagram_mm, _columns, recording_card_page

STUDY = gripway.read(Path(__file__).parents[2] / "examples" / "rooftop_study.musicxml").passage
FLUTE = gripway.flute()


@pytest.fixture(scope="module")
def card() -> RecordingCard:
    """The card of a study in the third octave."""
    return gripway.record_first([("study", STUDY)], FLUTE)


def ends(each: ToRecord) -> tuple[gripway.Route, gripway.Route]:
    """The routes of the study where a known grip lies at the lower and at the upper end of its range."""
    routes = []
    for cents in (each.vs_standard - each.spread_cents, each.vs_standard + each.spread_cents):
        own = OwnCents(each.pitch, each.grip, 0.0, 3.0, cents)
        player = gripway.Player(cents=(own,), known=frozenset({(each.pitch, each.grip)}))
        routes.append(gripway.finger(STUDY, FLUTE, gripway.Wishes(player=player)))
    return routes[0], routes[1]


def test_the_notes_a_recording_decides_are_those_that_differ(card: RecordingCard) -> None:
    """Fingered anew with either reading, as a player would do it, the same notes differ."""
    assert card.grips
    for each in some(card.grips, 3):
        lower, higher = ends(each)
        differ = tuple(
            one.index
            for one, other in zip(lower.notes, higher.notes, strict=True)
            if (one.candidate.row_grip, one.candidate.kind)  # type: ignore[union-attr]
            != (other.candidate.row_grip, other.candidate.kind)  # type: ignore[union-attr]
        )
        assert [place.notes for place in each.places] == [differ]
        uses = [
            sum(
                (note.candidate.pitch, note.candidate.row_grip) == (each.pitch, each.grip)  # type: ignore[union-attr]
                for note in route.notes
            )
            for route in (lower, higher)
        ]
        assert uses == [each.if_lower, each.if_higher]


def test_what_decides_most_stands_first_and_the_rest_is_left_out(card: RecordingCard) -> None:
    """In the order of their notes; none that decides nothing; as many as asked for."""
    notes = [each.notes for each in card.grips]
    assert notes[0] == max(notes)
    assert all(notes)
    one = gripway.record_first([("study", STUDY), ("again", STUDY)], FLUTE, most=1)
    assert len(one.grips) == 1
    assert one.grips[0].notes == 2 * notes[0]
    assert [place.part for place in one.grips[0].places] == ["study", "again"]


def test_a_row_that_shares_its_first_takes_has_no_boxes_for_them(card: RecordingCard) -> None:
    """Six boxes, and the page says where the others are; without such a row it says nothing of it."""
    first = card.grips[0]
    page = recording_card_page(replace(card, grips=(first, replace(first, takes=6))), FLUTE)
    assert page.count("□") == 9 + 6
    assert "has the standard takes above it" in page
    assert "it is 15 notes" in page
    assert "has the standard takes above it" not in recording_card_page(card, FLUTE)


def test_a_grip_of_the_pitch_just_played_costs_six_takes() -> None:
    """At each turn the grip that decides most notes a take: 8 for 6 takes go before 10 for 9."""
    low, high = Grip.parse("T 1 2 3 | 1 2 Eb"), Grip.parse("T 1 3 | 3 Eb")

    def row(pitch: int, notes: int) -> ToRecord:
        """A grip that decides so many notes."""
        places = (PartNotes("study", tuple(range(notes)), ("1",) * notes),)
        return ToRecord(pitch, low, high, "alternate", 0.0, 5.0, 0, notes, places)

    found = in_order([row(90, 8), row(88, 10), row(90, 12), row(92, 10)], 3)
    assert [(each.pitch, each.notes, each.takes) for each in found] == [
        (90, 12, 9),
        (90, 8, 6),
        (88, 10, 9),
        (92, 10, 9),
    ]


def test_what_is_measured_need_not_be_recorded(card: RecordingCard) -> None:
    """With a reading of the first grip it stands on the card no more."""
    first = card.grips[0]
    own = OwnCents(first.pitch, first.grip, 0.0, 3.0, first.vs_standard, 3, "2027-01-31")
    mine = gripway.FlutePlayer(FLUTE, gripway.Player(cents=(own,)))
    again = gripway.record_first([("study", STUDY)], mine)
    assert (first.pitch, first.grip) not in {(each.pitch, each.grip) for each in again.grips}


def test_a_part_in_which_no_doubt_matters() -> None:
    """Long low notes have nothing to record, and it is said."""
    card = gripway.record_first([("low", gripway.notes("A4:1/2 B4:1/2", tempo=60))], FLUTE)
    assert card.grips == ()
    assert card_sentence(card).startswith("Nothing needs to be recorded")
    assert "<li>" not in recording_card_page(card, FLUTE)


def test_no_part_is_refused() -> None:
    """With what to give."""
    with pytest.raises(gripway.GripwayError, match="no part is given"):
        gripway.record_first([], FLUTE)


def twenty(card: RecordingCard) -> RecordingCard:
    """The fullest card there is."""
    return replace(card, grips=(card.grips * 20)[:20], parts=("A study with a long name",) * 9)


def test_the_page_has_a_row_a_grip_with_its_diagrams(card: RecordingCard) -> None:
    """Two diagrams a row, nine boxes to tick, the command for afterwards, the caution."""
    page = recording_card_page(twenty(card), FLUTE)
    assert page.count("<li>") == 20
    assert page.count("<svg") == 40
    assert page.count("□") == 20 * 9
    assert "--asked card.json" in page
    assert "stays on your machine" in page
    assert "://" not in page.replace("http://www.w3.org/2000/svg", "")


@pytest.mark.parametrize(
    ("rows", "diagram_mm", "columns"),
    [
        (5, 38.0, "few"),
        (6, 27.0, "many"),
        (12, 27.0, "many"),
        (13, 17.5, "full"),
        (20, 17.5, "full"),
    ],
)
def test_a_card_of_few_rows_has_larger_diagrams(rows: int, diagram_mm: float, columns: str) -> None:
    """Up to five rows the largest in one column, up to twelve smaller ones, beyond the smallest."""
    assert (_card_diagram_mm(rows), _columns(rows)) == (diagram_mm, columns)
