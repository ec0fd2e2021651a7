"""The route as text: what a player sees, at any width, with and without colour."""

import re

import pytest
from tests.cli.run_gripway import FLUTE, PASSAGE, PICCOLO, REPEATS, ask, on_a_terminal

from gripway.route.threshold import Threshold
from gripway.tasks.worth_words import threshold_text

ESCAPE = re.compile(r"\x1b\[([\d;]*)m")
"""ECMA-48, 8.3.117: select graphic rendition."""

WORDS = ("finger", "--notes", PASSAGE, "--tempo", "160")


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


@pytest.mark.parametrize("columns", [40, 60, 72, 100, 200])
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
        codes = ESCAPE.findall(on_a_terminal(*WORDS, **environment).out)
        return {code for each in codes for code in each.split(";") if 30 <= int(code or 0) <= 37}

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
    head = re.search(r"effort (\d+\.\d\d)", text)
    assert head is not None
    assert float(head[1]) == pytest.approx(efforts[-1], abs=0.005)


def test_the_head_says_what_was_minimised() -> None:
    """Only the least effort is called so."""
    heads = {
        choice: text_of(*WORDS, "--choose", choice).splitlines()[0]
        for choice in ("effort", "standard", "movers")
    }
    assert heads["effort"].endswith("(the least effort there is)")
    assert heads["standard"].endswith("(standard grips wherever there is one)")
    assert heads["movers"].endswith("(the fewest moving fingers)")


def test_a_note_without_a_grip_is_shown_with_its_reason() -> None:
    """The row says `no grip` and why; the head counts such notes."""
    answer = ask("finger", "--notes", "E6 F7 E6 F#7")
    assert answer.code == 1
    assert "(2 notes without a grip)" in answer.out
    assert "F7 no grip outside the concert flute: its tables cover B3 to E7" in one_line(answer.out)


def test_a_long_part_tells_each_pitch_and_grip_once() -> None:
    """891 notes make a page or two: every grip that is not standard once, with all its bars."""
    text = text_of("finger", REPEATS)
    assert len(text.splitlines()) < 160
    data = ask("finger", REPEATS, "--format", "json").json["notes"]
    unusual = {(each["pitch"], each["grip"]) for each in data if each["kind"] != "standard"}
    table = text.partition("Grips worth a look")[2].partition("All other notes")[0]
    rows = re.findall(
        r"^([A-G][#b]?\d) {2,}(.*?) {2,}(?:alternate|vented|trill|harmonic|found) ", table, re.MULTILINE
    )
    shown = {(pitch, grip) for pitch, grip in rows}
    assert shown == {(pitch, re.sub(r"\b[LR](?=\d)", "", grip)) for pitch, grip in unusual}


def test_a_short_part_shows_every_note() -> None:
    """Up to 64 notes each has its row, with its bar."""
    text = text_of("finger", REPEATS, "--bars", "20-30")
    data = ask("finger", REPEATS, "--bars", "20-30", "--format", "json").json["notes"]
    rows = re.findall(r"^(\S+) +(\d+) {3}([A-G][#b]?\d) ", text.partition("Grips\n")[2], re.MULTILINE)
    assert rows == [(each["bar"], str(each["index"] + 1), each["pitch"]) for each in data]


def test_the_same_hard_change_stands_once() -> None:
    """Met again with the same load, its bars and notes share a row."""
    text = text_of("finger", PICCOLO)
    changes = text.partition("Hardest changes")[2].partition("fingers:")[0].splitlines()[3:]
    told = [re.split(r" {3,}", line)[-5:] for line in changes if line.strip()]
    assert len(told) == len({tuple(each) for each in told}) > 0


def test_health_comes_last() -> None:
    """Every text answer ends with the caution."""
    assert one_line(text_of(*WORDS)).endswith("ask your teacher or a clinician.")


@pytest.mark.parametrize(
    ("found", "words"),
    [
        (Threshold(80.0, 80.0, 24, 192, 1.0), "below quarter = 80 stay with the standard grips"),
        (Threshold(192.0, None, 24, 192, 0.0), "stay with the standard grips, up to quarter = 192 at least"),
        (
            Threshold(None, 74.0, 24, 192, 1.0, ("F#6 T 1 3 | 2 Eb",)),
            "yes, even slow, for other reasons than speed: F#6 T 1 3 | 2 Eb; "
            "from quarter = 74 on the fingers call for other grips",
        ),
        (
            Threshold(None, None, 24, 192, 1.0, tuple("abcde")),
            "yes, even slow, for other reasons than speed: a, b, c, d, ...; "
            "the same grips serve up to quarter = 192 at least",
        ),
        (
            Threshold(None, 74.0, 24, 192, 0.0, ("C6 1 | 2 3 Eb",)),
            "not at this tempo, where the standard grips do as well; slower, yes: C6 1 | 2 3 Eb",
        ),
    ],
)
def test_a_threshold_is_told_in_words(found: Threshold, words: str) -> None:
    """Each of the five answers has its own sentence."""
    assert threshold_text(found) == words
