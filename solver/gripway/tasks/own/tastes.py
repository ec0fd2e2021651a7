"""What a player's or teacher's own fingerings say of the dials."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from gripway.asked.wishes import Pin, Wishes
from gripway.candidates.grip_check import GripCheck
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.catalog.tables.taste_figures import taste_figures
from gripway.display import counted
from gripway.edition.decided_marks import remarks_on
from gripway.edition.shorthand import spelt_out
from gripway.errors import RequestError
from gripway.model.decision import Decision
from gripway.model.grip import Grip
from gripway.model.passage import Passage, Remark
from gripway.model.pitch import plain_name
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.route.solve import Progress
from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.score_reading import ScoreReading
from gripway.tasks.decisions import decided_with, with_decisions
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.scores import ALL_PARTS, notes, open_parts, read, whole_part
from gripway.taste.mark import DECISION, PIN, MarkedPart
from gripway.taste.mark_reading import Given, marked_part
from gripway.taste.taste import LEARNT, PERHAPS, Taste, taste_of

Told = Callable[[Remark], None]
"""What is to be done with a remark."""

MOST_NOTES = 30_000
"""Notes of all marked parts at most: half an hour of work (judgement)."""


def learn_taste(
    paths: str | Path | Iterable[str | Path],
    *,
    player: Player = PLAIN_PLAYER,
    parts: Sequence[str] = (),
    options: ReadOptions | None = None,
    instrument: str | None = None,
    with_parts: Sequence[str] = (),
    decisions: Sequence[Decision] = (),
    pins: Sequence[Pin] = (),
    told: Told = lambda _remark: None,
    progress: Progress | None = None,
) -> Taste:
    """The dials and known grips that explain the grips somebody chose in scores, tried on marks held out.

    `paths` are scores with fingerings, or works saved by the page (session files, `.json`), whose pins count;
    gripway's own marks in a score do not count. `decisions` are an editor's or teacher's, `pins` grips of the
    one score given; both win over what is printed. `player` is whose dials are learnt: their bans, known
    grips and tuner readings hold, their dials are what is compared with. `parts` are those to look at in
    every file, without them all of the flute family. Nothing is written: see `write_taste`. `told` hears of
    marks left out. Raises ScoreError for a file that cannot be read, RequestError for what cannot be asked.

    >>> import gripway
    >>> gripway.learn_taste("examples/ladder_cell.musicxml")
    <Taste: too-few, 0 marks>
    """
    given = [paths] if isinstance(paths, str | Path) else list(paths)
    read_options = replace(options or ReadOptions(), unmarked=True)
    found: list[tuple[MarkedPart, GripCheck]] = []
    for path in given:
        for reading, flute, own_pins in _opened(path, parts, read_options, instrument, told):
            sounds = reading.part.sounds_semitones
            chosen, _ = choose_instrument(flute[0], (*with_parts, *flute[1]), player, sounds)
            mine = FlutePlayer(chosen, player)
            found.append(_marked(str(path), reading, mine, decisions, (*own_pins, *pins), told))
    if pins and len(found) != 1:
        raise RequestError(
            "pins are for one part of one score", place="pins", next_step="Name one SCORE and one part"
        )
    total = sum(len(part.passage.notes) for part, _ in found if part.marks)
    if total > MOST_NOTES:
        raise RequestError(
            f"the marked parts have {total} notes; at most {MOST_NOTES} are learnt from",
            place="SCORE",
            next_step="Name fewer scores, those with most marks",
        )
    checks = [check for _, check in found]
    return taste_of([part for part, _ in found], checks, effort_tables(), taste_figures(), progress)


_Flute = tuple[str | None, tuple[str, ...]]
"""The flute a work was saved for, and its parts."""


def _opened(
    path: str | Path, parts: Sequence[str], options: ReadOptions, instrument: str | None, told: Told
) -> Iterable[tuple[ScoreReading, _Flute, tuple[Pin, ...]]]:
    """The parts of a file with the flute asked for and the pins saved with it."""
    from gripway.catalog.own_files.session_file import ENDING, read_session
    from gripway.score.writing.write_score import write_passage

    if Path(path).suffix.lower() == ENDING:
        session = read_session(Path(path))
        line = notes(session.notes, session.line_tempo, session.unit) if session.data is None else None
        data = session.data if line is None else write_passage(line).data
        asked = replace(options, part=session.part, tempo=options.tempo or session.tempo, unmarked=False)
        pins = tuple(Pin(note, grip) for note, grip in session.pins)
        yield read(data or b"", asked), (instrument or session.flute, session.flute_parts), pins
        return
    opened = open_parts(path, parts or (ALL_PARTS,), options, else_first=not parts)
    if opened.own_marks:
        told(Remark(f"{path}: {counted(opened.own_marks, 'mark')} of gripway's own, not learnt from"))
    for remark in (*opened.remarks, *opened.tacet_remarks(str(path))):
        told(remark)
    for reading in opened.readings:
        yield reading, (instrument, ()), ()


def _marked(
    file: str,
    reading: ScoreReading,
    mine: FlutePlayer,
    decisions: Sequence[Decision],
    pins: Sequence[Pin],
    told: Told,
) -> tuple[MarkedPart, GripCheck]:
    """One part with what is printed, decided and pinned in it."""
    wishes = Wishes(player=mine.player)
    solver, passage = mine.ready(reading.passage, wishes)
    check = mine.grip_check(wishes, passage.notes)
    passage = replace(passage, notes=tuple(spelt_out(note, check) for note in passage.notes))
    given = _decided(reading, passage, mine, wishes, check, decisions, told)
    given |= {note: Given(grip, PIN) for note, grip in _pinned(file, passage, pins).items()}
    near = taste_figures().near_notes
    part, remarks = marked_part(file, passage, solver.knowledge, check, given, near)
    for remark in remarks:
        told(replace(remark, text=f"{file}, {part.part}: {remark.text}"))
    return part, check


def _decided(
    reading: ScoreReading,
    passage: Passage,
    mine: FlutePlayer,
    wishes: Wishes,
    check: GripCheck,
    decisions: Sequence[Decision],
    told: Told,
) -> dict[str, Given]:
    if not decisions:
        return {}
    decided = decided_with(decisions, reading.part, whole_part(reading), check)
    for remark in remarks_on(decided):
        told(remark)
    for lost in decided.lost:
        where = f"bar {lost.decision.place.bar}, {lost.decision.place.pitch.name}"
        told(Remark(f"{lost.decision.said_at} no longer fits: {where}: {lost.words}"))
    pins = with_decisions(passage, mine, wishes, decided).pins
    return {str(pin.note): Given(pin.grip, DECISION) for pin in pins}


def _pinned(file: str, passage: Passage, pins: Sequence[Pin]) -> Mapping[str, Grip]:
    """Grips by note id. Raises RequestError for a pin on no note."""
    ids = {note.id for note in passage.notes}
    found: dict[str, Grip] = {}
    for pin in pins:
        name = pin.note
        if isinstance(name, int) and 0 <= name < len(passage.notes):
            name = passage.notes[name].id
        if not isinstance(name, str) or name not in ids:
            shown = pin.note + 1 if isinstance(pin.note, int) else pin.note
            raise RequestError(
                f"there is no note {shown!r} to pin",
                place=f"{file}: pin {shown}={pin.grip}",
                next_step="Write the note's id, as in the `id` column, or its number counted from 1",
            )
        found[name] = pin.grip
    return found


def write_taste(taste: Taste, path: str | Path, date: str) -> bool:
    """Put what was learnt into a player file; whether there was anything to write.

    All else in the file stays as it is, its comments too; a comment has the `date` and the counts. Raises
    PlayerFileError for a file in a form that is not written to, which is then left alone.

    >>> import gripway
    >>> few = gripway.learn_taste("examples/ladder_cell.musicxml")
    >>> gripway.write_taste(few, "/tmp/me.toml", "2026-11-29")
    False
    """
    from gripway.catalog.own_files.learnt_taste import write_learnt
    from gripway.taste.taste_sentence import counts_words

    if taste.status not in (LEARNT, PERHAPS):
        return False
    moved = {dial.name: dial.found for dial in taste.dials if dial.found != dial.now}
    known = [(plain_name(each.pitch), each.grip) for each in taste.known]
    write_learnt(Path(path), moved, known, date, counts_words(taste))
    return True
