"""The side of the staff that dynamics, words and slurs leave to a mark."""

import pytest
from tests.score.small_scores import bar, note, read, score

from gripway.score.free_side import free_sides


def sides(music: str) -> list[str]:
    """The side at each note of one bar."""
    reading = read(score(bar(music)))
    found = free_sides(reading.source)
    return ["ab"[found[place.start] == "below"] for place in reading.places.values()]


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
        (WORDS + note("D6") * 2, "ba"),
        (direction("<words>dolce</words>", "below") + note("D6"), "a"),
        (direction("<dynamics><f/></dynamics>", "above") + note("D6"), "b"),
        (WORDS + FORTE + note("D6"), "a"),
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
        "words above the first",
        "words below",
        "a dynamic above",
        "both taken",
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
    assert "".join(sides(music)) == expected
