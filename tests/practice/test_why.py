"""Why a change is hard, in words."""

from tests.oracles.passages import played
from tests.oracles.practice import FIGURES, find_cells, routed

from gripway.asked.wishes import Pin, Wishes
from gripway.model.grip import Grip
from gripway.practice.cells.why_hard import steadying, why_hard, with_most_fingers
from gripway.tasks.flutes import flute
from gripway.tasks.practise import practise


def words(text: str, tempo: float, *grips: str) -> str:
    """Why the first cell of a line is hard, its notes pinned to grips where they are given."""
    pins = tuple(Pin(place, Grip.parse(grip)) for place, grip in enumerate(grips))
    solver, route = routed(played(text, tempo), Wishes(pins=pins))
    return why_hard(find_cells(route, FIGURES)[0], solver, FIGURES)


def test_the_fork_of_f_sharp_to_g_sharp_is_told_finger_by_finger() -> None:
    """Standard grips: left middle and little finger go down while thumb and index lift; R3 lifts."""
    text = words("F#6 G#6", 120, "T L1 L3 | R3 Eb", "L2 L3 L4 | Eb")
    assert text.startswith("F#6 to G#6: 5 fingers of both hands move as one")
    assert "Left hand: middle and little finger down, thumb and index up." in text
    assert "There is time if no finger is late." in text


def test_how_late_the_fingers_are_is_told() -> None:
    """Load 0.8 leaves little, load 1 nothing: F#6 to G#6 slurred at 120, 160 and 200."""
    told = [words("(F#6 G#6)", tempo) for tempo in (120, 160, 200)]
    wanted = ("There is time if no finger is late", "hardly time to spare", "there is no time to spare")
    assert [word for word, text in zip(wanted, told, strict=True) if word in text] == list(wanted)


def test_the_little_finger_slides() -> None:
    """D#4 to C#4 is one slide of R4."""
    assert "The right little finger slides from key to key." in words("F4 D#4 C#4", 100)


def test_what_takes_hold_of_the_flute_is_named() -> None:
    """C#6 to D6: thumb, middle and ring land on an open flute."""
    assert "Left thumb, left middle and left ring take hold: do not push the flute." in words(
        "(C#6 D6)", 220, "| Eb", "T L2 L3 | Eb"
    )


def test_one_finger_alone_is_speed_alone() -> None:
    """Where one finger moves the words say that it is only the tempo."""
    assert "only the left middle moves, so it is the speed alone" in words("(A5 B5)", 300)


def test_what_steadies_one_grip_and_not_the_other() -> None:
    """The little finger counts once for all foot keys; trill keys steady nothing."""
    assert steadying(Grip.parse("T L1 | Eb"), Grip.parse("| Cs")) == ["LT", "L1"]
    assert steadying(Grip.parse("L1 | Kd Eb"), Grip.parse("L1 | Eb")) == []
    assert steadying(Grip.parse("Tb L1 | Eb"), Grip.parse("T L1 |")) == ["R4"]


def test_fingers_that_all_lift_need_not_arrive() -> None:
    """From Eb6 to the open Db6 eight fingers lift; what then sounds has a flat's name among flats."""
    told = words("(Eb6 Db6)", 200, "T L1 L2 L3 L4 | R1 R2 R3 Eb", "| Eb")
    assert told.startswith("Eb6 to Db6: 8 fingers of both hands lift as one")
    assert "#" not in told


def test_of_grace_notes_the_change_with_most_fingers_is_told() -> None:
    """D6 C6 B5 before the beat: C6 to B5 is the quickest, by the thumb alone; D6 to C6 moves four fingers."""
    solver, route = routed(played("D5:1/4 {(D6 C6 B5} C6:1/4) D5:1/4 " * 2, 124))
    cell = next(each for each in find_cells(route, FIGURES) if each.pitches == ("D6", "C6", "B5"))
    assert cell.worst == 2
    assert "only the left thumb moves" in why_hard(cell, solver, FIGURES)
    told = why_hard(with_most_fingers(cell, route), solver, FIGURES)
    assert told.startswith("D6 to C6: 4 fingers of the left hand move as one")
    assert with_most_fingers(with_most_fingers(cell, route), route).worst == 1
    plan = practise(route.passage, flute())
    assert told in [planned.why for planned in plan.cells]
