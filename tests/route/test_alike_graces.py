"""The same grace notes have the same grips all through a passage."""

from dataclasses import replace

from tests.oracles.flutes import solver_of

from gripway.asked.wishes import Pin, Wishes
from gripway.model.grip import Grip
from gripway.route.alike_graces import settled_graces
from gripway.route.result import Route
from gripway.tasks.flutes import flute
from gripway.tasks.practise import practise
from gripway.tasks.scores import notes

TURN = "{D6 C6 B5} C6:1/8 r:1/8"
SHORT = f"C6:1/8 {TURN} {TURN} {TURN}"
"""The first one follows a note that leaves it half the time of those after a rest."""

TRILL_KEY = Grip.parse("L1 | Kd Eb")


def solved(text: str) -> Route:
    """The route of a line at quarter = 132."""
    return solver_of().solve(notes(text, tempo=132), Wishes())


def d6_of(route: Route) -> list[Grip]:
    """The grips of D6 in turn."""
    return [n.candidate.row_grip for n in route.notes if n.candidate and n.note.pitch.name == "D6"]


def test_a_turn_with_another_grip_in_one_place_gets_that_of_most() -> None:
    """D6 has the trill key in the quick turn only: there the standard grip is settled, and played."""
    free = solved(SHORT)
    quick, *others = d6_of(free)
    assert quick == TRILL_KEY
    assert set(others) == {Grip.parse("T L2 L3 | Eb")}
    assert settled_graces(free) == ((1, others[0]),)
    assert set(d6_of(practise(notes(SHORT, tempo=132), flute()).route)) == {others[0]}


def test_other_figures_and_pins_are_left_alone() -> None:
    """A turn that comes once keeps its grip; so does one whose grip somebody asked for."""
    once = solved(f"C6:1/8 {TURN} E6:1/4")
    assert d6_of(once) == [TRILL_KEY]
    assert settled_graces(once) == ()
    pinned = Wishes(pins=(Pin(1, TRILL_KEY),))
    first, *others = d6_of(practise(notes(SHORT, tempo=132), flute(), pinned).route)
    assert first == TRILL_KEY
    assert set(others) == {Grip.parse("T L2 L3 | Eb")}


def test_of_grips_that_as_many_places_have_the_standard_one_counts() -> None:
    """Of two turns one with each grip the trill key goes."""
    free = solved(SHORT)
    two = replace(free.passage, notes=free.passage.notes[:9])
    even = replace(free, passage=two, notes=free.notes[:9])
    assert len(set(d6_of(even))) == 2
    assert settled_graces(even) == ((1, Grip.parse("T L2 L3 | Eb")),)
