"""Hairpins, marks for one note and trills: read where they stand, and written there again."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.score.small_scores import bar, direction, note, read, score
from tests.score.w3c_schema import schema_errors

from gripway.model.passage import Hairpin, Passage, Stress
from gripway.score.notation import read_notation
from gripway.score.reading.dynamics import ACCENTED
from gripway.score.writing.write_hairpins import hairpin_ends
from gripway.score.writing.write_score import Section, write_passage, write_score

QUARTER = Fraction(1, 4)


def wedge(kind: str, *, offset: int = 0, number: int = 1) -> str:
    """One end of a hairpin."""
    moved = f"<offset>{offset}</offset>" if offset else ""
    return direction(f'<wedge type="{kind}" number="{number}"/>', offset=moved)


def mark(name: str) -> str:
    """A dynamic mark."""
    return direction(f"<dynamics><{name}/></dynamics>")


def written_again(passage: Passage) -> tuple[str, Passage]:
    """The score that is written from the notes, and what is read of it."""
    data = write_passage(Passage(passage.notes)).data
    assert schema_errors(data) == []
    return data.decode(), read(data).passage


def test_a_hairpin_is_over_the_notes_it_is_written_over() -> None:
    """Open over D and E, shut before F: each has it from its own onset on; written again it is the same."""
    music = note("C5") + wedge("crescendo") + note("D5") + note("E5") + wedge("stop") + note("F5")
    passage = read(score(bar(music))).passage
    over = (Hairpin("crescendo", Fraction(0), 2 * QUARTER), Hairpin("crescendo", -QUARTER, QUARTER))
    assert [each.hairpins for each in passage.notes] == [(), over[:1], over[1:], ()]
    text, again = written_again(passage)
    assert [each.hairpins for each in again.notes] == [each.hairpins for each in passage.notes]
    assert text.count("<wedge") == 2


def test_two_hairpins_over_one_note_tied_over_the_bar_line_turn_at_their_place() -> None:
    """Louder to the bar line, softer after it; the ends stand at the bar line, not where the note begins."""
    first = bar(wedge("crescendo") + note("C5", 16, after='<tie type="start"/>') + wedge("stop"), "1")
    second = bar(wedge("diminuendo") + note("C5", 16, after='<tie type="stop"/>') + wedge("stop"), "2")
    (held,) = read(score(first, second)).passage.notes
    assert held.hairpins == (
        Hairpin("crescendo", Fraction(0), Fraction(1)),
        Hairpin("diminuendo", Fraction(1), Fraction(2)),
    )
    text, again = written_again(Passage((held,)))
    assert again.notes[0].hairpins == held.hairpins
    assert [part.count("<wedge") for part in text.split("</measure>")] == [2, 2, 0]


def test_a_hairpin_that_turns_within_a_note_keeps_its_time() -> None:
    """Its end stands two quarters into a whole note, by an offset as it was read."""
    music = wedge("crescendo") + wedge("stop", offset=8) + note("C5", 16)
    (held,) = read(score(bar(music))).passage.notes
    assert held.hairpins == (Hairpin("crescendo", Fraction(0), 2 * QUARTER),)
    assert written_again(Passage((held,)))[1].notes[0].hairpins == held.hairpins


def test_a_passage_that_begins_or_ends_inside_a_hairpin_has_what_is_inside() -> None:
    """From the second of its three notes on, and up to it, it is drawn over what is there, and closed."""
    music = wedge("diminuendo") + note("C5") + note("D5") + note("E5") + wedge("stop") + note("F5")
    notes = read(score(bar(music))).passage.notes
    for some in (notes[1:], notes[:2], notes[1:2]):
        text = write_passage(Passage(some)).data.decode()
        assert (text.count('type="diminuendo"'), text.count('<wedge type="stop"')) == (1, 1)


def test_hairpins_never_closed_or_closed_at_once_are_none() -> None:
    """They have no length that could be drawn."""
    for ends in (wedge("crescendo"), wedge("crescendo") + wedge("stop"), wedge("stop")):
        assert read(score(bar(ends + note("C5")))).passage.notes[0].hairpins == ()


@pytest.mark.parametrize("name", sorted(ACCENTED))
def test_a_mark_for_one_note_stays_that_mark(name: str) -> None:
    """Between notes in p: printed as written, no f beside it, no new level where the old one returns."""
    music = mark("p") + note("C5") + mark(name) + note("D5") + note("E5")
    passage = read(score(bar(music))).passage
    after = ACCENTED[name][1] or "p"
    assert [each.stress for each in passage.notes] == [None, Stress(name, after), None]
    text, again = written_again(passage)
    assert text.count("<dynamics>") == 2
    assert f"<dynamics><{name}/></dynamics>" in text
    assert [each.dynamic for each in again.notes] == [each.dynamic for each in passage.notes]


def test_a_level_and_a_stress_at_one_note_are_both_read() -> None:
    """In either order the note has the stress and those after it the level."""
    for marks in (mark("ff") + mark("sf"), mark("sf") + mark("ff")):
        one, other = read(score(bar(mark("p") + marks + note("C5") + note("D5")))).passage.notes
        assert (one.stress, other.dynamic, other.stress) == (Stress("sf", "ff"), "ff", None)


def words(text: str) -> str:
    """Words over the staff."""
    return direction(f"<words>{text}</words>")


@pytest.mark.parametrize("other", [words("cresc."), wedge("crescendo"), words("1. Solo"), words("a 2")])
def test_a_dynamic_is_in_doubt_after_what_changes_it(other: str) -> None:
    """After cresc. and hairpins it is, up to the next mark; with other players from their first note on."""
    music = mark("p") + note("C5") + other + note("D5") + note("E5") + mark("f") + note("F5") + note("G5")
    notes = read(score(bar(music))).passage.notes
    alone = "cresc" not in other
    assert [each.dynamic_sure for each in notes] == [True, not alone, False, True, True]
    assert [each.dynamic_mark for each in notes] == ["p", "", "", "f", ""]


def test_a_dynamic_is_in_doubt_after_many_silent_bars() -> None:
    """And before the first mark; in the next bar it holds, and after two silent ones, not after three."""
    bars = (bar(note("C5")), bar(mark("p") + note("D5"), "2"), bar(note("E5"), "3"))
    for silent, sure in ((2, True), (3, False)):
        rests = (bar("<note><rest/><duration>16</duration></note>", str(4 + each)) for each in range(silent))
        notes = read(score(*bars, *rests, bar(note("F5"), str(4 + silent)))).passage.notes
        assert [each.dynamic_sure for each in notes] == [False, True, True, sure]


@pytest.mark.parametrize(
    ("word", "sure"), [("rit.", True), ("accel.", True), ("cresc.", False), ("smorz.", False)]
)
def test_what_goes_slower_or_faster_is_as_loud_as_before(word: str, sure: bool) -> None:
    """The mark before holds on; after a word that grows or fades it is in doubt."""
    music = mark("p") + note("C5") + direction(f"<words>{word}</words>") + note("D5") + note("E5")
    assert read(score(bar(music))).passage.notes[-1].dynamic_sure is sure


def test_an_excerpt_prints_no_dynamic_that_is_in_doubt() -> None:
    """From the note after cresc. on nothing is printed before the next mark; where it holds it is."""
    music = mark("p") + note("C5") + words("cresc.") + note("D5") + note("E5") + mark("f") + note("F5")
    notes = read(score(bar(music))).passage.notes
    text, _ = written_again(Passage(tuple(replace(each, onset=each.onset - QUARTER) for each in notes[2:])))
    assert (text.count("<p/>"), text.count("<f/>")) == (0, 1)
    assert written_again(Passage(notes))[0].count("<p/>") == 1


def test_no_dynamic_stands_beside_a_stress_that_an_excerpt_begins_with() -> None:
    """Before f and sf, then sf: from the first sf on the sheet has sf, sf and no f between."""
    music = mark("f") + note("C5") + mark("sf") + note("D5") + note("E5") + mark("sf") + note("F5")
    notes = read(score(bar(music))).passage.notes
    text, _ = written_again(Passage(tuple(replace(each, onset=each.onset - QUARTER) for each in notes[1:])))
    assert (text.count("<f/>"), text.count("<sf/>")) == (0, 2)


def test_marks_and_words_under_a_held_note_stand_at_their_time() -> None:
    """`poco f` and cresc. over the second of two tied notes are that note's, a bar after its onset."""
    printed = direction("<dynamics><other-dynamics>poco </other-dynamics><f/></dynamics>")
    first = bar(mark("p") + note("C5", 16, after='<tie type="start"/>'))
    second = bar(printed + words("cresc.") + note("C5", 8, after='<tie type="stop"/>') + note("D5", 8), "2")
    passage = read(score(first, second)).passage
    held, after = passage.notes
    assert held.during == ((Fraction(1), "poco f"), (Fraction(1), "cresc."))
    assert (held.dynamic, after.dynamic, after.dynamic_sure) == ("p", "f", False)
    text, again = written_again(passage)
    assert again.notes[0].during == held.during
    assert "<other-dynamics>poco f</other-dynamics>" in text.split("</measure>")[1]
    assert "<f/>" not in text


