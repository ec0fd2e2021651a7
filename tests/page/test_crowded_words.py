"""Tempo marks that would be piled up, and words that would leave the page, are written to fit."""

import re

from tests.score.small_scores import bar, direction, note, read, score

from gripway.page.engraving.engrave import engrave
from gripway.page.engraving.find_places import keep_numbers
from gripway.page.engraving.svg_cleaning import Drawn

REST = note("r", 16)
OPEN = "<words>[</words></direction-type><direction-type>"
FALLING = ("136]", "132]", "124]")
NOTES = note("C5", 8) + note("D5", 8)


def _mark(number: str, beat: str = "quarter") -> str:
    return direction(f"<metronome><beat-unit>{beat}</beat-unit><per-minute>{number}</per-minute></metronome>")


def _words(*bars: str, width_mm: float = 180.0) -> tuple[list[str], str]:
    """The words of the only system, tempo marks and directions, and its drawing."""
    (system,) = engrave(read(score(*bars)), width_mm=width_mm).systems
    texts = re.findall(r"<g class=\"(?:tempo|dir)\">(.*?)</g>", system.drawing)
    said = [re.sub(r"<[^>]*>|[\ue000-\uf8ff]", "", text) for text in texts]
    return [" ".join(text.split()) for text in said], system.drawing


def test_crowded_tempos_of_empty_bars_are_one_mark() -> None:
    """Three tempos within a bar's rest are one mark with three numbers, its bracket closed once."""
    marks = "".join(_mark(number).replace("<metronome>", f"{OPEN}<metronome>") for number in FALLING)
    said, _ = _words(bar(NOTES), bar(marks + REST, "2"))
    assert said == ["[ = 136 – 132 – 124]"]


def test_a_crowded_tempo_over_notes_is_a_number() -> None:
    """Over notes each number stays at its place, without the beat that the mark before it has."""
    said, _ = _words(bar(_mark("136") + note("C5", 4) + _mark("132") + note("D5", 12)))
    assert said == ["= 136", "132"]


def test_tempos_with_room_and_other_beats_stay_as_they_are() -> None:
    """Marks that do not touch are left alone, and one that counts another beat keeps its beat."""
    apart, _ = _words(bar(_mark("136") + NOTES), bar(_mark("132") + NOTES, "2"), width_mm=180)
    assert apart == ["= 136", "= 132"]
    other, _ = _words(bar(NOTES), bar(_mark("136") + _mark("66", "half") + REST, "2"))
    assert other == ["= 136", "= 66"]


def test_words_beside_the_number_of_a_long_rest_are_broken() -> None:
    """Over the bar before it they stand in two lines; over a bar of notes in one."""
    long = direction("<words>Sempre più tranquillo</words>")
    rests = [f'<measure number="{number}">{REST}</measure>' for number in range(2, 9)]
    after = [bar(NOTES, str(number)) for number in range(9, 12)]
    said, drawing = _words(bar(note("C5", 12) + long + note("D5", 4)), *rests, *after, width_mm=140)
    assert said[0].replace(" ", "") == "Semprepiùtranquillo"
    assert "Sempre più tranquillo" not in drawing
    notes = [bar(NOTES, str(number)) for number in (2, 3)]
    assert "Sempre più tranquillo" in _words(bar(long + NOTES), *notes, width_mm=100)[1]


def test_wanted_bars_have_their_numbers() -> None:
    """Besides the first of a line, which always has its own."""
    music = read(score(*(bar(NOTES, str(number)) for number in range(5, 9))))

    def numbers(*wanted: str) -> list[str]:
        (system,) = engrave(music, width_mm=180, numbered=wanted).systems
        drawn = re.findall(r'<g class="mNum">(.*?)</g>', system.drawing)
        return [re.sub("<[^>]*>", "", each) for each in drawn]

    assert numbers() == ["5"]
    assert numbers("7") == ["5", "7"]


def test_the_number_of_a_bar_stands_above_the_notes_before_it() -> None:
    """It ends at its bar line, is lifted over a head or a tie in its way, not over one far to the left."""

    def foot(head: float, tied: float = 0) -> float:
        """How low the second number of a line is, at 7000, with a head and the end of a tie so far right."""
        glyph = Drawn("use", {"transform": f"translate({head:g}, 600) scale(0.72, 0.72)"})
        curve = f"M{tied - 900:g},650 C{tied - 600:g},560 {tied - 300:g},560 {tied:g},650 C0,0 0,0 0,0"
        tie = Drawn("g", {"class": "tie"}, children=[Drawn("path", {"d": curve})])
        numbers = [Drawn("text", {"x": x, "y": "700"}, text) for x, text in (("0", "5"), ("7000", "6"))]
        groups = [Drawn("g", {"class": "mNum"}, children=[number]) for number in numbers]
        keep_numbers(
            Drawn("svg", {}, children=[*groups, Drawn("g", {"class": "notehead"}, children=[glyph]), tie]),
            {"6"},
        )
        assert "text-anchor" not in numbers[0].attributes
        assert numbers[1].attributes["text-anchor"] == "end"
        return float(numbers[1].attributes["y"])

    assert foot(3000) == 700
    assert foot(6700) < 600
    assert foot(6250) < 600  # three digits, and the line of a head above the staff
    assert foot(3000, tied=7100) < 600
    assert foot(3000, tied=6000) == 700


def test_words_that_would_leave_the_page_are_broken() -> None:
    """Long words over the last bar stand in two lines, and short ones in one, as they were."""
    long = direction("<words>Mysteriously, well sustained and without any hurry at all</words>")
    said, drawing = _words(bar(note("C5", 8) + long + note("D5", 8)), width_mm=70)
    assert said[0].replace(" ", "") == "Mysteriously,wellsustainedandwithoutanyhurryatall"
    assert "Mysteriously, well sustained and without any hurry at all" not in drawing
    fits = direction("<words>con moto</words>")
    assert "con moto" in _words(bar(NOTES), bar(fits + REST, "2"), width_mm=100)[1]
