"""The report of a route: one HTML file that needs nothing else, for the screen and for paper."""

import base64
import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from gripway.catalog.tables.sources import sources
from gripway.errors import ScoreError
from gripway.model.house_style import NEEDED
from gripway.model.instrument import Instrument
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.engraving.engrave import engrave
from gripway.page.markup import Markup, count, join, tag
from gripway.page.report.changes import LATE, changes_table, hard_changes
from gripway.page.report.learning import learning
from gripway.page.report.music import Signs, music
from gripway.page.report.notes import note_cards, note_names
from gripway.page.report.signs import signs, space_for
from gripway.page.report.tradeoff_plot import PlotPoint, tradeoff_plot
from gripway.page.report.tuning import tuning_table
from gripway.route.result import Route
from gripway.route.sentence import sentence
from gripway.route.threshold import quarters_per_minute
from gripway.score.reading.score_reading import ScoreReading

HERE = Path(__file__).parent
CAUTIONS = (
    "Playing can hurt. Stop on pain, numbness or tingling, and rest often.",
    "A flute can be louder at your own ear than a working day allows: protect your hearing.",
    "gripway gives no medical advice. Your teacher, your clinician, your own ear and local rules come first.",
    "Cents are an expectation and times are indicative: believe their order before you believe their size.",
)
LEGEND = (
    "A diagram stands under each note that leaves its plain grip: filled is pressed, open is lifted, the "
    "line parts the hands, and what is cut in two is held though the note does not need it.",
    "▲ 15 says that the note leans sharp by about 15 cents, ▼ 15 flat; ! that there is more to read of it.",
    f"A bracket under two notes is a change the fingers come late for (a load from {LATE:g} on), a number in "
    "a disc one of the worst changes, late or not, with its load, as numbered in the table. Load: the time "
    "needed over the time there is, times 1.1 for a slurred change and 0.9 for a tongued one.",
)


@dataclass(frozen=True, slots=True)
class ReportExtras:
    """What a report can hold beside the route.

    `bars` is the choice the passage was read with, `which` the rule of its marks. `advice` are
    sentences on whether leaving the standard grips is worth it, `tradeoff` the points of the
    plot (or `no_tradeoff` says why there is none); `remarks` what else was assumed.
    """

    bars: str | None = None
    which: str = NEEDED
    chosen: str = "the least effort there is"
    advice: Sequence[str] = ()
    tradeoff: Sequence[PlotPoint] = ()
    no_tradeoff: str = ""
    remarks: Sequence[str] = field(default=())


def report(
    reading: ScoreReading, route: Route, instrument: Instrument, extras: ReportExtras | None = None
) -> str:
    """The report as an HTML document; the score must be the one the route's notes have their ids from.

    Where the engraver cannot draw the score, the report says so and holds all the rest.
    """
    extras = extras or ReportExtras()
    symbols = GripSymbols(instrument)
    drawn, font = _music(reading, route, extras, symbols)
    sections = [
        _section("music", "The music", drawn),
        _section("learning", "Grips to learn", learning(route, symbols)),
        _section("changes", "The worst changes", changes_table(route, hard_changes(route))),
        _section("tuning", "Tuning", tuning_table(route, symbols)),
        *_worth(extras),
        *_tradeoff(extras),
        *_remarks(route, extras),
        _section("sources", "Where this comes from", _sources(route)),
    ]
    cards = note_cards(route, symbols)
    title = route.passage.title or "Grips for a line of notes"
    body = tag(
        "body",
        tag("header", *_head(route, instrument, title, extras)),
        tag("main", *sections),
        tag("footer", _cautions(), _paper()),
        tag("aside", cards, aria_label="Each note with its other grips", class_="screen"),
        symbols.shared(),
        tag("script", _script()),
    )
    return f"<!DOCTYPE html>\n{tag('html', _document_head(title, font), body, lang='en')}\n"


def _document_head(title: str, font: str) -> Markup:
    style = (HERE / "report.css").read_text(encoding="utf-8")
    face = f'@font-face{{font-family:Leipzig;src:url("data:font/woff2;base64,{font}")}}\n' if font else ""
    digest = base64.b64encode(hashlib.sha256(_script().encode()).digest()).decode()
    policy = (
        f"default-src 'none'; style-src 'unsafe-inline'; font-src data:; script-src 'sha256-{digest}'; "
        "base-uri 'none'; form-action 'none'"
    )
    return tag(
        "head",
        tag("meta", charset="utf-8"),
        Markup(f'<meta http-equiv="Content-Security-Policy" content="{policy}">'),
        tag("meta", name_="viewport", content="width=device-width, initial-scale=1"),
        tag("title", f"{title} - grips"),
        tag("style", Markup(face + style)),
    )


def _script() -> Markup:
    return Markup((HERE / "report.js").read_text(encoding="utf-8"))


