"""One score of a library: its bytes in, its marked score, reports and record out; nothing else is touched."""

import threading
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import PurePosixPath

from gripway.asked.limits import Limits
from gripway.asked.wishes import Wishes
from gripway.catalog.own_files.marks_list import ENDING as LIST_ENDING
from gripway.edition.consistency import Consistency, Finding
from gripway.edition.decided_marks import decided_findings, remarks_on_bars
from gripway.edition.listed_marks import AlreadyRead
from gripway.edition.places.decided_places import NOTHING_DECIDED, Decided
from gripway.library.library_wishes import LibraryWishes
from gripway.library.record import (
    FIGURES,
    FINDINGS,
    KINDS,
    PARTS,
    REMARKS,
    Record,
    Row,
    ScoreAnswer,
    ScoreJob,
    failed,
)
from gripway.library.score_rows import figure_rows, finding_row, part_rows
from gripway.model.instrument import Instrument
from gripway.model.passage import Remark
from gripway.model.player import Player
from gripway.recent import Recent
from gripway.score.reading.musicxml import opened_score
from gripway.score.reading.score_reading import ScoreReading, ScoreSource, source_of
from gripway.tasks.decisions import decided_in, of_no_part, with_decisions
from gripway.tasks.editions import Edition, Known, edit, figure_bounds, figures_of, marked_file
from gripway.tasks.fingerings import fingering_remarks, source_figures, with_kept_fingerings
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.marks.consistency_lists import part_marks
from gripway.tasks.marks.marked_scores import marks_list_of
from gripway.tasks.scores import ALL_PARTS, OpenParts, bytes_of, parts_in

MOST_FLUTES = 8
"""So many flutes with their players are kept by a worker, those used last."""

MOST_BLOCKS = 2_000
"""Blocks of moving costs a flute may keep from score to score, some 8 MB: few serve another score."""

UNHURRIED = Limits(seconds=3600.0)
"""No limit, and so much time to find a grip for every figure that a busy machine changes no answer."""

_KEPT = threading.local()


def work_on(job: ScoreJob, wishes: LibraryWishes) -> ScoreAnswer:
    """The files and the record of one score; what is wrong with it is an error in the record.

    The answer depends on nothing but the job and the wishes. Never raises for a score.
    """
    try:
        return _OneScore(job, wishes).answer()
    except Exception as problem:  # one score that cannot be done must not end the run
        return failed(job.name, problem)


def forget_players() -> None:
    """Let go of what this thread keeps from score to score, when there are no more scores."""
    vars(_KEPT).clear()


@dataclass(frozen=True, slots=True)
class _EditedPart:
    """A part of the score with who plays it on which flute, and how it was edited."""

    reading: ScoreReading
    mine: FlutePlayer
    wishes: Wishes
    decided: Decided
    edition: Edition
    remarks: tuple[Remark, ...]


