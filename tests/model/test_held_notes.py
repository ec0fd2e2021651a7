"""Notes that are held over a bar line."""

from dataclasses import replace
from fractions import Fraction

from gripway.model.passage import Hairpin, Note, rest_from
from gripway.model.pitch import Pitch

NOTE = Note("P1-n1", "1", Pitch.parse("D6"), Fraction(0), Fraction(1), 0.0, 2000.0, metre=(4, 4))


def test_what_is_left_of_a_held_note_has_the_marks_from_there_on() -> None:
    """Two bars of D: a cresc. in the first goes, poco f and a word in the second stay, a hairpin goes on."""
    during = ((Fraction(1, 2), "cresc."), (Fraction(1), "poco f"), (Fraction(3, 2), "dolce"))
    pins = (
        Hairpin("crescendo", Fraction(0), Fraction(1)),
        Hairpin("diminuendo", Fraction(1, 2), Fraction(2)),
    )
    held = replace(NOTE, length=Fraction(2), length_ms=4000.0, during=during, hairpins=pins, dynamic_mark="p")
    rest = rest_from(held, Fraction(1), "2", (4, 4))
    assert (rest.dynamic_mark, rest.during) == ("poco f", ((Fraction(1, 2), "dolce"),))
    assert rest.hairpins == (Hairpin("diminuendo", Fraction(-1, 2), Fraction(1)),)
    assert (rest.length, rest.length_ms, rest.bar) == (Fraction(1), 2000.0, "2")
    late = rest_from(held, Fraction(5, 4), "2", (4, 4))
    assert (late.dynamic_mark, late.during) == ("", ((Fraction(1, 4), "dolce"),))
