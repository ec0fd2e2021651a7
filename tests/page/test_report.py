"""The report as a document: its structure, its links, and what hostile texts do to it (nothing)."""

import re
from collections import Counter
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from tests.score.small_scores import bar, direction, note, score

from gripway.asked.wishes import Pin, Wishes
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.effort.load import LATE
from gripway.page.engraving.score_of_notes import on_notes, own_sheet
from gripway.page.report.changes import hard_changes
from gripway.route.result import Route
from gripway.route.words.sentence import sentence
from gripway.score.reading.score_reading import read_score
from gripway.score.writing.write_score import Section, write_score
from gripway.tasks.flutes import flute
from gripway.tasks.reports import report
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes

EXAMPLES = Path(__file__).parents[2] / "examples"
TURNS = "D5 (F#5 E5 F#5 E5 F#5 E5) D5:1/4"
LINE = "(E6 F#6 G#6 A6) (B6 A6 G#6 F#6) E6:1/4"
NASTY = '"><script>alert(1)</script><img src=x onerror=alert(1)>&lt;b'


class Page(HTMLParser):
    """The elements of a document with their attributes, and its text."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.words = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep an element."""
        self.elements.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        """Keep a text."""
        self.words += data

    def all(self, name: str) -> list[dict[str, str | None]]:
        """The attributes of all elements of a name."""
        return [attributes for tag, attributes in self.elements if tag == name]

    def of_class(self, name: str) -> list[dict[str, str | None]]:
        """The attributes of all elements of a class."""
        return [a for _, a in self.elements if name in (a.get("class") or "").split()]


def line_report(line: str = LINE, **options: str) -> tuple[Route, str]:
    """Route and report of a line of notes at 100."""
    passage = notes(line, tempo=100)
    route = finger(passage, flute())
    return route, report(None, route, flute(), **options)


@pytest.fixture(scope="module")
def page() -> Page:
    """The report of the README's passage."""
    return Page(line_report()[1])


def test_the_document_is_whole_by_itself(page: Page) -> None:
    """It names no other file and no address, and its policy lets nothing in."""
    for _, attributes in page.elements:
        for key in ("src", "href", "data", "action"):
            assert (attributes.get(key) or "#").startswith("#")
    policy = next(a["content"] for a in page.all("meta") if a.get("http-equiv"))
    assert policy is not None
    assert policy.startswith("default-src 'none'")
    assert "unsafe-eval" not in policy
    assert page.all("html")[0]["lang"] == "en"
    assert len(page.all("h1")) == 1


def test_every_link_leads_somewhere_and_no_id_stands_twice(page: Page) -> None:
    """Links, uses of diagrams and labels point at ids of the page."""
    ids = Counter(a["id"] for _, a in page.elements if "id" in a)
    assert max(ids.values()) == 1
    targets = [a.get("href") for name, a in page.elements if name in ("a", "use")]
    assert {target[1:] for target in targets if target} <= set(ids)
    labelled = [a["aria-labelledby"] for _, a in page.elements if "aria-labelledby" in a]
    assert set(labelled) <= set(ids)


def test_every_note_has_its_button_and_its_card(page: Page) -> None:
    """Nine notes: nine links over the music with a name, nine cards with chosen grip and runners-up."""
    route, _ = line_report()
    hits, cards = page.of_class("hit"), page.of_class("card")
    assert len(hits) == len(cards) == len(route.notes)
    assert all(re.fullmatch(r"Bar 1, [A-G]#?\d: .+, \w+", hit["aria-label"] or "") for hit in hits)
    for each in route.notes:
        for other in each.others:
            assert other.candidate.grip.short in page.words
    assert len(page.of_class("chosen")) == len(cards)


def test_grips_that_are_not_plain_have_a_diagram_on_the_music(page: Page) -> None:
    """The marks are those a marked score would have, and the flagged notes; each once."""
    route, _ = line_report()
    _, passage = own_sheet(route.passage)
    own = on_notes(route, passage)
    marked = {a["data-note"] for a in page.of_class("mark")}
    wanted = {
        n.note.id
        for n in own.notes
        if n.flags or n.candidate is None or n.candidate.kind != "standard" or n.candidate.held
    }
    assert marked == wanted


def test_the_worst_changes_are_numbered_on_the_music_and_in_the_table(page: Page) -> None:
    """Each rank from called_hard_load on has its bracket, row, load, fingers and link; others have none."""
    route, text = line_report()
    assert len(route.hardest) == 5
    for rank, to in enumerate(route.hardest, start=1):
        change = next(each for each in route.changes if each.to == to)
        row = re.search(rf'<tr id="change-{rank}">(.*?)</tr>', text)
        if change.load < effort_tables().figures.called_hard_load:
            assert row is None
            assert f"Hard change {rank}," not in text
            continue
        assert row is not None
        assert f"{change.load:.2f}×" in row[1]
        assert all(finger_name in row[1] for finger_name, _ in change.movers)
        assert f"Hard change {rank}, load {change.load:.2f}×" in text


