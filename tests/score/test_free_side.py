"""The side of the staff that dynamics, words and slurs leave to a mark."""

import pytest
from tests.score.small_scores import bar, note, read, score

from gripway.score.free_side import SIDES, Wanted, surroundings


def sides(*bars: str, together: bool = False, wide: float = 1.0) -> str:
    """The side at each note, of marks that stand alone each or all together, so wide in staff spaces."""
    reading = read(score(*(bar(music, str(number)) for number, music in enumerate(bars, start=1))))
    starts = [reading.places[each.id].start for each in reading.passage.notes]
    wanted = [Wanted(start, 0.0, wide) for start in starts]
    around = surroundings(reading.source)
    found = around.sides(wanted) if together else [around.sides([each])[0] for each in wanted]
    return "".join("ab"[side == "below"] for side in found)


def direction(kind: str, placement: str = "") -> str:
    """A direction of one kind."""
    side = f' placement="{placement}"' if placement else ""
    return f"<direction{side}><direction-type>{kind}</direction-type></direction>"


def slurred(kind: str, stem: str = "", more: str = "") -> str:
    """A note with one end of a slur."""
    drawn = f"<stem>{stem}</stem>" if stem else ""
    return note("D6", after=f'{drawn}<notations><slur type="{kind}" number="1"{more}/></notations>')


FORTE, WORDS = direction("<dynamics><f/></dynamics>"), direction("<words>dolce</words>")
LOUDER = direction('<wedge type="crescendo" number="1"/>', "above")
LOUDER_NO_MORE = direction('<wedge type="stop" number="1"/>')


@pytest.mark.parametrize(
    ("music", "expected"),
    [
        (note("D6") * 2, "aa"),
        (FORTE + note("D6") * 2, "aa"),
        (WORDS + note("D6") * 3, "bba"),
        (direction("<words>dolce</words>", "below") + note("D6"), "a"),
        (direction("<dynamics><f/></dynamics>", "above") + note("D6"), "b"),
        (WORDS + FORTE + note("D6"), "b"),
        (slurred("start", "down") + note("D6") + slurred("stop") + note("D6"), "bbba"),
        (slurred("start", "up") + note("D6") + slurred("stop"), "aaa"),
        (slurred("start", "up", ' placement="above"') + slurred("stop"), "bb"),
        (slurred("start", "down", ' orientation="under"') + slurred("stop"), "aa"),
        (slurred("start") + slurred("stop"), "bb"),
        (
            LOUDER + note("D6") * 2 + LOUDER_NO_MORE + note("D6"),
            "bba",
        ),
        (note("D6", after="<notations><fermata/></notations>") + note("D6"), "ba"),
    ],
    ids=[
        "nothing there",
        "a dynamic below",
        "words above the first, and over the second",
        "words below",
        "a dynamic above",
        "a dynamic gives way rather than words",
        "a slur over the heads, stems down",
        "a slur under the heads, stems up",
        "a slur said to be above",
        "a slur said to be under",
        "no stem: as the place of the head asks",
        "a wedge above as long as it lasts",
        "a fermata",
    ],
)
def test_the_side_that_is_free(music: str, expected: str) -> None:
    """Above, unless something stands there and nothing below (common practice of engravers, no source)."""
    assert sides(music) == expected


def test_a_wide_mark_reaches_words_that_come_later() -> None:
    """A mark of six staff spaces at a quarter note stands where words at the next one are."""
    music = note("D6") + WORDS + note("D6")
    assert sides(music, wide=3.0)[0] == "a"
    assert sides(music, wide=6.0)[0] == "b"


def test_marks_near_each_other_go_to_one_side() -> None:
    """The side that fewer of them have taken; far from each other each goes where it is free."""
    fermata = note("D6", after="<notations><fermata/></notations>")
    quiet = FORTE + note("D6")
    assert sides(fermata + quiet * 2, together=True) == "aaa"
    assert sides(fermata * 2 + quiet, together=True) == "bbb"
    assert sides(fermata, note("D6"), together=True) == "bb"
    assert sides(fermata, note("r", 16), note("D6"), together=True) == "ba"


def test_words_part_a_stretch() -> None:
    """Where words stand above one mark and below another of a stretch, a new one begins."""
    below = direction("<words>dolce</words>", "below")
    music = WORDS + note("D6") + note("r", 16) + below + note("D6")
    assert sides(music, together=True) == "ba"


def test_a_mark_with_a_line_stays_above() -> None:
    """A mark that may only stand above takes its neighbours with it."""
    reading = read(score(bar(direction("<words>dolce</words>", "below") + note("D6") * 2)))
    first, second = (place.start for place in reading.places.values())
    marks = [Wanted(second, 0.0, 1.0, ("above",)), Wanted(first, 0.0, 1.0, SIDES)]
    assert surroundings(reading.source).sides(marks) == ["above", "above"]
