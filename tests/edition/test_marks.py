"""Which notes get a mark, and what it says."""

import pytest

from gripway.asked.wishes import Pin, Wishes
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.edition.even_out import EVERY_OTHER
from gripway.edition.marks import played_differently
from gripway.edition.plain_grip import gains_of, is_plain, is_worth
from gripway.edition.sparing import least_gain_of
from gripway.model.grip import Grip
from gripway.model.house_style import WHICH, HouseStyle
from gripway.model.mark_text import Hand
from gripway.model.passage import Passage
from gripway.route.result import Route
from gripway.score.reading.score_reading import ScoreReading, read_score
from gripway.tasks.flutes import flute
from gripway.tasks.marks.marked_scores import mark
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes

STANDARD, OTHER, THIRD = "T L1 L3 | R3 Eb", "T L1 L3 | R2 Eb", "T L1 | Eb"
"""Three grips of F#6; the first is the standard one (common practice, no source)."""

SHORT = {STANDARD: "T 1 3 | 3 Eb", OTHER: "T 1 3 | 2 Eb", THIRD: "T 1 | Eb"}


def score(*fingerings: str, repeated: bool = False) -> ScoreReading:
    """A bar of F#6, one for each text, which is the fingering it has in the source (or none)."""
    notes = "".join(
        "<note><pitch><step>F</step><alter>1</alter><octave>6</octave></pitch><duration>1</duration>"
        + (f"<notations><technical><fingering>{own}</fingering></technical></notations>" if own else "")
        + "</note>"
        for own in fingerings
    )
    repeat = '<barline location="right"><repeat direction="backward"/></barline>' if repeated else ""
    text = (
        '<score-partwise><part-list><score-part id="P1"><part-name>Flute</part-name></score-part></part-list>'
        f'<part id="P1"><measure number="1"><attributes><divisions>1</divisions></attributes>{notes}{repeat}'
        "</measure></part></score-partwise>"
    )
    return read_score(text.encode(), "marks.musicxml")


def route_of(passage: Passage, *grips: str) -> Route:
    """The route with these grips, one a note in played order."""
    pins = tuple(Pin(place, Grip.parse(grip)) for place, grip in enumerate(grips))
    return finger(passage, flute(), Wishes(pins=pins))


def marks(reading: ScoreReading, route: Route, **asked: object) -> list[str]:
    """The fingerings of every note of the marked score, `-` for none."""
    data = mark(reading, route, HouseStyle(**asked))  # type: ignore[arg-type]
    again = read_score(data, "again.musicxml")
    return [" ".join(note.fingering) or "-" for note in again.passage.notes]


@pytest.mark.parametrize(
    ("which", "grips", "expected"),
    [
        ("needed", (STANDARD, OTHER, OTHER, STANDARD), ["-", OTHER, OTHER, "-"]),
        ("every", (STANDARD, OTHER, OTHER, STANDARD), [STANDARD, OTHER, OTHER, STANDARD]),
        ("first", (STANDARD, OTHER, OTHER, STANDARD), ["-", OTHER, "-", STANDARD]),
        ("first", (OTHER, OTHER, THIRD, OTHER), [OTHER, "-", THIRD, OTHER]),
        ("first", (STANDARD, STANDARD), ["-", "-"]),
    ],
)
def test_which_notes_are_marked(which: str, grips: tuple[str, ...], expected: list[str]) -> None:
    """Needed: what is not plain. First: where a pitch's grip changes. Every: all."""
    reading = score(*[""] * len(grips))
    found = marks(reading, route_of(reading.passage, *grips), which=which)
    assert found == [SHORT.get(grip, grip) for grip in expected]


@pytest.mark.parametrize("which", ["needed", "first", "figures", "every"])
def test_marking_the_marked_score_adds_nothing(which: str) -> None:
    """The marks of the first run count as said in the second."""
    grips = (STANDARD, OTHER, OTHER, THIRD, STANDARD, STANDARD, OTHER)
    reading = score(*[""] * len(grips))
    once = mark(reading, route_of(reading.passage, *grips), HouseStyle(which=which))
    again = read_score(once, "again.musicxml")
    assert mark(again, route_of(again.passage, *grips), HouseStyle(which=which)) == once


def test_a_bracketed_mark_is_an_editors() -> None:
    """Square brackets around the grip."""
    reading = score("")
    hand = Hand(bracket="square")
    assert marks(reading, route_of(reading.passage, OTHER), hand=hand) == ["[T 1 3 | 2 Eb]"]


def test_a_note_with_a_fingering_of_its_own_is_left_alone() -> None:
    """Ours or somebody else's: it stays the only one of its note."""
    reading = score("2", SHORT[THIRD], "")
    found = marks(reading, route_of(reading.passage, OTHER, OTHER, OTHER), which="every")
    assert found == ["2", SHORT[THIRD], SHORT[OTHER]]


