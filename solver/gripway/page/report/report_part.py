"""One part of a report, in three pieces: its head, its sections, and the cards of its notes."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from markupsafe import Markup

from gripway.catalog.flute.instruments import full_title
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.display import counted
from gripway.edition.plain_grip import is_plain
from gripway.effort.ledger import MILLI
from gripway.effort.load import LATE
from gripway.errors import ScoreError
from gripway.model.house_style import NEEDED
from gripway.model.instrument import Instrument
from gripway.page.diagram.symbols import GripSymbols, held_touches
from gripway.page.engraving.engrave import engrave
from gripway.page.learning_plot import learning_plot, learning_table
from gripway.page.markup import filled
from gripway.page.report.changes import (
    HardChange,
    fingers_words,
    hard_changes,
    place_name,
    why_hard,
)
from gripway.page.report.house_marks import HouseMarks
from gripway.page.report.music import DrawnSigns, music
from gripway.page.report.note_signs import ReportSign, lean_flag, signs, space_for
from gripway.page.report.notes import by_written, change_words, different, known_cents_words, note_names
from gripway.page.report.tradeoff_plot import PlotPoint, tradeoff_plot
from gripway.page.report.tuning_words import first_places, leaning
from gripway.route.curve import with_charges
from gripway.route.other_grips import other_grips, pays_in
from gripway.route.result import Route
from gripway.route.words.place_words import change_name, part_beside, tempo_fact
from gripway.route.words.sentence import sentence
from gripway.score.reading.score_reading import ScoreReading

MOST_PLACES = 12
MOST_LEANING = 30
"""Places told in a row, and rows of notes that lean, at most."""

WORDS: dict[str, Any] = {
    "known_cents_words": known_cents_words,
    "change_name": change_name,
    "change_words": change_words,
    "counted": counted,
    "different": different,
    "fingers_words": fingers_words,
    "first_places": first_places,
    "lean_flag": lean_flag,
    "pays_in": pays_in,
    "place_name": place_name,
    "tradeoff_plot": tradeoff_plot,
    "why_hard": why_hard,
    "MILLI": MILLI,
    "MOST_LEANING": MOST_LEANING,
    "MOST_PLACES": MOST_PLACES,
}
"""What the template asks of routes, changes, notes and grips."""


@dataclass(frozen=True, slots=True)
class ReportExtras:
    """What a report can hold beside the route.

    `bars` is the choice the passage was read with, `which` the rule of its marks. `advice` are
    sentences on whether leaving the standard grips is worth it, `tradeoff` the points of the
    plot (or `no_tradeoff` says why there is none); `remarks` what else was assumed. With `marks` diagrams
    stand where the edition has marks, and the report lists these.
    """

    bars: str | None = None
    which: str = NEEDED
    chosen: str = "the least effort there is"
    advice: Sequence[str] = ()
    tradeoff: Sequence[PlotPoint] = ()
    no_tradeoff: str = ""
    remarks: Sequence[str] = field(default=())
    marks: HouseMarks | None = None


@dataclass(frozen=True, slots=True)
class ReportPart:
    """What a part is reported from: the score must be the one the route's notes have their ids from."""

    reading: ScoreReading
    route: Route
    instrument: Instrument
    extras: ReportExtras = ReportExtras()

    @property
    def title(self) -> str:
        """The title of the score."""
        return self.route.passage.title or "Grips for a line of notes"


@dataclass(frozen=True, slots=True)
class RenderedPart:
    """The pieces of a part, its name and answer, what begins its ids, and the music font it needs."""

    at: str
    name: str
    answer: str
    head: Markup
    sections: Markup
    cards: Markup
    font: str


