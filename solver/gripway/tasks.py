"""What a user can ask for: one function each, returning values and printing nothing."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gripway.catalog.bores import has_bore
from gripway.catalog.effort_figures import effort_tables
from gripway.catalog.grips import allowed, grip_rows
from gripway.catalog.instruments import instrument_names, load_instrument
from gripway.catalog.kept import digest, kept_as
from gripway.catalog.trills import trill_rows
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.passage import Passage, Remark
from gripway.model.pitch import Pitch
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.model.survey import Survey
from gripway.route.candidates import Candidates, Shelf
from gripway.route.export import change_frame as change_frame
from gripway.route.export import note_frame as note_frame
from gripway.route.found_shelf import Beside, beside_of, with_found
from gripway.route.request import LEAST_EFFORT, Pin, Wishes
from gripway.route.result import Route
from gripway.route.solve import Progress, Solver
from gripway.search.wishes import FoundWishes

if TYPE_CHECKING:  # what only some tasks need is imported in them: a short question starts quickly
    import networkx as nx
    import pandas as pd

    from gripway.route.grip_list import GripList
    from gripway.route.threshold import Threshold
    from gripway.score.options import ReadOptions
    from gripway.score.reading import ScoreReading

DEFAULT_INSTRUMENT = "concert-flute"

OVERBLOWN_FROM = 74
"""D5: from here up a grip is an overblown low one."""

FOUND_IN_ROUTE, FOUND_IN_LIST = 4, 20
"""How many found grips a pitch gets in a route, and in a list of its grips."""


def choose_instrument(
    name: str | None, parts: Iterable[str], player: Player, sounds_semitones: int = 0
) -> tuple[Instrument, Remark | None]:
    """The flute to play on, and a remark where it was concluded from a part's transposition.

    What is asked for beats the player's file, which beats the score; the player's parts belong
    to the player's own flute and are not asked of another. Raises RequestError for
    an unknown instrument or part.
    """
    wanted = name or player.instrument
    if wanted is not None or sounds_semitones == 0:
        chosen = wanted or DEFAULT_INSTRUMENT
        return load_instrument(chosen, (*_own_parts(player, chosen), *parts)), None
    for known in instrument_names():
        if load_instrument(known).sounds_semitones == sounds_semitones:
            chosen_flute = load_instrument(known, (*_own_parts(player, known), *parts))
            text = f"the part sounds {sounds_semitones:+d} semitones: read as {chosen_flute.title}"
            return chosen_flute, Remark(text)
    fallback = load_instrument(DEFAULT_INSTRUMENT, (*_own_parts(player, DEFAULT_INSTRUMENT), *parts))
    return fallback, Remark(
        f"no flute of the tables sounds {sounds_semitones:+d} semitones: read as {DEFAULT_INSTRUMENT}"
    )


def _own_parts(player: Player, instrument: str) -> tuple[str, ...]:
    """The player's parts, if this is the flute they belong to."""
    own = load_instrument(player.instrument or DEFAULT_INSTRUMENT).id
    return player.parts if load_instrument(instrument).id == own else ()


def flute(name: str = DEFAULT_INSTRUMENT, parts: Iterable[str] = ()) -> Instrument:
    """A flute by name (concert-flute, piccolo, alto-flute, bass-flute) with its optional parts."""
    return load_instrument(name, parts)


def player(path: str | Path) -> Player:
    """The player of a TOML file; PlayerFileError names file and key."""
    from gripway.catalog.player_file import read_player

    return read_player(Path(path))


def notes(text: str, tempo: float | None = None, unit: str = "1/16") -> Passage:
    """The passage of a line of notes, for example `mf E6:1/2 (F#6 G6)`.

    `tempo` is in quarters a minute, 96 without one; `unit` the length of a note without one.
    Raises NotationError at the word that means nothing.
    """
    from gripway.score.notation import DEFAULT_TEMPO, length_of, read_notation

    return read_notation(text, length_of(unit, "unit"), DEFAULT_TEMPO if tempo is None else tempo)


