"""How many printed grips the search finds again when they are struck from the tables.

Run `python -m tests.candidates.recall`: for every printed alternate, vented, harmonic and trill grip
from B3 to C7 it asks for grips of that note with this one (and every other with its holes) left
out, in a window just wide enough for its modelled cents, and looks at the first FIRST answers. A
grip that stands in a trill is asked for next to its partner's grip of that trill. It lists the
grips that do not come back, with the reason.
"""

from collections import Counter
from dataclasses import dataclass, replace
from functools import cache

from gripway.acoustics.atlas import Atlas, atlas, reachable_patterns
from gripway.acoustics.end_corrections import PlayerTerm
from gripway.acoustics.ladder import Tube
from gripway.acoustics.sounds import nearest_resonances
from gripway.asked.found_wishes import NO_WISHES
from gripway.candidates.found_grips import found_grips
from gripway.candidates.trill_grips import with_trill_grips
from gripway.catalog.flute.bores import bores
from gripway.catalog.flute.grips import GripRow, allowed, grip_rows
from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.flute.player_terms import player_term
from gripway.catalog.flute.trills import trill_rows
from gripway.catalog.tables.acoustic_limits import acoustic_limits
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.pitch import plain_name

FIRST = 20
LOWEST, HIGHEST = 59, 96
"""B3 to C7."""

FOUND, LATER = "found", "later"
SAME_HOLES = "has the holes of the standard grip"
FAR = "sounds more than {:g} cents from the standard grip"
LOSSY = "loses more than {:g} times the standard grip"
NARROW = "has another resonance nearer than {:g} cents below"


@dataclass(frozen=True, slots=True)
class Recalled:
    """One printed grip and what became of it: `found`, `later` (after the first ones), or why not."""

    row: GripRow
    outcome: str
    place: int | None = None


@cache
def flute(*parts: str) -> tuple[Instrument, Atlas]:
    """A flute with its atlas on the measured tube."""
    instrument = load_instrument("concert-flute", parts)
    bore = bores(instrument)[0]
    tube = Tube(bore, PlayerTerm(*player_term(bore.id)))
    return instrument, atlas(instrument, tube, reachable_patterns(instrument))


def recalled(*parts: str) -> list[Recalled]:
    """What became of every printed grip of a flute that is not a standard one."""
    instrument, found = flute(*parts)
    rows = with_trill_grips(grip_rows(instrument), trill_rows(instrument))
    beside = partners(instrument)
    return [
        _ask(
            instrument,
            found,
            row,
            [other for other in rows[number] if allowed(other, instrument)],
            beside.get((number, row.grip), ()),
        )
        for number in sorted(rows)
        if LOWEST <= number <= HIGHEST
        for row in rows[number]
        if row.kind != "standard" and allowed(row, instrument)
    ]


def partners(instrument: Instrument) -> dict[tuple[int, Grip], tuple[Grip]]:
    """For a pitch and its grip in a trill the grip of the other note, in the first such trill."""
    found: dict[tuple[int, Grip], tuple[Grip]] = {}
    for (lower, upper), pairs in trill_rows(instrument).items():
        for pair in pairs:
            if pair.lower_grip is not None and pair.upper_grip is not None and allowed(pair, instrument):
                found.setdefault((lower, pair.lower_grip), (pair.upper_grip,))
                found.setdefault((upper, pair.upper_grip), (pair.lower_grip,))
    return found


def _ask(
    instrument: Instrument, found: Atlas, row: GripRow, rows: list[GripRow], beside: tuple[Grip, ...]
) -> Recalled:
    """Strike a grip out and look for its holes."""
    pattern = instrument.mechanism.hole_pattern
    wanted = pattern(row.grip)
    printed = [other.grip for other in rows if pattern(other.grip) != wanted]
    standard = rows[0].grip
    if pattern(standard) == wanted:
        return Recalled(row, SAME_HOLES)
    cents, why = _outside(instrument, found, row.pitch, wanted, standard)
    if why:
        return Recalled(row, why)
    limits = acoustic_limits()
    wishes = replace(NO_WISHES, within_cents=max(limits.found_cents, abs(cents) + 0.01))
    answers = found_grips(instrument, found, row.pitch, printed, wishes, beside)
    place = next(k for k, answer in enumerate(answers) if answer.pattern == wanted)
    return Recalled(row, FOUND if place < FIRST else LATER, place + 1)


def _outside(
    instrument: Instrument, found: Atlas, number: int, wanted: int, standard: Grip
) -> tuple[float, str]:
    """Modelled cents against the standard grip, and the limit that keeps a pattern out (or nothing)."""
    limits, rows = acoustic_limits(), found.rows()
    base = rows[instrument.mechanism.hole_pattern(standard)]
    near = nearest_resonances(found, number)
    centre, loss = float(near.numbers[base]), float(near.loss[base])
    own, row = nearest_resonances(found, centre), rows[wanted]
    cents = 100.0 * (float(own.numbers[row]) - centre)
    if abs(cents) > limits.found_most_cents:
        return cents, FAR.format(limits.found_most_cents)
    if own.loss[row] > limits.found_loss_ratio * loss:
        return cents, LOSSY.format(limits.found_loss_ratio)
    if own.gap_cents[row] < limits.found_gap_cents:
        return cents, NARROW.format(limits.found_gap_cents)
    return cents, ""


def inside(outcomes: list[Recalled]) -> float:
    """Share that comes back among the first, of all that lie inside the limits of the search."""
    within = [each for each in outcomes if each.outcome in (FOUND, LATER)]
    return sum(each.outcome == FOUND for each in within) / len(within)


def rate(outcomes: list[Recalled]) -> float:
    """Share that comes back among the first, of all printed grips with holes of their own."""
    counted = [each for each in outcomes if each.outcome != SAME_HOLES]
    return sum(each.outcome == FOUND for each in counted) / len(counted)


def report(outcomes: list[Recalled]) -> str:
    """The rate, by kind and by reason, and every grip that does not come back."""
    counted = [each for each in outcomes if each.outcome != SAME_HOLES]
    back = [each for each in counted if each.outcome == FOUND]
    lines = [f"{len(back)} of {len(counted)} come back in the first {FIRST}: {rate(outcomes):.0%}"]
    lines.append(f"of those inside the limits of the search: {inside(outcomes):.0%}")
    for kind in sorted({each.row.kind for each in counted}):
        own = [each for each in counted if each.row.kind == kind]
        lines.append(f"  {kind}: {sum(each.outcome == FOUND for each in own)} of {len(own)}")
    reasons = Counter(each.outcome for each in outcomes if each.outcome != FOUND)
    lines += [f"{count} {reason}" for reason, count in reasons.most_common()]
    lines += [
        f"  {plain_name(each.row.pitch)} {each.row.kind} {each.row.grip.text}: {each.outcome}"
        + (f" (place {each.place})" if each.place else "")
        for each in outcomes
        if each.outcome != FOUND
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    for parts in ((), ("b-foot", "c-sharp-trill")):
        print(f"concert-flute {' '.join(parts)}".strip())
        print(report(recalled(*parts)))
