"""Practice and technique sheets as documents: days, drills, diagrams, boxes, hostile texts."""

import re
from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest
from tests.page.test_report import NASTY, Page
from tests.tiers import whole

from gripway.asked.wishes import Wishes
from gripway.errors import RequestError
from gripway.model.key import Key
from gripway.page.diagram.diagram import diagram
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.engraving.drawing_parts import UNITS_PER_MM
from gripway.page.engraving.engrave import engrave
from gripway.page.sheet.fit_choice import ROOM_MM, first_fit, fit_for
from gripway.page.sheet.practice_drill import (
    DRILL_DIAGRAM_MM,
    PAGE_MM,
    SIZES,
    SMALL,
    STAFF_SCALE,
    DrillDrawer,
)
from gripway.page.sheet.practice_fit import (
    EVERY_WORD,
    FITS,
    HARDEST_RANK,
    NO_HANDS,
    Fit,
    grips_of,
    hands_of,
    is_told,
    words_of,
)
from gripway.page.sheet.practice_layout import (
    HALF_MM,
    height_of,
    left_mm,
    row_height,
    rows_of,
    strips,
    width_of,
)
from gripway.page.sheet.sheet_model import SheetCell, SheetDrill, SheetPage, SheetPause
from gripway.practice.drills.drill_score import printed_grips
from gripway.practice.plan.log_reading import History, Reached, notes_of
from gripway.practice.plan.plan import Plan
from gripway.score.reading.score_reading import read_score
from gripway.score.writing.write_score import Section, write_score
from gripway.tasks.flutes import flute
from gripway.tasks.pattern_cell_lists import PatternQuestion, hard_patterns
from gripway.tasks.practice_sheets import clock, day_page, plan_sheet, sheet_drill, technique_sheet
from gripway.tasks.practise import PracticeTime, practise
from gripway.tasks.scores import notes

LINE = "(A5 B5 C#6 D6 E6 F#6 G#6 A6) (G#6 B6 A6 F#6 D6 C#6 B5 A5)"


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Three days of twenty minutes."""
    return practise(notes(LINE, tempo=116), flute(), time=PracticeTime(20, 3))


@pytest.fixture(scope="module")
def sheet(plan: Plan) -> str:
    """Its sheet."""
    return plan_sheet(plan, flute())


def test_every_day_is_a_section_with_its_drills_in_order(plan: Plan, sheet: str) -> None:
    """One section a day; each item's drill stands in it below its cell, with a box for each tempo it has."""
    days = sheet.split("<section")[1:]
    assert len(days) == len(plan.days) == 3
    for day, text in zip(plan.days, days, strict=True):
        page = Page(f"<section{text}")
        labels = re.findall(r'class="name">(\d+\.\d+) ', text)
        below = sorted(day.items, key=lambda item: [each.cell for each in day.items].index(item.cell))
        wanted = [f"{item.cell + 1}.{item.drill + 1}" for item in below]
        cards = 'class="card"' in text  # the cells stand above all drills, which flow by their number
        assert labels == (sorted(wanted, key=lambda label: label.split(".")[1]) if cards else wanted)
        assert f"day {day.day} of 3" in page.words
        timed = (item for item in day.items if not plan.cells[item.cell].drills[item.drill].free)
        boxes = sum(len(item.steps) for item in timed) + len(day.studies) + 1
        assert len(page.of_class("box")) == boxes
        assert "Stop on pain" in page.words