def read(path: str | Path, options: "ReadOptions | None" = None) -> "ScoreReading":
    """A score file and the passage in it; ScoreError says what is wrong and where.

    Tempo words are understood unless `options` bring their own.
    """
    from gripway.catalog.tempo_words import tempo_words
    from gripway.score.options import ReadOptions
    from gripway.score.reading import load_score

    options = options or ReadOptions()
    if not options.tempo_words:
        options = replace(options, tempo_words=tempo_words())
    return load_score("-" if str(path) == "-" else Path(path), options)


def mark(
    reading: "ScoreReading",
    route: Route,
    which: str = "needed",
    style: str = "fingering",
    bracket: bool = False,
) -> bytes:
    """The score's own bytes with the route's marks inserted; see gripway.page.marks."""
    from gripway.page.marks import marked_score

    return marked_score(reading, route, which=which, style=style, bracket=bracket)


def shelf(instrument: Instrument, player: Player = PLAIN_PLAYER) -> Shelf:
    """Everything the tables say of an instrument, for one player."""
    rows, trills = grip_rows(instrument), trill_rows(instrument)
    return Shelf(instrument, rows, trills, effort_tables(), player, survey_of(instrument))


@cache
def survey_of(instrument: Instrument) -> Survey | None:
    """The acoustic model's word on an instrument's grips, kept between runs; None where no bore is known."""
    if not has_bore(instrument):
        return None
    here = Path(__file__).parent
    code, also = (
        here / "acoustics" / "survey.py",
        tuple(here / room / "__init__.py" for room in ("catalog", "model", "route")),
    )
    parts = "-".join(instrument.parts) or "plain"
    name = f"survey-{instrument.id}-{parts}-{digest(instrument.id, *instrument.parts, code=code, also=also)}"
    return kept_as(name, lambda: _survey_data(instrument), _whole_survey)


def _whole_survey(data: Mapping[str, Any]) -> Survey:
    """A kept survey; ValueError for one that says nothing, which would silence the model."""
    found = Survey.of_data(data)
    if not found.verdicts:
        raise ValueError("an empty survey")
    return found


def _survey_data(instrument: Instrument) -> dict[str, Any] | None:
    """The survey, worked out anew: here the model and numpy are loaded."""
    from gripway.acoustics.survey import survey

    rows, trills = grip_rows(instrument), trill_rows(instrument)
    book = Candidates(Shelf(instrument, rows, trills, effort_tables(), PLAIN_PLAYER))
    pitches = range(instrument.lowest, instrument.highest + 1)
    standard = {pitch: book.standard_row(pitch) for pitch in pitches}
    standards = {pitch: row.grip for pitch, row in standard.items() if row and allowed(row, instrument)}
    grips = [(pitch, row.grip) for pitch in pitches for row in book.usable(pitch)]
    found = survey(instrument, grips, standards)
    return found.data() if found is not None else None


def solver(instrument: Instrument, wishes: Wishes, beside: Beside | None = None) -> Solver:
    """A solver for one flute and the wishes of one player (bans from both are joined).

    `beside` has the pitches that found grips are looked for, when they are asked for, each with
    the pitches before and after it.
    """
    return Solver(_wished_shelf(instrument, wishes, beside or {})[0])


def _wished_shelf(instrument: Instrument, wishes: Wishes, beside: Beside) -> tuple[Shelf, Remark | None]:
    """The shelf that wishes ask for, and a remark on found grips that cannot be had."""
    player = replace(wishes.player, bans=(*wishes.player.bans, *wishes.bans))
    known = shelf(instrument, player)
    return (known, None) if wishes.found is None else with_found(known, beside, wishes.found, FOUND_IN_ROUTE)


def finger(
    passage: Passage, instrument: Instrument, wishes: Wishes | None = None, progress: Progress | None = None
) -> Route:
    """The least awkward grips for a passage.

    Raises RequestError for pins that cannot hold or an empty passage; notes that have no grip
    are statuses in the route.
    """
    wishes = wishes or Wishes()
    if not passage.notes:
        raise RequestError("there is no note to finger", next_step="Choose bars or a part with notes")
    known, remark = _wished_shelf(instrument, wishes, beside_of(passage))
    if remark:
        passage = replace(passage, remarks=(*passage.remarks, remark))
    return Solver(known).solve(passage, wishes, progress)


