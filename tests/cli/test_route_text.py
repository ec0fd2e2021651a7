"""The route as text: what a player sees, at any width, with and without colour."""

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from tests.cli.run_gripway import FLUTE, PASSAGE, PICCOLO, REPEATS, ask, on_a_terminal
from tests.tiers import thinned

from gripway.asked.wishes import Pin, Wishes
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.cli.text.route_text import route_text
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch
from gripway.route.tempo.tempo_threshold import Threshold
from gripway.route.tempo.worth_words import threshold_text
from gripway.tasks.flutes import flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes

TWELVE = ("C5", "C#5", "D5", "Eb5", "E5", "F5", "G5", "G#5", "A5", "B5", "C6", "D6")
KETTLE = Path(__file__).parents[2] / "examples" / "kettle_trills.musicxml"

ESCAPE = re.compile(r"\x1b\[([\d;]*)m")
"""ECMA-48, 8.3.117: select graphic rendition."""

WORDS = ("finger", "--notes", PASSAGE, "--tempo", "160")
TURNS = ("finger", "--notes", "D5 (F#5 E5 F#5 E5 F#5 E5) D5:1/4", "--tempo", "152")
"""E5 and F#5 by turns, where the middle finger serves F# (common practice, no source)."""


@cache
def text_of(*words: object) -> str:
    """The text of an answer that went well or has gaps."""
    answer = ask(*words)
    assert answer.code in (0, 1), answer.err
    return answer.out


def one_line(text: str) -> str:
    """A text without its line breaks."""
    return " ".join(text.split())


@pytest.mark.parametrize(
    "words",
    [
        WORDS,
        (*WORDS, "--explain"),
        ("finger", PICCOLO),
        ("finger", FLUTE, "--explain", "--bars", "1-40"),
        ("finger", REPEATS),
        ("grips", "F#6", "--explain"),
        ("grips", "C7"),
    ],
)
def test_piped_text_is_plain_and_within_100_columns(words: tuple[object, ...]) -> None:
    """No escape codes, no blanks at the end of lines, no line longer than 100."""
    lines = text_of(*words).splitlines()
    assert max(map(len, lines)) <= 100
    assert not any("\x1b" in line or "\ue000" in line or line != line.rstrip() for line in lines)


@pytest.mark.parametrize("columns", thinned([40, 60, 72, 100, 200], 2))
def test_a_terminal_of_any_width_shows_every_grip_whole(columns: int) -> None:
    """Lines fit (down to 60 columns) and no grip of the answer is cut or broken into two lines."""
    answer = on_a_terminal(*WORDS, columns=columns)
    lines = ESCAPE.sub("", answer.out).splitlines()
    assert max(map(len, lines)) <= min(100, max(60, columns))
    grips = [each["grip"] for each in ask(*WORDS, "--format", "json").json["notes"]]
    for grip in grips:
        short = re.sub(r"\b[LR](?=\d)", "", grip)
        assert any(short in line for line in lines)
    assert not any(line.rstrip().endswith("|") for line in lines)


@pytest.mark.parametrize("columns", [60, 100])
def test_the_list_of_grips_fits_too(columns: int) -> None:
    """Kinds and responses are not cut, at 60 columns they go beneath."""
    lines = ESCAPE.sub("", on_a_terminal("grips", "F#6", columns=columns).out).splitlines()
    assert max(map(len, lines)) <= columns
    text = "\n".join(lines)
    assert "T 1 2 3 | 1 2 3 C B" in text
    assert all(word in text for word in ("alternate", "harmonic", "resistant", "modelled"))


def test_a_terminal_gets_colour_and_no_color_takes_it_away() -> None:
    """Colour codes (30 to 37) on a terminal; none with NO_COLOR set (no-color.org)."""

    def colours(**environment: str) -> set[str]:
        codes = ESCAPE.findall(on_a_terminal(*late, **environment).out)
        return {code for each in codes for code in each.split(";") if 30 <= int(code or 0) <= 37}

    late = ("finger", "--notes", "A6 B6 A6 B6", "--tempo", "200", "--choose", "standard")

    assert colours() == {"31"}
    assert colours(NO_COLOR="1") == set()


def test_colour_says_nothing_that_is_not_written() -> None:
    """Without its codes the text of a terminal is the text of a pipe."""
    shown = ESCAPE.sub("", on_a_terminal(*WORDS).out)
    assert [line.rstrip() for line in shown.splitlines()] == text_of(*WORDS).splitlines()


def test_a_plain_terminal_gets_no_codes() -> None:
    """TERM=dumb is respected."""
    assert "\x1b[3" not in on_a_terminal(*WORDS, TERM="dumb").out


