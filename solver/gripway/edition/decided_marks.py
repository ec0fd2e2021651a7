"""Whether the marks of a part are what its editor decided."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from gripway.display import counted
from gripway.edition.consistency import DECISION, Finding, PartMarks
from gripway.edition.places.decided_places import Decided, Lost
from gripway.edition.printed_marks import source_signs
from gripway.model.decision import PLAIN, Decision
from gripway.model.figures import first_times
from gripway.model.mark_text import GRIP, PLAIN_HAND, THUMB, MarkSign
from gripway.model.passage import Note, Remark


def decided_findings(part: PartMarks, decided: Decided) -> Iterator[Finding]:
    """Marks that say something else than was decided, in playing order, then decisions without a place."""
    for place in first_times(part.notes):
        note = part.notes[place]
        decision = decided.by_note.get(note.id)
        if decision is not None and (what := _against(part, note, decision)):
            words, next_step = what
            yield Finding(
                DECISION, part.file, part.part, note.bar, note.pitch.name, note.id, words, next_step
            )
    for each in decided.lost:
        yield _lost(part, each)


def remarks_on(decided: Decided) -> Iterator[Remark]:
    """How many decisions were kept, and which stand in other bars than they say."""
    kept = len(decided.by_note)
    if asked := kept + len(decided.lost):
        yield Remark(f"decisions: kept {kept} of {asked}")
    yield from remarks_on_bars(decided)


def remarks_on_bars(decided: Decided) -> Iterator[Remark]:
    """Which decisions stand in other bars than they say, or would all fit other ones."""
    for bars, some in groupby(decided.moved.items(), lambda each: each[1]):
        moved = [decided.by_note[name] for name, _ in some if name in decided.by_note]
        if moved:
            yield Remark(_moved(moved, bars))
    if decided.all_fit:
        yield Remark(
            f"all decisions without neighbours would fit {_far(decided.all_fit)}: if bars were put in or "
            "taken out, write the new bar numbers"
        )


def _far(bars: int) -> str:
    return f"{counted(abs(bars), 'bar')} {'later' if bars > 0 else 'earlier'}"


def _moved(moved: Sequence[Decision], bars: int) -> str:
    """What is said of decisions that were found so many bars later."""
    first, last = moved[0].place.bar, moved[-1].place.bar
    which = (
        f"the {len(moved)} decisions from bar {first} to bar {last} fit"
        if len(moved) > 1
        else (f"the decision of bar {first} fits")
    )
    return (
        f"{which} {_far(bars)} and were kept there: look whether that is right, and write the new bar "
        "numbers with --format decisions"
    )


def _against(part: PartMarks, note: Note, decision: Decision) -> tuple[str, str] | None:
    """What is marked against a decision, and what to do; None where it is kept."""
    said = f"decided is {_words(decision)} ({decision.said_at}{_reason(decision)})"
    again = "Mark it again (--renew), or change the decision"
    signs = list(source_signs(note))
    if not decision.mark:
        return (f"marked, but {said}", again) if signs else None
    if decision.thumb:
        told = any(sign.kind == THUMB and sign.grip.has(decision.thumb) for sign in signs)
        return None if told else (f"not marked, but {said}", again)
    grips = [sign for sign in signs if sign.kind == GRIP]
    if not grips:
        return f"not marked, but {said}", again
    if any(_is_decided(part, note, sign, decision) for sign in grips):
        return None
    marked = " and ".join(PLAIN_HAND.whole(sign.grip, sign.moving) for sign in grips)
    return f"{marked} is marked, but {said}", again


def _is_decided(part: PartMarks, note: Note, sign: MarkSign, decision: Decision) -> bool:
    """Whether a grip that is marked is the decided one, whatever free fingers are down."""
    grip = sign.grip
    if decision.moving.mask and sign.moving != decision.moving:
        return False
    if decision.grip is not None:
        return grip == decision.grip
    return any(each.kind == "standard" for each in part.check.candidates(note.pitch.number, grip))


def _words(decision: Decision) -> str:
    grip = decision.grip_text
    if decision.plain:
        grip = grip.replace(PLAIN, "the plain grip", 1)
    if not grip:
        return "no mark"
    return grip if decision.mark else f"{grip} without a mark"


def _reason(decision: Decision) -> str:
    return f": {decision.reason}" if decision.reason else ""


def _lost(part: PartMarks, lost: Lost) -> Finding:
    place = lost.decision.place
    return Finding(
        DECISION,
        part.file,
        part.part,
        place.bar,
        place.pitch.name,
        "",
        f"{lost.decision.said_at} no longer fits: {lost.words}",
        "Say where it belongs now, or take it out",
    )