def _section(name: str, title: str, *inner: str) -> Markup:
    return tag("section", tag("h2", title, id=name), *inner, aria_labelledby=name)


def _head(route: Route, instrument: Instrument, title: str, extras: ReportExtras) -> Iterator[Markup]:
    """Title, the facts in one line, and how to read the signs."""
    yield tag("a", "Past the music to the worst changes", href="#changes", class_="skip")
    yield tag("h1", title)
    passage = route.passage
    parts = f" with {', '.join(instrument.parts)}" if instrument.parts else ""
    missing = sum(note.candidate is None for note in route.notes)
    gaps = f"{count(missing, 'note')} without a grip"
    quarters = quarters_per_minute(passage)
    facts = [
        passage.part,
        instrument.title + parts,
        f"bars {extras.bars}" if extras.bars else "",
        f"{count(len(route.notes), 'note')} as played",
        f"quarter = {quarters:.0f}" if quarters else "",
        f"effort {route.effort:.2f} ({gaps if missing else extras.chosen})",
    ]
    yield tag("p", sentence(route), class_="answer")
    yield tag("p", " · ".join(filter(None, facts)), class_="facts")
    yield tag("p", CAUTIONS[0], " ", CAUTIONS[2], class_="caution")
    yield join(tag("p", line) for line in LEGEND)
    choose = "Choose a note, by mouse or keyboard, to see its other grips; Escape leads back."
    yield tag("p", choose, class_="screen")


def _music(
    reading: ScoreReading, route: Route, extras: ReportExtras, symbols: GripSymbols
) -> tuple[Markup, str]:
    """The engraved music with its signs, and the music font it needs."""
    found = signs(route, extras.which)
    try:
        engraving = engrave(reading, bars=extras.bars, space=space_for(found))
    except ScoreError as problem:
        return tag("p", f"The music is not shown: {problem}", class_="caution"), ""
    drawn = Signs(found, hard_changes(route), note_names(route), symbols)
    places = {name for system in engraving.systems for name in system.notes}
    lost = [name for name in found if name not in places]
    told = (
        [tag("p", f"{count(len(lost), 'note')} with signs not in the drawing; the tables have them.")]
        if lost
        else []
    )
    box = tag(
        "div",
        music(engraving, drawn),
        class_="music",
        tabindex="0",
        role="group",
        aria_label="The music, system by system",
    )
    return join([*told, box]), engraving.font


def _worth(extras: ReportExtras) -> Iterator[Markup]:
    if extras.advice:
        yield _section(
            "worth", "Is it worth leaving the standard grips?", *(tag("p", line) for line in extras.advice)
        )


def _tradeoff(extras: ReportExtras) -> Iterator[Markup]:
    if extras.tradeoff:
        words = (tag("p", line) for line in _plot_words(extras.tradeoff))
        yield _section("tradeoff", "Effort against tuning", *words, tradeoff_plot(extras.tradeoff))
    elif extras.no_tradeoff:
        yield _section("tradeoff", "Effort against tuning", tag("p", extras.no_tradeoff))


def _plot_words(points: Sequence[PlotPoint]) -> Iterator[str]:
    """How to read the plot, and what its figures of the answer are."""
    yield (
        "Every round point is a route that no other beats both in effort and in tuning; "
        "the square is the answer above."
    )
    yield (
        "Effort is here that of the fingers and the flute alone: what tuning costs is left out, so that it "
        "does not count on both sides. So the answer's effort is another figure here than at the top."
    )
    for answer in (point for point in points if point.chosen):
        yield (
            f"The answer stands here at effort {answer.effort:.2f} and {answer.cents:.1f} cents a note. It "
            "goes by your dials, which weigh a note far out of tune more than in proportion: it may lie off "
            "the line."
        )


def _remarks(route: Route, extras: ReportExtras) -> Iterator[Markup]:
    lines = [*extras.remarks]
    lines += [f"bar {r.bar}: {r.text}" if r.bar else r.text for r in route.passage.remarks]
    if lines:
        yield _section("remarks", "What was assumed", tag("ul", *(tag("li", line) for line in lines)))


def _sources(route: Route) -> Markup:
    """The sources of every grip that stands in the report, in the words of the bibliography."""
    candidates = [note.candidate for note in route.notes if note.candidate]
    candidates += [other.candidate for note in route.notes for other in note.others]
    keys = {key for candidate in candidates for key in candidate.sources}
    known = sources()
    cited = sorted(known[key].citation for key in keys if key in known)
    words = (
        "Grips and their cents are rows of gripway's tables, from these sources; the search is gripway's own."
    )
    return join([tag("p", words), tag("ul", *(tag("li", line) for line in cited))])


def _cautions() -> Markup:
    return _section("cautions", "Cautions", tag("ul", *(tag("li", line) for line in CAUTIONS)))


def _paper() -> Markup:
    words = "On paper: print this page on A4 or Letter at 100 %; no line of music is cut by a page."
    return tag("p", words, class_="screen")
