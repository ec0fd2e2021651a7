"""Passages cut into bars."""

from fractions import Fraction

from gripway.model.passage import Note
from gripway.model.pitch import Pitch
from gripway.score.notation import read_notation
from gripway.score.writing.bar_filling import PrintedNote, fill_bars


def shape(bars: list[list[PrintedNote]]) -> list[list[str]]:
    """Each printed note as index or r, `+` where it is tied on."""
    return [["r" if p.index is None else f"{p.index}{'' if p.last else '+'}" for p in bar] for bar in bars]


def test_a_note_over_the_bar_line_is_tied() -> None:
    """Five quarters are a whole note and, in the next bar, a quarter; rests fill the rest."""
    bars = fill_bars(read_notation("C5:5/4").notes, Fraction(1))
    assert shape(bars) == [["0+"], ["0", "r", "r"]]
    assert [sum(p.length for p in bar) for bar in bars] == [1, 1]


def test_gaps_are_rests() -> None:
    """What lies between two notes is written as rests; an empty bar as one rest of its own kind."""
    bars = fill_bars(read_notation("C5:1/2 r:1/2 r:1 D5:1/2").notes, Fraction(1))
    assert shape(bars) == [["0", "r"], ["r"], ["1", "r"]]
    assert bars[1][0].whole_bar


def test_a_note_tied_into_a_triplet_shows_where_the_triplet_begins() -> None:
    """A half tied to the first of three quarters in the time of two is those two, never a whole note.

    Before a note of two thirds of a half it is one note of the triplet. Common practice, no source.
    """
    for text, expected in (
        ("C5:2/3 D5:1/6 E5:1/6", ["1/2", "1/6", "1/6", "1/6"]),
        ("C5:1/6 D5:1/6 E5:2/3", ["1/6", "1/6", "1/6", "1/2"]),
        ("C5:1/3 D5:1/12 E5:1/12 F5:1/2", ["1/4", "1/12", "1/12", "1/12", "1/2"]),
        ("C5:1/3 D5:1/6 E5:1/2", ["1/3", "1/6", "1/2"]),
    ):
        (bar,) = fill_bars(read_notation(text).notes, Fraction(1))
        assert [str(printed.length) for printed in bar] == expected, text
    tied, *others = fill_bars(read_notation("C5:2/3 D5:1/6 E5:1/6").notes, Fraction(1))[0]
    assert (tied.first, tied.last) == (True, False)
    assert (others[0].index, others[0].first, others[0].last) == (0, False, True)


def test_each_tuplet_shows_its_own_rest() -> None:
    """A rest is cut where a tuplet ends or begins, so that its beats can be counted. Common practice."""
    for text, expected in (
        ("C5:1/12 D5:1/12 r:1/3 E5:1/2", ["0", "1", "r 1/12", "r 1/4", "2"]),
        ("C5:1/8 r:1/6 D5:1/24 E5:1/24 F5:1/8 G5:1/2", ["0", "r 1/8", "r 1/24", "1", "2", "3", "4"]),
    ):
        (bar,) = fill_bars(read_notation(text).notes, Fraction(1))
        printed = [f"r {each.length}" if each.index is None else str(each.index) for each in bar]
        assert printed == expected, text


def test_grace_notes_take_no_time() -> None:
    """A grace note stands before its note and lasts nothing."""
    grace = Note("a", "", Pitch("D", 0, 5), Fraction(1, 4), Fraction(0), 0, 80, grace=True)
    (bar,) = fill_bars(
        [read_notation("C5:1/4").notes[0], grace, read_notation("r:1/4 E5:3/4").notes[0]], Fraction(1)
    )
    assert [p.grace for p in bar] == [False, True, False]
    assert sum(p.length for p in bar) == 1


def test_other_metres_fill_their_own_bars() -> None:
    """In six eight, four dotted quarters are two bars."""
    assert shape(fill_bars(read_notation("C5:3/8 D5:3/8 E5:3/8 F5:3/8").notes, Fraction(6, 8))) == [
        ["0", "1"],
        ["2", "3"],
    ]


def test_rests_show_the_beats() -> None:
    """After a quarter a quarter rest and a half rest; in 6/8 no rest goes over the middle of the bar."""
    plain = fill_bars(read_notation("C5:1/4").notes, Fraction(1))
    assert [printed.length for printed in plain[0]] == [Fraction(1, 4), Fraction(1, 4), Fraction(1, 2)]
    threes = fill_bars(read_notation("r:1/2 C5:1/4").notes, Fraction(6, 8), in_threes=True)
    assert [printed.length for printed in threes[0]] == [Fraction(3, 8), Fraction(1, 8), Fraction(1, 4)]


def test_notes_in_threes_show_their_beats() -> None:
    """Five eighths of 6/8 are a dotted quarter tied to a quarter; a whole bar is one value.

    Four from the third eighth on are an eighth tied to a dotted quarter (common practice, no source).
    """
    eighth = Fraction(1, 8)
    shapes = ((0, 5, (3, 2)), (2, 4, (1, 3)), (0, 4, (3, 1)), (1, 2, (2,)), (0, 6, (6,)))
    for begins, length, wanted in shapes:
        line = Note("n1", "1", Pitch.parse("E5"), begins * eighth, length * eighth, 0.0, 1.0)
        (bar,) = fill_bars([line], 6 * eighth, in_threes=True)
        assert tuple(each.value.length / eighth for each in bar if each.index == 0) == wanted
