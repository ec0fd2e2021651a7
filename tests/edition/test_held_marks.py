"""A held thumb and held fingers: one sign at the start, one at the release."""

from dataclasses import replace

import pytest

from gripway.asked.wishes import Pin, Wishes
from gripway.edition.figure_marks import FigureMarks
from gripway.edition.hold_marks import HeldSpan, hold_spans, is_said_by, thumb_spans
from gripway.edition.marks import marked_notes, marking
from gripway.edition.marks_by_figure import _can_stand
from gripway.edition.printed_marks import thumb_left_on
from gripway.model.decision import Decision, DecisionPlace
from gripway.model.figures import contexts
from gripway.model.grip import Grip
from gripway.model.house_style import HouseStyle, MarkChoice
from gripway.model.mark_text import HOLD, RELEASE, MarkSign
from gripway.model.pitch import Pitch
from gripway.route.result import Route
from gripway.tasks.flutes import flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes

FIGURES = HouseStyle(which="figures")


def pinned(line: str, *grips: str) -> Route:
    """The route of a line with these grips, one a note: half a second each, time for the thumb to slide."""
    pins = tuple(Pin(place, Grip.parse(grip)) for place, grip in enumerate(grips))
    return finger(notes(line, tempo=30), flute(), Wishes(pins=pins))


def said(route: Route) -> dict[str, str]:
    """The marks of a route by note id."""
    return {
        each.note.note.id: " + ".join(map(FIGURES.hand.written, each.signs))
        for each in marked_notes(route, FIGURES)
    }


B_FLAT, D_HELD, D, A = "Tb L1 | Eb", "Tb L2 L3 | Eb", "T L2 L3 | Eb", "T L1 L2 | Eb"
C = "L1 | Eb"


@pytest.mark.parametrize(
    ("line", "grips", "expected"),
    [
        ("Bb5 D6 Bb5 A5", (B_FLAT, D_HELD, B_FLAT, A), {"n1": "Tb", "n4": "T"}),
        ("Bb5 C6 Bb5 A5", (B_FLAT, C, B_FLAT, A), {"n1": "Tb", "n4": "T"}),
        ("Bb5 A5", (B_FLAT, A), {}),
        ("D6 Bb5", (D_HELD, B_FLAT), {"n1": "Tb"}),
        ("D6 C6 D6 Bb5 A5", (D_HELD, C, D_HELD, B_FLAT, A), {"n3": "Tb", "n5": "T"}),
        ("Bb5 D6 D6 Bb5 D6", (B_FLAT, D_HELD, D, B_FLAT, D_HELD), {"n1": "Tb", "n3": "T", "n4": "Tb"}),
    ],
    ids=[
        "through D6",
        "over a C without thumb",
        "alone and at home: nothing",
        "to the end",
        "after the last C",
        "twice",
    ],
)
def test_a_held_thumb(line: str, grips: tuple[str, ...], expected: dict[str, str]) -> None:
    """Tb where it goes on, T at the first note with the thumb back on its plate."""
    assert said(pinned(line, *grips)) == expected


def decided(route: Route, house: HouseStyle, **by_note: Decision) -> dict[str, str]:
    """The marks of a route with an editor's decisions, each difference from the plain grip written `?`."""
    found = marking(route, house, decided=by_note, short=lambda _sign, _pitch: "?").marked
    return {each.note.note.id: " + ".join(one.text for one in each.written) for each in found}


HERE = DecisionPlace("", Pitch.parse("D6"))
NO_MARK = Decision(HERE, mark=False)
TB_BY_GRIP = Decision(HERE, grip=Grip.parse(D_HELD))


