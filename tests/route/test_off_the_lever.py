"""A B flat before a B natural is fingered with the right index finger where no rest lies between."""

from dataclasses import replace

from tests.oracles.flutes import solver_of

from gripway.asked.wishes import Pin, Wishes
from gripway.model.grip import Grip
from gripway.model.passage import Ornament, Passage
from gripway.model.pitch import Pitch
from gripway.route.off_the_lever import settled_b_flats
from gripway.tasks.flutes import flute
from gripway.tasks.practise import practise
from gripway.tasks.scores import notes

SPAN = 4
LEVER, FINGERED = Grip.parse("Tb L1 | Eb"), Grip.parse("T L1 | R1 Eb")


def line(end: str) -> Passage:
    """Three B flats in sixteenths, and how the line goes on."""
    return notes(f"(Bb5 G5 Bb5 A5 Bb5 G5 {end}", tempo=126)


def b_flats(passage: Passage, wishes: Wishes | None = None) -> list[Grip]:
    """The grips that a plan of a passage has for its B flats."""
    route = practise(passage, flute(), wishes).route
    return [n.candidate.row_grip for n in route.notes if n.candidate and n.note.pitch.name == "Bb5"]


def test_no_lever_before_a_b_natural_of_the_same_line() -> None:
    """All B flats of the line; after a rest, or without a B natural, the lever stays."""
    for end, settled in (
        ("C6 B5) C6:1/4 r:1/4", True),
        ("C6) r:1/16 B5:1/16 C6:1/4 r:1/8", False),
        ("C6 A5) C6:1/4 r:1/4", False),
    ):
        route = solver_of().solve(line(end), Wishes())
        assert [n.candidate.row_grip for n in route.notes[:5:2] if n.candidate] == [LEVER] * 3
        found = settled_b_flats(route, solver_of().book.fingered_b_flat, SPAN)
        assert found == tuple((at, FINGERED) for at in (0, 2, 4)) * settled
        assert b_flats(line(end)) == [FINGERED if settled else LEVER] * 3


def test_a_grip_that_was_asked_for_stays() -> None:
    """Whoever pins the lever has it, and the others with it: the thumb has no time to go over."""
    asked = Wishes(pins=(Pin(0, LEVER),))
    assert b_flats(line("C6 B5) C6:1/4 r:1/4"), asked) == [LEVER] * 3


def test_the_thumb_rests_on_the_lever_only_in_a_line_that_needs_it() -> None:
    """A6 between notes without the thumb has it on its key, as alone; beside B flat it stays on the lever."""
    line = "f Bb5:1/8 A5:1/8 Bb5:1/8 G5:1/8 r:1/4 F6:1/16 G6:1/16 A6:1/16 C6:1/16 r:1/4"
    searched = solver_of().solve(notes(line, tempo=160), Wishes()).notes
    assert searched[6].candidate is not None
    assert searched[6].candidate.grip.has("Tb")
    made = practise(notes(line, tempo=160), flute()).route.notes
    assert [n.index for n in made if n.candidate and n.candidate.grip.has("Tb")] == [0, 1, 2, 3]
    assert made[6].candidate is not None
    assert made[6].candidate.grip == Grip.parse("T L2 | R1 Eb")


def test_the_thumb_stays_on_the_lever_under_a_trill_that_needs_it() -> None:
    """A flat to B flat is trilled with the lever: the notes around it have it too, and their changes stay."""
    plain = notes("f key:Eb G5:1/4 Ab5:1/4 G5:1/4", tempo=160)
    trill = replace(plain.notes[1], ornament=Ornament("trill", Pitch.parse("Bb5")))
    line = replace(plain, notes=(plain.notes[0], trill, plain.notes[2]))
    route = practise(line, flute()).route
    searched = solver_of().solve(line, Wishes())
    assert [n.candidate for n in route.notes] == [n.candidate for n in searched.notes]
    assert any(n.candidate and n.candidate.grip.has("Tb") for n in route.notes)
