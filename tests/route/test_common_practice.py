"""Facts of the trade the route must keep; each is common practice, no source, unless one is named."""

import pytest
from tests.oracles.flutes import candidate, grips_of, solver_of
from tests.oracles.passages import played

from gripway.model.pitch import plain_name
from gripway.route.result import RouteNote

SOLVER = solver_of()
TRILL = 180.0
"""Sixteenths at 180 quarters a minute: twelve notes a second."""


def fingered(line: str, tempo: float = 120.0, unit: str = "1/16", fifths: int = 0) -> tuple[RouteNote, ...]:
    """The notes of the route of a line of notation."""
    return SOLVER.solve(played(line, tempo, unit, fifths)).notes


def grip(notes: tuple[RouteNote, ...], place: int) -> str:
    """The grip of one note as text."""
    return notes[place].candidate.grip.text


def kinds(notes: tuple[RouteNote, ...]) -> list[str]:
    """The kinds of the grips of a route."""
    return [note.candidate.kind for note in notes]


def test_the_a_major_cell_is_real_when_slow() -> None:
    """E6 F#6 G#6 A6 in quarters: no harmonic and no trill grip, A6 its standard grip."""
    notes = fingered("E6 F#6 G#6 A6", 60.0, "1/4", 3)
    assert not {"harmonic", "trill"} & set(kinds(notes))
    assert grip(notes, 3) == candidate("A6").grip.text


@pytest.mark.parametrize("tempo", [90.0, 120.0, 144.0])
def test_the_a_major_cell_keeps_its_standard_grips_at_speed(tempo: float) -> None:
    """Scales up there are played plain at 104 ms a note (tests/cases/speeds.csv); F#6 by R2 or R3."""
    notes = fingered("(E6 F#6 G#6 A6 G#6 F#6 E6)", tempo, fifths=3)
    forms = {"T L1 L3 | R3 Eb", "T L1 L3 | R2 Eb"}
    assert all(
        grip(notes, k) in forms if k in (1, 5) else notes[k].candidate.kind == "standard" for k in range(7)
    )


def test_a_leap_overblows_b_for_f_sharp() -> None:
    """From B4 and back at the limit of speed F#6 is the B grip overblown: what it is taught for (leaps)."""
    notes = fingered("(B4 F#6 B4 F#6 D6)", 180.0)
    assert grip(notes, 1) == grip(notes, 3) == "T L1 | Eb"


@pytest.mark.parametrize("octave", [4, 5])
def test_e_to_f_sharp_trills_with_the_index(octave: int) -> None:
    """The E-F# trill is one finger, R1, with F# by R2 (Hummel, blog, 2016-04-03)."""
    route = SOLVER.solve(played(f"(E{octave} F#{octave} E{octave} F#{octave})", TRILL))
    assert [change.movers for change in route.changes] == [(("R1", how),) for how in ("up", "down", "up")]


@pytest.mark.parametrize("octave", [5, 6])
def test_c_to_d_trills_with_the_first_trill_key(octave: int) -> None:
    """The C-D trill moves Kd alone, by R2 (Hummel, blog, 2016-04-03)."""
    notes = fingered(f"(C{octave} D{octave} C{octave} D{octave})", TRILL)
    assert grip(notes, 1) == grip(notes, 3) == "L1 | Kd Eb"


def test_c_sharp_to_d_sharp_trills_with_the_second_trill_key() -> None:
    """The C#5-D#5 trill moves Kds alone (Hummel, blog, 2016-04-03)."""
    assert grip(fingered("(C#5 D#5 C#5 D#5)", TRILL), 1) == "| Kds Eb"


@pytest.mark.parametrize("octave", [4, 5])
def test_a_sharp_to_b_trills_with_the_side_lever(octave: int) -> None:
    """The A#-B trill moves the lever under R1 alone (Herszbaum, page on the three B-flats)."""
    route = SOLVER.solve(played(f"(A#{octave} B{octave} A#{octave} B{octave})", TRILL))
    assert grips_of(route)[:2] == ["T L1 | Sb Eb", "T L1 | Eb"]
    assert {movers for change in route.changes for movers, _ in change.movers} == {"R1"}


def test_loud_or_held_e6_is_lowered() -> None:
    """Held and loud E6 lifts the little finger (Hummel, blog, 2015-01-18); soft E6 does not need it."""
    for dynamic in ("mf", "f", "ff"):
        assert grip(fingered(f"{dynamic} E6:1/1"), 0) == "T L1 L2 | R1 R2"
    assert grip(fingered("pp E6:1/1"), 0) != "T L1 L2 | R1 R2"


@pytest.mark.parametrize("dynamic", ["pp", "mf", "ff"])
def test_d6_held_is_the_standard(dynamic: str) -> None:
    """A held D6 is never an overblown low D (Hummel, blog, 2014-10-26)."""
    assert grip(fingered(f"{dynamic} D6:1/1"), 0) == "T L2 L3 | Eb"