def test_a_stress_under_a_held_note_stands_at_its_time() -> None:
    """Sf under the second of two tied notes is printed there; the next note has the f that held before."""
    first = bar(mark("f") + note("C5", 16, after='<tie type="start"/>'))
    second = bar(mark("sf") + note("C5", 8, after='<tie type="stop"/>') + note("D5", 8), "2")
    passage = read(score(first, second)).passage
    assert passage.notes[0].during == ((Fraction(1), "sf"),)
    text, again = written_again(passage)
    assert "<sf/>" in text.split("</measure>")[1]
    assert again.notes[0].during == passage.notes[0].during
    assert [each.dynamic for each in again.notes] == ["f", "f"]


def test_a_mark_is_printed_again_where_the_part_has_it_again() -> None:
    """F, then f again after cresc., are two marks; a note between has none."""
    music = mark("f") + note("C5") + words("cresc.") + note("D5") + mark("f") + note("E5")
    assert written_again(read(score(bar(music))).passage)[0].count("<f/>") == 2


@pytest.mark.parametrize(
    ("key", "above", "printed"),
    [(2, "", 0), (2, "<accidental-mark>natural</accidental-mark>", 1), (0, "", 0)],
)
def test_an_ornament_has_an_accidental_only_where_the_key_says_something_else(
    key: int, above: str, printed: int
) -> None:
    """A trill on B in D major goes to C sharp without a sign; to C with a natural. It is read the same."""
    ornaments = f"<notations><ornaments><trill-mark/>{above}</ornaments></notations>"
    passage = read(score(bar(note("B5", after=ornaments), key=key))).passage
    text, again = written_again(passage)
    assert text.count("<accidental-mark") == printed
    assert again.notes[0].ornament == passage.notes[0].ornament


