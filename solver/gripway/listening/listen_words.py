"""What a recording said, in words: the sentence, and why a take cannot be used."""

from gripway.catalog.tables.listening_figures import cents_figures
from gripway.listening.listened import Listened
from gripway.listening.own_cents import MeasuredGrip
from gripway.listening.takes import (
    CLIPPED,
    MISSING,
    NOISY,
    NOISY_GAPS,
    OFF,
    OTHER_NOTE,
    SHORT,
    UNSTEADY,
    Asked,
    Refusal,
    Take,
)
from gripway.model.pitch import plain_name
from gripway.units import CENTS_PER_OCTAVE

ADVICE = {
    SHORT: "play it for two seconds",
    CLIPPED: "stand further from the microphone, or turn it down",
    OFF: "check the grip and the octave",
    OTHER_NOTE: "check the grip and the octave",
    NOISY: "find a quieter room",
    UNSTEADY: "play it steadily, with little vibrato",
    NOISY_GAPS: "find a quieter room, and leave a breath of silence between any two notes",
    MISSING: "play three takes of each grip, a breath of silence between any two",
}
"""What to do about a refused take."""


def listen_sentence(found: Listened, written: str | None) -> str:
    """What to know and do first, in one sentence; `written` names the list that was added to."""
    wanting = [each for each in found.asked if found.measured_of(each) is None]
    if wanting and (rows := rows_heard(found, wanting)):
        which = "row 1 was" if rows == 1 else f"rows 1 to {rows} were"
        return f"Only {which} heard: ask for grips[:{rows}], or play the other rows as well."
    if wanting:
        return f"Play {_names(wanting)} again: {_why(found, wanting[0])}."
    where = f"written to {written}" if written else "nothing is written yet"
    if len(found.asked) == 1 and (one := found.measured_of(found.asked[0])):
        return f"Your {difference_words(one)}: {where}."
    return f"Your {len(found.asked)} grips are measured: {where}."


def difference_words(one: MeasuredGrip) -> str:
    """`F#6 with T 1 3 | 2 Eb lies 12 cents above your standard one, give or take 4`."""
    name = f"{plain_name(one.pitch)} with {one.grip.short}"
    versus, doubt = one.vs_standard or 0.0, one.vs_spread_cents or 0.0
    spread = round(doubt)
    if abs(versus) <= doubt:
        return f"{name} lies as high as your standard one, give or take {spread} cents"
    way = "above" if versus > 0 else "below"
    return f"{name} lies {abs(versus):.0f} cents {way} your standard one, give or take {spread}"


def refusal_words(refused: Refusal, pitch: int) -> str:
    """Why a take of a written pitch cannot be used."""
    size = refused.size
    if refused.kind == OTHER_NOTE:
        number = pitch + round(size / (CENTS_PER_OCTAVE / 12))
        return f"another note: {plain_name(number)}" if 0 <= number < 128 else "another note"
    return {
        SHORT: f"too short: {size:.1f} s",
        CLIPPED: f"clipped: {size:.1%} of it",
        OFF: f"{size:+.0f} cents off",
        NOISY: f"too noisy: {size:.0f} dB clear",
        UNSTEADY: f"unsteady: ±{size:.0f} cents",
        MISSING: f"{size:.0f} notes heard",
        NOISY_GAPS: f"noise between the notes, only {size:.0f} dB below them",
    }[refused.kind]


def clock(seconds: float) -> str:
    """A time in a recording.

    >>> clock(75.26)
    '1:15.3'
    """
    tenths = round(seconds * 10)
    return f"{tenths // 600}:{tenths % 600 // 10:02d}.{tenths % 10}"


def missing_words(found: Listened, take: Take) -> str:
    """How many notes were heard of a pitch and how many asked for, where it cannot be told which is which."""
    pitch = found.asked[take.place].pitch
    first = last = take.place
    while first and found.asked[first - 1].pitch == pitch:
        first -= 1
    while last + 1 < len(found.asked) and found.asked[last + 1].pitch == pitch:
        last += 1
    asked_for = sum(first <= each.place <= last for each in found.takes)
    heard = int(take.refused.size) if take.refused else 0
    return f"{heard} {'note was' if heard == 1 else 'notes were'} heard where {asked_for} were asked for"


def rows_heard(found: Listened, wanting: list[Asked]) -> int | None:
    """How many rows were played, where fewer than were asked for make up just the notes that were heard."""
    places = {found.asked.index(each) for each in wanting}
    if any(take.end_s > take.start_s for take in found.takes if take.place in places):
        return None
    whole = sum(note.length_s >= cents_figures().take_least_s for note in found.notes)
    rows = range(1, len(found.asked))
    return next((k for k in rows if sum(take.place < k for take in found.takes) == whole), None)


def _names(asked: list[Asked]) -> str:
    if len(asked) > 1:
        return f"{len(asked)} of the grips"
    return f"{plain_name(asked[0].pitch)} with {asked[0].grip.short}"


def _why(found: Listened, asked: Asked) -> str:
    """Why a grip could not be measured, by its first refused take, with what to do."""
    place = found.asked.index(asked)
    mine = [take for take in found.takes if take.place == place]
    refused = [take for take in mine if take.refused]
    first: Take = refused[0]
    reason = first.refused
    if reason is None:  # pragma: no cover - the takes were chosen by it
        return ""
    if reason.kind == NOISY_GAPS:
        return f"what sounds between the notes is only {reason.size:.0f} dB below them; {ADVICE[NOISY_GAPS]}"
    if reason.kind == MISSING:
        return f"{missing_words(found, first)}; {ADVICE[MISSING]}"
    return (
        f"of {len(mine)} takes {len(refused)} cannot be used (at {clock(first.start_s)} "
        f"{refusal_words(reason, asked.pitch)}); {ADVICE[reason.kind]}"
    )