def written_part(
    part: ReportPart, symbols: GripSymbols, cautions: Sequence[str], glyphs: set[str], at: str = ""
) -> RenderedPart:
    """A part of a report. `at` begins its ids where there are several; `glyphs` are outlines drawn so far.

    Where the engraver cannot draw the score, the part says so and holds all the rest.
    """
    route, extras = part.route, part.extras
    hard = hard_changes(route)
    found = signs(route, extras.which, extras.marks.notes if extras.marks else None)
    drawn, font, lost, not_drawn = Markup(), "", 0, ""
    try:
        shown = DrawnSigns(found, hard, note_names(route), symbols)
        drawn, font, lost = _music(part, shown, glyphs, at)
    except ScoreError as problem:
        not_drawn = str(problem)
    values = dict(
        route=route,
        extras=extras,
        title=part.title,
        answer=sentence(route),
        facts=list(_facts(route, part.instrument, extras)),
        cautions=cautions,
        legend=[*_legend(found.values(), hard)],
        music=drawn,
        lost=lost,
        not_drawn=not_drawn,
        others=other_grips(route),
        curve=_curve(route),
        worst=sorted((change for change in hard if change.rank), key=lambda change: change.rank),
        leaning=leaning(route),
        remarks=[
            *extras.remarks,
            *(f"bar {r.bar}: {r.text}" if r.bar else r.text for r in route.passage.remarks),
        ],
        marks=extras.marks,
        written=by_written(route),
        into={change.to: change for change in route.changes},
        symbols=symbols,
        at=at,
        several=bool(at),
        **WORDS,
    )
    head, sections, cards = (
        filled("report_part.html", piece=piece, **values) for piece in ("head", "sections", "cards")
    )
    return RenderedPart(at, route.passage.part, sentence(route), head, sections, cards, font)


def _legend(drawn: Collection[ReportSign], hard: Sequence[HardChange]) -> Iterator[str]:
    """What the signs above and below the music say, of those that stand there."""
    figures = effort_tables().figures
    pictures = [sign.note.candidate for sign in drawn if sign.diagram and sign.note.candidate]
    if pictures:
        moved = any(sign.diagram and is_plain(sign.note) for sign in drawn)
        thumb = ", and where the thumb goes to the B-flat lever or back" * moved
        cut = ", and what is cut in two is held though the note does not need it"
        yield (
            f"A diagram stands under each note that leaves its plain grip{thumb}: filled is pressed, open is "
            f"lifted, the line parts the hands{cut * any(held_touches(each).mask for each in pictures)}."
        )
    leans = any(sign.lean is not None for sign in drawn)
    told = ["▲ 15 says that the note leans sharp by about 15 cents, ▼ 15 flat"] * leans
    told += [f"! {'that' if leans else 'says that'} there is more to read of it"] * any(
        sign.warning for sign in drawn
    )
    if told:
        yield f"{'; '.join(told)}."
    if hard:
        yield (
            f"A bracket under two notes is a change the fingers come late for (a load above {LATE:g}), a "
            f"number in a disc one of the worst changes (from {figures.called_hard_load:g} on) with its "
            "load, as numbered in the table. Load: the time needed over the time there is; what is needed is "
            f"counted {figures.slurred_factor:g} times for a slurred change and {figures.tongued_factor:g} "
            "times for a tongued one."
        )


def _facts(route: Route, instrument: Instrument, extras: ReportExtras) -> Iterator[str]:
    """The facts of the head; those that are not known are empty."""
    missing = sum(note.candidate is None for note in route.notes)
    gaps = f"{counted(missing, 'note')} without a grip"
    yield part_beside(route.passage.part, instrument.title)
    yield full_title(instrument)
    yield f"bars {extras.bars}" if extras.bars else ""
    yield f"{counted(len(route.notes), 'note')} as played"
    yield tempo_fact(route.passage)
    yield f"effort {route.effort:.2f} ({gaps if missing else extras.chosen})"


def _music(part: ReportPart, shown: DrawnSigns, glyphs: set[str], at: str) -> tuple[Markup, str, int]:
    """The engraved music with its signs, the music font it needs, and how many signs have no place."""
    engraving = engrave(part.reading, bars=part.extras.bars, space=space_for(shown.signs))
    places = {name for system in engraving.systems for name in system.notes}
    drawn = music(engraving, shown, at, frozenset(glyphs))
    glyphs.update(engraving.glyphs)
    return drawn, engraving.font, sum(name not in places for name in shown.signs)


def _curve(route: Route) -> dict[str, Any]:
    """What every number of grips leaves, drawn; nothing where no number leaves less than another."""
    if len(route.curve) < 2 or route.charges is None:
        return {}
    chosen, steps = len(route.charges.learn), with_charges(route.curve, route.charges)
    return {
        "each": route.charges.each_milli,
        "plot": learning_plot(steps, chosen),
        "table": learning_table(steps, chosen),
    }
