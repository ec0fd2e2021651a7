"""Pairs that only the model knows: from a known grip, move one or two fingers and hear what sounds.

All of it is an estimate from the model of one flute: such a pair is unconfirmed until somebody
plays it. Every grip comes from places of nine fingers, so that a hand can hold it.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations, product

from gripway.acoustics.atlas import Atlas, atlas, reachable_patterns
from gripway.acoustics.ladder import Tube
from gripway.acoustics.pitch_lean import Sought, verdicts
from gripway.acoustics.sounds import nearest_resonances
from gripway.acoustics.touch_holes import touch_holes
from gripway.catalog.flute.regulation import regulation_cents
from gripway.catalog.tables.acoustic_limits import acoustic_limits
from gripway.catalog.tables.trill_pairs import PairFigures, pair_figures
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.mechanism import FINGERS, Mechanism
from gripway.model.pair_survey import GripPair, PairSurvey
from gripway.model.survey import HIGHEST_CLAIM
from gripway.trills.pair import WIDEST

MOST_FINGERS = 2

Fine = dict[int, tuple[float, float]]
"""Cents against the standard grip and loss ratio, by hole pattern."""


@dataclass(frozen=True, slots=True)
class Move:
    """What some fingers make of a grip: the touches then pressed, the holes then open, how many moved."""

    mask: int
    pattern: int
    fingers: int


@dataclass(frozen=True, slots=True)
class _Chance:
    """A pair that may be kept: its order, the new note's number and hole pattern."""

    order: tuple[float, int, int]
    number: int
    pattern: int
    pair: GripPair


def pair_survey(
    instrument: Instrument,
    tubes: tuple[Tube, ...],
    known: Mapping[int, Iterable[Grip]],
    standards: Mapping[int, Grip],
) -> PairSurvey:
    """The best pairs of every two pitches up to an octave apart, one grip known and the other new.

    `known` are the grips this flute can play, by note number; `standards` the standard grip of
    each, which the new grips are measured from. `tubes` is the ensemble, the nominal one first.
    """
    figures = pair_figures()
    grips = {pitch: tuple(of_pitch) for pitch, of_pitch in known.items()}
    whole = atlas(instrument, tubes[0], reachable_patterns(instrument))
    fine = {
        pitch: _fine(instrument, whole, pitch, grip, figures)
        for pitch, grip in standards.items()
        if pitch <= HIGHEST_CLAIM
    }
    chances = _chances(instrument, grips, fine)
    best = {
        pitches: _best(found, int(figures.found_kept_pairs)) for pitches, found in sorted(chances.items())
    }
    pattern = instrument.mechanism.hole_pattern
    new = {
        (chance.number, chance.pair[chance.number == pitches[1]]): chance.pattern
        for pitches, found in best.items()
        for chance in found
    }
    sought = [Sought(number, holes, pattern(standards[number])) for (number, _), holes in new.items()]
    said = verdicts(instrument, tubes, sought, regulation_cents()) if sought else []
    heard_of = {
        key: verdict
        for key, verdict in zip(new, said, strict=True)
        if verdict is not None and abs(verdict.vs_standard) <= figures.found_window_cents
    }
    pairs = {
        pitches: tuple(c.pair for c in found if (c.number, c.pair[c.number == pitches[1]]) in heard_of)
        for pitches, found in best.items()
    }
    return PairSurvey({pitches: found for pitches, found in pairs.items() if found}, heard_of)


