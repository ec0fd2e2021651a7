"""Tables for the terminal: what stands side by side, what goes beneath, where lines break."""

from io import StringIO

from rich.console import Console
from tests.every import every

from gripway.cli.text.terminal import GLUE, paint, print_table, words
from gripway.model.grip import TOUCHES, Grip

COLUMNS = ("grip", "kind", "cents", "use")
ROWS = [
    (paint("T 1 3 | 3 Eb", "bold"), "standard", "+15", "every use; thumb on T"),
    ("T 1 | Eb", "harmonic", "-5", "fast passages: the standard T 1 3 | 3 Eb is slower"),
]


def printed(width: int, beneath: str = "") -> list[str]:
    """The lines of the small table at a width."""
    stream = StringIO()
    print_table(Console(file=stream, width=width), "A title", COLUMNS, ROWS, beneath)
    return [line.rstrip() for line in stream.getvalue().replace(GLUE, " ").splitlines()]


def test_a_wide_terminal_has_all_columns_side_by_side() -> None:
    """Title, heads, rule, rows, an empty line; numbers stand to the right."""
    assert printed(100) == [
        "A title",
        "grip           kind       cents   use",
        "─" * 84,
        "T 1 3 | 3 Eb   standard     +15   every use; thumb on T",
        "T 1 | Eb       harmonic      -5   fast passages: the standard T 1 3 | 3 Eb is slower",
        "",
    ]


def test_a_column_too_narrow_for_words_goes_beneath() -> None:
    """Each row is followed by its words, set in by four."""
    assert printed(50)[3:7] == [
        "T 1 3 | 3 Eb   standard     +15",
        "    every use; thumb on T",
        "T 1 | Eb       harmonic      -5",
        "    fast passages: the standard T 1 3 | 3 Eb is",
    ]


def test_a_column_can_be_sent_beneath_at_any_width() -> None:
    """Long reasons read better over the whole line."""
    assert printed(100, beneath="use")[4] == "    every use; thumb on T"


def test_a_very_narrow_terminal_names_the_other_cells_too() -> None:
    """What goes beneath besides words is told with its column's name."""
    lines = printed(24)
    assert lines[1].split() == ["grip", "kind"]
    assert "cents +15; every use" in " ".join(line.strip() for line in lines)
    assert max(map(len, lines)) <= 24


@every(TOUCHES)
def test_no_line_breaks_in_a_grip(touch: str) -> None:
    """Whatever is pressed, a grip in a sentence is one word to the line breaker."""
    for grip in (Grip.of([touch]), Grip.of(["T", "L1", touch]), Grip.of(["R1", "Eb", touch])):
        for text in (grip.text, grip.short):
            sentence = str(words(f"the standard {text} would take 0.15 more: B, C, F"))
            assert sentence.split()[2] == text.replace(" ", GLUE)
            assert sentence.split()[3:] == ["would", "take", "0.15", "more:", "B,", "C,", "F"]


def test_a_pitch_stays_with_its_grip() -> None:
    """`F#6 T 1 3 | 2 Eb` is not torn after the pitch."""
    assert str(words("response: F#6 T 1 3 | 2 Eb; more")).split()[1].replace(GLUE, " ") == "F#6 T 1 3 | 2 Eb;"


def test_brackets_are_no_markup() -> None:
    """A text in brackets is shown, not taken for a style."""
    assert str(words("[bold]x[/bold]")) == "[bold]x[/bold]"
