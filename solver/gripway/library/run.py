"""A run over a library: what is not done yet is worked on and kept, then tables are made of the records."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from gripway.catalog.cache_folder import digest
from gripway.errors import GripwayError, RequestError
from gripway.files import write_whole
from gripway.library.engines import Engine
from gripway.library.library_wishes import LibraryWishes, identity
from gripway.library.record import PARTS, Record, ScoreAnswer, ScoreJob, failed
from gripway.library.run_state import STATE_FILE, RunState, opened
from gripway.library.score_files import ScoreFile
from gripway.library.summary import Summary, summed_up
from gripway.library.tables import write_tables
from gripway.model.decision import Decision
from gripway.model.house_style import HouseStyle
from gripway.score.reading.score_reading import score_file

LEFT_BY_A_KILL = ".gripway-*"
"""How the files are called that a process killed while it wrote may leave (see gripway/files.py)."""


@dataclass(frozen=True, slots=True)
class RunProgress:
    """How far a run has come: scores done of all, how many of them in this run, and its notes."""

    done: int
    scores: int
    new: int
    new_notes: int


def run_library(
    scores: Sequence[ScoreFile],
    out: Path,
    wishes: LibraryWishes,
    engine: Engine,
    *,
    parquet: bool = False,
    told: Callable[[RunProgress], None] = lambda _step: None,
) -> tuple[Summary, str]:
    """The marked scores, reports and tables of a library in the folder `out`; figures, and what to do first.

    A run that was ended goes on where it was: scores that are done, and whose bytes, decisions and files
    are as they were, are not worked on again. The scores themselves are only read. Raises RequestError
    for a folder that cannot be used or holds another run.
    """
    check_folder(scores, out)
    out.mkdir(parents=True, exist_ok=True)
    asked = identity(wishes, digest(code=["gripway.library.one_score"], tables=[""]))
    with opened(out, asked) as state:
        for left in out.rglob(LEFT_BY_A_KILL):
            left.unlink(missing_ok=True)
        _Run(scores, out, state, told).work(wishes, engine)
        names = [score.name for score in scores]
        summary = summed_up(record for _, record in state.records(names))
        advice = write_tables(out, lambda: state.records(names), parquet=parquet)
    return summary, advice


def check_folder(scores: Sequence[ScoreFile], out: Path) -> None:
    """Refuse a folder for the answer in which scores of the library lie, or that is none."""
    if out.exists() and not out.is_dir():
        raise RequestError("is no folder", place=str(out), next_step="Name a folder with --out")
    whole = out.resolve()
    for score in scores:
        if score.path.resolve().is_relative_to(whole):
            raise RequestError(
                f"scores of the library lie in it, such as {score.name}",
                place=str(out),
                next_step="Name a folder of its own with --out",
            )
    if whole.is_dir() and not (whole / STATE_FILE).exists() and any(whole.iterdir()):
        raise RequestError(
            "the folder holds other things",
            place=str(out),
            next_step="Name a new or empty folder with --out, or that of a run to go on with",
        )


class _Run:
    """The scores on their way through an engine, each with the digest of what goes into its answer."""

    def __init__(
        self, scores: Sequence[ScoreFile], out: Path, state: RunState, told: Callable[[RunProgress], None]
    ) -> None:
        self.scores = scores
        self.out = out
        self.state = state
        self.told = told
        self.digests: dict[str, str] = {}
        self.done = self.new = self.new_notes = 0

    def work(self, wishes: LibraryWishes, engine: Engine) -> None:
        """Work on every score that is not done, and keep what comes."""
        for name, answer in engine(self._jobs(wishes.house), wishes):
            self._keep(name, answer)

    def _jobs(self, house: HouseStyle) -> Iterator[ScoreJob]:
        """The scores to be worked on, read one by one as they are asked for."""
        for score in self.scores:
            try:
                data, _ = score_file(score.path)
                decided, decisions = self._decisions(score, house)
            except GripwayError as problem:
                self.digests[score.name] = ""
                self._keep(score.name, failed(score.name, problem, again=True))
                continue
            known = sha256(data + b"\0" + decided).hexdigest()
            if self._is_done(score.name, known):
                self.done += 1
                self._tell()
                continue
            self.digests[score.name] = known
            yield ScoreJob(score.name, data, decisions)

    def _decisions(self, score: ScoreFile, house: HouseStyle) -> tuple[bytes, tuple[Decision, ...]]:
        """An editor's decisions on a score: as bytes, and as they are read. Raises DecisionsFileError."""
        if score.decisions is None:
            return b"", ()
        from gripway.tasks.decisions import decisions

        return score.decisions.read_bytes(), decisions(score.decisions, house)

    def _is_done(self, name: str, known: str) -> bool:
        """Whether a score has a record that is to be kept, and its files are there."""
        record = self.state.record(name, known)
        return (
            record is not None
            and not record.again
            and all(_size(self.out / file) == size for file, size in record.files.items())
        )

    def _keep(self, name: str, answer: ScoreAnswer) -> None:
        """Put the files of a score in their places, whole, and then its record."""
        for file in self.state.files_before(name):
            if file not in answer.files:
                (self.out / file).unlink(missing_ok=True)
        try:
            for file, data in answer.files.items():
                _write(self.out / file, data)
        except OSError as problem:
            raise RequestError(
                f"cannot be written: {problem.strerror}",
                place=str(problem.filename or self.out),
                next_step="Make room for it, and run the same command again: it goes on",
            ) from None
        self.state.keep(name, self.digests.pop(name, ""), answer.record)
        self.done += 1
        self.new += 1
        self.new_notes += notes_of(answer.record)
        self._tell()

    def _tell(self) -> None:
        self.told(RunProgress(self.done, len(self.scores), self.new, self.new_notes))


def _size(path: Path) -> int | None:
    try:
        return path.stat().st_size
    except OSError:
        return None


def _write(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)

    write_whole(path, data)


def notes_of(record: Record) -> int:
    """The notes of a score as played."""
    return sum(row["notes"] for row in record.of(PARTS))