def test_a_bracket_means_that_the_fingers_come_late() -> None:
    """So quick that some changes come late: one bracket for each of them, and none at a slow tempo."""
    for tempo, some in ((60, False), (260, True)):
        route = finger(notes(LINE, tempo=tempo), flute())
        pairs = {
            (route.notes[c.to - 1].note.id, route.notes[c.to].note.id)
            for c in route.changes
            if c.load >= LATE
        }
        assert bool(pairs) is some
        assert len(re.findall(r'class="bracket( worst)?"', report(None, route, flute()))) == len(pairs)


def test_tuning_cautions_sources_and_tradeoff_are_there(page: Page) -> None:
    """Leans with spread and how they are known, cautions, sources, and the plot with its figures."""
    for words in ("±13", "taught", "Stop on pain", "protect your hearing", "Common practice", "Is it worth"):
        assert words in page.words
    assert "read opening part" not in page.words, "our own word for it is none for a reader"
    (plot,) = page.of_class("plot")
    assert plot["role"] == "img"


def test_the_plot_says_why_its_effort_differs(page: Page) -> None:
    """Beside the plot stand the answer's own two figures, those of its row, and what they leave out."""
    told = re.search(r"stands here at effort (\d+\.\d\d) and (\d+\.\d) cents a note", page.words)
    assert told
    assert f"{told[1]}{told[2]}the answer above (square)" in page.words, "the cells of its row"
    assert "what tuning costs is left out" in page.words
    assert "may lie off the line" in page.words


def test_the_legend_tells_load_as_it_is_reckoned(page: Page) -> None:
    """The factors of slurred and tongued changes in the legend are those of the table of figures."""
    figures = effort_tables().figures
    slurred, tongued = figures.slurred_factor, figures.tongued_factor
    assert f"{slurred:g} times for a slurred change and {tongued:g} times for a tongued one" in page.words


def test_the_legend_explains_no_sign_that_does_not_stand_there() -> None:
    """A slow low line in standard grips has no bracket, no diagram and no word on them."""
    route = finger(notes("G4:1/2 A4:1/2 B4:1/2", tempo=60), flute())
    words = Page(report(None, route, flute())).words
    assert not any(sign in words for sign in ("A bracket under", "A diagram stands", "cut in two"))


def test_all_or_first_marks_can_be_asked_for() -> None:
    """With `every` each note has a diagram."""
    route, text = line_report(which="every")
    assert len(Page(text).of_class("mark")) == len(route.notes)


def test_other_choices_have_no_tradeoff() -> None:
    """A route not chosen for the least effort stands on no front, and says what it was chosen for."""
    route = finger(notes(LINE), flute(), Wishes(choose="standard"))
    text = report(None, route, flute(), Wishes(choose="standard"))
    assert "standard grips wherever there is one" in text
    assert "Effort against tuning" not in text


def test_hostile_texts_are_shown_as_texts() -> None:
    """Title, part name, credit, lyric, words, rehearsal sign and fingering of a score stay words."""
    written = write_score(
        [
            Section(
                notes("E6 F#6 G#6 A6"),
                heading=NASTY,
                lyrics={0: NASTY},
                words={1: NASTY},
                fingerings={2: NASTY},
            )
        ],
        title=NASTY,
        part=NASTY,
    )
    safe = NASTY.replace("&", "&amp;").replace("<", "&lt;")
    credit = f"<credit><credit-words>{safe}</credit-words></credit><part-list>".encode()
    hostile = written.data.replace(b"<part-list>", credit, 1)
    rehearsal = f"<direction><direction-type><rehearsal>{safe}</rehearsal></direction-type></direction>"
    hostile = hostile.replace(b"<note>", rehearsal.encode() + b"<note>", 1)
    reading = read_score(hostile, NASTY)
    page = Page(report(reading, finger(reading.passage, flute()), flute()))
    assert len(page.all("script")) == 1, "our own"
    assert page.all("img") == []
    assert not [a for _, a in page.elements if any(key.startswith("on") for key in a)]
    assert page.words.count("<script>alert(1)</script>") >= 4


def test_hostile_attributes_do_not_reach_the_page() -> None:
    """Ids, colours and names of the score's own elements are not those of the page."""
    nasty = 'x" onload="alert(1)'.replace('"', "&quot;")
    words = direction(f'<words color="{nasty}" font-family="{nasty}" id="note-P1-n1">hello</words>')
    data = score(bar(words + note("E6", attributes=f' id="{nasty}" color="{nasty}"')))
    reading = read_score(data, "x")
    text = report(reading, finger(reading.passage, flute()), flute())
    page = Page(text)
    assert "hello" in text
    assert not [a for _, a in page.elements if any(key.startswith("on") for key in a)]
    assert Counter(a.get("id") for _, a in page.elements)["note-P1-n1"] == 1


