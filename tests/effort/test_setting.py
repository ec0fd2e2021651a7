"""What the music says of a note and of a change: exposure, alternation, neighbours, B-flat."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.oracles.flutes import FIGURES, TABLES
from tests.oracles.passages import played, with_ornament

from gripway.effort.setting import Setting, links, settings
from gripway.model.passage import Passage
from gripway.model.pitch import Pitch


def alternations(passage: Passage) -> list[float]:
    """Alternation of the link into each note but the first."""
    return [link.alternation for link in links(passage.notes, FIGURES)[1:]]


def about(passage: Passage) -> tuple[Setting, ...]:
    """The setting of every note."""
    return settings(passage.notes, links(passage.notes, FIGURES), TABLES)


FAST = 180.0
"""Sixteenths at 180 quarters a minute last 83 ms: an alternation counts in full."""


@pytest.mark.parametrize("notes", ["E6 F#6 E6", "E6 F#6 E6 G6", "E6 F#6 G6 E6 F#6 G6", "E6 E6 E6 E6"])
def test_a_turning_point_is_no_alternation(notes: str) -> None:
    """A b a, a longer turn, a repeated figure of three and a repeated note are lines."""
    assert set(alternations(played(notes, FAST))) == {0.0}


def test_four_notes_make_an_alternation() -> None:
    """A b a b is an alternation through all of its changes, and only through them."""
    assert alternations(played("D6 E6 F#6 E6 F#6 G6", FAST)) == [0.0, 1.0, 1.0, 1.0, 0.0]


@pytest.mark.parametrize(
    ("note_ms", "alternation"), [(80.0, 1.0), (95.0, 1.0), (110.0, 0.5), (125.0, 0.0), (400.0, 0.0)]
)
def test_alternation_fades_in_with_speed(note_ms: float, alternation: float) -> None:
    """Full at 95 ms a note, none at 125 ms, a straight ramp between."""
    passage = played("E6 F#6 E6 F#6", tempo=60_000.0 / note_ms / 4)
    assert alternations(passage) == pytest.approx([alternation] * 3)


def test_an_alternation_is_as_fast_as_its_slowest_change() -> None:
    """A b a b with a long first note leaves time to settle: by its slowest change it is a line."""
    for text in ("E6:1/4 F#6 E6 F#6", "E6 F#6:1/4 E6 F#6", "E6 F#6 E6:1/4 F#6"):
        assert alternations(played(text, FAST)) == [0.0, 0.0, 0.0]
    assert alternations(played("E6 F#6 E6 F#6:1/4", FAST)) == [1.0, 1.0, 1.0]  # nothing follows its length


def test_of_two_groups_the_quicker_one_counts() -> None:
    """A slow start does not slow the rest of a long alternation: each change takes its quickest a b a b."""
    assert alternations(played("E6:1/4 F#6 E6 F#6 E6 F#6", FAST)) == [0.0, 1.0, 1.0, 1.0, 1.0]


def test_time_runs_from_onset_to_onset() -> None:
    """A rest between two notes is time for the change."""
    passage = played("E6 r F#6", 120.0)
    assert links(passage.notes, FIGURES)[1].available_ms == pytest.approx(250.0)


def test_slurs_reach_the_link() -> None:
    """The link into a slurred note is slurred, the one into a tongued note is not."""
    between = links(played("(E6 F#6) G6").notes, FIGURES)
    assert [link.slurred for link in between[1:]] == [True, False]


def test_a_fingered_tremolo_is_a_full_alternation() -> None:
    """Two notes that are written as one tremolo alternate at trill speed, however long they are."""
    passage = with_ornament(
        with_ornament(played("E6 G6", 60.0, "1/2"), 0, "tremolo", "G6"), 1, "tremolo", "E6"
    )
    link = links(passage.notes, FIGURES)[1]
    assert (link.alternation, link.available_ms) == (1.0, FIGURES.trill_note_ms)
    assert about(passage)[0].trill is None  # its other note is written out


def test_a_written_trill_names_its_other_note() -> None:
    """A trilled note alternates in full with its upper note, which counts as a neighbour."""
    setting = about(with_ornament(played("C6", 60.0, "1/2"), 0, "trill", "D6"))[0]
    assert setting.trill == Pitch.parse("D6").number
    assert setting.alternation == 1.0
    assert setting.trill in setting.neighbours & setting.partners


@pytest.mark.parametrize(
    ("text", "exposure"),
    [
        ("D6:1/20", 0.5),  # 100 of 200 ms
        ("D6:1/10", 1.0),
        ("D6:1/5", 1.693),  # 400 ms: 1 + ln 2
        ("D6:1/2", 2.609),  # 1000 ms: 1 + ln 5
        ("D6:2/1", 3.996),  # 4 s: 1 + ln 20
        ("pp D6:1/2", 3.131),  # a fifth more
        ("pp D6:1/20", 0.6),
        ("p D6:1/2", 2.609),  # what is taught for soft notes is for very soft ones
        ("ff D6:1/2", 2.609),
    ],
)
def test_exposure(text: str, exposure: float) -> None:
    """Length over 200 ms, then one and its logarithm; a fifth more when soft (2 s a whole)."""
    assert about(played(text, 120.0))[0].exposure == pytest.approx(exposure, abs=0.001)


@given(st.floats(10.0, 5000.0), st.floats(10.0, 5000.0))
def test_a_longer_note_is_never_less_exposed(a: float, b: float) -> None:
    """Exposure and sustain grow with length, and neither jumps."""
    short, long = (about(lasting(ms))[0] for ms in sorted((a, b)))
    assert short.exposure <= long.exposure
    assert short.sustain <= long.sustain
    just_longer = about(lasting(max(a, b) + 1.0))[0]
    assert just_longer.exposure - long.exposure <= 1 / FIGURES.exposure_full_ms + 0.002


def lasting(length_ms: float) -> Passage:
    """One note of so many milliseconds."""
    passage = played("D6")
    return replace(passage, notes=(replace(passage.notes[0], length_ms=length_ms),))


@pytest.mark.parametrize(
    ("length_ms", "sustain"), [(100.0, 0.0), (200.0, 0.0), (600.0, 0.5), (1000.0, 1.0), (3000.0, 1.0)]
)
def test_sustain(length_ms: float, sustain: float) -> None:
    """A passing note has none, a note of a second has all, straight between 200 and 1000 ms."""
    assert about(lasting(length_ms))[0].sustain == pytest.approx(sustain)


def test_dynamics_drift_on_sustained_notes_only() -> None:
    """Very soft playing sinks where it can be heard: not on a sixteenth, by half on a note of 600 ms."""
    drift = TABLES.dynamics["pp"].drift_cents
    drifts = [about(played(f"pp D6:{length}", 120.0))[0].drift_cents for length in ("1/16", "3/10", "1/1")]
    assert drifts == pytest.approx([0.0, drift / 2, drift])


@pytest.mark.parametrize(
    ("text", "uses"),
    [
        ("D6:1/32", {"motion", "quick"}),
        ("D6:1/16", {"motion"}),
        ("D6:1/9", set()),
        ("D6:1/8", {"held"}),
        ("D6:1/2", {"held", "sustained"}),
        ("pp D6:1/2", {"held", "sustained", "soft", "pp"}),
        ("ff D6:1/16", {"motion", "loud"}),
        ("p D6:1/8", {"held"}),
    ],
)
def test_uses(text: str, uses: set[str]) -> None:
    """Quick below 95 ms, motion below 200, held from 250, sustained from 1000 (a sixteenth is 125 ms)."""
    assert about(played(text, 120.0))[0].uses == uses


@pytest.mark.parametrize(
    ("text", "place", "shape"),
    [
        ("D6 B6 F6", 1, {"leap"}),  # a major third and more on both sides
        ("D6 B6 A6", 1, set()),  # left by a step
        ("D6 F#6", 1, {"leap"}),  # at an end one side is enough
        ("D6 F6", 1, set()),  # a minor third is none
        ("D6", 0, set()),  # alone there is nothing to leap from
        ("D6:1/8 G6:1/8 D6", 1, {"turn"}),  # 167 ms: not at the limit of speed
        ("C6 D6 C6", 1, {"turn"}),
        ("C6 G6 C6", 1, {"turn", "leap"}),
        ("C6 D6 E6", 1, set()),
        ("C6 C6 C6", 1, set()),  # a repeated note turns nowhere
        ("C6 D6", 1, set()),
    ],
)
def test_leaps_and_turns(text: str, place: int, shape: set[str]) -> None:
    """A leap is a major third or more on both sides, under 105 ms; a turn stands between two of one pitch."""
    assert about(played(text, 180.0))[place].uses & {"leap", "turn"} == shape


@pytest.mark.parametrize(
    ("text", "at", "leap"),
    [
        ("D6 F#6 D6", FIGURES.leap_longest_ms, False),
        ("D6 F#6 D6", FIGURES.leap_longest_ms - 1.0, True),
        ("F#6 A#6 D7", FIGURES.leap_longest_to_top_ms, False),
        ("F#6 A#6 D7", FIGURES.leap_longest_to_top_ms - 1.0, True),
        ("D6 E6 A6", FIGURES.leap_longest_ms - 1.0, False),  # a step is none, at any speed
    ],
)
def test_how_quick_a_leap_must_be(text: str, at: float, leap: bool) -> None:
    """A leap counts just below its time and not at it; beside a note from A6 up it may be slower."""
    assert ("leap" in about(played(text, 15_000.0 / at))[1].uses) == leap


@pytest.mark.parametrize(
    ("text", "fifths", "near"),
    [
        ("A5 Bb5 B5", -1, "beside"),  # rule: lever or one-and-one beside B natural
        ("F#6 A#5 C#6", 0, "beside"),  # and beside F#6
        ("F#5 A#5 C#6", 0, "sharp"),  # F#5 does not ask for the plain thumb
        ("A5 Bb5 C6 D6 B5", 0, "near"),
        ("A5 Bb5 C6 D6 E6 F6 B5", 0, "flat"),  # five notes off is not near; spelt flat
        ("A5 A#5 C6", -1, "flat"),  # a flat key
        ("A5 A#5 C6", 0, "sharp"),
        ("F5 G5 Cb6 C6 Bb5", -5, "near"),  # C flat is B natural to the fingers
    ],
)
def test_how_b_natural_lies_about(text: str, fifths: int, near: str) -> None:
    """Beside, near, flat or sharp for the B-flat of the passage."""
    passage = played(text, 120.0, fifths=fifths)
    place = next(k for k, note in enumerate(passage.notes) if note.pitch.number % 12 == 10)
    assert about(passage)[place].near == near


def test_neighbours_are_the_notes_on_both_sides() -> None:
    """The pitches before and after, whatever the length of the passage."""
    passage = played("E6 F#6 G6")
    numbers = [note.pitch.number for note in passage.notes]
    assert [s.neighbours for s in about(passage)] == [{numbers[1]}, {numbers[0], numbers[2]}, {numbers[1]}]


def test_partners_are_those_it_alternates_with() -> None:
    """Only the note of the alternation is a partner, and of a note that another leads to, none."""
    passage = played("D6 E6 F#6 E6 F#6 G6", FAST)
    e6, f_sharp6 = Pitch.parse("E6").number, Pitch.parse("F#6").number
    assert about(passage)[1].partners == frozenset()
    assert about(passage)[3].partners == {f_sharp6}
    assert about(passage)[4].partners == {e6}
    assert about(passage)[5].partners == frozenset()


def test_grace_notes_have_their_own_short_time() -> None:
    """Two notes with one onset leave the first its own short length, never less than 20 ms."""
    passage = played("E6 F#6")
    grace = replace(passage.notes[0], length_ms=40.0, onset_ms=passage.notes[1].onset_ms, grace=True)
    assert links((grace, passage.notes[1]), FIGURES)[1].available_ms == 40.0