def test_a_word_that_leads_a_dynamic_is_printed_with_it() -> None:
    """Più and f side by side are più f; più by itself leads the f that holds, where an excerpt begins too."""
    music = (
        mark("p")
        + note("C5")
        + words("più")
        + mark("f")
        + note("D5")
        + note("E5")
        + words("più")
        + note("F5")
    )
    notes = read(score(bar(music))).passage.notes
    assert [each.dynamic_mark for each in notes] == ["p", "più f", "", "più f"]
    assert [each.dynamic for each in notes] == ["p", "f", "f", "f"]
    text, again = written_again(Passage((replace(notes[3], onset=Fraction(0)),)))
    assert "<other-dynamics>più f</other-dynamics>" in text
    assert "<f/>" not in text
    assert again.notes[0].dynamic_mark == "più f"


@pytest.mark.parametrize(
    "led",
    [
        words("poco"),
        words("più") + words("mosso"),
        words("più").replace("<direction>", '<direction placement="above">'),
    ],
)
def test_a_word_that_may_lead_something_else_leads_no_dynamic(led: str) -> None:
    """Poco may be of a cresc. to come, più of a tempo beside it or above the staff."""
    notes = read(score(bar(mark("f") + note("C5") + led + note("D5")))).passage.notes
    assert [each.dynamic_mark for each in notes] == ["f", ""]


def test_a_word_leads_no_dynamic_that_is_in_doubt() -> None:
    """After cresc. nobody knows what più is more than."""
    music = mark("p") + note("C5") + words("cresc.") + note("D5") + words("più") + note("E5")
    notes = read(score(bar(music))).passage.notes
    assert [each.dynamic_mark for each in notes] == ["p", "", ""]


@pytest.mark.parametrize(
    ("marks", "level", "printed"),
    [
        ("<fff/>", "ff", "fff"),
        ("<ppp/>", "pp", "ppp"),
        ("<pp/><other-dynamics>sub.</other-dynamics>", "pp", "sub. pp"),
        ("<other-dynamics>[</other-dynamics><mf/><other-dynamics>]</other-dynamics>", "mf", "mf"),
    ],
)
def test_a_dynamic_is_printed_as_it_stands(marks: str, level: str, printed: str) -> None:
    """What is louder than ff or softer than pp counts as these, and is written as itself; so is sub."""
    passage = read(score(bar(direction(f"<dynamics>{marks}</dynamics>") + note("C5")))).passage
    assert (passage.notes[0].dynamic, passage.notes[0].dynamic_mark) == (level, printed)
    _, again = written_again(passage)
    assert again.notes[0].dynamic_mark == printed


def test_a_hairpin_ends_where_the_dynamic_stands_that_it_leads_to() -> None:
    """Over C and half of D, which is forte: written again it stops as D begins and crosses no f."""
    music = wedge("crescendo") + note("C5") + mark("f") + wedge("stop", offset=2) + note("D5", 8)
    passage = read(score(bar(music))).passage
    assert passage.notes[1].hairpins
    _, again = written_again(passage)
    assert [each.hairpins for each in again.notes] == [(Hairpin("crescendo", Fraction(0), QUARTER),), ()]


