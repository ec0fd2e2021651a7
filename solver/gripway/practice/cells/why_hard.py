"""Why a change is hard, in short words: fingers, support, what sounds in between."""

from collections.abc import Iterator
from dataclasses import replace

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.effort.load import LATE
from gripway.model.grip import FOOT_TOUCHES, Grip
from gripway.model.mechanism import FINGERS
from gripway.model.pitch import Pitch, plain_name
from gripway.practice.cells.cells import Cell, is_tremolo
from gripway.route.result import Route, RouteChange
from gripway.route.solve import Solver

FINGER_WORDS = {
    "LT": "left thumb",
    **{f"L{k}": f"left {name}" for k, name in enumerate(("index", "middle", "ring", "little finger"), 1)},
    **{f"R{k}": f"right {name}" for k, name in enumerate(("index", "middle", "ring", "little finger"), 1)},
}
HANDS = {"L": "left", "R": "right"}
MOST_STRAYS = 3
"""Notes named that uneven fingers let be heard."""


def why_hard(cell: Cell, solver: Solver, figures: PracticeFigures) -> str:
    """Short sentences on the worst change of a cell."""
    before, after = cell.candidates[cell.worst - 1 : cell.worst + 1]
    sentences = [
        _plain(cell, solver),
        _time(cell, figures.tight_load),
        *_tremolo(cell),
        *_hands(cell.change),
        *_slides(cell.change),
        *_support(before, after, figures.balance_watch_support),
        *_strays(cell, solver),
        *_lips(cell.change),
    ]
    return " ".join(f"{text[0].upper()}{text[1:]}." for text in sentences)


def with_most_fingers(cell: Cell, route: Route) -> Cell:
    """A cell of a route; by its change with the most fingers where one alone moves in its worst."""
    inside = range(cell.first + 1, cell.first + len(cell.notes))
    changes = [change for change in route.changes if change.to in inside]
    if cell.trill or is_tremolo(cell) or len(cell.change.movers) != 1 or not changes:
        return cell
    most = max(changes, key=lambda change: (len(change.movers), change.load))
    return replace(cell, worst=most.to - cell.first, change=most) if len(most.movers) > 1 else cell


def _plain(cell: Cell, solver: Solver) -> str:
    """What the hands do, in one plain sentence: how many fingers move, and which of them first."""
    names = f"{cell.pitches[cell.worst - 1]} to {cell.pitches[cell.worst]}"
    movers, advice = cell.change.movers, cell.change.advice
    if len(movers) == 1:
        return f"{names}: only the {FINGER_WORDS[movers[0][0]]} moves, so it is the speed alone"
    hands = {finger[0] for finger, _ in movers}
    where = " of both hands" if len(hands) > 1 else f" of the {HANDS[min(hands, default='R')]} hand"
    led = solver.crossings is not None and advice.unsafe and advice.lead
    lead = f"; if one is early, let it be the {FINGER_WORDS[advice.lead]}" if led else ""
    return f"{names}: {len(movers)} fingers{where} {_together(cell.change)} as one{lead}"


def _together(change: RouteChange) -> str:
    """What fingers do at once: all lift, all come down, or both."""
    ways = {moved for _, moved in change.movers}
    return {frozenset({"up"}): "lift", frozenset({"down"}): "come down"}.get(frozenset(ways), "move")


def _time(cell: Cell, tight_load: float) -> str:
    load = cell.change.load
    if load > LATE:
        return "at full tempo there is no time to spare: keep the fingers close to the keys"
    return (
        "at full tempo there is hardly time to spare"
        if load >= tight_load
        else "there is time if no finger is late"
    )


def _tremolo(cell: Cell) -> Iterator[str]:
    if is_tremolo(cell):
        yield "it is a tremolo: the drills have its own speed, so their notes are short"


def _hands(change: RouteChange) -> Iterator[str]:
    """The hands in which some fingers go down while others go up: `left hand: ring down, middle up`."""
    for hand, name in HANDS.items():
        down, up = _of(change, hand, "down"), _of(change, hand, "up")
        if down and up:
            yield f"{name} hand: {_listed(down, hand)} down, {_listed(up, hand)} up"


def _slides(change: RouteChange) -> Iterator[str]:
    for finger, how in change.movers:
        if how == "slide":
            yield f"the {FINGER_WORDS[finger]} slides from key to key"
        elif how == "across":
            yield f"the {FINGER_WORDS[finger]} goes across to another key while up"


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
        yield f"{names} {'lets' if len(fingers) == 1 else 'let'} go: keep the flute still"
    else:
        yield f"{names} {'takes' if len(fingers) == 1 else 'take'} hold: do not push the flute"


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


def _strays(cell: Cell, solver: Solver) -> Iterator[str]:
    """What is heard when the fingers are not together."""
    advice = cell.change.advice
    if solver.crossings is None or not (advice.unsafe and advice.strays):
        return
    flat = any(note.note.pitch.alter < 0 for note in cell.notes)
    strays = [_name(Pitch.parse(name).number, flat=flat) for name in advice.strays[:MOST_STRAYS]]
    *most, last = strays
    names = f"{', '.join(most)} or {last}" if most else last
    yield f"listen that no {names} sounds in between"


FLATS = {"C#": "Db", "D#": "Eb", "F#": "Gb", "G#": "Ab", "A#": "Bb"}


def _name(number: int, *, flat: bool) -> str:
    """A note's plain name, with a flat among flats."""
    name = plain_name(number)
    return FLATS.get(name[:-1], name[:-1]) + name[-1] if flat else name


def _lips(change: RouteChange) -> Iterator[str]:
    if dict(change.moving.parts).get("lip", 0) >= MILLI // 20:
        yield "the lips do the rest: the same holes, another harmonic"


def _of(change: RouteChange, hand: str, how: str) -> list[str]:
    return [finger for finger, moved in change.movers if finger[0] == hand and moved == how]


def _listed(fingers: list[str], hand: str) -> str:
    """Names joined by commas and an and; without the hand where it has been said."""
    names = [FINGER_WORDS.get(finger, finger) for finger in fingers]
    if hand:
        names = [name.removeprefix(f"{HANDS[hand]} ") for name in names]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