def test_the_grips_of_a_cell_stand_beside_it_once_a_page(plan: Plan, sheet: str) -> None:
    """Each of up to three grips (of more notes the worst change), 30.5 mm high; none under the drills."""
    drawer = DrillDrawer(GripSymbols(flute()))
    wanted = 0
    for day in plan.days:
        page = day_page(plan, day)
        fit = fit_for(page, drawer)
        cells = [block for block in page.blocks if isinstance(block, SheetCell)]
        assert [cell.number for cell in cells] == sorted({item.cell + 1 for item in day.items})
        for cell in cells:
            own = plan.cells[cell.number - 1].cell
            few = slice(own.worst - 1, own.worst + 1) if len(own.pitches) > 3 else slice(None)
            assert [name for name, _ in cell.hands] == list(own.pitches[few])
            assert [grip for _, grip in cell.hands] == [each.grip for each in own.candidates[few]]
            wanted += len(hands_of(cell, fit))
        assert not any(block.shown for block in page.blocks if isinstance(block, SheetDrill))
    page = Page(sheet)
    used = [a["href"] for a in page.all("use") if (a.get("href") or "").startswith("#grip-")]
    assert len(used) == wanted > 0
    assert set(used) <= {f"#{a['id']}" for a in page.all("symbol")}
    assert sheet.count("height:30.5mm") == wanted


def test_drills_have_no_numbers_of_bars_and_bars_of_the_part_have_theirs() -> None:
    """On a narrow page a drill goes over several lines; what is counted there is no bar of the part."""
    made = practise(notes(LINE, tempo=116), flute(), time=PracticeTime(20, 1))
    drawer = DrillDrawer(GripSymbols(flute()))
    longest = max(range(len(made.cells[0].drills)), key=lambda at: made.cells[0].drills[at].lasts)
    drill = with_diagrams(made, longest)
    drawn = drawer.draw(drill, SIZES[0], 60)
    assert drawn.drawings.count("</svg>") > 1
    assert "mNum" not in drawn.drawings
    assert "mNum" in drawer.draw(replace(drill, first_bar=41), SIZES[0], 60).drawings


def test_diagrams_are_centred_under_their_heads_and_touch_none_other() -> None:
    """In the engraver's measures, for every drill of a cell in every size."""
    made = practise(notes(LINE, tempo=116), flute(), time=PracticeTime(20, 1))
    drawer = DrillDrawer(GripSymbols(flute()))
    for place in range(len(made.cells[0].drills)):
        for size in SIZES:
            drawn = drawer.draw(with_diagrams(made, place), size)
            assert 0 < drawn.width_mm <= PAGE_MM + 1
            lines = [_boxes(line) for line in drawn.drawings.split("</svg>")]
            assert any(lines)
            for boxes in lines:
                for number, (x, y, wide, high) in enumerate(boxes):
                    assert high * size.scale / 100 == pytest.approx(size.diagram_mm, abs=0.1)
                    for x2, y2, wide2, high2 in boxes[:number]:
                        assert x + wide <= x2 + 2 or x2 + wide2 <= x + 2 or y + high <= y2 or y2 + high2 <= y


def with_diagrams(made: Plan, place: int) -> SheetDrill:
    """A drill of the first cell with a diagram at every new grip."""
    drill = sheet_drill(made.cells[0], 1, place)
    return replace(drill, shown=tuple(printed_grips(made.cells[0].drills[place])))


def _boxes(line: str) -> list[tuple[float, ...]]:
    """x, y, width and height of the diagrams of a line of music."""
    return [
        tuple(float(each[name] or 0) for name in ("x", "y", "width", "height"))
        for each in Page(line).all("use")
        if (each.get("href") or "").startswith("#grip-")
    ]


def test_staves_and_dots_can_be_read_at_a_metre_and_the_caution_has_two_lines(plan: Plan) -> None:
    """Staff 7 mm, dots 2.5 mm; smaller only where the shortest words of what is new have no room."""
    drawer = DrillDrawer(GripSymbols(flute()))
    written = write_score([Section(plan.cells[0].drills[0].passage)])
    (system, *_) = engrave(read_score(written.data, "drill"), width_mm=PAGE_MM).systems
    assert system.staff.height / UNITS_PER_MM * STAFF_SCALE == pytest.approx(7.0, abs=0.05)
    grip = plan.cells[0].drills[0].grips[0]
    drawing = diagram(flute(), grip)
    (high,) = re.findall(r'viewBox="0 0 [0-9]+ ([0-9]+)"', drawing)
    (dot,) = set(re.findall(r'<circle[^>]* r="([0-9.]+)"', drawing))
    assert 2 * float(dot) / float(high) * DRILL_DIAGRAM_MM == pytest.approx(2.5, abs=0.05)
    for day in plan.days:
        page = day_page(plan, day)
        fit = fit_for(page, drawer)
        barest = [each for each in FITS if each.size == SIZES[-1] and each.words <= EVERY_WORD]
        assert (fit.size in SIZES) == any(height_of(page, drawer, each) <= ROOM_MM for each in barest)
        assert fit.size in (*SIZES, SMALL[0])
        assert len(" ".join(page.cautions)) <= 250  # two lines of 131 letters, with a heading