@pytest.mark.parametrize("form", ["full", "difference"])
@pytest.mark.parametrize(
    ("by_note", "expected"),
    [
        ({"n1": TB_BY_GRIP}, {"n1": "Tb 2 3 | Eb", "n4": "T"}),
        ({"n1": NO_MARK}, {"n2": "Tb", "n4": "T"}),
        ({"n1": NO_MARK, "n2": NO_MARK}, {}),
        ({"n4": NO_MARK}, {"n1": "Tb"}),
        ({"n2": NO_MARK, "n1": Decision(HERE, thumb="Tb")}, {"n1": "Tb", "n4": "T"}),
    ],
    ids=["a grip says it", "one later", "no place left", "no end", "the thumb alone"],
)
def test_decisions_rule_over_the_thumbs_signs(
    form: str, by_note: dict[str, Decision], expected: dict[str, str]
) -> None:
    """A note has one mark: what was decided; the other end of what the thumb does stays."""
    route = pinned("D6 Bb5 D6 A5", D_HELD, B_FLAT, D_HELD, A)
    house = replace(FIGURES, form=form)
    assert decided(route, house) == {"n1": "Tb", "n4": "T"}
    found = decided(route, house, **by_note)
    wanted = {name: "?" if form != "full" and "|" in text else text for name, text in expected.items()}
    assert found == wanted


@pytest.mark.parametrize("form", ["full", "difference"])
def test_a_grip_at_the_end_of_a_thumb_is_written_out(form: str) -> None:
    """It says T, so that no second mark has to."""
    route = pinned("Bb5 D6 Bb5 F#6", B_FLAT, D_HELD, B_FLAT, "T L1 L3 | R2 Eb")
    marks = decided(route, replace(FIGURES, form=form))
    assert marks == {"n1": "Tb", "n4": "T 1 3 | 2 Eb"}


def test_held_fingers_are_released_where_they_come_up() -> None:
    """R2 and R3 stay down for two C#5 (they may: common practice, no source), and come up for G5."""
    held, d5, g5 = "| R2 R3 Eb", "T L2 L3 | R1 R2 R3", "T L1 L2 L3 | Eb"
    notes_of = pinned("C#5 D5 C#5 G5", "| Eb", d5, "| Eb", g5)
    hands = [
        replace(note.candidate, grip=Grip.parse(held), held=2) for note in notes_of.notes if note.candidate
    ]
    route = [
        replace(notes_of.notes[k], candidate=hands[k]) if k in (0, 2) else notes_of.notes[k] for k in range(4)
    ]
    (span,) = hold_spans(route)
    assert (span.start, span.release, span.on.grip) == (0, 3, Grip.of(["R2", "R3"]))
    assert [is_said_by(note, [span]) for note in route] == [True, False, True, False]
    assert said(replace(notes_of, notes=tuple(route))) == {"n1": "hold 2 3", "n4": "release 2 3"}


def held_over(second: str) -> dict[str, str]:
    """The marks where R2 and R3 stay down from C#5 to C#5 over a D5 with this grip, by note id.

    The D5's gain is 0: alone it would not be worth a mark.
    """
    held, g5 = Grip.parse("| R2 R3 Eb"), "T L1 L2 L3 | Eb"
    route = pinned("C#5 D5 C#5 G5", "| Eb", second, "| Eb", g5)
    notes_of = [
        replace(note, candidate=replace(note.candidate, grip=held, held=2))
        if k in (0, 2) and note.candidate
        else note
        for k, note in enumerate(route.notes)
    ]
    spans = list(hold_spans(notes_of))
    marks = FigureMarks(
        {n.note.id: c for n, c in zip(notes_of, contexts(route.passage.notes), strict=True)},
        spans,
        FIGURES,
        dict.fromkeys((n.note.id for n in notes_of), 0.0),
    )
    signs = {note.note.id: list(map(FIGURES.hand.written, marks.signs(note))) for note in notes_of}
    return {name: " + ".join(texts) for name, texts in signs.items() if texts}


def test_under_held_fingers_every_unusual_grip_is_told() -> None:
    """However little it saves: the plain grip could lift what is held; the plain one needs no word."""
    plain, other = "T L2 L3 | R1 R2 R3", "T L1 L2 L3 | R1 R2 R3"
    assert held_over(plain) == {}
    assert held_over(other) == {"n2": Grip.parse(other).short}


