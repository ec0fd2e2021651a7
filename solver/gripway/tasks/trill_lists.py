"""The pairs of grips for a trill or tremolo between two pitches."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from gripway.acoustics.unsafe_ways import Crossings
from gripway.candidates.candidates import Candidates, FluteKnowledge
from gripway.candidates.model_opinion import crossings_of
from gripway.candidates.pair_rows import with_pairs
from gripway.catalog.cache_folder import digest, kept_as
from gripway.catalog.flute.grips import allowed, grip_rows
from gripway.catalog.flute.instruments import has_bore, load_instrument
from gripway.catalog.flute.trills import TrillRow, trill_rows
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel
from gripway.effort.own_time_tables import own_tables
from gripway.errors import RequestError, check_frame_of
from gripway.model.instrument import Instrument
from gripway.model.pair_survey import PairSurvey
from gripway.model.pitch import Pitch, asked_pitch, plain_name
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.model.survey import HIGHEST_CLAIM
from gripway.tasks.flute_knowledge import AskedGrips
from gripway.tasks.flute_player import Flute, flute_player
from gripway.trills.pair import WIDEST, Pair
from gripway.trills.pairing import printed_pairs, ranked_pairs
from gripway.trills.ranking import NO_GOOD, order_of
from gripway.trills.trill_list import TrillList

if TYPE_CHECKING:
    import pandas as pd

MOST_PAIRS = 12
"""How many pairs a list gets; more only where more are printed."""

Tell = Callable[[str], None]
"""Told in a sentence what takes longer than usual."""


def silent(_sentence: str) -> None:
    """Tells nobody."""


def trill(
    one: Pitch | str | int,
    other: Pitch | str | int,
    instrument: Flute,
    player: Player = PLAIN_PLAYER,
    tell: Tell = silent,
) -> TrillList:
    """Every pair of grips worth a look for two written pitches, in either order, best first.

    Printed pairs that are good to trill by come first, then the others, then those that need a part the flute
    lacks; within each of the three the `points` decide, which are what speaks against a pair: fewer are
    better.

    Pitches outside the instrument give an empty list with its reason; RequestError for a text
    that is no pitch, for one pitch twice, and for more than an octave. `tell` hears of the
    working out of the model's pairs, which are kept for the next time.

    >>> import gripway
    >>> gripway.trill("F6", "G6", gripway.flute()).pairs[0].kind
    'printed'
    """
    lower, upper, remarks = _in_order(asked_pitch(one), asked_pitch(other))
    mine = flute_player(instrument, player)
    instrument, player, known = mine.instrument, mine.player, mine.plain.knowledge
    survey = pair_survey_of(instrument, tell) if upper.number <= HIGHEST_CLAIM else None
    if survey is not None:
        known = with_pairs(known, survey, lower.number, upper.number)
    book = Candidates(known)
    crossings = crossings_of(instrument, known.survey)
    model = EffortModel(known.tables, player, unsafe=crossings.share if crossings else None)
    rows = known.trills.get((lower.number, upper.number), ())
    pairs = _playable(lower, upper, book, model, rows) if not _outside(lower, upper, instrument) else ()
    pairs = (*pairs, *_lacking(lower, upper, instrument, player, rows))
    remarks += (*_remarks(rows, instrument, upper), *_lip_trill(lower, upper, book))
    told = tuple(_with_strays(pair, crossings) for pair in sorted(pairs, key=order_of))
    return TrillList(lower, upper, instrument.id, told, _problem(lower, upper, pairs, book), remarks)


def _in_order(one: Pitch, other: Pitch) -> tuple[Pitch, Pitch, tuple[str, ...]]:
    """The lower pitch, the upper one, and a remark where they came the other way round."""
    if one.number == other.number:
        raise RequestError(
            f"{one.name} and {other.name} are one pitch", next_step="A trill needs two: gripway trill F6 G6"
        )
    lower, upper = sorted((one, other), key=lambda pitch: pitch.number)
    if upper.number - lower.number > WIDEST:
        raise RequestError(
            f"{lower.name} to {upper.name} is more than an octave",
            next_step="Ask for a trill or tremolo of up to an octave",
        )
    turned = one.number > other.number
    return lower, upper, (f"read as {lower.name} {upper.name}, the lower note first",) if turned else ()


def _outside(lower: Pitch, upper: Pitch, instrument: Instrument) -> bool:
    return lower.number < instrument.lowest or upper.number > instrument.highest


def _playable(
    lower: Pitch, upper: Pitch, book: Candidates, model: EffortModel, rows: tuple[TrillRow, ...]
) -> tuple[Pair, ...]:
    """The pairs this flute can play."""
    columns = [
        book.column(one.number, True, True, book.free_beside(one.number, frozenset({other.number})))
        for one, other in ((lower, upper), (upper, lower))
    ]
    instrument = book.knowledge.instrument
    printed = printed_pairs((row for row in rows if allowed(row, instrument)), instrument.mechanism)
    asked_for = {grip for grips in printed.grips for grip in grips}
    lowers, uppers = (
        tuple(c for c in column if c.grip in asked_for or _heard(c, instrument)) for column in columns
    )
    return ranked_pairs(lowers, uppers, model, printed, MOST_PAIRS)


def _heard(candidate: Candidate, instrument: Instrument) -> bool:
    """Whether anything is known of a grip's pitch, on a flute whose cents are known at all."""
    return not instrument.tendencies or candidate.tendency.cents is not None