def test_what_is_read_at_the_stand_has_ten_points(sheet: str) -> None:
    """Tempo numbers 10.5 points; names of drills, work, grips, explanations 10 at least."""
    sizes = dict(re.findall(r"\n\.([\w .-]+?)\{[^}]*?font-size:([0-9.]+)pt", sheet))
    assert float(sizes["boxes"]) >= 10.5
    assert float(sizes["cautions"]) >= 8.5
    for name in ("name", "study", "hint", "words p", "fill-in", "pause"):
        assert float(sizes[name]) >= 10.0, name


def test_grips_in_words_stand_on_a_line_of_their_own(plan: Plan) -> None:
    """Not in the heading, which they would break."""
    drawer = DrillDrawer(GripSymbols(flute()))
    for day in plan.days:
        page = day_page(plan, day)
        for cell in (block for block in page.blocks if isinstance(block, SheetCell)):
            assert "|" not in cell.facts
            assert grips_of(cell, Fit(SIZES[-1], 0, hands=NO_HANDS)) == cell.grips
            assert bool(grips_of(cell, fit_for(page, drawer))) == (
                len(hands_of(cell, fit_for(page, drawer))) < len(cell.grips.split(";"))
            )


def test_two_cells_with_few_drills_share_a_row(plan: Plan) -> None:
    """Where that is lower; in their order, and no music is wider than its half."""
    drawer = DrillDrawer(GripSymbols(flute()))
    drill = sheet_drill(plan.cells[0], 1, 0)
    cells = [
        replace(day_cell, number=number) for number, day_cell in enumerate([_cell_of(plan)] * 3, start=1)
    ]
    blocks = [block for cell in cells for block in (cell, drill)]
    rows = rows_of(blocks, drawer, Fit(SIZES[-1], 0))
    assert [[cell.number for strip in row for cell in strip.cells] for row in rows] == [[1, 2], [3]]
    (pair, one) = rows
    assert row_height(pair, drawer, Fit(SIZES[-1], 0)) < 2 * row_height(one, drawer, Fit(SIZES[-1], 0))
    wide = left_mm(cells[0], drawer, Fit(SIZES[-1], 0)) + drawer.draw(drill, SIZES[-1]).width_mm
    assert wide <= HALF_MM


def _cell_of(plan: Plan) -> SheetCell:
    """The first cell of a plan with the grips of two notes."""
    cell = next(block for block in day_page(plan, plan.days[0]).blocks if isinstance(block, SheetCell))
    return replace(cell, hands=cell.hands[:2])


def test_ids_are_unique_and_links_lead_inside(sheet: str) -> None:
    """No id twice, no address but a fragment or none, no script."""
    page = Page(sheet)
    ids = Counter(a["id"] for _, a in page.elements if a.get("id"))
    assert set(ids.values()) == {1}
    assert {(a.get("href") or "#")[0] for _, a in page.elements if "href" in a} == {"#"}
    assert not page.all("script")
    assert "http://" not in re.sub(r'xmlns="[^"]*"', "", sheet)