class _OneScore:
    """The way of one score through reading, editing, marking and looking it through."""

    def __init__(self, job: ScoreJob, wishes: LibraryWishes) -> None:
        self.job = job
        self.wishes = wishes
        self.known: Known = {}

    def answer(self) -> ScoreAnswer:
        """Everything that comes of the score."""
        wanted = self.wishes.parts or (ALL_PARTS,)
        source = source_of(self.job.data, self.job.name)
        opened = parts_in(source, wanted, self.wishes.options, else_first=not self.wishes.parts)
        parts = [self._part(reading) for reading in opened.readings]
        marked = self._marked(opened, parts)
        place = marked_name(self.job.name, opened.source)
        routes = [part.edition.even.route for part in parts]
        readings, tree = self._read_again(marked, opened) if parts else ((), None)
        listed = marks_list_of(marked, place, routes, already=tree) if parts else ""
        files = {place: marked} | ({place + LIST_ENDING: listed.encode()} if listed else {})
        rows: dict[str, list[Row]] = {kind: [] for kind in KINDS}
        rows[REMARKS] += [self._remark("", remark) for remark in self._score_remarks(opened)]
        for part in parts:
            found = part_rows(self.job.name, len(rows[PARTS]), part.reading, part.edition, part.mine)
            for kind, more in found.items():
                rows[kind] += more
            rows[REMARKS] += [self._remark(part.reading.passage.part, each) for each in part.remarks]
            if self.wishes.reports:
                files |= self._report(part)
        if readings:
            findings, rows[FIGURES] = self._looked_through(readings, parts)
            rows[FINDINGS] += [finding_row(each) for each in findings]
        kept = {kind: more for kind, more in rows.items() if more}
        return ScoreAnswer(Record(kept, {name: len(data) for name, data in files.items()}), files)

    def _part(self, reading: ScoreReading) -> _EditedPart:
        """One part, edited; figures of the parts before it keep their grips."""
        asked, passage = self.wishes, reading.passage
        flute, remark = choose_instrument(
            asked.instrument, asked.with_parts, asked.player, reading.part.sounds_semitones
        )
        mine = _kept_player(flute, asked.player)
        wishes = Wishes(player=asked.player, found=asked.found, limits=UNHURRIED)
        decided = NOTHING_DECIDED
        if self.job.decisions:
            decided = decided_in(self.job.decisions, reading, passage.notes, mine, wishes)
            wishes = with_decisions(passage, mine, wishes, decided)
        said = (
            *((remark,) if remark else ()),
            *remarks_on_bars(decided),
            *fingering_remarks(passage, mine, wishes),
        )
        kept = wishes
        if asked.keep_fingerings:
            kept = with_kept_fingerings(passage, mine, wishes)
            self.known = {**source_figures(passage.notes, mine, wishes), **self.known}
        edition = edit(
            passage,
            mine,
            kept,
            asked.house,
            known=self.known,
            unkept=wishes,
            decided=decided.by_note,
        )
        self.known = {**figures_of(edition), **self.known}
        said = (*said, *edition.even.route.passage.remarks)
        return _EditedPart(reading, mine, wishes, decided, edition, said)

    def _marked(self, opened: OpenParts, parts: list[_EditedPart]) -> bytes:
        """The marked score; a score whose parts are all tacet as it is."""
        if not parts:
            return bytes_of(opened.source)
        return marked_file(
            [part.reading for part in parts], [part.edition for part in parts], self.wishes.house
        )

    def _score_remarks(self, opened: OpenParts) -> Iterator[Remark]:
        yield from opened.remarks
        yield from opened.tacet_remarks()
        if opened.readings and self.job.decisions:
            for lost in of_no_part(self.job.decisions, opened.readings[0].parts):
                yield Remark(f"{lost.decision.said_at} no longer fits: {lost.words}", lost.decision.place.bar)

    def _remark(self, part: str, remark: Remark) -> Row:
        return {"file": self.job.name, "part": part, "bar": remark.bar, "what": remark.text}

    def _report(self, part: _EditedPart) -> dict[str, bytes]:
        """The report of a part, by its name."""
        from gripway.tasks.reports import report

        route = part.edition.even.route
        page = report(
            part.reading, route, part.mine, part.wishes, which=self.wishes.house.which, remarks=part.remarks
        )
        return {f"reports/{self.job.name}.part-{part.reading.part.index}.html": page.encode()}

    def _read_again(
        self, marked: bytes, opened: OpenParts
    ) -> tuple[Sequence[ScoreReading], AlreadyRead | None]:
        """The marked score, read once for its list of marks and for what does not agree.

        Where no mark was put in it is the score that was read.
        """
        source = source_of(marked, self.job.name)
        if source.data == opened.source.data:
            return opened.readings, None
        options = replace(self.wishes.options, unmarked=False)
        tree = opened_score(source.data, source.name)
        wanted = tuple(str(reading.part.index) for reading in opened.readings)
        again = AlreadyRead(tree, parts_in(source, _all_of(wanted), options, opened=tree).readings)
        return again.readings, again

    def _looked_through(
        self, again: Sequence[ScoreReading], parts: list[_EditedPart]
    ) -> tuple[list[Finding], list[Row]]:
        """What does not agree in the marked score, and the first grip of each of its marked figures."""
        consistency = Consistency(figure_bounds())
        asked = Wishes(player=replace(self.wishes.player, bans=()), found=self.wishes.found)
        marks = []
        against: list[Finding] = []
        for part, reading in zip(parts, again, strict=True):
            mine = _kept_player(part.mine.instrument, asked.player)
            marks.append(part_marks(self.job.name, reading, mine, asked))
            if self.job.decisions:
                against += decided_findings(marks[-1], part.decided)
        return [*consistency.findings(marks), *against], figure_rows(consistency.said)


def _all_of(numbers: tuple[str, ...]) -> tuple[str, ...]:
    """The numbers of parts as a wish for several: one alone is said twice."""
    return numbers if len(numbers) > 1 else numbers * 2


def marked_name(name: str, source: ScoreSource) -> str:
    """The place of a marked score: its own name, with another ending where it was converted."""
    return f"marked/{PurePosixPath(name)}{'.musicxml' if source.converted_from else ''}"


def _kept_player(flute: Instrument, player: Player) -> FlutePlayer:
    """The flute with its player that this thread keeps; no answer depends on it."""
    if not hasattr(_KEPT, "players"):
        _KEPT.players = Recent[FlutePlayer](MOST_FLUTES)
    players: Recent[FlutePlayer] = _KEPT.players
    mine = players.get_or((flute, player), lambda: FlutePlayer(flute, player))
    mine.keep_at_most(MOST_BLOCKS)
    return mine
