"""A small library of invented music, and runs over it."""

import hashlib
from collections.abc import Iterable
from pathlib import Path

import gripway
from gripway.library.engines import Answers, here
from gripway.library.library_wishes import LibraryWishes
from gripway.library.record import ScoreJob
from gripway.library.run import run_library
from gripway.library.run_state import STATE_FILE
from gripway.library.score_files import score_files
from gripway.library.summary import Summary
from gripway.tasks.reports import written

FAST = " ".join(["(E6 F#6 E6 F#6 G#6 F#6) E6:1/8"] * 8)
"""At 160 it leaves the standard grips: F#6 with a trill grip, which is worth learning."""

TUNES = {
    "a/first.musicxml": (FAST, 160),
    "a/second.musicxml": ("C5 D5 E5 F5 G5 A5 B5 C6", 100),
    "b/deep/third.musicxml": ("Bb5 A5 Bb5 C6 D6 C6 Bb5", 132),
    "fourth.musicxml": ("(E6 F#6 E6 F#6) G6:1/2", 152),
}


def small_library(folder: Path) -> Path:
    """Four scores of a line each, in folders."""
    for name, (notes, tempo) in TUNES.items():
        put(folder / name, notes, tempo)
    return folder


def put(path: Path, notes: str, tempo: float, composer: str = "") -> None:
    """A line of notes as a score file."""
    data = written(gripway.notes(notes, tempo=tempo))[0].source.data
    if composer:
        creator = f'<identification><creator type="composer">{composer}</creator></identification>'
        data = data.replace(b"<part-list>", f"{creator}<part-list>".encode(), 1)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)


class Counting:
    """The engine of one process that remembers what it was given, and may be stopped before a score."""

    def __init__(self, stop_at: int | None = None) -> None:
        self.names: list[str] = []
        self.stop_at = stop_at

    def __call__(self, jobs: Iterable[ScoreJob], wishes: LibraryWishes) -> Answers:
        """The answers, each noted."""
        for name, answer in here(jobs, wishes):
            if len(self.names) == self.stop_at:
                raise KeyboardInterrupt
            self.names.append(name)
            yield name, answer


def run(scores: Path, out: Path, wishes: LibraryWishes | None = None, engine: object = here) -> Summary:
    """A run over a folder or list."""
    asked = wishes or LibraryWishes()
    return run_library(score_files(scores).scores, out, asked, engine)[0]  # type: ignore[arg-type]


def tree(folder: Path) -> dict[str, str]:
    """Every file of an answer but the state, with a digest of its bytes."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != STATE_FILE
    }
