"""What is said of marks taken out and set anew, and of marks that stand where --renew was not asked for."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from gripway.cli.finger_part import FingerPart
from gripway.cli.output import tell
from gripway.display import counted
from gripway.edition.decided_marks import decided_findings
from gripway.edition.listed_marks import ChangedMark
from gripway.errors import RequestError
from gripway.model.listed_mark import ListedMark
from gripway.model.passage import Remark, quarters_per_minute
from gripway.route.result import Route
from gripway.tasks.marks.consistency_lists import part_marks
from gripway.tasks.marks.marked_scores import marks_list_beside, renewed_marks

SAME_TEMPO = 1.0
"""Quarters a minute within which two tempos are the same."""

MOST_CHANGES = 20
"""So many changed marks are named."""


def tell_renewed(score: Path, marked: bytes, route: Route) -> None:
    """Say which marks are others now, at which tempo, or that there was none of ours."""
    before, changes = renewed_marks(score, marked)
    if not before:
        tell((Remark("--renew: no mark of ours was in the score; what is there was left"),))
        return
    now, then = f"{quarters_per_minute(route.passage):.0f}", _tempos(before)
    at = f"; they were marked at quarter = {then}" if then not in ("", now) else ""
    named = "; ".join(map(_change, changes[:MOST_CHANGES]))
    more = "; ..." if len(changes) > MOST_CHANGES else ""
    what = f"{counted(len(changes), 'mark')} changed: {named}{more}" if changes else "no mark changed"
    tell((Remark(f"renewed at quarter = {now} (--tempo){at}: {what}"),))


def _tempos(marks: Sequence[ListedMark]) -> str:
    """The tempos that marks were made at, slowest and quickest; empty where none is known."""
    known = sorted({round(mark.tempo) for mark in marks if mark.tempo is not None})
    return " to ".join(map(str, dict.fromkeys((known[0], known[-1])))) if known else ""


def told_of_other_tempos(score: Path, parts: tuple[FingerPart, ...]) -> tuple[FingerPart, ...]:
    """The parts, with a remark where marks of ours in the score were made at other tempos than now."""
    if not any(map(_has_fingerings, parts)):
        return parts
    listed = marks_list_beside(score)
    return tuple(replace(part, remarks=(*part.remarks, *_other_tempos(part, listed))) for part in parts)


def refuse_marked(form: str, score: Path | None, parts: Sequence[FingerPart]) -> None:
    """Refuse a list or a proof of the marks of a score that has ours already: it would say there are none."""
    if marks := _ours(score, parts):
        raise RequestError(
            f"the score has {counted(marks, 'mark')} of ours already, which this would leave out",
            place=f"--format {form}",
            next_step="Add --renew, which answers as if it had never been marked, or name the unmarked score",
        )


def told_of_marks(score: Path | None, parts: tuple[FingerPart, ...]) -> tuple[FingerPart, ...]:
    """The parts of a report, with a remark that its music has marks of ours as the score has them."""
    if not (marks := _ours(score, parts)):
        return parts
    said = f"the music has {counted(marks, 'mark')} of ours as in the score, which --renew takes out"
    return (replace(parts[0], remarks=(*parts[0].remarks, Remark(said))), *parts[1:])


def _ours(score: Path | None, parts: Sequence[FingerPart]) -> int:
    """How many marks of ours a score has, by their instructions or by the list beside it."""
    reading = parts[0].source.reading
    if reading is None:
        return 0
    from gripway.edition.listed_marks import unmarked_by_list
    from gripway.score.reading.score_reading import unmarked

    marks = unmarked(reading.source).taken
    if not marks and score is not None and (listed := marks_list_beside(score)):
        marks = unmarked_by_list(reading.source, listed).taken
    return marks


def _other_tempos(part: FingerPart, listed: Sequence[ListedMark]) -> Iterator[Remark]:
    reading = part.source.reading
    mine = [mark for mark in listed if reading and mark.place.part == str(reading.part.index)]
    now = quarters_per_minute(part.source.passage)
    tempos = [mark.tempo for mark in mine if mark.tempo is not None]
    if tempos and not min(tempos) - SAME_TEMPO <= now <= max(tempos) + SAME_TEMPO:
        yield Remark(
            f"the marks in the score were made at quarter = {_tempos(mine)}, this is {now:.0f}: "
            "give that --tempo, or mark anew with --renew"
        )


def _has_fingerings(part: FingerPart) -> bool:
    return any(note.fingering for note in part.source.passage.notes)


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