def test_fingers_are_not_held_over_a_mark_that_lifts_them() -> None:
    """A fingering of the source between the two signs has to leave them down."""
    plain = "T L1 L2 L3 | R1 R2 R3"
    route = pinned("C#5 D5 C#5 G5", "| Eb", plain, "| Eb", "T L1 L2 L3 | Eb")
    sign = MarkSign(HOLD, Grip.of(["R2", "R3"]))
    span = HeldSpan(0, 3, sign, replace(sign, kind=RELEASE), frozenset({0, 2}))
    for source, stands in (("", True), ("T 2 3 | 1 2 3", True), ("| Kd Eb", False)):
        notes_of = list(route.notes)
        own = (source,) if source else ()
        notes_of[1] = replace(notes_of[1], note=replace(notes_of[1].note, fingering=own))
        assert _can_stand(span, replace(route, notes=tuple(notes_of)), route.passage.notes) == stands, source


def test_one_note_with_a_held_finger_makes_no_span() -> None:
    """Two signs for one note would say less in more."""
    route = pinned("Bb5 A5", B_FLAT, A)
    assert list(thumb_spans(route.notes)) == []


def test_a_release_stands_where_a_repeat_needs_it() -> None:
    """Coming back to a B natural from under the thumb, the release stands at the B."""
    route = pinned("B5 D6 Bb5 D6", "T L1 | Eb", D, B_FLAT, D_HELD)
    again = tuple(replace(note, time_through=2) for note in route.passage.notes)
    whole = (*route.passage.notes, *again)
    marked = {each.note.note.id: each.signs for each in marking(route, FIGURES, whole).marked}
    assert list(thumb_left_on(whole, lambda note: marked.get(note.id, ()))) == []
    assert "T" in [FIGURES.hand.written(sign) for sign in marked["n1"]]


@pytest.mark.parametrize("form", ["full", "difference"])
def test_a_grip_that_puts_the_thumb_on_tb_has_its_release(form: str) -> None:
    """Also where the house wants no thumb signs: the next notes stay on Tb, T ends it; so when decided."""
    house = HouseStyle(which="figures", form=form, omit=MarkChoice(reasons=frozenset({"thumb"})))
    middle = "Tb L1 L2 L3 | R2 Eb"
    route = pinned("F#5 A#5 D6 E6", middle, B_FLAT, D, "T L1 L2 | R1 R2 Eb")
    found = decided(route, house)
    assert list(found) == ["n1", "n3"]
    assert found["n3"] == "T"
    grip = Decision(DecisionPlace("", Pitch.parse("F#5")), grip=Grip.parse(middle))
    assert decided(route, house, n1=grip, n3=Decision(HERE, thumb="T")) == found


def test_a_figure_goes_quiet_where_its_first_time_has_no_mark() -> None:
    """The mark does not walk to the next time; one decided later stands, and those after it follow."""
    line = "E6 F#6 G6 C6 D6 E6 F#6 G6 A5 B5 E6 F#6 G6"
    middle = Grip.parse("T L1 L3 | R2 Eb")
    wishes = Wishes(pins=tuple(Pin(place, middle) for place in (1, 6, 11)))
    route = finger(notes(line, tempo=60), flute(), wishes)
    house = HouseStyle(which="figures", least_gain=0.0, say_simile=False)
    assert list(decided(route, house)) == ["n2"]
    found = marking(route, house, decided={"n2": NO_MARK})
    assert found.marked == ()
    assert [(each.note.note.id, each.why) for each in found.left] == [("n7", "quiet"), ("n12", "quiet")]
    later = Decision(HERE, grip=middle)
    assert list(decided(route, house, n2=NO_MARK, n7=later)) == ["n7"]


def test_no_mark_at_a_simile_does_not_move_it_on() -> None:
    """The second time is to be bare: the third is not marked in its place."""
    line = "E6 F#6 G6 C6 D6 E6 F#6 G6 A5 B5 E6 F#6 G6"
    wishes = Wishes(pins=tuple(Pin(place, Grip.parse("T L1 L3 | R2 Eb")) for place in (1, 6, 11)))
    route = finger(notes(line, tempo=60), flute(), wishes)
    house = HouseStyle(which="figures", least_gain=0.0)
    assert list(decided(route, house)) == ["n2", "n7"]
    assert list(decided(route, house, n7=NO_MARK)) == ["n2"]
