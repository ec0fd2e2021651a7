"""Chunks of cases, each asked in a copy of this process that may be lost without the others."""

import contextlib
import json
import os
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from tests.faults.judging import MOST_CPU_S

CHUNK = 100
Counts = Counter[str]


@dataclass(frozen=True)
class Chunk:
    """Cases of one section, numbered from `start` up to but without `stop`."""

    section: str
    start: int
    stop: int


def chunks_of(section: str, most: int, done: Iterable[Chunk]) -> Iterator[Chunk]:
    """The chunks of a section's first `most` cases that are not done yet."""
    stops = {chunk.start: chunk.stop for chunk in done if chunk.section == section}
    at = 0
    while at < most:
        if at in stops:
            at = stops[at]
        else:
            stop = min(most, at + CHUNK, *(start for start in stops if start > at))
            yield Chunk(section, at, stop)
            at = stop


def in_turns(numbers: Mapping[str, int], done: Iterable[Chunk]) -> list[Chunk]:
    """The chunks that all sections still need, each section as far as the others: a run may end early."""
    done = list(done)
    chunks = (chunk for name, most in numbers.items() for chunk in chunks_of(name, most, done))
    return sorted(chunks, key=lambda chunk: chunk.start / numbers[chunk.section])


def verdicts_of(
    chunks: Iterable[Chunk], workers: int, verdict_of: Callable[[str, int], str]
) -> Iterator[tuple[Chunk, list[tuple[int, str]]]]:
    """Every chunk with the number and the verdict of each of its cases, `workers` chunks at a time.

    A worker starts as a copy of this process, so that what is loaded here need not be loaded again. One that
    the system ends (a crash below Python, a loop in C that no timer stops) costs the case it was at: that is a
    fault, and the rest of its chunk goes on in another.
    """
    waiting, working = list(chunks)[::-1], dict[int, tuple[Chunk, Path]]()
    with tempfile.TemporaryDirectory(prefix="gripway-faults-") as folder:
        while waiting or working:
            while waiting and len(working) < workers:
                chunk = waiting.pop()
                place = Path(tempfile.mkdtemp(dir=folder))
                working[_begun(chunk, place, verdict_of)] = (chunk, place)
            child, status = os.wait()
            chunk, place = working.pop(child)
            found = [json.loads(line) for line in (place / "verdicts").read_text().splitlines()]
            shutil.rmtree(place)
            next_number = chunk.start + len(found)
            if next_number < chunk.stop:
                ended = os.waitstatus_to_exitcode(status)
                words = signal.Signals(-ended).name if ended < 0 else f"exit {ended}"
                found.append((next_number, f"the process was lost: {words}"))
                if next_number + 1 < chunk.stop:
                    waiting.append(Chunk(chunk.section, next_number + 1, chunk.stop))
            done = Chunk(chunk.section, chunk.start, chunk.start + len(found))
            yield done, [(number, text) for number, text in found]


def _begun(chunk: Chunk, place: Path, verdict_of: Callable[[str, int], str]) -> int:
    """Start a worker for a chunk; its process id."""
    sys.stdout.flush()
    sys.stderr.flush()
    child = os.fork()
    if child:
        return child
    try:
        with (place / "verdicts").open("w", buffering=1) as verdicts:
            work = place / "work"
            work.mkdir()
            os.chdir(work)
            for number in range(chunk.start, chunk.stop):
                _bound_cpu()
                verdicts.write(json.dumps((number, verdict_of(chunk.section, number))) + "\n")
        os._exit(0)
    except BaseException:
        with contextlib.suppress(BaseException):
            traceback.print_exc()
        os._exit(99)


def _bound_cpu() -> None:
    """Let the system end this process where the next case takes three times what its own timer allows."""
    hard = resource.getrlimit(resource.RLIMIT_CPU)[1]
    resource.setrlimit(resource.RLIMIT_CPU, (int(time.process_time()) + 3 * MOST_CPU_S, hard))


class Kept:
    """A file with a line for every chunk that is done, so that a long run can be ended and gone on with."""

    def __init__(self, path: Path | None, seed: int) -> None:
        self._path, self._seed = path, seed

    def before(self) -> dict[Chunk, Counts]:
        """The chunks of this seed that were asked in earlier runs, and how their cases went."""
        if self._path is None or not self._path.exists():
            return {}
        lines = map(json.loads, self._path.read_text().splitlines())
        return {
            Chunk(line["section"], line["start"], line["stop"]): Counter(line["counts"])
            for line in lines
            if line["seed"] == self._seed
        }

    def add(self, chunk: Chunk, counts: Counts) -> None:
        """Keep how a chunk went."""
        if self._path is None:
            return
        line = {"seed": self._seed, **vars(chunk), "counts": dict(counts)}
        with self._path.open("a") as file:
            file.write(json.dumps(line) + "\n")