def test_a_score_the_engraver_refuses_still_has_its_tables(monkeypatch: pytest.MonkeyPatch) -> None:
    """The report says that the music is not shown, and why, and holds the rest."""
    import verovio

    monkeypatch.setattr(verovio.toolkit, "loadData", lambda *_: False)
    page = Page(line_report()[1])
    assert "The music is not shown" in page.words
    assert len(page.of_class("card")) == 9


@pytest.mark.whole
def test_a_note_that_a_repeat_plays_otherwise_has_one_card_for_both() -> None:
    """A written note is drawn once; its card tells the times through where they differ."""
    reading = read_score(
        (EXAMPLES.parent / "tests/data/schubert_d485_flute.musicxml").read_bytes(), "schubert"
    )
    route = finger(reading.passage, flute())
    text = report(reading, route, flute(), bars=None)
    page = Page(text)
    assert len(page.of_class("card")) == len({each.note.id for each in route.notes}) < len(route.notes)
    twice: dict[str, set[str]] = {}
    for each in route.notes:
        twice.setdefault(each.note.id, set()).add(each.candidate.grip.text if each.candidate else "")
    differing = sum(len(grips) > 1 for grips in twice.values())
    assert text.count('class="through"') >= 2 * differing > 0
    assert len(text.encode()) < 6_000_000


def test_the_same_passage_gives_the_same_bytes() -> None:
    """Nothing of the hour or of chance is in a report."""
    assert line_report()[1] == line_report()[1]


def test_the_report_begins_with_what_to_do() -> None:
    """The sentence stands below the title, what is to learn in a section of its own with the curve."""
    route = finger(notes(TURNS, tempo=152), flute(), Wishes(curve=True))
    text = report(None, route, flute(), Wishes(curve=True))
    page = Page(text)
    assert sentence(route).partition(" on notes")[0] in page.words
    assert len(page.of_class("answer")) == 1
    assert len(page.of_class("learning")) == 1
    assert "Pays in" in page.words
    assert text.index('class="answer"') < text.index('class="facts"')


def test_effort_has_one_measure_and_pins_are_named() -> None:
    """The answer's point of the curve has the effort of the head, charges and all; with a pin it says so."""
    played = notes(TURNS, tempo=152)
    route = finger(played, flute(), Wishes(curve=True))
    text = report(None, route, flute(), Wishes(curve=True))
    assert route.charges is not None
    number = len(route.charges.learn)
    assert number > 0
    assert f"effort {route.effort:.2f} (" in Page(text).words
    row = re.search(rf"{number} \(the answer\)</th>\s*<td class=\"number\">([\d.]+)</td>", text)
    assert row is not None
    assert row[1] == f"{route.effort:.2f}"
    first = route.notes[0]
    assert first.candidate is not None
    pinned = Wishes(pins=(Pin(0, first.candidate.grip),), curve=True)
    words = Page(report(None, finger(played, flute(), pinned), flute(), pinned)).words
    assert "(the least effort there is with your pins)" in words


def test_a_report_with_nothing_to_learn_says_so() -> None:
    """No empty table and no plot of one point."""
    route = finger(notes("C5 D5 E5 F5 G5 A5 B5 C6", tempo=60), flute(), Wishes(curve=True))
    page = Page(report(None, route, flute(), Wishes(curve=True)))
    assert "There is no grip to learn." in page.words
    assert page.of_class("learning") == []


def test_a_change_is_late_above_its_time_and_not_at_it() -> None:
    """Of changes that are no worst ones: at a load of LATE the fingers just come in time."""
    route = finger(notes("E6 F#6 E6", tempo=120), flute())
    loads = (LATE, LATE + 0.001)
    changes = tuple(replace(change, load=load) for change, load in zip(route.changes, loads, strict=True))
    late = hard_changes(replace(route, changes=changes, hardest=()))
    assert [each.change.load for each in late] == [LATE + 0.001]


def test_a_worst_change_is_called_hard_from_its_load_on() -> None:
    """At called_hard_load of the table it has its rank, just below it is not shown."""
    route, _ = line_report()
    least = effort_tables().figures.called_hard_load
    changes = tuple(
        replace(c, load=load) for c, load in zip(route.changes, (least, least - 0.001), strict=False)
    )
    worst = hard_changes(replace(route, changes=changes, hardest=tuple(c.to for c in changes)))
    assert [(each.rank, each.change.load) for each in worst] == [(1, least)]