def _fine(instrument: Instrument, whole: Atlas, pitch: int, standard: Grip, figures: PairFigures) -> Fine:
    """Hole patterns that sound a note nearly as its standard grip does, and speak."""
    row = whole.rows()[instrument.mechanism.hole_pattern(standard)]
    base = nearest_resonances(whole, pitch)
    if abs(base.numbers[row] - pitch) * 100.0 > acoustic_limits().sounds_cents:
        return {}
    own = nearest_resonances(whole, float(base.numbers[row]))
    cents, ratio = 100.0 * (own.numbers - base.numbers[row]), own.loss / base.loss[row]
    speaks = (own.sharpness > acoustic_limits().audible_ratio) & (
        own.gap_cents >= acoustic_limits().found_gap_cents
    )
    good = (abs(cents) <= figures.found_window_cents) & (ratio <= figures.found_loss_ratio) & speaks
    columns = zip(whole.patterns[good].tolist(), cents[good].tolist(), ratio[good].tolist(), strict=True)
    return {pattern: (lean, loss) for pattern, lean, loss in columns}


def _chances(
    instrument: Instrument, known: Mapping[int, tuple[Grip, ...]], fine: Mapping[int, Fine]
) -> dict[tuple[int, int], list[_Chance]]:
    """Every pair of a known grip and a new one a move away, by (lower, upper)."""
    pattern = instrument.mechanism.hole_pattern
    old = {pitch: {pattern(grip) for grip in grips} for pitch, grips in known.items()}
    chances: dict[tuple[int, int], list[_Chance]] = defaultdict(list)
    for pitch, grips in known.items():
        reach = [n for n in range(pitch - WIDEST, pitch + WIDEST + 1) if n != pitch and n in fine]
        wanted = {n: fine[n].keys() - old[n] - old[pitch] for n in reach}
        anywhere = set().union(*wanted.values()) if wanted else set()
        for grip in grips:
            holes = pattern(grip)  # where these sound the other note too, the lip trills and no finger
            for move in moves(instrument.mechanism, grip):
                if move.pattern not in anywhere:
                    continue
                for other in (n for n in reach if move.pattern in wanted[n] and holes not in fine[n]):
                    chances[min(pitch, other), max(pitch, other)].append(
                        _chance(pitch, grip, other, move, fine[other][move.pattern])
                    )
    return chances


def _chance(pitch: int, grip: Grip, other: int, move: Move, heard_as: tuple[float, float]) -> _Chance:
    cents, loss = heard_as
    figures = pair_figures()
    fingers, lost = (
        figures.found_finger_points * (move.fingers - 1),
        max(0.0, loss - 1.0) / figures.found_loss_point_ratio,
    )
    size = fingers + abs(cents) / figures.point_cents + lost
    new = Grip(move.mask)
    order = (round(size, 3), move.mask.bit_count(), move.mask)
    return _Chance(order, other, move.pattern, (grip, new) if pitch < other else (new, grip))


def _best(chances: Iterable[_Chance], most: int) -> list[_Chance]:
    """The best chances; each hole pattern of the new note comes once."""
    kept: dict[tuple[int, int], _Chance] = {}
    for chance in sorted(chances, key=lambda chance: (chance.order, chance.pair[0].mask)):
        kept.setdefault((chance.number, chance.pattern), chance)
        if len(kept) == most:
            break
    return list(kept.values())


def moves(mechanism: Mechanism, grip: Grip, most: int = MOST_FINGERS) -> Iterator[Move]:
    """Every grip that up to `most` fingers make of one by pressing something else than they do.

    ImpossibleHoldError when no hand can hold the grip.
    """
    holes = touch_holes(mechanism)
    places = [reach.mask if reach else 0 for reach in mechanism.holds(grip)[0].reaches]
    options = [
        [mask for mask in (0, *(r.mask for r in mechanism.reaches if r.finger == finger)) if mask != place]
        for finger, place in zip(FINGERS, places, strict=True)
    ]
    for count in range(1, most + 1):
        for fingers in combinations(range(len(FINGERS)), count):
            still = 0
            for finger, place in enumerate(places):
                if finger not in fingers:
                    still |= place
            for chosen in product(*(options[finger] for finger in fingers)):
                mask = still
                for touches in chosen:
                    mask |= touches
                if mask != grip.mask:
                    yield Move(mask, holes.at_rest ^ holes.moved_by(mask), count)
