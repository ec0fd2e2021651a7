"""What is known of a flute, with found grips beside it: what the model was asked for, remembered.

The model itself (`candidates.found_rows`) is loaded only when found grips are asked for.
"""

from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from itertools import pairwise

from gripway.asked.found_wishes import FoundWishes
from gripway.candidates.candidates import Candidates, FluteKnowledge
from gripway.catalog.flute.grips import GripRow, allowed
from gripway.errors import RequestError
from gripway.model.passage import Passage, Remark
from gripway.model.player import PLAIN_PLAYER
from gripway.model.survey import HIGHEST_CLAIM, Key, Verdict
from gripway.recent import Recent

Beside = Mapping[int, frozenset[int]]
"""Pitches with those before and after each."""

Found = tuple[dict[int, tuple[GripRow, ...]], dict[Key, Verdict]]


def beside_of(passage: Passage) -> dict[int, frozenset[int]]:
    """Every pitch of a passage with the other pitches that come before or after it."""
    beside: dict[int, set[int]] = {note.pitch.number: set() for note in passage.notes}
    for before, after in pairwise(note.pitch.number for note in passage.notes):
        if before != after:
            beside[before].add(after)
            beside[after].add(before)
    return {pitch: frozenset(others) for pitch, others in beside.items()}


def with_found(
    known: FluteKnowledge, beside: Beside, wishes: FoundWishes, most: int
) -> tuple[FluteKnowledge, Remark | None]:
    """What is known with found grips of some pitches beside it, and a remark where there are none."""
    try:
        rows, verdicts = _found(known, beside, wishes, most)
    except RequestError as problem:
        return known, Remark(f"no found grips: {'. '.join(filter(None, (problem.what, problem.next_step)))}")
    if not rows:
        return known, Remark("no found grips: nothing the model knows keeps to the wishes and limits")
    survey = known.survey
    if survey is not None:
        survey = replace(survey, verdicts={**survey.verdicts, **verdicts})
    above = max(beside) > HIGHEST_CLAIM
    silent = Remark("no found grips above C#7: the model claims nothing there") if above else None
    return replace(known, found=rows, survey=survey), silent


MOST_REMEMBERED = 8
"""Answers of the model that are remembered while the process lives: those used last."""

_found_before: Recent[Found] = Recent(MOST_REMEMBERED)


def _found(known: FluteKnowledge, beside: Beside, wishes: FoundWishes, most: int) -> Found:
    """Found grips of some pitches and what the model says of them, remembered for a while.

    RequestError where the instrument has no model, or has no standard grip to compare with.
    """
    key = (known.instrument, frozenset(beside.items()), wishes, most)
    return _found_before.get_or(key, lambda: _found_anew(known, beside, wishes, most))


def _found_anew(known: FluteKnowledge, beside: Beside, wishes: FoundWishes, most: int) -> Found:
    from gripway.candidates.found_rows import found_rows, known_grips

    book = Candidates(replace(known, player=PLAIN_PLAYER))
    around = set(beside).union(*beside.values())
    standard = {pitch: book.standard_row(pitch) for pitch in sorted(around)}
    fits = partial(allowed, instrument=known.instrument)
    printed = {
        pitch: (*known_grips(filter(fits, book.rows(pitch)), row.grip), *book.free(pitch))
        for pitch, row in standard.items()
        if pitch in beside and row is not None and allowed(row, known.instrument)
    }
    grips = {pitch: row.grip for pitch, row in standard.items() if row is not None}
    near = {pitch: [grips[other] for other in sorted(beside[pitch]) if other in grips] for pitch in printed}
    if not printed:
        raise RequestError(
            "found grips are compared with the standard grip, and this flute has none for the note",
            next_step="Choose a pitch with a standard grip, or name the flute's parts",
        )
    return found_rows(known.instrument, printed, near, wishes, known.tables.figures, most)