def test_texts_of_a_stranger_are_only_text(plan: Plan) -> None:
    """A hostile title, part and remark make no element."""
    day = replace(plan, days=plan.days[:1])
    harmless = "a" * len(NASTY)  # as long, as a longer heading leaves less room
    titled = [replace(plan.route.passage, title=name, part=name) for name in (NASTY, harmless)]
    hostile, plain = (
        plan_sheet(replace(day, route=replace(plan.route, passage=each)), flute()) for each in titled
    )
    kinds = [Counter(tag for tag, _ in Page(text).elements) for text in (hostile, plain)]
    assert kinds[0] == kinds[1]
    assert "<script" not in hostile
    assert hostile.count("&lt;script&gt;") >= 3


def test_a_day_in_the_log_is_only_text(plan: Plan) -> None:
    """A day in a log that is no day is only text."""
    planned = replace(plan.cells[0], reached=(Reached("", "", 70, NASTY),))
    text = plan_sheet(replace(plan, cells=(planned, *plan.cells[1:]), days=plan.days[:1]), flute())
    assert "<script" not in text
    assert "tempos" in {a.get("class") for _, a in Page(text).elements}


def test_tempos_of_the_log_are_plotted(plan: Plan, sheet: str) -> None:
    """Beside every cell the log knows."""
    cell = plan.cells[0].cell
    history = History(
        tuple(Reached(cell.key, notes_of(cell), tempo, "2026-01-03T10:00") for tempo in (60, 66))
    )
    again = practise(notes(LINE, tempo=116), flute(), time=PracticeTime(20, 1), history=history)
    text = plan_sheet(again, flute())
    assert "Clean at quarter = 60 on 2026-01-03, 66 on 2026-01-03; the part is at 116" in text
    assert "Clean at quarter" not in sheet


def test_where_nothing_is_hard_the_sheet_says_so() -> None:
    """A page a day for sound and line, with the cautions; where no finger moves one page that says so."""
    easy = practise(notes("G4:1/4 A4:1/4 B4:1/4", tempo=60), flute())
    page = Page(plan_sheet(easy, flute()))
    assert len(page.all("section")) == len(easy.days) == 5
    assert page.words.count("Nothing here is hard for the fingers") == 5
    assert page.words.count("Stop on pain") == 5
    still = Page(plan_sheet(practise(notes("G4:1/4", tempo=60), flute()), flute()))
    assert len(still.all("section")) == 1
    assert "no change of fingers to practise" in still.words


@pytest.mark.whole
def test_a_page_takes_the_fullest_way_that_fits(plan: Plan) -> None:
    """More text or more drills never make it fuller; what fits is no higher than the paper."""
    drawer = DrillDrawer(GripSymbols(flute()))
    drills = [sheet_drill(plan.cells[0], 1, place, "2′") for place in range(len(plan.cells[0].drills))]
    cell = SheetCell(1, "F#6 A6", "load 1.2", "grips", lines=("word " * 60, "word " * 60))
    ranks = []
    for times in (1, 2, 3, 4, 8):
        page = SheetPage("day", "", [cell, *drills] * times)
        fit = first_fit(page, drawer)
        ranks.append(FITS.index(fit))
        assert height_of(page, drawer, fit) <= ROOM_MM or fit == FITS[-1]
        assert fit_for(page, drawer).words <= fit.words
    assert ranks == sorted(ranks)
    assert ranks[0] < ranks[-1]
    assert all(width_of(drill, drawer.draw(drill, SIZES[-1])) <= PAGE_MM for drill in drills)