def test_the_ledger_shown_adds_up() -> None:
    """Parts to their row, rows to the total, the total to the effort in the head."""
    text = text_of(*WORDS, "--explain")
    rows = re.findall(
        r"^ *(?:\d+|all) .*? (\d+\.\d{3})(?: {3}(.*))?$", text.partition("Ledger")[2], re.MULTILINE
    )
    efforts = [float(effort) for effort, _ in rows]
    assert len(rows) == 7 + 6 + 1  # a row for every note, for every change, and the sum
    for effort, parts in rows[:-1]:
        sizes = [float(part.rsplit(" ", 1)[1]) for part in parts.split(", ") if part]
        assert sum(sizes) == pytest.approx(float(effort), abs=1e-9)
    assert sum(efforts[:-1]) == pytest.approx(efforts[-1], abs=1e-9)
    head = re.search(r"effort (\d+\.\d\d) \(", text)
    assert head is not None
    assert float(head[1]) == pytest.approx(efforts[-1], abs=0.005)


def head_of(*words: object) -> str:
    """The line with the flute and the effort."""
    (line,) = [line for line in text_of(*words).splitlines() if line.startswith("concert flute")]
    return line


def test_the_head_says_what_was_minimised() -> None:
    """Only the least effort is called so, with what it leaves out, and a number of grips to learn with it."""
    heads = {choice: head_of(*WORDS, "--choose", choice) for choice in ("effort", "standard", "movers")}
    assert head_of(*WORDS, "--learn", "1").endswith("(the least effort with at most 1 new grip)")
    assert heads["effort"].endswith("(the least effort with grips that surely pay)")
    assert head_of(*TURNS).endswith("(the least effort there is)")
    assert heads["standard"].endswith("(standard grips wherever there is one)")
    assert heads["movers"].endswith("(the fewest moving fingers)")


def test_a_note_without_a_grip_is_shown_with_its_reason() -> None:
    """It is named in the sentence, counted in the head, and has a row that says why."""
    answer = ask("finger", "--notes", "E6 F7 E6 F#7")
    assert answer.code == 1
    assert "no grip for F7, F#7 on notes 2 and 4" in one_line(answer.out.partition("\n\n")[0])
    assert "(2 notes without a grip)" in answer.out
    assert "F7 note 2 outside the concert flute: its tables cover B3 to E7" in one_line(answer.out)


def test_the_answer_comes_first() -> None:
    """The first paragraph is the sentence of the JSON, whatever else is shown."""
    for words in (TURNS, (*TURNS, "--explain"), ("finger", REPEATS, "--bars", "1-30")):
        said = ask(*words, "--format", "json").json if "--explain" not in words else None
        first = one_line(text_of(*words).partition("\n\n")[0])
        assert first.endswith(".")
        if said is not None:
            assert first == said["sentence"]


def test_grips_to_learn_are_told_with_their_places_and_what_they_save() -> None:
    """Pitch, grip, kind, cents with range, places, saving; beside --explain how steadily it pays."""
    (grip,) = ask(*TURNS, "--format", "json").json["learn"]
    row = "F#5 T 1 2 3 | 2 Eb alternate -10 ±12 notes 2, 4, 6"
    assert f"{row} {grip['saves']:.2f} " in one_line(text_of(*TURNS))
    assert "pays in" not in text_of(*TURNS)
    draws = effort_tables().shaking.shake_draws
    told = f"{row} {grip['saves']:.2f} {round(grip['steady'] * draws)} of {draws} "
    assert told in one_line(text_of(*TURNS, "--explain"))


def test_at_most_ten_grips_to_learn_have_a_row() -> None:
    """The others are counted, and --explain has them all."""
    route = finger(notes("D5 E5", 100), flute())
    one = finger(notes("F#5", 100), flute(), Wishes(pins=(Pin(0, Grip.parse("T 1 2 3 | 2 Eb")),)))
    pitches = [Pitch.parse(name) for name in TWELVE]
    many = tuple(
        replace(one.notes[0], index=k, note=replace(one.notes[0].note, pitch=pitch))
        for k, pitch in enumerate(pitches)
    )
    wide = replace(route, notes=many, changes=(), hardest=(), charges=None)
    short, whole = (route_text(wide, flute(), None, explain=explain) for explain in (False, True))
    tables = [text.partition("Grips to learn")[2].partition("\n\n")[0] for text in (short, whole)]
    assert [table.count(" alternate ") for table in tables] == [10, 12]
    assert "... 2 more: --explain" in short


@pytest.mark.whole
def test_the_learning_curve_is_a_line_and_on_request_a_table() -> None:
    """Every point of the JSON with its charges stands in the line and has a row; long parts do not wait."""
    answer = ask(*TURNS, "--format", "json").json
    each = answer["charges"]["each"]
    curve = [(step["grips"], round(step["effort"] + each * step["grips"], 2)) for step in answer["curve"]]
    assert min(effort for _, effort in curve) == round(answer["effort"], 2)
    text, whole = text_of(*TURNS), text_of(*TURNS, "--curve")
    (line,) = [line for line in text.splitlines() if line.startswith("Learning curve")]
    for _, effort in curve:
        assert f" {effort:.2f}" in line
    assert "1 grip" in line
    assert "(this answer)" in line
    rows = re.findall(
        r"^(\d+) (\(this answer\))? +(\d+\.\d\d) ", whole.partition("new grips")[2], re.MULTILINE
    )
    assert [(int(grips), float(effort)) for grips, _, effort in rows] == curve
    assert [bool(mine) for _, mine, _ in rows].count(True) == 1
    assert "Learning curve" not in text_of("finger", REPEATS)
    assert "Learning curve" in text_of("finger", REPEATS, "--curve")


