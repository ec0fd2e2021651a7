"""Edges of an edition's marks: at the figure and just beside it, with figures read from the tables."""

from dataclasses import replace

import pytest

from gripway.asked.wishes import Pin, Wishes
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.edition.figure_marks import FigureMarks
from gripway.edition.hold_marks import HeldSpan, hold_spans, is_said_by, thumb_spans
from gripway.edition.marks import marking
from gripway.edition.plain_grip import gains_of
from gripway.edition.sparing import least_gain_of
from gripway.model.figures import contexts
from gripway.model.grip import Grip
from gripway.model.house_style import HouseStyle
from gripway.model.mark_text import HOLD, RELEASE, MarkSign
from gripway.route.result import Other, Route
from gripway.tasks.editions import edit
from gripway.tasks.flutes import flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes

FIGURES = effort_tables().figures
SIGN = MarkSign(HOLD, Grip.of(["R2"]))
OFF = MarkSign(RELEASE, Grip.of(["R2"]))
B_FLAT, A = "Tb L1 | Eb", "T L1 L2 | Eb"


def pinned(line: str, *grips: str) -> Route:
    """The route of a slow line with these grips, one a note."""
    pins = tuple(Pin(place, Grip.parse(grip)) for place, grip in enumerate(grips))
    return finger(notes(line, tempo=30), flute(), Wishes(pins=pins))


def test_a_span_covers_its_first_note_and_not_its_release() -> None:
    """From the note with the sign on to the last before the release; without one to the end."""
    span = HeldSpan(2, 5, SIGN, OFF, frozenset({2, 4}))
    assert [index for index in range(8) if span.covers(index)] == [2, 3, 4]
    assert [index for index in range(8) if replace(span, release=None).covers(index)] == [2, 3, 4, 5, 6, 7]


def test_what_is_held_for_enough_notes_is_told() -> None:
    """Through as many notes as the figure the thumb's sign stands, through one fewer it does not."""
    least = int(FIGURES.held_least_notes)
    for count, told in ((least, True), (least - 1, False)):
        route = pinned(" ".join(["Bb5"] * count + ["A5"]), *[B_FLAT] * count, A)
        assert bool([*thumb_spans(route.notes)]) is told


def test_held_fingers_begin_and_end_where_they_do() -> None:
    """The span starts at the first note that does not ask for them and ends where one is up."""
    held = Grip.parse("| R2 R3 Eb")
    route = pinned("C#5 C#5 C#5 G5", "| Eb", "| Eb", "| Eb", "T L1 L2 L3 | Eb")
    own = [
        replace(n, candidate=replace(n.candidate, grip=held, held=2)) if k in (0, 1, 2) else n
        for k, n in enumerate(route.notes)
        if n.candidate is not None
    ]
    (span,) = hold_spans(own)
    assert (span.start, span.release, span.notes) == (0, 3, frozenset({0, 1, 2}))
    assert is_said_by(own[0], [span])
    assert not is_said_by(own[3], [span])


@pytest.mark.parametrize("which", ["needed", "figures"])
def test_a_grip_is_worth_a_mark_from_its_gain_on(which: str) -> None:
    """A house that asks for just what a grip saves has it marked, one that asks for a little more has not."""
    even = edit(notes("(E5 F#5 E5 F#5 E5 F#5 E5)", 160), flute(), Wishes()).even
    gain = max(gains_of(even.route, even.free).values())
    assert gain > FIGURES.mark_least_gain_effort
    at, above = (HouseStyle(which=which, least_gain=asked) for asked in (gain, gain + 1e-6))
    assert marking(even.route, at, None, even.free).marked
    assert not marking(even.route, above, None, even.free).marked


def test_the_least_gain_is_that_of_the_house_or_of_figures() -> None:
    """The house's own, else the table's where marks are chosen by need, else none."""
    assert least_gain_of(HouseStyle(which="figures", least_gain=0.0)) == 0.0
    assert least_gain_of(HouseStyle(which="figures")) == FIGURES.mark_least_gain_effort
    assert least_gain_of(HouseStyle()) == FIGURES.mark_least_gain_effort
    assert least_gain_of(HouseStyle(which="every")) == 0.0


def test_a_gain_is_what_the_standard_grip_would_take_more() -> None:
    """By the free route's own costs: the standard grip's less that of the grip a note has."""
    route = pinned("F#6", "T L1 L3 | R2 Eb")
    mine = route.notes[0].candidate
    standard = finger(notes("F#6", tempo=30), flute(), Wishes(choose="standard")).notes[0].candidate
    assert mine is not None
    assert standard is not None
    free = replace(route, notes=(replace(route.notes[0], candidate=mine, others=(Other(standard, 0.75),)),))
    assert gains_of(route, free) == {"n1": 0.75}
    back = replace(free, notes=(replace(free.notes[0], candidate=standard, others=(Other(mine, 0.25),)),))
    assert gains_of(route, back) == {"n1": -0.25}
    assert gains_of(route, replace(free, notes=(replace(free.notes[0], others=()),))) == {"n1": float("inf")}


def similes(apart: int) -> list[str]:
    """The marks of a cell that comes again so many notes after another one did, which also came again."""
    cells, other = "E6 F#6 G6", "D6 F#6 E6"
    fill = " ".join(["A5", "B5"] * 20).split()
    line = [*cells.split(), *other.split(), *cells.split(), *fill[: apart - 3], *other.split()]
    pins = tuple(Pin(k, Grip.parse("T L1 L3 | R2 Eb")) for k, name in enumerate(line) if name == "F#6")
    route = finger(notes(" ".join(line), tempo=60), flute(), Wishes(pins=pins))
    house = HouseStyle(which="figures")
    about = dict(zip((n.note.id for n in route.notes), contexts(route.passage.notes), strict=True))
    marks = FigureMarks(about, [], house, dict.fromkeys(about, 9.0))
    told = [(n.note.pitch.name, [*marks.signs(n)]) for n in route.notes]
    return [house.hand.written(sign) for name, signs in told if name == "F#6" for sign in signs]


def test_one_simile_speaks_for_those_that_follow_it() -> None:
    """A simile as near as the figure is spoken for by the one before; a note further off has its own."""
    near = int(FIGURES.simile_near_notes)
    assert similes(max(3, near)).count("sim.") == (1 if near >= 3 else 2)
    assert similes(max(3, near) + 1).count("sim.") == 2
