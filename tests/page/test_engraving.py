"""The chosen part engraved, and its notes found again."""

import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from tests.score.small_scores import bar, direction, note, read, score, scores
from tests.tiers import thinned

from gripway.errors import ScoreError
from gripway.page.engraving.drawing_parts import Space, rows_of
from gripway.page.engraving.engrave import engrave
from gripway.page.engraving.sheet_xml import RoomUnderNotes, sheet_xml
from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.score_reading import read_score

DATA = Path(__file__).parents[1] / "data"
SCORES = sorted(DATA.glob("*.musicxml"))


CLEF = "<clef><sign>G</sign><line>2</line></clef>"


@pytest.mark.parametrize("path", thinned(SCORES, 4), ids=lambda path: path.stem)
def test_every_note_of_a_real_part_is_found_again(path: Path) -> None:
    """Each written note of the passage has a box in one system, inside it, with room below the staff."""
    reading = read_score(path.read_bytes(), path.name)
    engraving = engrave(reading, space=Space({}, others_mm=12))
    places = [(name, system) for system in engraving.systems for name in system.notes]
    assert len(dict(places)) == len(places), "no note stands twice, though repeats play it twice"
    found = dict(places)
    for each in reading.passage.notes:
        system = found[each.id]
        box = system.notes[each.id]
        assert 0 < box.head.x < box.head.x + box.head.width <= system.width
        assert 0 <= box.head.y < box.head.bottom <= system.height
        assert box.room is not None
        assert box.room.x == box.head.middle
        assert box.room.y >= system.staff.bottom
        assert box.room.bottom <= system.height + 150


def test_heads_stand_as_high_as_their_pitches() -> None:
    """On one staff a step is half the distance of two lines: the engraver's heads tell the pitch again."""
    names = ["E4", "F5", "A5", "C6", "E6"]
    reading = read(score(bar("".join(map(note, names)), attributes=CLEF)))
    (system,) = engrave(reading).systems
    half_space = system.staff.height / 8
    for ordinal, name in enumerate(names, start=1):
        head = system.notes[f"P1-n{ordinal}"].head
        middle = head.y + head.height / 2
        steps = 7 * int(name[1]) + "CDEFGAB".index(name[0]) - (7 * 4 + 2)  # E4 is the lowest line
        assert middle == pytest.approx(system.staff.bottom - steps * half_space, abs=half_space / 3)


def test_only_the_bars_asked_for_are_drawn() -> None:
    """A cut keeps clef and key of what came before, and the ids count from the beginning."""
    path = DATA / "schubert_d485_flute.musicxml"
    reading = read_score(path.read_bytes(), path.name, ReadOptions(bars="20-24"))
    engraving = engrave(reading, bars="20-24")
    drawn = {name for system in engraving.systems for name in system.notes}
    assert {each.id for each in reading.passage.notes} <= drawn
    assert "P1-n1" not in drawn
    text = sheet_xml(reading, "20-24").text
    assert text.count("<measure ") == 5
    assert text.count("<sign>G</sign>") >= 1
    assert text.index("<divisions>") < text.index("<note ")


def test_other_parts_and_ids_are_left_out() -> None:
    """Only the chosen part is drawn, and no id of the score's own can be taken for one of ours."""
    first = bar(note("C5", attributes=' id="P2-n1"'))
    second = bar(note("D6", attributes=' id="at-P2-n1"'))
    reading = read(scores(("Oboe", (first,)), ("Flute", (second,))), part="2")
    text = sheet_xml(reading).text
    assert (text.count("<part "), text.count("<note "), text.count("at-P2")) == (1, 1, 0)
    (system,) = engrave(reading).systems
    assert list(system.notes) == ["P2-n1"]


def test_room_is_kept_below_the_lyrics_there_are() -> None:
    """Placeholders come after the lyric lines of the score, and are not drawn; its own words are."""
    sung = note("C5", after='<lyric number="9"><text>sung</text></lyric>')
    reading = read(score(bar(sung)))
    sheet = sheet_xml(reading, None, RoomUnderNotes({"P1-n1": 3}))
    assert sheet.lyric_lines == 1
    assert [number in sheet.text for number in ('number="1"', 'number="2"', 'number="4"', 'number="9"')] == [
        True,
        True,
        True,
        False,
    ]
    (system,) = engrave(reading, space=Space({"P1-n1": 12})).systems
    assert "sung" in system.drawing
    assert "llll" not in system.drawing
    assert system.notes["P1-n1"].room is not None


def test_widths_are_kept_within_reason() -> None:
    """A narrow page has more systems than a wide one, each as wide as was asked."""
    path = DATA / "boulanger_matin_flute.musicxml"
    reading = read_score(path.read_bytes(), path.name)
    narrow, wide = (engrave(reading, bars="1-20", width_mm=width) for width in (90.0, 250.0))
    assert len(narrow.systems) > len(wide.systems)
    assert (narrow.systems[0].width, wide.systems[0].width) == (9000, 25000)


def test_the_same_score_gives_the_same_drawing() -> None:
    """Nothing random is left of the engraver's ids."""
    reading = read(score(bar(note("C5"))))
    assert engrave(reading) == engrave(reading)


