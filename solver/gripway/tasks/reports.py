"""A passage on paper and screen: written as a score of its own, and reported."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from gripway.asked.wishes import LEAST_EFFORT, Wishes
from gripway.display import HtmlText
from gripway.errors import RequestError
from gripway.model.passage import Passage, Remark
from gripway.route.result import Route
from gripway.tasks.flute_player import Flute, FlutePlayer, asked_of
from gripway.tasks.routes import MOST_SPOTS, worth_it

if TYPE_CHECKING:
    from gripway.compare.tradeoff import Tradeoff
    from gripway.effort.candidate import Candidate
    from gripway.model.house_style import HouseStyle
    from gripway.page.report.report_part import ReportPart
    from gripway.page.report.tradeoff_plot import PlotPoint
    from gripway.score.reading.score_reading import ScoreReading
    from gripway.tasks.editions import Edition

LONGEST_FOR_TRADEOFF = 2000
MOST_POINTS = 10
MOST_DIFFERENCES = 5


def written(passage: Passage) -> tuple["ScoreReading", Passage]:
    """A line of notes as a score, and its passage with the ids and bars of that score."""
    from gripway.page.engraving.score_of_notes import own_sheet

    return own_sheet(passage)


def report(
    reading: "ScoreReading | None",
    route: Route,
    instrument: Flute,
    wishes: Wishes | None = None,
    *,
    bars: str | None = None,
    which: str = "needed",
    remarks: Iterable[Remark] = (),
) -> HtmlText:
    """The report of a route as one HTML file that works without a network; a notebook shows it in a frame.

    `reading` is the score the passage came from (None for a line of notes) and `bars` the bars
    that were read; `which` says which notes get a diagram, as for marks. `remarks` are told
    beside those of the passage. A score the engraver cannot draw gives a report without music. Raises
    RequestError as `finger` does.

    >>> import gripway
    >>> gripway.report(None, gripway.finger(gripway.notes("E6 F#6"), gripway.flute()), gripway.flute())[:15]
    '<!DOCTYPE html>'
    """
    asked = ReportAsked(reading, route, instrument, wishes or Wishes(), tuple(remarks), which)
    return reports([asked], bars=bars)


@dataclass(frozen=True, slots=True)
class ReportAsked:
    """A part to report: what `report` is given of it, and with `house` and `edition` its marks."""

    reading: "ScoreReading | None"
    route: Route
    instrument: Flute
    wishes: Wishes = field(default_factory=Wishes)
    remarks: tuple[Remark, ...] = ()
    which: str = "needed"
    house: "HouseStyle | None" = None
    edition: "Edition | None" = None


def reports(parts: Sequence[ReportAsked], *, bars: str | None = None) -> HtmlText:
    """The report of several parts of a score in one HTML file, in their order; else as `report`.

    With an edition its marks are shown, in the house's hand, and what was left unmarked is named.
    """
    from gripway.page.report.report import report as written_report

    return HtmlText(written_report([_report_part(part, bars) for part in parts]))


def _report_part(asked: ReportAsked, bars: str | None) -> "ReportPart":
    """A part with all that its report shows."""
    from gripway.page.engraving.score_of_notes import on_notes
    from gripway.page.report.house_marks import HouseMarks
    from gripway.page.report.report_part import ReportExtras, ReportPart
    from gripway.route.tempo.worth_words import chosen_words, worth_lines

    reading, route = asked.reading, asked.route
    mine, wishes = asked_of(asked.instrument, asked.wishes)
    worth = worth_it(route, mine, wishes, MOST_SPOTS)
    points, why_none = _tradeoff(route.passage, mine, wishes)
    marks = None
    if asked.edition is not None and asked.house is not None:
        marked, left = asked.edition.marked, asked.edition.left
        marks = HouseMarks(asked.house, marked, left, len(route.passage.notes))
    extras = ReportExtras(
        bars=bars,
        which=asked.which,
        chosen=chosen_words(route, wishes.choose, wishes.learn, pins=bool(wishes.pins)),
        advice=worth_lines(route, worth) if worth else (),
        tradeoff=points,
        no_tradeoff=why_none,
        remarks=tuple(remark.text for remark in asked.remarks),
        marks=marks,
    )
    if reading is None:
        reading, passage = written(route.passage)
        route = on_notes(route, passage)
    return ReportPart(reading, route, mine.instrument, extras)


def stand_file(
    reading: "ScoreReading | None",
    route: Route,
    instrument: Flute,
    wishes: Wishes | None = None,
    *,
    bars: str | None = None,
) -> str:
    """The route on a music stand: one HTML file with music, grips and sound, for a tablet without a network.

    `reading`, `wishes` and `bars` are those of `report`: of a note that is pinned the file shows that
    one grip. Raises ScoreError where the engraver cannot draw the score.
    """
    from gripway.page.browser_data.stand_file import stand_file as written_file
    from gripway.page.engraving.score_of_notes import on_notes
    from gripway.route.loads_around import loads_around

    mine, wishes = asked_of(instrument, wishes)
    places = {pin.note for pin in wishes.pins}
    pinned = frozenset(note.index for note in route.notes if places & {note.index, note.note.id})
    if reading is None:
        reading, passage = written(route.passage)
        route = on_notes(route, passage)
    around = loads_around(mine.solver(wishes), route)
    return written_file(reading, route, mine.instrument, around, bars=bars, pinned=pinned)


def _tradeoff(passage: Passage, mine: FlutePlayer, wishes: Wishes) -> tuple[tuple["PlotPoint", ...], str]:
    """The points of the plot, or why there are none."""
    from gripway.tasks.other_routes import tradeoff

    if wishes.choose != LEAST_EFFORT:
        return (), ""
    if wishes.limits or wishes.learn is not None:
        beside = "limits over the whole passage" if wishes.limits else "a number of grips to learn"
        return (), f"There is no plot beside {beside}."
    if len(passage.notes) > LONGEST_FOR_TRADEOFF:
        return (), f"Not worked out for more than {LONGEST_FOR_TRADEOFF} notes: choose bars."
    try:
        _, found = tradeoff(passage, mine, wishes)
    except RequestError as problem:
        return (), f"There is no plot: {problem}"
    return plot_points(passage, found), ""


def plot_points(passage: Passage, found: "Tradeoff") -> tuple["PlotPoint", ...]:
    """The front as points to plot, at most MOST_POINTS, and the answer where it is none of them."""
    from gripway.compare.route_diff import differences
    from gripway.page.report.tradeoff_plot import PlotPoint

    def words(candidates: "tuple[Candidate, ...]") -> str:
        changed = differences(passage, found.places, found.yours.candidates, candidates)
        told = [f"{each.pitch} {each.grip.short} ({len(each.notes)})" for each in changed[:MOST_DIFFERENCES]]
        return ", ".join([*told, *(["..."] if len(changed) > MOST_DIFFERENCES else [])])

    points = [
        PlotPoint(p.effort, p.cents, words(p.candidates), chosen=place == found.yours_at)
        for place, p in enumerate(found.points)
    ]
    shown = _thinned(points)
    if found.yours_at is None:
        shown.append(PlotPoint(found.yours.effort, found.yours.cents, chosen=True))
    return tuple(shown)


def _thinned(points: "list[PlotPoint]") -> "list[PlotPoint]":
    """At most MOST_POINTS of them, both ends and the answer among them, spread evenly in their order."""
    last = len(points) - 1
    if last < MOST_POINTS:
        return points
    kept = {round(step * last / (MOST_POINTS - 2)) for step in range(MOST_POINTS - 1)}
    return [point for place, point in enumerate(points) if place in kept or point.chosen]