def test_the_last_of_a_hairpin_that_began_before_is_not_drawn() -> None:
    """Of three notes under one the last alone has none; the last two have it from the first of them on."""
    music = wedge("diminuendo") + note("C5") + note("D5") + note("E5") + wedge("stop")
    notes = read(score(bar(music))).passage.notes
    assert hairpin_ends(notes[2:]) == []
    assert [each.kind for each in hairpin_ends(notes[1:])] == ["diminuendo", "stop"]


def test_a_hairpin_that_begins_over_a_rest_is_drawn() -> None:
    """It begins under the rest before its one note: that is no piece of one before. Common practice."""
    first, second = read_notation("A5:1/2 r:1/4 B5:1/2").notes
    grows = replace(second, hairpins=(Hairpin("crescendo", Fraction(-1, 4), Fraction(1, 2)),))
    assert [(str(each.at), each.kind) for each in hairpin_ends([first, grows])] == [
        ("3/4", "crescendo"),
        ("5/4", "stop"),
    ]


def test_a_word_behind_a_dynamic_that_compares_it_belongs_to_it() -> None:
    """F più is più f; molto behind it may lead what comes."""
    for word, printed in (("più", "più f"), ("molto", "f")):
        music = mark("f") + direction(f"<words>{word}</words>") + note("C5")
        assert read(score(bar(music))).passage.notes[0].dynamic_mark == printed


def test_a_dynamic_with_words_stands_above_where_the_next_note_has_a_mark() -> None:
    """Sempre ff, then sf on the next note: not both below, where one would be drawn over the other."""
    led = direction("<dynamics><other-dynamics>sempre </other-dynamics><ff/></dynamics>")
    text, _ = written_again(read(score(bar(led + note("C5") + mark("sf") + note("D5")))).passage)
    directions = text.split("<direction ")[1:]
    assert [each.startswith('placement="above"') for each in directions] == [True, False]
    assert "sempre ff" in directions[0]


def part_bars(passage: Passage) -> str:
    """Notes as bars of a part are written."""
    notes = tuple(replace(each, onset=each.onset - passage.notes[0].onset) for each in passage.notes)
    return write_score([Section(Passage(notes), ends=False)]).data.decode()


def test_bars_that_begin_after_a_dynamic_have_it_in_brackets() -> None:
    """P of bar 1 holds in bar 2; after a long silence in bar 6, and after cresc., nothing tells."""
    silent = [bar("<note><rest/><duration>16</duration></note>", str(each)) for each in range(3, 6)]
    bars = (bar(mark("p") + note("C5")), bar(note("D5"), "2"), *silent, bar(note("E5"), "6"))
    for asked, told in (("1", ["<p/>"]), ("2", ["( p )"]), ("6", [])):
        text = part_bars(read(score(*bars), bars=asked).passage)
        assert [each for each in ("<p/>", "( p )") if each in text] == told
    grown = read(score(bar(mark("p") + note("C5") + words("cresc.") + note("D5")), bar(note("E5"), "2")))
    assert "dynamics" not in part_bars(Passage(grown.passage.notes[-1:]))


@pytest.mark.parametrize(("printed", "levels"), [("mf", ["mf", "mf"]), ("", ["mp", "mp"])])
def test_a_mark_in_brackets_gives_way_to_one_printed_at_the_same_note(
    printed: str, levels: list[str]
) -> None:
    """What an editor added counts where nothing else stands."""
    bracket = "<other-dynamics>{}</other-dynamics>".format
    added = direction(f"<dynamics>{bracket('[')}<mp/>{bracket(']')}</dynamics>")
    own = mark(printed) if printed else ""
    for marks in (added + own, own + added):
        notes = read(score(bar(marks + note("C5") + note("D5")))).passage.notes
        assert [each.dynamic for each in notes] == levels


def test_a_dynamic_in_brackets_stands_over_the_staff_where_a_hairpin_is_below() -> None:
    """P holds in bar 2, which grows at once: not one drawn over the other."""
    grows = wedge("crescendo") + note("D5") + note("E5") + wedge("stop") + note("F5")
    for music, above in ((note("D5"), False), (grows, True)):
        text = part_bars(read(score(bar(mark("p") + note("C5")), bar(music, "2")), bars="2").passage)
        (held_on,) = [each for each in text.split("<direction ")[1:] if "( p )" in each]
        assert held_on.startswith('placement="above"') is above