def test_the_music_font_comes_from_whichever_system_needs_it() -> None:
    """A tempo mark or dynamic set as text in a later system alone still brings its font."""
    metronome = "<metronome><beat-unit>quarter</beat-unit><per-minute>60</per-minute></metronome>"
    plain = [bar("".join(note("E5", 1) for _ in range(16)), str(k)) for k in range(1, 12)]
    late = bar(direction(metronome) + note("E5", 16), "12")
    engraving = engrave(read(score(*plain, late)), width_mm=100)
    assert len(engraving.systems) > 1
    assert "music-font" not in engraving.systems[0].drawing
    assert "music-font" in engraving.systems[-1].drawing
    assert len(engraving.font) > 1000


def test_every_thread_can_engrave() -> None:
    """The engraver's fonts are found from any thread, whichever was first (the page has several)."""
    reading = read(score(bar(note("E5", 16))))
    with ThreadPoolExecutor(1) as one, ThreadPoolExecutor(1) as two:
        drawn = [pool.submit(engrave, reading).result() for pool in (one, two)]
    assert drawn == [engrave(reading)] * 2


def test_what_cannot_be_drawn_is_a_clear_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the engraver refuses a score the error names it and what to do."""
    import verovio

    reading = read(score(bar(note("C5"))))
    monkeypatch.setattr(verovio.toolkit, "loadData", lambda *_: False)
    with pytest.raises(ScoreError, match=r"small\.musicxml: the engraver cannot draw this score"):
        engrave(reading)


def test_rows_are_counted_up() -> None:
    """A height of 9 mm takes three rows of 4 mm, nothing takes none."""
    assert [rows_of(height) for height in (0, 4, 9, 12)] == [0, 1, 3, 3]


def test_every_system_knows_all_its_bars() -> None:
    """Rows of rests, drawn as one, are counted in: together they have all 299 bars of the part."""
    schubert = Path(__file__).parents[1] / "data" / "schubert_d485_flute.musicxml"
    systems = engrave(read_score(schubert.read_bytes(), schubert.name)).systems
    assert len(systems) > 10
    assert [bar for system in systems for bar in system.bars] == [str(bar) for bar in range(1, 300)]


def test_bar_numbers_of_three_and_four_digits_are_not_cut() -> None:
    """The number that begins a system lies within the drawing, however long it is."""
    for first in (8, 98, 998, 9998):
        sixteenths = note("E5", 1, after="<type>16th</type>") * 16
        systems = engrave(read(score(*(bar(sixteenths, str(first + k)) for k in range(6))))).systems
        found = 0
        for system in systems:
            number = re.search(r'mNum.*?font-size="([0-9.]+)px">([0-9]+)<', system.drawing)
            shift = re.search(r"translate\(([0-9.]+),", system.drawing)
            if number is not None and shift is not None:
                found += 1
                half = len(number[2]) * float(number[1]) * 0.43 / 2  # a digit is 0.43 of its size wide
                assert float(shift[1]) >= half
        assert found >= len(systems) - 1 > 0


def test_empty_bars_in_a_row_become_one_rest() -> None:
    """Twenty bars' rest are one sign with its number; a bar with a note or another metre ends them."""
    rest, tone = note("r", 16), note("E5", 16, after="<type>whole</type>")
    metre = "<attributes><time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
    inner = [tone, *[rest] * 20, tone, rest, metre + rest, tone]
    measures = [bar(each, str(k)) for k, each in enumerate(inner, start=1)]
    plain = [each.replace("<attributes><divisions>4</divisions></attributes>", "") for each in measures[1:]]
    reading = read(score(measures[0], *plain))
    assert re.findall(r"<multiple-rest>(\d+)<", sheet_xml(reading).text) == ["20"]
    assert sum(len(system.notes) for system in engrave(reading).systems) == 3


def test_a_clef_before_a_rest_of_several_bars_stands_once() -> None:
    """The first bar sets clef and number of the rest: the engraver drew the clef again at its end."""
    rest = bar(note("r", 16), attributes=CLEF)
    second = bar(note("r", 16), "2").replace("<attributes><divisions>4</divisions></attributes>", "")
    third = bar(note("E5", 16, after="<type>whole</type>"), "3").replace(
        "<attributes><divisions>4</divisions></attributes>", ""
    )
    reading = read(score(rest, second, third))
    assert "<multiple-rest>2<" in sheet_xml(reading).text
    (system,) = engrave(reading).systems
    assert system.drawing.count("#glyph-E050") == 1  # gClef of SMuFL (W3C)


def test_a_bracket_around_a_tempo_closes_after_its_number() -> None:
    """The engraver sets all words of a tempo before its number, which left an empty pair of brackets."""
    bracketed = (
        '<direction placement="above"><direction-type><words>Vif [</words></direction-type><direction-type>'
        "<metronome><beat-unit>quarter</beat-unit><per-minute>136</per-minute></metronome></direction-type>"
        "<direction-type><words>]</words></direction-type></direction>"
    )
    (system,) = engrave(read(score(bar(bracketed + note("A5"), attributes=CLEF)))).systems
    words = "".join(re.findall(r"<tspan[^<>]*>([^<>]+)", system.drawing))
    assert re.search(r"Vif \[\s*.\s*=\s*136\]", words), words
    plain = bracketed.replace("Vif [", "Vif").replace("<words>]</words>", "<words>ancora</words>")
    (system,) = engrave(read(score(bar(plain + note("A5"), attributes=CLEF)))).systems
    assert "ancora" in "".join(re.findall(r"<tspan[^<>]*>([^<>]+)", system.drawing))
