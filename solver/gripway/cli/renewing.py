"""What is said of marks taken out and set anew, and of marks that stand where --renew was not asked for."""

from pathlib import Path

from gripway.cli.finger_part import FingerPart
from gripway.cli.output import tell
from gripway.display import counted
from gripway.edition.decided_marks import decided_findings
from gripway.edition.listed_marks import ChangedMark
from gripway.model.passage import Remark, quarters_per_minute
from gripway.route.result import Route
from gripway.tasks.consistency_lists import part_marks
from gripway.tasks.scores import renewed_marks

MOST_CHANGES = 20
"""So many changed marks are named."""


def tell_renewed(score: Path, marked: bytes, route: Route) -> None:
    """Say which marks are others now, at which tempo, or that there was none of ours."""
    before, changes = renewed_marks(score, marked)
    if not before:
        tell((Remark("--renew: no mark of ours was in the score; what is there was left"),))
        return
    named = "; ".join(map(_change, changes[:MOST_CHANGES]))
    more = "; ..." if len(changes) > MOST_CHANGES else ""
    what = f"{counted(len(changes), 'mark')} changed: {named}{more}" if changes else "no mark changed"
    tell((Remark(f"renewed at quarter = {quarters_per_minute(route.passage):.0f} (--tempo): {what}"),))


def _change(change: ChangedMark) -> str:
    where = f"bar {change.place.bar}, {change.place.pitch.name}"
    before, after = " ".join(change.before), " ".join(change.after)
    if not after:
        return f"{where} lost {before}"
    return f"{where} has {after}" + (f", had {before}" if before else "")


def tell_stale(part: FingerPart) -> None:
    """Say that marks of ours which stand in a score are not what is decided now."""
    from gripway.score.reading.score_reading import unmarked

    reading = part.source.reading
    if reading is None or not part.decided.by_note:
        return
    marks = part_marks("", reading, part.mine, part.wishes)
    fingered = {note.id for note in marks.notes if note.fingering}
    stale = [each for each in decided_findings(marks, part.decided) if each.id in fingered]
    if stale and unmarked(reading.source).taken:
        said = f"{counted(len(stale), 'mark')} in the score against the decisions, and left: use --renew"
        tell((Remark(said),))
