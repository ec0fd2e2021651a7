"""Why a change is hard, in words: fingers, support, the lead, what sounds in between."""

from collections.abc import Iterator

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.model.grip import FOOT_TOUCHES, Grip
from gripway.model.mechanism import FINGERS
from gripway.model.pitch import Pitch, plain_name
from gripway.practice.cells.cells import Cell, is_tremolo
from gripway.route.result import RouteChange
from gripway.route.solve import Solver

FINGER_WORDS = {
    "LT": "left thumb",
    **{f"L{k}": f"left {name}" for k, name in enumerate(("index", "middle", "ring", "little finger"), 1)},
    **{f"R{k}": f"right {name}" for k, name in enumerate(("index", "middle", "ring", "little finger"), 1)},
}
HANDS = {"L": "left", "R": "right"}
LATE = 1.0
TELLS = 0.02
"""Difference of a load from time needed over time there is that is worth a word."""


def why_hard(cell: Cell, solver: Solver, figures: PracticeFigures) -> str:
    """Sentences on the worst change of a cell."""
    before, after = cell.candidates[cell.worst - 1 : cell.worst + 1]
    sentences = [
        _plain(cell, solver),
        _time(cell, figures.tight_load),
        *_tremolo(cell),
        *_swaps(cell.change),
        *_slides(cell.change),
        *_moves(cell.change),
        *_support(before, after, figures.balance_watch_support),
        *_lead(cell, solver, before, after),
        *_lips(cell.change),
    ]
    return " ".join(f"{text[0].upper()}{text[1:]}." for text in sentences)


def _plain(cell: Cell, solver: Solver) -> str:
    """What the hands do, in one plain sentence: how many fingers change, and which of them first."""
    before, after = cell.pitches[cell.worst - 1], cell.pitches[cell.worst]
    count, advice = len(cell.change.movers), cell.change.advice
    fingers = f"{count} finger{'s' * (count != 1)} change{'s' * (count == 1)}"
    led = solver.crossings is not None and advice.unsafe and advice.lead and count > 1
    lead = f"; the {FINGER_WORDS[advice.lead]} first if not quite at once" if led else ""
    return f"{before} to {after}: {fingers}{lead}"


def _time(cell: Cell, tight_load: float) -> str:
    change = cell.change
    tight = "there is little to spare" if change.load >= tight_load else "in time if no finger is late"
    late = "the fingers come late" if change.load > LATE else tight
    return (
        f"the fingers need about {change.change_ms:.0f} ms "
        f"and have {change.available_ms:.0f}{_touch(cell)}, {late}"
    )


def _touch(cell: Cell) -> str:
    """The slur or the tongue, where the load is not just the one time over the other."""
    change = cell.change
    plain = change.change_ms / change.available_ms if change.available_ms else change.load
    if abs(plain - change.load) < TELLS:
        return ""
    touch = "slur" if cell.notes[cell.worst].note.slurred else "tongue"
    return f" ({change.load:.0%} of the time with the {touch} counted in)"


def _tremolo(cell: Cell) -> Iterator[str]:
    if is_tremolo(cell):
        yield "it is a tremolo: the drills have it at its own speed, which is why their notes are so short"


def _swaps(change: RouteChange) -> Iterator[str]:
    """In one hand fingers go down while others go up."""
    for hand, name in HANDS.items():
        down, up = _of(change, hand, "down"), _of(change, hand, "up")
        if down and up:
            goes, lift = ("goes" if len(down) == 1 else "go"), ("lifts" if len(up) == 1 else "lift")
            yield (
                f"swap in the {name} hand: {_listed(down, hand)} {goes} down while {_listed(up, hand)} {lift}"
            )


def _slides(change: RouteChange) -> Iterator[str]:
    for finger, how in change.movers:
        if how == "slide":
            yield f"the {FINGER_WORDS[finger]} slides from key to key"
        elif how == "across":
            yield f"the {FINGER_WORDS[finger]} goes across to another key while up"


