"""Parts as an editor marks them: the same figure with the same grip, marks in the house's style."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from gripway.asked.wishes import Wishes
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.display import Shown, brief, counted
from gripway.edition.even_out import EVERY_OTHER, Even, even_route
from gripway.edition.marks import NO_DECISIONS, LeftNote, MarkedNote, as_marks, marking
from gripway.edition.shorthand import short_text, spelt_out
from gripway.edition.sparing import least_gain_of
from gripway.errors import RequestError
from gripway.limits.answer import solve_within
from gripway.model.decision import Decision
from gripway.model.figures import Figure, FigureBounds
from gripway.model.grip import Grip
from gripway.model.house_style import FULL, PICTURE, PLAIN_STYLE, HouseStyle
from gripway.model.instrument import Instrument
from gripway.model.mark_text import GRIP
from gripway.model.passage import Note, Passage
from gripway.model.picture_name import picture_name
from gripway.route.solve import Progress
from gripway.score.marking import mark_score
from gripway.score.reading.score_reading import ScoreReading
from gripway.tasks.flute_player import Flute, FlutePlayer, asked_of, passage_of

PICTURE_MM = 12.0
"""The height of a picture, about a staff and a half of a printed part (judgement)."""


@dataclass(frozen=True, slots=True)
class Edition(Shown):
    """One part, ready to be marked: its even route, the notes that get marks, those left without."""

    even: Even
    instrument: Instrument
    marked: tuple[MarkedNote, ...]
    left: tuple[LeftNote, ...] = ()

    def __repr__(self) -> str:
        return brief(
            self,
            self.instrument.title,
            counted(len(self.even.route.notes), "note"),
            counted(len(self.marked), "mark"),
        )


Known = Mapping[tuple[str, Figure], Grip]
"""Grips of figures by instrument, from parts that were edited before."""


def figure_bounds() -> FigureBounds:
    """What tells figures apart and long notes from short ones, from the tables."""
    figures = effort_tables().figures
    return FigureBounds(figures.figure_tempo_factor, figures.sustained_ms)


def edit(
    passage: Passage | ScoreReading,
    instrument: Flute | None = None,
    wishes: Wishes | None = None,
    house: HouseStyle = PLAIN_STYLE,
    whole: Sequence[Note] | None = None,
    known: Known | None = None,
    unkept: Wishes | None = None,
    progress: Progress | None = None,
    decided: Mapping[str, Decision] = NO_DECISIONS,
) -> Edition:
    """A part with one grip a figure, and its marks.

    `passage` and `instrument` as for `finger`. `whole` are the notes of the complete part where the passage
    is only some of its bars; `known` the grips of figures in parts edited before; `unkept` the wishes without
    the pins taken from the source, where there are such; `decided` an editor's decisions by note id, whose
    grips are pinned in the wishes (see `gripway help edition`). The route is `even.route`, its marks
    `marked`. Raises RequestError as `finger` does.

    >>> import gripway
    >>> gripway.edit(gripway.notes("E6 F#6 G#6 A6", tempo=112), gripway.flute())
    <Edition: concert flute, 4 notes, 0 marks>
    """
    mine, wishes = asked_of(instrument, wishes)
    passage = passage_of(passage)
    check = mine.grip_check(wishes, whole or passage.notes) if house.form != FULL else None
    whole = None if whole is None else spelt(whole, mine, wishes)
    passage = replace(passage, notes=spelt(passage.notes, mine, wishes))
    solver, passage = mine.ready(passage, wishes)
    flute = mine.instrument
    grips = {figure: grip for (name, figure), grip in (known or {}).items() if name == flute.id}
    even = even_route(solver, passage, wishes, figure_bounds(), whole, grips, progress)
    free = even.free
    if unkept is not None and unkept.pins != wishes.pins and least_gain_of(house) > 0.0:
        free = solve_within(solver, passage, replace(mine.wishes(unkept), others=EVERY_OTHER), progress)
    short = None if check is None else partial(short_text, check=check)
    found = marking(even.route, house, whole, free, decided, short)
    return Edition(even, flute, found.marked, found.left)


def spelt(notes: Sequence[Note], mine: FlutePlayer, wishes: Wishes) -> tuple[Note, ...]:
    """Notes whose fingerings in shorthand are spelt out as grips."""
    if not any(note.fingering for note in notes):
        return tuple(notes)
    check = mine.grip_check(wishes, notes)
    return tuple(spelt_out(note, check) for note in notes)


def figures_of(edition: Edition) -> Known:
    """The grips of an edited part's figures, for the parts that come after it."""
    return {(edition.instrument.id, figure): grip for figure, grip in edition.even.grips.items()}


def marked_file(
    readings: Sequence[ScoreReading], editions: Sequence[Edition], house: HouseStyle, pictures: str = ""
) -> bytes:
    """The bytes of one score with the marks of all its parts put in; every byte that was there stays.

    `pictures` is the folder beside the score with the pictures of `grip_pictures`, for picture marks.
    Raises RequestError for picture marks without it.
    """
    if house.style == PICTURE and not pictures:
        raise RequestError("picture marks need a folder of pictures", next_step="Name it, or choose words")
    places = {name: place for reading in readings for name, place in reading.places.items()}
    marks = [mark for edition in editions for mark in as_marks(edition.marked, house, pictures)]
    return mark_score(readings[0].source, places, marks)


def grip_pictures(editions: Iterable[Edition]) -> dict[str, bytes]:
    """A PNG picture of every grip that is marked, by file name. RequestError where resvg is not installed."""
    from gripway.page.diagram.diagram import diagram
    from gripway.page.diagram.png import png_of

    found: dict[str, bytes] = {}
    for edition in editions:
        for sign in (sign for each in edition.marked for sign in each.signs if sign.kind == GRIP):
            name = picture_name(sign)
            if name not in found:
                movers = sign.moving.touches
                found[name] = png_of(
                    diagram(edition.instrument, sign.grip, size_mm=PICTURE_MM, movers=movers)
                )
    return found
