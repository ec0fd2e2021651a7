"""Found grips: hole patterns that sound a note by the model and that nobody printed.

They are ranked by a sum of shares, each the part of its limit that a grip uses up: 0 is as good
as the standard grip, 1 as far as the limit allows. All of it is an estimate from the model of
one flute: a found grip is unconfirmed until somebody plays it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from math import isinf

from gripway.acoustics.atlas import Atlas
from gripway.acoustics.sounds import nearest_resonances
from gripway.acoustics.touch_holes import touch_holes
from gripway.asked.found_wishes import NO_WISHES, FoundWishes
from gripway.candidates.finger_placings import Placing, easiest, fingers_apart, ways
from gripway.catalog.flute.grips import allowed, grip_rows
from gripway.catalog.tables.acoustic_limits import AcousticLimits, acoustic_limits
from gripway.errors import ImpossibleHoldError, RequestError
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.pitch import plain_name
from gripway.model.survey import HIGHEST_CLAIM

KIND = "found"

KNOWN_FINGERS = 1
"""A grip the hands know as the standard grip of another note is as near as one finger away."""


@dataclass(frozen=True, slots=True)
class FoundGrip:
    """A grip that only the model knows, for one note.

    `pattern` are its open holes; `cents_vs_standard` and `loss_ratio` compare it with the
    standard grip of the note by the model; `gap_cents` lies down to the next resonance that
    could sound instead (None: there is none). `parts` are the shares of tuning, loss, gap, hand
    and idle fingers, `score` their sum: less is better.
    """

    grip: Grip
    pattern: int
    cents_vs_standard: float
    loss_ratio: float
    gap_cents: float | None
    parts: tuple[tuple[str, float], ...]
    kind: str = KIND

    @property
    def score(self) -> float:
        """Sum of the shares: 0 is as good as the standard grip."""
        return sum(share for _, share in self.parts)


@dataclass(frozen=True, slots=True)
class _FoundNote:
    """Patterns of one note against its standard grip: cents of all, and those inside the limits.

    `good` has cents, loss ratio and gap in cents (infinite: none) by pattern.
    """

    cents: Mapping[int, float]
    good: Mapping[int, tuple[float, float, float]]


def found_grips(
    instrument: Instrument,
    atlas: Atlas,
    number: int,
    printed: Iterable[Grip],
    wishes: FoundWishes = NO_WISHES,
    neighbours: Iterable[Grip] = (),
) -> tuple[FoundGrip, ...]:
    """Every grip of note `number` the model knows and nobody printed, the best first.

    `printed` are the printed grips of the note, the standard one first; `neighbours` the grips
    of the notes beside it (without them, nearness in the hand is that to the standard grip).
    Each hole pattern comes once, by its easiest set of touches; none has the holes of a printed
    grip. RequestError when there is no standard grip to compare with, when the model does not
    claim the note, or when no hand can do what is wished.
    """
    printed = tuple(printed)
    _check(instrument, number, printed, wishes)
    holes = touch_holes(instrument.mechanism)
    note = _note(atlas, number + instrument.sounds_semitones, holes.pattern(printed[0].mask), wishes)
    wanted = note.good.keys() - {holes.pattern(grip.mask) for grip in printed}
    beside = tuple(neighbours) or printed[:1]
    found = [
        _found(instrument, placing, note, beside) for placing in easiest(instrument.mechanism, wanted, wishes)
    ]
    return tuple(sorted(found, key=lambda grip: (grip.score, grip.grip.mask)))


def _check(instrument: Instrument, number: int, printed: Sequence[Grip], wishes: FoundWishes) -> None:
    """Raise RequestError for what cannot be asked."""
    name, highest = plain_name(number), HIGHEST_CLAIM
    if not printed:
        raise RequestError(
            f"{name} has no printed grip to compare with", next_step="Choose a pitch the tables cover"
        )
    if number > highest:
        raise RequestError(
            f"the model claims nothing for {name}", next_step=f"Choose a pitch up to {plain_name(highest)}"
        )
    for words, grip in (("keep", wishes.keep), ("fingers from", wishes.origin)):
        if grip is not None:
            try:
                instrument.mechanism.holds(grip)
            except ImpossibleHoldError as error:
                raise RequestError(error.what, place=words, next_step=error.next_step) from None


def _note(atlas: Atlas, sounding: int, standard: int, wishes: FoundWishes) -> _FoundNote:
    """What every pattern sounds near a note, and which are inside the window and the limits."""
    limits = acoustic_limits()
    row = atlas.rows().get(standard)
    base = None if row is None else nearest_resonances(atlas, sounding)
    if base is None or abs(base.numbers[row] - sounding) * 100.0 > limits.sounds_cents:
        raise RequestError(
            f"the model does not sound the standard grip of {plain_name(sounding)}",
            next_step="Without it nothing can be compared; choose another pitch",
        )
    centre, loss = float(base.numbers[row]), float(base.loss[row])
    own = nearest_resonances(atlas, centre)
    cents, ratios = 100.0 * (own.numbers - centre), own.loss / loss
    fine = (
        (abs(cents) <= wishes.window_cents)
        & (ratios <= limits.found_loss_ratio)
        & (own.gap_cents >= limits.found_gap_cents)
        & (own.sharpness > limits.audible_ratio)
    )
    columns = (column[fine].tolist() for column in (cents, ratios, own.gap_cents))
    patterns = atlas.patterns.tolist()
    return _FoundNote(
        cents=dict(zip(patterns, cents.tolist(), strict=True)),
        good=dict(zip(atlas.patterns[fine].tolist(), zip(*columns, strict=True), strict=True)),
    )


def _found(instrument: Instrument, placing: Placing, note: _FoundNote, beside: Sequence[Grip]) -> FoundGrip:
    """A grip with its shares."""
    limits = acoustic_limits()
    cents, ratio, gap_cents = note.good[placing.pattern]
    narrow = max(0.0, limits.free_gap_wide_cents - gap_cents) / (
        limits.free_gap_wide_cents - limits.found_gap_cents
    )
    parts = (
        ("tuning", abs(cents) / limits.found_cents),
        ("loss", max(0.0, ratio - 1.0) / (limits.found_loss_ratio - 1.0)),
        ("gap", narrow),
        ("hand", _fingers(instrument, placing, beside) / limits.found_fingers),
        ("idle", _idle(instrument, placing, note, beside, limits) / limits.found_fingers),
    )
    gap = None if isinf(gap_cents) else gap_cents
    return FoundGrip(Grip(placing.mask), placing.pattern, cents, ratio, gap, parts)


def _fingers(instrument: Instrument, placing: Placing, beside: Sequence[Grip]) -> float:
    """How many fingers away a grip is: from its neighbours on average, or as one already known."""
    mechanism = instrument.mechanism
    apart = [fingers_apart(placing.fingers, ways(mechanism, grip)) for grip in beside]
    away = sum(apart) / len(apart) + placing.second_choices
    return min(away, KNOWN_FINGERS) if placing.mask in _known(instrument) else away


def _idle(
    instrument: Instrument, placing: Placing, note: _FoundNote, beside: Sequence[Grip], limits: AcousticLimits
) -> float:
    """Fingers that differ from the nearest neighbour and could stay there: the note would not change."""
    holes = touch_holes(instrument.mechanism)
    moved = min((placing.mask ^ grip.mask for grip in beside), key=int.bit_count)
    own, idle = note.cents[placing.pattern], 0
    while moved:
        touch = moved & -moved
        other = note.cents.get(holes.pattern(placing.mask ^ touch))
        idle += other is not None and abs(other - own) < limits.free_cents
        moved ^= touch
    return limits.found_idle_fingers * idle


@cache
def _known(instrument: Instrument) -> frozenset[int]:
    """Masks of all standard grips of the instrument."""
    rows = (row for column in grip_rows(instrument).values() for row in column)
    return frozenset(row.grip.mask for row in rows if row.kind == "standard" and allowed(row, instrument))