def _moves(change: RouteChange) -> Iterator[str]:
    """How many fingers move, where no swap or slide has said enough."""
    hands = {finger[0] for finger, _ in change.movers}
    if len(change.movers) > 2 or len(hands) > 1:
        both = " in both hands" if len(hands) > 1 else f" of the {HANDS[min(hands)]} hand"
        yield f"{len(change.movers)} fingers{both} must {_together(change)}"
    elif len(change.movers) == 2 and not any(True for _ in (*_swaps(change), *_slides(change))):
        first, second = (FINGER_WORDS[finger] for finger, _ in change.movers)
        yield f"{first} and {second} must move as one"
    elif len(change.movers) == 1 and change.movers[0][1] in ("up", "down"):
        yield f"only the {FINGER_WORDS[change.movers[0][0]]} moves: it is the speed alone"


def _together(change: RouteChange) -> str:
    """What fingers do at once: all lift, all come down, or both."""
    ways = {moved for _, moved in change.movers}
    return {frozenset({"up"}): "lift at once", frozenset({"down"}): "come down at once"}.get(
        frozenset(ways), "arrive together"
    )


def _support(before: Candidate, after: Candidate, watch: float) -> Iterator[str]:
    """What stops, or begins, steadying the flute."""
    difference = after.support - before.support
    if abs(difference) < watch:
        return
    held, other = (before, after) if difference < 0 else (after, before)
    fingers = steadying(held.grip, other.grip)
    if not fingers:
        return
    names = _listed(fingers, "")
    if difference < 0:
        yield f"{names} no longer {'steadies' if len(fingers) == 1 else 'steady'} the flute"
    else:
        yield f"{names} {'takes' if len(fingers) == 1 else 'take'} hold: nothing may push the flute"


def steadying(held: Grip, other: Grip) -> list[str]:
    """The fingers that steady the flute in one grip and not in the other."""
    foot = any(other.has(touch) for touch in FOOT_TOUCHES)
    found = {_finger(touch) for touch in held.touches if not other.has(touch)}
    found -= {_finger(touch) for touch in other.touches}
    if foot:
        found.discard("R4")
    return [finger for finger in FINGERS if finger in found]


def _finger(touch: str) -> str:
    """The finger a touch belongs to, as far as steadying goes; trill keys steady nothing."""
    if touch in ("T", "Tb"):
        return "LT"
    if touch in FOOT_TOUCHES:
        return "R4"
    return touch if touch in FINGERS else ""


def _lead(cell: Cell, solver: Solver, before: Candidate, after: Candidate) -> Iterator[str]:
    """Which finger should lead, and which grip then lies in between."""
    advice = cell.change.advice
    crossings = solver.crossings
    if crossings is None or not advice.unsafe:
        return
    way = crossings.crossing(before.position.places, after.position.places, before.pitch, after.pitch).way
    flat = any(note.note.pitch.alter < 0 for note in cell.notes)
    if way:
        passing = way[0]
        sounds = "nothing clear" if passing.sounds is None else _name(passing.sounds, flat=flat)
        grip = Grip(passing.mask).short
        yield (
            f"in between lies {grip}, which sounds {sounds}"
            if advice.lead
            else (f"one of the grips in between is {grip}, which sounds {sounds}")
        )
    if advice.strays:
        strays = [_name(Pitch.parse(name).number, flat=flat) for name in advice.strays[:3]]
        yield f"uneven fingers let {_listed(strays, '')} be heard"


FLATS = {"C#": "Db", "D#": "Eb", "F#": "Gb", "G#": "Ab", "A#": "Bb"}


def _name(number: int, *, flat: bool) -> str:
    """A note's plain name, with a flat among flats."""
    name = plain_name(number)
    return FLATS.get(name[:-1], name[:-1]) + name[-1] if flat else name


def _lips(change: RouteChange) -> Iterator[str]:
    if dict(change.moving.parts).get("lip", 0) >= MILLI // 20:
        yield "the lips go to another partial on the same holes"


def _of(change: RouteChange, hand: str, how: str) -> list[str]:
    return [finger for finger, moved in change.movers if finger[0] == hand and moved == how]


def _listed(fingers: list[str], hand: str) -> str:
    """Names joined by commas and an and; without the hand where it has been said."""
    names = [FINGER_WORDS.get(finger, finger) for finger in fingers]
    if hand:
        names = [name.removeprefix(f"{HANDS[hand]} ") for name in names]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