def test_a_grip_written_in_the_source_counts_as_said() -> None:
    """With `first`, a pitch whose last written grip is the source's gets no second mark for it."""
    reading = score(SHORT[OTHER], "", "2", "")
    found = marks(reading, route_of(reading.passage, OTHER, OTHER, THIRD, OTHER), which="first")
    assert found == [SHORT[OTHER], "-", "2", "-"]


def test_a_repeat_keeps_the_mark_of_its_first_time() -> None:
    """Each written note is marked once, with the grip of the first time through."""
    reading = score("", "", repeated=True)
    route = route_of(reading.passage, OTHER, STANDARD, THIRD, OTHER)
    assert mark(reading, route, HouseStyle(which="every")).count(b"<fingering") == 2
    assert marks(reading, route, which="every")[:2] == [SHORT[OTHER], SHORT[STANDARD]]


def test_notes_that_a_repeat_plays_differently_are_listed_once() -> None:
    """One mark cannot say two grips; notes played alike, or with their own fingering, are not listed."""
    reading = score("", "", "2", repeated=True)
    route = route_of(reading.passage, OTHER, STANDARD, OTHER, THIRD, STANDARD, THIRD)
    (differing,) = played_differently(route)
    assert (differing.index, differing.candidate and differing.candidate.grip.text) == (3, THIRD)


def test_plain_is_the_standard_grip_with_the_thumb_anywhere() -> None:
    """A finger resting without need is worth a mark, an alternate grip too."""
    reading = score("", "")
    plain, other = route_of(reading.passage, STANDARD, OTHER).notes
    assert (is_plain(plain), is_plain(other)) == (True, False)


def test_only_insertions_are_made() -> None:
    """Every byte of the source is still there, in order."""
    reading = score("", "2", "")
    route = route_of(reading.passage, OTHER, OTHER, OTHER)
    rest = iter(mark(reading, route, HouseStyle(which="every")))
    assert all(byte in rest for byte in reading.source.data)


def test_a_gain_too_small_is_not_marked() -> None:
    """A house can ask what leaving the standard grip has to be worth."""
    passage = notes("A5 F#6 A5 F#6 A5:1/4", tempo=150)
    route = finger(passage, flute(), Wishes(others=EVERY_OTHER))
    gains = gains_of(route, route)
    left = [note for note in route.notes if not is_plain(note)]
    assert left
    for note in left:
        gain = min(other.effort_more for other in note.others if other.candidate.kind == "standard")
        assert gains[note.note.id] == round(gain, 3)
        assert is_worth(note, gains, HouseStyle(least_gain=round(gain, 3)))
        assert not is_worth(note, gains, HouseStyle(least_gain=gain + 0.01))


def test_marks_by_need_ask_for_a_gain_by_themselves() -> None:
    """At mark_least_gain_effort of the table; a house that says 0 has every grip that is not plain."""
    least = effort_tables().figures.mark_least_gain_effort
    assert least > 0.0
    assert [least_gain_of(HouseStyle(which=which)) for which in WHICH] == [least, 0.0, least, 0.0]
    assert least_gain_of(HouseStyle(which="figures", least_gain=0.0)) == 0.0
    note = route_of(notes("F#6"), OTHER).notes[0]
    for gain in (0.01, least - 0.001, least):
        gains = {note.note.id: gain}
        assert is_worth(note, gains, HouseStyle(which="figures")) == (gain >= least)
        assert is_worth(note, gains, HouseStyle(which="figures", least_gain=0.0))
        assert is_worth(note, gains, HouseStyle()) == (gain >= least)


def test_without_a_standard_grip_to_compare_a_note_is_marked() -> None:
    """A pinned note has no runner-up: nothing speaks against telling it."""
    route = route_of(notes("F#6"), OTHER)
    assert is_worth(route.notes[0], gains_of(route, route), HouseStyle(least_gain=99.0))


@pytest.mark.parametrize(
    ("line", "grip", "plain"),
    [
        ("Bb5 C6", "Tb L1 | Eb", True),
        ("Bb5 C6", "T L1 | R1 Eb", True),
        ("A#5 B5", "T L1 | Sb Eb", False),
        ("A#5 B5", "Tb L1 | Eb", False),
        ("A#5 G#5", "Tb L1 | Eb", False),
    ],
)
def test_the_b_flat_at_home_in_its_key_is_plain(line: str, grip: str, plain: bool) -> None:
    """The thumb form in flats, no lever for a single A# beside B, the R1 form anywhere (teachers)."""
    route = finger(notes(line, tempo=90), flute(), Wishes(pins=(Pin(0, Grip.parse(grip)),)))
    assert is_plain(route.notes[0]) is plain


def test_the_lever_is_plain_in_an_alternation() -> None:
    """Quickly to and fro between A# and B the side lever is the one expected (Herszbaum)."""
    line = notes("(A#5 B5 A#5 B5 A#5 B5)", tempo=180)
    route = finger(line, flute(), Wishes(pins=(Pin(2, Grip.parse("T L1 | Sb Eb")),)))
    assert is_plain(route.notes[2])
