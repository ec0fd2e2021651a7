"""Jumps written in words and signs only: the order is right, or what was not followed is said with its bar.

Each case is a part of bars C4 D4 E4 and so on, one note a bar, with directions at the bars named; what is
played is spelt as the bars' numbers (common practice, no source).
"""

import pytest
from tests.every import every
from tests.score.small_scores import bar, direction, note, read, score

NAMES = ("C4", "D4", "E4", "F4", "G4", "A4", "B4", "C5")
SEGNO, CODA = "<segno/>", "<coda/>"


def words(text: str) -> str:
    """Words over the staff."""
    return f"<words>{text}</words>"


def both(text: str, sign: str) -> str:
    """Words and a sign in one direction."""
    return f"{words(text)}</direction-type><direction-type>{sign}"


def played(count: int, at: dict[int, str]) -> tuple[str, list[tuple[str, str]]]:
    """The numbers of the bars as played, and the remarks on jumps with their bars."""
    bars = [
        bar(note(NAMES[k], 16) + (direction(at[k + 1]) if k + 1 in at else ""), str(k + 1))
        for k in range(count)
    ]
    passage = read(score(*bars)).passage
    remarks = [(remark.bar, remark.text) for remark in passage.remarks if "tempo" not in remark.text]
    return "".join(each.bar for each in passage.notes), remarks


FOLLOWED = {
    "D.C. al Fine": (4, {2: words("Fine"), 4: words("D.C. al Fine")}, "123412"),
    "(Fine)": (4, {2: words("(Fine)"), 4: words("D.C.")}, "123412"),
    "FINE.": (4, {2: words("FINE."), 4: words("Da Capo")}, "123412"),
    "Menuetto D.C.": (4, {2: words("Fine"), 4: words("Menuetto D.C.")}, "123412"),
    "Scherzo da Capo": (4, {2: words("Fine"), 4: words("Scherzo da Capo")}, "123412"),
    "Scherzo D. C. al Fine": (4, {2: words("Fine"), 4: words("Scherzo D. C. al Fine")}, "123412"),
    "Men. D.C. senza replica": (4, {2: words("Fine"), 4: words("Men. D.C. senza replica")}, "123412"),
    "Minuet da capo, before a Trio": (4, {3: words("Trio"), 4: words("Minuet da capo")}, "123412"),
    "Menuetto D.C., before TRIO.": (5, {4: words("TRIO."), 5: words("Menuetto D.C.")}, "12345123"),
    "D.S.": (4, {2: SEGNO, 3: words("Fine"), 4: words("D.S. al Fine")}, "123423"),
    "Dal Segno": (4, {2: SEGNO, 3: words("(Fine)"), 4: words("Dal Segno")}, "123423"),
    "dal segno beside its sign": (4, {2: SEGNO, 3: words("Fine"), 4: both("dal segno", SEGNO)}, "123423"),
    "D.S. beside its sign": (4, {2: SEGNO, 3: words("Fine"), 4: both("D.S.", SEGNO)}, "123423"),
    "D. S. al Fine": (4, {1: SEGNO, 2: words("Fine"), 4: words("D. S. al Fine")}, "123412"),
    "Segno in words": (4, {2: words("Segno"), 3: words("Fine"), 4: words("D.S.")}, "123423"),
    "To Coda": (5, {2: words("To Coda"), 4: words("D.C. al Coda"), 5: CODA}, "1234125"),
    "To Coda with the sign": (5, {2: both("To Coda", CODA), 4: words("D.C. al Coda"), 5: CODA}, "1234125"),
    "To and the sign": (5, {2: both("To", CODA), 4: words("D.C. al Coda"), 5: CODA}, "1234125"),
    "al Coda with the sign": (5, {2: both("al Coda", CODA), 4: words("D.C."), 5: CODA}, "1234125"),
    "Coda in words": (5, {2: words("To Coda"), 4: words("D.C. al Coda"), 5: words("Coda")}, "1234125"),
    "CODA with its sign": (
        5,
        {2: words("To Coda"), 4: words("D.C. al Coda"), 5: both("CODA", CODA)},
        "1234125",
    ),
    "two coda signs": (5, {2: CODA, 4: words("D.C. al Coda"), 5: CODA}, "1234125"),
    "D.S. al Coda": (6, {2: SEGNO, 3: both("To Coda", CODA), 5: words("D.S. al Coda"), 6: CODA}, "12345236"),
    "D.S. e poi la Coda": (
        6,
        {2: SEGNO, 3: words("to the Coda"), 5: words("D.S. e poi la Coda"), 6: words("Coda")},
        "12345236",
    ),
}
"""Bars, directions, and the bars as they are to be played."""

