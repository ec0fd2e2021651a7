"""Decisions by bar, beat and pitch alone are believed together, and never by a lone bar number."""

from tests.edition.test_decided_places import bars

from gripway.edition.places.decided_places import DOUBLE, GONE, OFF, TWICE, find_places, place_of
from gripway.model.decision import Decision, DecisionPlace
from gripway.model.pitch import Pitch

LINES = ("E6 F#6 G6 A6", "D6 C6 F6 B5", "G#6 D#6 C6 E6", "B5 A5 F#6 G5", "C6 D6 E6 G6", "A5 G5 Bb5 D5")
SAID = (("1", 2, "F#6"), ("2", 3, "F6"), ("3", 1, "G#6"), ("5", 3, "E6"), ("6", 3, "Bb5"))


def said(*places: tuple[str, int, str]) -> list[Decision]:
    """Decisions by bar, beat and pitch."""
    return [
        Decision(DecisionPlace(bar, Pitch.parse(pitch), beat=beat), plain=True) for bar, beat, pitch in places
    ]


def test_bars_at_the_front_move_all_of_them() -> None:
    """Each is found at its note, two bars later."""
    found = find_places(said(*SAID), bars("A5 B5 C6 D6", "E5 E5 E5 E5", *LINES))
    assert list(found.by_note) == ["b3-1", "b4-2", "b5-0", "b7-2", "b8-2"]
    assert set(found.moved.values()) == {2}
    assert found.lost == ()


def test_nothing_moves_where_the_bars_fit() -> None:
    """The bars said are those of the part."""
    found = find_places(said(*SAID), bars(*LINES))
    assert (list(found.by_note), found.moved) == (["b1-1", "b2-2", "b3-0", "b5-2", "b6-2"], {})


def test_bars_in_the_middle_move_what_comes_after() -> None:
    """Those before stay."""
    places = (SAID[0], SAID[1], *SAID[2:], ("4", 3, "F#6"))
    found = find_places(said(*places), bars(*LINES[:2], "A5 A5 A5 A5", *LINES[2:]))
    assert set(found.by_note) == {"b1-1", "b2-2", "b4-0", "b5-2", "b6-2", "b7-2"}
    assert sorted(found.moved) == ["b4-0", "b5-2", "b6-2", "b7-2"]


def test_one_that_fits_its_bar_by_chance_is_not_believed() -> None:
    """The others are all a bar later: the note of that pitch in the bar said is another one."""
    moved = bars("A5 B5 C6 D6", *LINES)
    decisions = said(*SAID, ("4", 1, "G#6"))  # bar 4 of today is the old bar 3, where it stands
    found = find_places(decisions, moved)
    assert found.by_note["b4-0"] is decisions[2]
    assert [(each.decision, each.why) for each in found.lost] == [(decisions[5], GONE)]


def test_where_most_are_off_the_rest_is_listed() -> None:
    """No distance fits three of them: the one whose bar has its pitch is listed with the others."""
    decisions = said(("1", 2, "Bb4"), ("2", 2, "Bb4"), ("3", 1, "G#6"), ("4", 2, "C4"), ("5", 2, "Db4"))
    found = find_places(decisions, bars(*LINES))
    assert found.by_note == {}
    assert sorted(each.why for each in found.lost) == [GONE] * 4 + [OFF]


def test_a_figure_that_fits_at_several_distances_is_listed() -> None:
    """In equal bars nothing tells by how many they moved."""
    places = [(str(bar), 2, "F#6") for bar in (1, 2, 3)]
    found = find_places(said(*places), bars(*["A5 A5 A5 A5"] * 3, *["E6 F#6 E6 D6"] * 6))
    assert found.by_note == {}
    assert {each.why for each in found.lost} == {GONE}


def test_those_with_neighbours_tell_the_others_where_they_are() -> None:
    """A place said by its bar alone goes with those around it that were found by their notes."""
    before = bars(*LINES)
    told = [Decision(place_of(before, index, ""), plain=True) for index in (1, 6, 18)]
    (bare,) = said(("3", 1, "G#6"))
    found = find_places([*told, bare], bars("A5 B5 C6 D6", *LINES))
    assert found.by_note["b4-0"] is bare
    assert len(found.by_note) == 4


def test_a_rounded_beat_is_found() -> None:
    """3.67 stands for 3 2/3."""
    some = bars(LINES[0])
    decision = Decision(DecisionPlace("1", Pitch.parse("F#6"), beat=1 + some[1].at * 4 + 0.004), plain=True)
    assert list(find_places([decision], some).by_note) == ["b1-1"]


def test_what_is_decided_twice_is_said_to_be() -> None:
    """Not that the beat is missing."""
    found = find_places(said(SAID[0], SAID[0]), bars(*LINES))
    assert [each.why for each in found.lost] == [DOUBLE]
    found = find_places([Decision(DecisionPlace("1", Pitch.parse("E6")), plain=True)], bars("E6 F6 E6 A6"))
    assert [each.why for each in found.lost] == [TWICE]


def test_a_lost_place_is_told_by_the_bars_of_the_others() -> None:
    """A bar was put in at the front and one note changed: where it would be, and what is there now."""
    before = bars(*LINES)
    decisions = [Decision(place_of(before, index, ""), plain=True) for index in (1, 9, 17)]
    changed = (*LINES[:2], "G#6 E6 C6 E6", *LINES[3:])
    found = find_places(decisions, bars("A5 B5 C6 D6", *changed))
    assert list(found.by_note) == ["b2-1", "b6-1"]
    (lost,) = found.lost
    assert (lost.decision, lost.why) == (decisions[1], GONE)
    assert lost.words == "by the others it would be bar 4, beat 2, which now has E6"


def test_where_the_others_differ_nothing_is_told_of_a_lost_place() -> None:
    """A bar was put in before the changed note and another one behind it: it may be in either bar."""
    before = bars(*LINES)
    decisions = [Decision(place_of(before, index, ""), plain=True) for index in (1, 9, 21)]
    changed = (*LINES[:2], "A5 B5 C6 D6", "G#6 E6 C6 E6", *LINES[3:])
    found = find_places(decisions, bars(*changed))
    assert list(found.by_note) == ["b1-1", "b7-1"]
    assert "by the others" not in found.lost[0].words
