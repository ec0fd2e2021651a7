"""What to do, in one plain sentence: the first line of every answer; and the caution below each."""

from collections.abc import Iterator, Sequence

from gripway.display import enumerated
from gripway.effort.load import LATE
from gripway.model.grip import LEFT_TOUCHES, Grip
from gripway.model.mechanism import FINGER_NAMES
from gripway.model.passage import quarters_per_minute
from gripway.model.pitch import plain_name
from gripway.route.other_grips import OtherGrip, other_grips
from gripway.route.result import CONFLICT, Route, RouteNote
from gripway.route.words.place_words import places_in_words

CAUTION = (
    "Stop on pain, numbness or tingling; rest often; protect your hearing; ask your teacher or clinician."
)

MOST_GRIPS = 3
"""So many grips are spelt out; the others stand below."""

LONGEST_HEADING = 40
B_FLATS = {"Tb": "the thumb", "R1": "the right index finger", "Sb": "the side lever"}
TOUCH_NAMES = {
    **{touch: FINGER_NAMES[touch] for touch in ("L2", "L3", "R2", "R3")},
    **{touch: f"{FINGER_NAMES[touch]} finger" for touch in ("L1", "R1")},
    "T": FINGER_NAMES["LT"],
    "Tb": "thumb lever",
    "L4": "G-sharp lever",
    "Sb": "side lever",
    "Kd": "D trill key",
    "Kds": "D-sharp trill key",
    "Kcs": "C-sharp trill key",
    "Eb": "E-flat key",
    "Cs": "low C-sharp key",
    "C": "low C roller",
    "B": "low B roller",
    "Hc": "high-C facilitator",
}
PLATES = ("L1", "L2", "L3", "R1", "R2", "R3")


def sentence(route: Route, most: int = MOST_GRIPS) -> str:
    """What to do, in one sentence: the first line of every answer.

    At most so many grips are named; a tempo that was assumed, or taken from words, is told.

    >>> import gripway
    >>> gripway.sentence(gripway.finger(gripway.notes("E6 F#6", tempo=96), gripway.flute()))
    'Stay with the standard grips.'
    """
    said = _said(route, most)
    by, quarters = route.passage.tempo_by, 0.0
    if by:
        quarters = quarters_per_minute(route.passage)
    if not quarters:
        return f"{said[0].upper()}{said[1:]}."
    told = by if len(by) <= LONGEST_HEADING else f"{by[:LONGEST_HEADING].rstrip()}..."
    return f"At quarter = {quarters:.0f} ({told}): {said}."


def _said(route: Route, most: int) -> str:
    if route.status == CONFLICT:
        return "no route keeps these limits"
    if not any(note.candidate for note in route.notes):
        return "no note has a grip"
    others = other_grips(route)
    standards = dict(route.standards)
    stay = "stay with the standard grips"
    if route.charges is None and route.limits is None:
        stay = f"not the least effort, but for comparison: {stay}"
    told = [_grip_words(other, standards, route) for other in others[:most]]
    if len(others) > most:
        told.append(f"and {len(others) - most} more below")
    flats, rest = list(_b_flats(route)), [*_gaps(route), *_late(route)]
    if not told:
        return "; ".join([stay, *flats, *rest])
    excepted = f"{stay}, except: {'; '.join(told)}"
    if not flats:
        return "; ".join([excepted, *rest])
    apart = "; ".join([flats[0].replace(" with", ": with", 1), *rest])  # no exception, but a choice of three
    return f"{excepted}. {apart}"


def _grip_words(other: OtherGrip, standards: dict[int, Grip], route: Route) -> str:
    """`F#6 with the right middle finger (T 1 3 | 2 Eb) in bars 5 and 9`."""
    return f"{other.pitch} {how_words(other, standards)} {_where(other, route)}"


def how_words(other: OtherGrip, standards: dict[int, Grip]) -> str:
    """How a grip is told from the standard one: by its finger where one makes the difference."""
    grip, standard = other.grip, standards.get(other.candidate.pitch)
    if other.candidate.kind == "harmonic" and other.candidate.fundamental is not None:
        return f"as overblown {plain_name(other.candidate.fundamental)} ({grip.short})"
    words = _difference(grip, standard) if standard else ""
    return f"{words} ({grip.short})" if words else f"with the {other.candidate.kind} grip {grip.short}"


def _difference(grip: Grip, standard: Grip) -> str:
    """`with the right middle finger`, where no more than a finger or a key makes the difference."""
    more = Grip(grip.mask & ~standard.mask).touches
    fewer = Grip(standard.mask & ~grip.mask).touches
    if len(more) == 1 and (not fewer or (len(fewer) == 1 and _same_hand(more[0], fewer[0]))):
        return f"with the {TOUCH_NAMES[more[0]]}{'' if fewer else ' added'}"
    if len(fewer) == 1 and not more:
        return f"without the {TOUCH_NAMES[fewer[0]]}"
    return ""


def _same_hand(one: str, other: str) -> bool:
    return one in PLATES and other in PLATES and (one in LEFT_TOUCHES) == (other in LEFT_TOUCHES)


def _where(other: OtherGrip, route: Route) -> str:
    """`throughout`, or the first places of a grip."""
    pitch = other.candidate.pitch
    every = sum(note.note.pitch.number == pitch for note in route.notes)
    if every == len(other.notes) > MOST_GRIPS:
        return "throughout"
    return _places(other.notes)


def _places(notes: Sequence[RouteNote]) -> str:
    return places_in_words([(note.note.bar, note.index) for note in notes])


def _b_flats(route: Route) -> Iterator[str]:
    """Which of the three B-flats: that of most, and where another one is taken."""
    groups: dict[str, list[RouteNote]] = {}
    for note in route.notes:
        if note.candidate is not None and note.candidate.form:
            groups.setdefault(note.candidate.form, []).append(note)
    if not groups:
        return
    (first, most), *rest = sorted(groups.items(), key=lambda group: -len(group[1]))
    flat = any(note.note.pitch.name.startswith("B") for note in most)
    words = f"{'B-flats' if flat else 'A-sharps'} with {B_FLATS[first]}"
    but = [f"{_spellings(n)} with {B_FLATS[form]} {_places(n)}" for form, n in rest]
    yield f"{words}, but {' and '.join(but)}" if but else words


def _spellings(notes: Sequence[RouteNote]) -> str:
    """`A#5`, or every name they are written with: `A#5 and Bb5`; `others` where these are many."""
    names = list(dict.fromkeys(note.note.pitch.name for note in notes))
    if len(names) > MOST_GRIPS:
        return "others"
    return enumerated(names)


def _gaps(route: Route) -> Iterator[str]:
    missing = [note for note in route.notes if note.candidate is None]
    if missing:
        names = list(dict.fromkeys(note.note.pitch.name for note in missing))
        shown = ", ".join(names[:MOST_GRIPS]) + (", ..." if len(names) > MOST_GRIPS else "")
        yield f"no grip for {shown} {_places(missing)}"


def _late(route: Route) -> Iterator[str]:
    """How many changes no grip brings in time at this tempo."""
    late = sum(change.load > LATE for change in route.changes)
    if late:
        yield f"{late} {'change comes' if late == 1 else 'changes come'} late even so"