def _lacking(
    lower: Pitch, upper: Pitch, instrument: Instrument, player: Player, rows: tuple[TrillRow, ...]
) -> Iterator[Pair]:
    """The printed pairs that need a part this flute has not, as they are on a flute that has it."""
    for needs in dict.fromkeys(row.needs for row in rows if not allowed(row, instrument)):
        try:
            fitted = load_instrument(instrument.id, (*instrument.parts, *needs))
        except RequestError:  # a part that no flute has beside those of this one
            continue
        tables = own_tables(effort_tables(), player)
        fitted_rows = trill_rows(fitted)
        book = Candidates(FluteKnowledge(fitted, grip_rows(fitted), fitted_rows, tables, player))
        of_part = [row for row in fitted_rows.get((lower.number, upper.number), ()) if row.needs == needs]
        model, printed = EffortModel(tables, player), printed_pairs(of_part, fitted.mechanism)
        lowers, uppers = (
            [
                c
                for c in book.column(pitch.number, False, False)
                if c.grip in {pair[side] for pair in printed.grips}
            ]
            for side, pitch in enumerate((lower, upper))
        )
        lacking = tuple(sorted(needs - set(instrument.parts)))
        for pair in ranked_pairs(lowers, uppers, model, printed, 0):
            yield replace(pair, lacking=lacking)


def _remarks(rows: tuple[TrillRow, ...], instrument: Instrument, upper: Pitch) -> tuple[str, ...]:
    """What holds for all pairs: that no good trill is known, that the model is silent."""
    bad = [row for row in rows if NO_GOOD in row.flags]
    remarks = []
    if bad and len(bad) == len(rows):
        remarks.append("no good trill is known between these notes")
    if instrument.tendencies and upper.number > HIGHEST_CLAIM:
        remarks.append(f"the model claims nothing above {plain_name(HIGHEST_CLAIM)}")
    return tuple(remarks)


def _lip_trill(lower: Pitch, upper: Pitch, book: Candidates) -> tuple[str, ...]:
    """A remark where the standard grip of the lower note sounds both."""
    row = book.standard_row(lower.number)
    if row is None or all(row.grip != other.grip for other in book.usable(upper.number)):
        return ()
    return (f"{row.grip.short} sounds both notes: the lip alone can go between them",)


def _problem(lower: Pitch, upper: Pitch, pairs: tuple[Pair, ...], book: Candidates) -> str:
    """Why there is no pair this flute can play; empty where there is one."""
    if any(not pair.lacking for pair in pairs):
        return ""
    for pitch in (lower, upper):
        if not book.knowledge.instrument.lowest <= pitch.number <= book.knowledge.instrument.highest:
            return f"{pitch.name}: {book.why_none(pitch.number)}"
    for pitch in (lower, upper):
        if not book.column(pitch.number, True, True):
            return f"{pitch.name}: {book.why_none(pitch.number)}"
    return "no pair of grips this flute can play"


def _with_strays(pair: Pair, crossings: Crossings | None) -> Pair:
    """The pair with the notes that may sound on the way; as it was where no model speaks."""
    if crossings is None or pair.lacking or pair.upper.pitch > HIGHEST_CLAIM:
        return pair
    crossing = crossings.crossing(
        pair.lower.position.places, pair.upper.position.places, pair.lower.pitch, pair.upper.pitch
    )
    return replace(pair, strays=tuple(map(plain_name, crossing.strays)))


_surveys: dict[Instrument, PairSurvey | None] = {}


def pair_survey_of(instrument: Instrument, tell: Tell = silent) -> PairSurvey | None:
    """The pairs that only the model knows, kept between runs; None where no bore is known."""
    if instrument not in _surveys:
        _surveys[instrument] = _kept_survey(instrument, tell) if has_bore(instrument) else None
    return _surveys[instrument]


def _kept_survey(instrument: Instrument, tell: Tell) -> PairSurvey | None:
    asked = AskedGrips.of(instrument)

    def made() -> dict[str, Any]:
        tell(f"working out the pairs the model knows on the {instrument.title}: once, some seconds")
        return pairs_data(instrument, asked)

    return kept_as(pairs_name(instrument, asked), made, PairSurvey.of_data)


def pairs_name(instrument: Instrument, asked: AskedGrips) -> str:
    """The name a pair survey is kept under: flute, parts, and a digest of all it depends on."""
    code = ("gripway.trills.found", "gripway.candidates.found_rows")
    tables = ("acoustics", "instruments", "effort/trill_pairs.csv")
    state = digest(asked.text(instrument), code=code, tables=tables)
    return f"pairs-{instrument.id}-{'-'.join(instrument.parts) or 'plain'}-{state}"


def pairs_data(instrument: Instrument, asked: AskedGrips) -> dict[str, Any]:
    """The pair survey, worked out anew: here the model and numpy are loaded."""
    from gripway.candidates.found_rows import tubes_of
    from gripway.trills.found import pair_survey

    known = {pitch: asked.grips[pitch] for pitch in asked.standards}
    return pair_survey(instrument, tubes_of(instrument), known, asked.standards).data()


def trill_frame(found: TrillList) -> "pd.DataFrame":
    """The list of `trill` as a pandas frame, one row a pair.

    Cents are from equal temperament, speeds in notes a second.

    >>> import gripway
    >>> gripway.trill_frame(gripway.trill("F6", "G6", gripway.flute()))["lower_grip"].iloc[0]
    'Tb L1 | Eb'
    """
    from gripway.trills.trill_list import trill_frame as frame

    check_frame_of(found, TrillList, "trill(...)")
    return frame(found)