def test_the_e_flat_key_is_down_for_held_notes() -> None:
    """Eb is down but for low C, C#, D; D5; B6, C7, C#7, D7; and E6, which is lowered on purpose."""
    without = {"C4", "C#4", "D4", "D5", "E6", "B6", "C7", "C#7", "D7"}
    for pitch in range(60, 99):
        (note,) = SOLVER.solve(played(f"{plain_name(pitch)}:1/1")).notes
        assert note.candidate.grip.has("Eb") != (plain_name(pitch) in without), plain_name(pitch)


@pytest.mark.parametrize("tempo", [96.0, 120.0])
def test_right_hand_stays_down_from_c_to_d(tempo: float) -> None:
    """Between C#5 and D5 the right hand stays down (Still, on the right hand: R2 R3 most often).

    The source keeps it down from C5 on. There the thumb and the index are all that move, and C5 is
    plain by itself; what the hand saves, three fingers going down for D5, it saves from C#5 on.
    """
    notes = fingered("(C5 C#5 D5 C#5 C5)", tempo)
    for place in (1, 2, 3):
        assert {"R2", "R3"} <= set(notes[place].candidate.grip.touches)


def test_right_hand_stays_down_from_c_on_at_speed() -> None:
    """At 75 ms a note the hand is down from C5 on, as the source has it."""
    notes = fingered("(C5 C#5 D5 C#5 C5)", 200.0)
    assert all({"R2", "R3"} <= set(note.candidate.grip.touches) for note in notes)


@pytest.mark.parametrize(("line", "fifths"), [("(F4 G4 A4 Bb4 C5)", -1), ("(Bb5 C6 D6 C6 Bb5 A5 G5)", -2)])
def test_flat_keys_use_the_thumb(line: str, fifths: int) -> None:
    """In flat keys without B natural B-flat is the thumb's, and it stays on its lever (van der Meer)."""
    notes = fingered(line, fifths=fifths)
    flats = [note.candidate.grip for note in notes if note.note.pitch.number in (70, 82)]
    assert all(flat.has("Tb") for flat in flats)
    assert not any(note.candidate.grip.has("T") for note in notes)


@pytest.mark.parametrize("line", ["(A5 Bb5 B5 C6)", "(B5 A#5 B5 C#6)", "(F#5 A#5 C#6 F#6)", "(A4 Bb4 B4 C5)"])
def test_b_flat_beside_b_or_f_sharp_is_not_the_thumbs(line: str) -> None:
    """Next to B natural, and on the way to F#6, B-flat is the lever's or R1's (Herszbaum; van der Meer)."""
    (note,) = [note for note in fingered(line, 112.0) if note.note.pitch.number in (70, 82)]
    assert not note.candidate.grip.has("Tb")


def test_low_d_to_e_keeps_the_little_finger_off() -> None:
    """The D4-E4 trill leaves Eb up for both notes (Hummel, blog, 2014-10-26)."""
    route = SOLVER.solve(played("(D4 E4 D4 E4)", TRILL))
    assert grips_of(route)[1] == "T L1 L2 L3 | R1 R2"


def test_f_to_g_trills_with_the_thumb_and_says_flat() -> None:
    """The F6-G6 trill moves the thumb alone; its upper note is flat and flagged (Herszbaum's page on it)."""
    route = SOLVER.solve(played("(F6 G6 F6 G6)", TRILL))
    assert {finger for change in route.changes for finger, _ in change.movers} == {"LT"}
    assert any("flat" in flag for flag in route.notes[1].flags)


def test_the_slide_on_the_foot_is_hardest() -> None:
    """In low F D# C# D# F the little finger's slide is the hardest change."""
    assert SOLVER.solve(played("F4 D#4 C#4 D#4 F4", 100.0)).hardest[0] in (2, 3)


@pytest.mark.parametrize("pitch", ["D5", "D#5"])
def test_exposed_d_lifts_the_left_index(pitch: str) -> None:
    """Held D5 and D#5 vent with L1 up (rule: never L1 down as a habit in exposed notes)."""
    (note,) = fingered(f"{pitch}:1/2")
    assert note.candidate.kind == "standard"
    assert not note.candidate.grip.has("L1")


def test_harmonics_and_trill_grips_are_not_for_held_notes() -> None:
    """No note held alone is a harmonic or a trill grip, at any dynamic."""
    for pitch in range(60, 99):
        for dynamic in ("pp", "mf", "ff"):
            (note,) = fingered(f"{dynamic} {plain_name(pitch)}:1/1")
            assert note.candidate.kind not in ("harmonic", "trill"), (plain_name(pitch), dynamic)


def test_open_g_sharp_has_its_own_e6() -> None:
    """On an open G-sharp flute E6 takes L4 (the one grip not rewritten from the closed one)."""
    (note,) = solver_of("concert-flute", "open-g-sharp").solve(played("E6:1/1")).notes
    assert note.candidate.grip.has("L4")