def test_a_long_part_tells_only_what_leaves_the_standard_grips() -> None:
    """891 notes make a page: no row for a note that stays standard."""
    text = text_of("finger", REPEATS)
    assert len(text.splitlines()) < 60
    assert "Grips in order" not in text


def test_a_short_part_has_its_grips_in_order() -> None:
    """Up to 64 notes: number, pitch and grip of each, bar by bar."""
    text = text_of("finger", REPEATS, "--bars", "20-30")
    data = ask("finger", REPEATS, "--bars", "20-30", "--format", "json")
    shown = text.partition("Grips in order")[2].partition("\n\n")[0]
    cells = re.findall(r"(?:^bar (\d+)| ) +(\d+) ([A-G][#b]?\d) +(.*?\|.*?)(?=   |$)", shown, re.MULTILINE)
    assert [(int(number), pitch) for _, number, pitch, _ in cells] == [
        (note["index"] + 1, note["pitch"]) for note in data.json["notes"]
    ]
    grips = [Grip.parse(grip.rstrip("* ")).text for *_, grip in cells]
    assert grips == [note["grip"] for note in data.json["notes"]]


def test_a_star_marks_what_is_not_usual() -> None:
    """Of the turns the F#5 with the middle finger has it, and no other note."""
    shown = text_of(*TURNS).partition("Grips in order")[2].partition("\n\n")[0]
    assert shown.count("| 2 Eb*") == 3
    assert shown.count("*") == 4  # three grips, and the one in the heading


def test_explain_shows_every_note_with_its_reason() -> None:
    """Every note has its row, with its bar."""
    text = text_of("finger", REPEATS, "--bars", "20-30", "--explain")
    data = ask("finger", REPEATS, "--bars", "20-30", "--format", "json").json["notes"]
    rows = re.findall(r"^(\S+) +(\d+) {3}([A-G][#b]?\d) ", text.partition("Grips\n")[2], re.MULTILINE)
    assert rows == [(each["bar"], str(each["index"] + 1), each["pitch"]) for each in data]


def test_trills_are_shown_without_asking() -> None:
    """Each trill has its row with the other note's grip, the same one once."""
    text = text_of("finger", KETTLE)
    found = ask("finger", KETTLE, "--format", "json").json["notes"]
    trills = [note for note in found if note.get("ornament", {}).get("kind") == "trill"]
    assert len(trills) > 4
    table = one_line(text.partition("Trills and ornaments")[2].partition("Hardest changes")[0])
    for note in trills:
        other = note["ornament"]["notes"][1]
        short = re.sub(r"\b[LR](?=\d)", "", other["grip"])
        assert f"trill with {other['pitch']} = {short}:" in table


def test_worth_is_a_line_and_with_explain_a_paragraph() -> None:
    """One sentence for the passage; the hard spots only beside --explain."""
    text, whole = text_of(*WORDS), text_of(*WORDS, "--explain")
    assert sum(line.startswith("The passage: ") for line in text.splitlines()) == 1
    assert "Around " not in text
    assert "Is it worth leaving the standard grips?" in whole
    assert "Around " in whole


@pytest.mark.whole
def test_the_same_hard_change_stands_once() -> None:
    """Met again with the same load, its bars and notes share a row."""
    text = text_of("finger", PICCOLO)
    changes = text.partition("Hardest changes")[2].partition("fingers:")[0].splitlines()[3:]
    told = [re.split(r" {3,}", line)[-5:] for line in changes if line.strip()]
    assert len(told) == len({tuple(each) for each in told}) > 0


def test_health_comes_last() -> None:
    """Every text answer ends with the caution, in one line."""
    last = text_of(*WORDS).splitlines()[-1]
    assert last.startswith("Stop on pain")
    assert last.endswith("ask your teacher or clinician.")


@pytest.mark.parametrize(
    ("found", "words"),
    [
        (Threshold(80.0, 80.0, 24, 192, 1.0, True), "below quarter = 80 stay with the standard grips"),
        (
            Threshold(192.0, None, 24, 192, 0.0, False),
            "stay with the standard grips, up to quarter = 192 at least",
        ),
        (
            Threshold(None, 74.0, 24, 192, 1.0, True, ("F#6 T 1 3 | 2 Eb",)),
            "yes, even slow, for other reasons than speed: F#6 T 1 3 | 2 Eb; "
            "from quarter = 74 on the fingers call for other grips",
        ),
        (
            Threshold(None, None, 24, 192, 1.0, True, tuple("abcde")),
            "yes, even slow, for other reasons than speed: a, b, c, d, ...; "
            "the same grips serve up to quarter = 192 at least",
        ),
        (
            Threshold(None, 74.0, 24, 192, 0.0, False, ("C6 1 | 2 3 Eb",)),
            "not at this tempo, where the standard grips do as well; slower, yes: C6 1 | 2 3 Eb",
        ),
    ],
)
def test_a_threshold_is_told_in_words(found: Threshold, words: str) -> None:
    """Each of the five answers has its own sentence."""
    assert threshold_text(found) == words