SAID = {
    "no segno": (3, {3: words("D.S. al Fine")}, "123", "3", "there is no segno"),
    "no coda": (3, {2: words("To Coda"), 3: words("D.C. al Coda")}, "123123", "2", "to the coda"),
    "no Fine": (3, {3: words("D.C. al Fine")}, "123123", "3", "without a Fine"),
    "no place to leave for the coda": (
        4,
        {2: words("Fine"), 3: words("D.C. al Coda"), 4: CODA},
        "12312",
        "3",
        "nothing says where one leaves",
    ),
    "segno in a sentence": (3, {2: words("sin al segno")}, "123", "2", "may mean a jump"),
    "capo in a sentence": (3, {3: words("a capo")}, "123", "3", "may mean a jump"),
    "coda in a sentence": (3, {2: words("poi segue la coda")}, "123", "2", "may mean a jump"),
}
"""Bars, directions, what is played, and the bar and words of the remark."""


@every(FOLLOWED)
def test_a_jump_in_words_is_followed(case: str) -> None:
    """The order played is the one meant, and nothing is remarked."""
    count, at, expected = FOLLOWED[case]
    assert played(count, at) == (expected, [])


@pytest.mark.parametrize("case", SAID)
def test_a_jump_that_leads_nowhere_is_said_with_its_bar(case: str) -> None:
    """What is played in its place, and where that was."""
    count, at, expected, where, said = SAID[case]
    order, remarks = played(count, at)
    assert order == expected
    assert [number for number, text in remarks if said in text] == [where]


def style(inner: str) -> str:
    """Attributes that begin or end a repeat of bars."""
    return f"<attributes><measure-style>{inner}</measure-style></attributes>"


def start(size: int = 1) -> str:
    """Where signs for repeated bars begin."""
    return style(f'<measure-repeat type="start">{size}</measure-repeat>')


STOP = style('<measure-repeat type="stop"/>')
REST = note("r", 16)


def bars_of(*contents: str) -> tuple[str, list[tuple[str, str]]]:
    """The pitches played, and the remarks, of bars with these contents."""
    passage = read(score(*(bar(content, str(k)) for k, content in enumerate(contents, start=1)))).passage
    remarks = [(remark.bar, remark.text) for remark in passage.remarks if "tempo" not in remark.text]
    return " ".join(each.pitch.name for each in passage.notes), remarks


def test_signs_for_repeated_bars_are_read_as_those_bars() -> None:
    """One bar three times over, until the sign that ends it; said once, with its bar."""
    heard, remarks = bars_of(note("C5", 16), start() + REST, REST, STOP + note("D5", 16), REST)
    assert heard == "C5 C5 C5 D5"
    assert remarks == [("2", "read as a repeat of the bar before, from bar 1 on")]


def test_two_bars_repeated_by_one_sign() -> None:
    """The pattern of two bars, twice."""
    heard, remarks = bars_of(note("C5", 16), note("D5", 16), start(2) + REST, REST, REST, REST)
    assert heard == "C5 D5 C5 D5 C5 D5"
    assert remarks == [("3", "read as a repeat of the 2 bars before, from bar 1 on")]


def test_a_repeated_bar_with_notes_plays_its_own() -> None:
    """Programs that write the notes out under the sign are believed."""
    assert bars_of(note("C5", 16), start() + note("D5", 16)) == ("C5 D5", [])


def test_what_cannot_be_repeated_is_said() -> None:
    """Nothing stands before the first bar; slashes name no notes."""
    heard, remarks = bars_of(start() + REST, STOP + note("C5", 16))
    assert (heard, [number for number, _ in remarks]) == ("C5", ["1"])
    heard, remarks = bars_of(note("C5", 16), style('<slash type="start"/>') + REST)
    assert (heard, [number for number, _ in remarks]) == ("C5", ["2"])
