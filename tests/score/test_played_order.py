"""Played order: repeats, endings, D.C., D.S., coda, Fine."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.score.small_scores import bar, direction, note, read, score

from gripway.errors import ScoreError
from gripway.score.reading.jump_signs import BarJumps
from gripway.score.reading.played_order import played_order

FORWARD = '<barline location="left"><repeat direction="forward"/></barline>'
BACKWARD = '<barline location="right"><repeat direction="backward"/></barline>'


def ending(numbers: str, kind: str, *, repeat: bool = False) -> str:
    """A barline with an ending bracket."""
    location = "left" if kind == "start" else "right"
    back = '<repeat direction="backward"/>' if repeat else ""
    return f'<barline location="{location}"><ending number="{numbers}" type="{kind}"/>{back}</barline>'


def order(*contents: str) -> list[str]:
    """Bar numbers in played order of bars with one note each and this extra content before and after."""
    bars = []
    for number, content in enumerate(contents, start=1):
        left, _, right = content.partition("|")
        bars.append(bar(left + note("C5") + right, str(number)))
    return [each.bar for each in read(score(*bars)).passage.notes]


def test_a_repeat_plays_its_section_twice() -> None:
    """Bars 2 and 3 between repeat signs sound twice."""
    assert order("|", FORWARD + "|", "|" + BACKWARD, "|") == ["1", "2", "3", "2", "3", "4"]


def test_the_second_time_is_counted_on_the_note() -> None:
    """The same note id comes back with time_through 2 and a later onset."""
    first, second = read(score(bar(note("C5") + BACKWARD))).passage.notes
    assert (first.id, first.time_through) == (second.id, 1)
    assert (second.time_through, second.onset) == (2, first.length)


def test_a_repeat_breaks_the_slur() -> None:
    """A slur that runs up to the first note of a repeated bar does not count when one jumps back to it."""
    slur = '<notations><slur type="{}"/></notations>'
    first, second = (
        bar(note("C5", after=slur.format(kind)), str(k)) for k, kind in ((1, "start"), (2, "stop"))
    )
    again = second.replace("<note>", FORWARD + "<note>").replace("</measure>", BACKWARD + "</measure>")
    assert [n.slurred for n in read(score(first, again)).passage.notes] == [False, True, False]


def test_endings_are_taken_in_turn() -> None:
    """First ending, back, second ending, on."""
    contents = ["|", ending("1", "start") + "|" + ending("1", "stop", repeat=True)]
    contents += [ending("2", "start") + "|" + ending("2", "discontinue"), "|"]
    assert order(*contents) == ["1", "2", "1", "3", "4"]


def test_one_bracket_can_serve_two_times() -> None:
    """An ending marked 1, 2 is played twice before the third."""
    contents = ["|", ending("1, 2", "start") + "|" + ending("1, 2", "stop", repeat=True)]
    contents += [ending("3", "start") + "|" + ending("3", "stop"), "|"]
    assert order(*contents) == ["1", "2", "1", "2", "1", "3", "4"]


def test_da_capo_al_fine() -> None:
    """After D.C. the piece ends at Fine, and repeats are not taken again (common practice)."""
    fine = '<sound fine="yes"/>'
    assert order("|", "|" + BACKWARD + fine, "|", '|<sound dacapo="yes"/>') == list("12123412")


def test_dal_segno_al_coda() -> None:
    """D.S. goes back to the segno, "to coda" jumps on the second time only."""
    contents = ["|", '<sound segno="s"/>|', '|<sound tocoda="c"/>', '|<sound dalsegno="s"/>']
    assert order(*contents, '<sound coda="c"/>|') == list("1234235")


def test_jumps_in_words_and_signs_alone_are_followed() -> None:
    """A score whose D.C. and Fine are words without sound plays the same."""
    fine, da_capo = direction("<words>Fine</words>"), direction("<words>D.C. al Fine</words>")
    assert order("|", "|" + fine, "|" + da_capo) == list("12312")


def test_jumps_without_a_target_are_passed_over() -> None:
    """D.S. without a segno and a coda never reached do not stop or loop."""
    assert order('|<sound dalsegno="x"/>', '|<sound tocoda="y"/>') == ["1", "2"]


def test_two_da_capos_are_each_followed_once() -> None:
    """Jumps cannot run for ever."""
    assert order('|<sound dacapo="yes"/>', '|<sound dacapo="yes"/>') == ["1", "1", "2", "1", "2"]


def test_absurd_repeat_counts_are_refused() -> None:
    """A repeat of a million times is an error with a next step, not an endless reading."""
    with pytest.raises(ScoreError, match=r"part\.xml, bar X1: the repeats make more.*Check the repeat signs"):
        played_order([BarJumps(backward=1_000_000)], "part.xml", ["X1"])


sections = st.lists(
    st.one_of(
        st.tuples(st.just("plain"), st.integers(1, 3), st.just(1)),
        st.tuples(st.just("repeat"), st.integers(1, 3), st.integers(2, 4)),
        st.tuples(st.just("endings"), st.integers(1, 3), st.integers(2, 4)),
    ),
    min_size=1,
    max_size=6,
)


def build(kind: str, length: int, times: int, first: int) -> tuple[list[BarJumps], list[int]]:
    """Bars of one section from index `first`, and the order they are played by definition."""
    bars = [BarJumps() for _ in range(length)]
    body = list(range(first, first + length))
    if kind == "plain":
        return bars, body
    bars[0].forward = True
    if kind == "repeat":
        bars[-1].backward = times
        return bars, body * times
    played = []
    for time in range(1, times + 1):
        last = time == times
        bars.append(BarJumps(ending=frozenset({time}), ending_stop=True, backward=0 if last else 2))
        played += [*body, first + length + time - 1]
    return bars, played


@given(sections)
def test_any_row_of_sections_plays_as_defined(row: list[tuple[str, int, int]]) -> None:
    """Plain sections once, repeats n times, endings one after the other, in any row."""
    bars: list[BarJumps] = []
    expected: list[int] = []
    for kind, length, times in row:
        more, played = build(kind, length, times, len(bars))
        bars += more
        expected += played
    assert played_order(bars, "part", ["1"] * len(bars)) == expected
