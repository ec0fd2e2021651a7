"""Beams and tuplet signs of a bar."""

from fractions import Fraction

from gripway.score.notation import read_notation
from gripway.score.writing.bar_filling import fill_bars
from gripway.score.writing.note_groups import beams, beat_of, tuplets


def bar_of(line: str):
    """The first bar of a line in common time."""
    return fill_bars(read_notation(line).notes, Fraction(1))[0]


def test_short_notes_are_beamed_by_the_beat() -> None:
    """Four sixteenths are joined by two beams; the next beat begins anew; a quarter has none."""
    found = beams(bar_of("C5 D5 E5 F5 G5:1/8 A5:1/8 B5:1/4"), Fraction(1, 4))
    assert [found[place] for place in range(4)] == [
        ("begin", "begin"),
        ("continue", "continue"),
        ("continue", "continue"),
        ("end", "end"),
    ]
    assert (found[4], found[5]) == (("begin",), ("end",))
    assert 6 not in found


def test_a_lonely_sixteenth_gets_a_hook() -> None:
    """A dotted eighth and a sixteenth share one beam; the second beam of the sixteenth is a hook."""
    assert beams(bar_of("C5:3/16 D5:1/16"), Fraction(1, 4)) == {0: ("begin",), 1: ("end", "backward hook")}


def test_the_beams_of_the_part_are_kept() -> None:
    """Six sixteenths under one beam, a note without one keeps its flag; a tied one goes with its beat."""
    six = bar_of(" ".join(["C5:1/16 D5:1/16 E5:1/16 F5:1/16 G5:1/16 A5:1/16"]))
    kinds = [each[0] for each in beams(six, Fraction(1, 4)).values()]
    assert kinds == ["begin", "continue", "continue", "end", "begin", "end"]
    assert [each[0] for each in beams(six, Fraction(1, 4), [7] * 6).values()] == [
        "begin",
        *["continue"] * 4,
        "end",
    ]
    assert [*beams(six, Fraction(1, 4), [0, 3, 3, 4, 4, 4])] == [3, 4, 5, 1, 2]
    tied = bar_of("C5:5/16 D5:1/16 E5:1/8")
    assert beams(tied, Fraction(1, 4), [0, 2, 2]).keys() == {1, 2, 3}


def test_rests_and_single_notes_break_beams() -> None:
    """A note alone in its beat keeps its flag."""
    assert beams(bar_of("C5:1/8 r:1/8 D5:1/8"), Fraction(1, 4)) == {}


def test_a_tuplet_ends_where_it_is_full() -> None:
    """Six triplet eighths are two groups of three."""
    assert tuplets(bar_of("C5:1/12 D5:1/12 E5:1/12 F5:1/12 G5:1/12 A5:1/12")) == {
        0: ("start",),
        2: ("stop",),
        3: ("start",),
        5: ("stop",),
    }


def test_the_beat_follows_the_metre() -> None:
    """Compound metres beam three eighths, others a quarter (common practice, no source)."""
    assert beat_of((12, 8)) == Fraction(3, 8)
    assert beat_of((3, 8)) == Fraction(3, 8)
    assert beat_of((3, 4)) == Fraction(1, 4)