@dataclass(frozen=True, slots=True)
class Spot:
    """A hard change: its place (`to`), and where leaving the standard grips pays around it."""

    to: int
    threshold: "Threshold"


@dataclass(frozen=True, slots=True)
class Worth:
    """Whether leaving the standard grips is worth it: in the passage, and around its hard spots.

    `passage` is None where the passage is too long to be tried at many tempos.
    """

    passage: "Threshold | None"
    spots: tuple[Spot, ...]


LONGEST_FOR_THRESHOLD = 200
"""Notes up to which the whole passage is tried at other tempos; longer ones by their hard spots only."""


def worth_it(route: Route, instrument: Instrument, wishes: Wishes, spots: int = 3) -> Worth | None:
    """The tempos below which the standard grips do as well, for a passage and its hardest changes.

    Pins are kept. None where there is nothing to compare: no note has a grip, or the route was
    not chosen for the least effort.
    """
    from gripway.route.threshold import around, threshold

    if wishes.choose != LEAST_EFFORT or not any(note.candidate for note in route.notes):
        return None
    passage = route.passage
    working = solver(instrument, wishes, beside_of(passage))
    by_id = tuple(
        Pin(passage.notes[pin.note].id if isinstance(pin.note, int) else pin.note, pin.grip)
        for pin in wishes.pins
    )

    def at(part: Passage) -> "Threshold":
        ids = {note.id for note in part.notes}
        pins = tuple(pin for pin in by_id if pin.note in ids)
        return threshold(part, replace(wishes, pins=pins), working.solve)

    whole = at(passage) if len(passage.notes) <= LONGEST_FOR_THRESHOLD else None
    return Worth(whole, tuple(Spot(to, at(around(passage, to))) for to in route.hardest[:spots]))


def grips(
    pitch: Pitch | str,
    instrument: Instrument,
    player: Player = PLAIN_PLAYER,
    found: FoundWishes | None = None,
) -> "GripList":
    """All grips the tables know for a written pitch, standard first, then those the model finds if asked.

    A pitch outside the instrument gives an empty list with its reason; RequestError for a text
    that is no pitch.
    """
    if isinstance(pitch, str):
        try:
            pitch = Pitch.parse(pitch)
        except ValueError as problem:
            raise RequestError(str(problem)) from None
    from gripway.route.grip_list import grip_list

    known = shelf(instrument, player)
    remark = None
    if found is not None:
        known, remark = with_found(known, {pitch.number: frozenset()}, found, FOUND_IN_LIST)
    return replace(grip_list(pitch, Candidates(known)), remark=remark.text if remark else "")


def standing_wave(pitch: Pitch, instrument: Instrument, grip: Grip, width: int = 100) -> list[str]:
    """The standing wave of a grip at a pitch as lines of text, for a low grip with its partials.

    Empty without a model or a resonance near.
    """
    if not has_bore(instrument):
        return []
    from gripway.acoustics.showing import series_lines, standing_lines
    from gripway.route.found_rows import tubes_of

    tube = tubes_of(instrument)[0]
    lines = standing_lines(instrument, tube, grip, pitch.number, width)
    return lines + (series_lines(instrument, tube, grip, width) if pitch.number < OVERBLOWN_FROM else [])


def grip_frame(found: "GripList") -> "pd.DataFrame":
    """The list of `grips` as a pandas frame, one row a grip."""
    from gripway.route.grip_list import grip_frame as frame

    return frame(found)


def graph(
    instrument: Instrument,
    lowest: str = "C4",
    highest: str = "D7",
    available_ms: float = 125.0,
    player: Player = PLAIN_PLAYER,
) -> "nx.DiGraph[str]":
    """The grips of a range as a networkx graph, every change with its ledger at one speed.

    `available_ms` is the time from onset to onset the changes are judged in (slurred, in a
    line). See gripway.route.graph for questions and exports.
    """
    from gripway.effort.setting import Link
    from gripway.route.graph import grip_graph

    working = solver(instrument, Wishes(player=player))
    pitches = range(Pitch.parse(lowest).number, Pitch.parse(highest).number + 1)
    return grip_graph(working.book, working.model, pitches, Link(available_ms, 0.0, slurred=True))
