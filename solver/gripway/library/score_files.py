"""The scores of a library: all in a folder, or those a list names, each with its name in the library."""

import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from gripway.errors import RequestError
from gripway.files import read_bounded
from gripway.score.reading.converting import SUFFIXES

ENDINGS = (".musicxml", ".xml", ".mxl", *SUFFIXES)
"""Endings by which a file of a folder is taken for a score; a list may name any file."""

LONGEST_LIST = 64 * 1024 * 1024
"""Bytes of a list at most: about a million names."""

DECISIONS_ENDING = ".toml"


@dataclass(frozen=True, slots=True)
class ScoreFile:
    """A score: its name in the library (with / between folders), its path, its decisions' path if any."""

    name: str
    path: Path
    decisions: Path | None = None


@dataclass(frozen=True, slots=True)
class ScoreFiles:
    """The scores in the order of their names; `passed_over` are files of a folder that are no scores."""

    scores: tuple[ScoreFile, ...]
    passed_over: int = 0


def score_files(where: Path, decisions: Path | None = None) -> ScoreFiles:
    """The scores of a folder with all below it, or of a list (UTF-8 text, a path a line, # begins a remark).

    Paths of a list are looked for from its own folder. `decisions` is a folder that has, for the score
    `a/b.musicxml`, an editor's decisions in `a/b.musicxml.toml`. Raises RequestError where nothing is found.
    """
    if decisions is not None and not decisions.is_dir():
        raise RequestError(
            "there is no such folder",
            place=str(decisions),
            next_step="Name a folder that has SCORE.toml for every score SCORE with decisions",
        )
    found = _in_folder(where) if where.is_dir() else _in_list(where)
    if not found.scores:
        raise RequestError(
            "there is no score in it",
            place=str(where),
            next_step=f"Files of a folder are scores by their ending: {' '.join(ENDINGS)}",
        )
    if decisions is None:
        return found
    decided = (ScoreFile(each.name, each.path, _decisions_of(each, decisions)) for each in found.scores)
    return ScoreFiles(tuple(decided), found.passed_over)


def _in_folder(folder: Path) -> ScoreFiles:
    """Hidden files and folders are passed over without a word."""
    scores, others = [], 0
    for path in _walk(folder):
        if path.suffix.lower() in ENDINGS:
            scores.append(ScoreFile(path.relative_to(folder).as_posix(), path))
        else:
            others += 1
    return ScoreFiles(tuple(sorted(scores, key=lambda score: score.name)), others)


def _walk(folder: Path) -> Iterator[Path]:
    def refuse(problem: OSError) -> None:
        raise problem

    for place, folders, names in os.walk(folder, onerror=refuse):
        folders[:] = [name for name in folders if not name.startswith(".")]
        yield from (Path(place, name) for name in names if not name.startswith("."))


def _in_list(path: Path) -> ScoreFiles:
    """A path that is named twice counts once."""
    try:
        text = read_bounded(path, LONGEST_LIST).decode("utf-8-sig")
    except FileNotFoundError:
        raise RequestError("there is no such folder or list", place=str(path)) from None
    except UnicodeDecodeError:
        raise RequestError(
            "this is no list of scores", place=str(path), next_step="Give UTF-8 text, a path a line"
        ) from None
    except OSError as problem:
        raise RequestError(problem.strerror or "it cannot be read", place=str(path)) from None
    lines = (line.strip() for line in text.splitlines())
    paths = [path.parent / line for line in lines if line and not line.startswith("#")]
    return ScoreFiles(tuple(sorted(_named(paths), key=lambda score: score.name)))


def _named(paths: Sequence[Path]) -> Iterable[ScoreFile]:
    """The paths with their names: what they have in common at their beginning is left out."""
    whole = list(dict.fromkeys(Path(os.path.abspath(path)) for path in paths))
    if not whole:
        return ()
    common = Path(os.path.commonpath([path.parent for path in whole]))
    return (ScoreFile(path.relative_to(common).as_posix(), path) for path in whole)


def _decisions_of(score: ScoreFile, folder: Path) -> Path | None:
    path = folder / f"{score.name}{DECISIONS_ENDING}"
    return path if path.is_file() else None