@whole
def test_an_hour_stands_on_one_page_with_drills_in_words() -> None:
    """Drills of least rank lose their music, those of earlier days first; boxes and names stay for all."""
    line = "F#6 G#6 A6 r D6 E6 F6 D6 r B5 C6 D6 E6 r A6 B6 C#7 r C#6 B5 D6 r"
    made = practise(notes(line, tempo=150), flute(), time=PracticeTime(60, 3))
    drawer = DrillDrawer(GripSymbols(flute()))
    days = plan_sheet(made, flute()).split("<section")[1:]
    labels: dict[int, set[str]] = {}
    for day, text in zip(made.days, days, strict=True):
        page = day_page(made, day)
        fit = fit_for(page, drawer)
        assert height_of(page, drawer, fit) <= ROOM_MM
        drills = [block for block in page.blocks if isinstance(block, SheetDrill)]
        told = [drill for drill in drills if is_told(drill, fit)]
        ranks = sorted(drill.rank for drill in drills)  # the hardest cell has one drill that goes last
        assert ranks[-1] == HARDEST_RANK
        assert len(set(ranks)) == len(drills)
        shown = Page(f"<section{text}")
        assert len(shown.of_class("drill")) == len(drills)
        boxes = sum(len(drill.steps) for drill in drills) + len(day.studies) + 1
        assert len(shown.of_class("box")) == boxes
        assert all(drill.words in shown.words for drill in told)
        again = [drill for drill in drills if drill.words.startswith("as on day ")]
        assert day.day < 3 or again
        for drill in again:
            assert drill.label in labels[int(drill.words.split(":")[0].rpartition(" ")[2])]
        labels[day.day] = {drill.label for drill in drills}
        assert "Stop on pain" in shown.words


def test_strips_keep_the_order() -> None:
    """Cells before drills, pauses by themselves, nothing lost."""
    made = practise(notes(LINE, tempo=116), flute(), time=PracticeTime(20, 1))
    drill, cell, pause = sheet_drill(made.cells[0], 1, 0), SheetCell(1, "", ""), SheetPause("rest")
    found = list(strips([cell, drill, drill, pause, drill, cell, cell, drill], FITS[0]))
    assert [(len(s.cells), len(s.drills), s.pause is not None) for s in found] == [
        (1, 2, False),
        (0, 0, True),
        (0, 1, False),
        (2, 1, False),
    ]


@pytest.mark.parametrize(("minutes", "told"), [(1.0, "1′"), (2.5, "2′30″"), (4, "4′")])
def test_minutes_are_written_as_musicians_do(minutes: float, told: str) -> None:
    """Minutes and seconds by their strokes."""
    assert clock(minutes) == told


def test_the_technique_sheet_has_map_list_and_only_the_worst_cells() -> None:
    """A number for every change of the matrix, a heading for every cell, all its drills, its whole ladder."""
    question = PatternQuestion(90, 93, (Key.parse("A"),), (), Fraction(1, 16), 120.0)
    found = hard_patterns(flute(), question, Wishes(others=0))
    text = technique_sheet(found, 5)
    page = Page(text)
    assert len(re.findall(r">\d\.\d\d</text>", text)) == len(found.matrix.changes)
    assert len(page.all("h2")) == len(found.cells) + 2
    assert len(page.of_class("name")) == sum(len(each.drills) for each in found.worked)
    assert len(page.of_class("box")) == sum(len(each.ladder.steps) for each in found.worked)
    assert "Stop on pain" in page.words


def test_bars_stand_below_their_line_and_once_only() -> None:
    """A line has its own bars; one whose notes stand under another line alone has no words for that."""
    made = practise(notes("(D6 E6 F6 D6)", tempo=160), flute())
    music = SheetDrill("bars", "1", made.route.passage, [], (4, 4), ())
    ids = frozenset(note.id for note in made.route.passage.notes)
    owner = SheetPause("owner", to_tick=True, music=((music,),), notes=ids, number=1)
    sharer = SheetPause("sharer", to_tick=True, notes=ids, number=2)
    fit = replace(FITS[0], bars=((1, 0),))
    for blocks in ((owner, sharer), (sharer, owner)):
        found = {strip.pause.words: strip for strip in strips(blocks, fit) if strip.pause}
        assert found["owner"].bars == (music,)
        assert not found["sharer"].bars
        assert words_of(found["sharer"].pause or owner, fit) == "sharer"


def test_a_paper_that_is_not_known_is_refused(plan: Plan) -> None:
    """A sheet for A4 says its size; another word is no paper."""
    assert "@page{size:a4}" in plan_sheet(plan, flute(), paper="a4")
    with pytest.raises(RequestError, match="no paper"):
        plan_sheet(plan, flute(), paper="a9;}")
