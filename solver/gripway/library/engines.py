"""Who works on the scores: this process, processes beside it, or a cluster; all give the same answers.

An engine takes jobs only as fast as they are done, so that no more than a few scores are in memory.
"""

import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from itertools import islice
from multiprocessing import get_context, parent_process

from gripway.errors import GripwayError
from gripway.free_memory import collect_seldom
from gripway.library.library_wishes import LibraryWishes
from gripway.library.one_score import forget_players, work_on
from gripway.library.record import ScoreAnswer, ScoreJob, failed

Answers = Iterator[tuple[str, ScoreAnswer]]
"""Names of scores with their answers, in the order in which they are done."""

Engine = Callable[[Iterable[ScoreJob], LibraryWishes], Answers]

AHEAD = 2
"""Scores in work or waiting, for each worker."""


def here(jobs: Iterable[ScoreJob], wishes: LibraryWishes) -> Answers:
    """One score after the other, in this process."""
    try:
        for job in jobs:
            yield job.name, work_on(job, wishes)
    finally:
        forget_players()


def in_processes(workers: int) -> Engine:
    """So many processes beside this one; a score that ends its process is an error of that score."""

    def answers(jobs: Iterable[ScoreJob], wishes: LibraryWishes) -> Answers:
        waiting = iter(jobs)
        while True:
            lost: deque[ScoreJob] = deque()
            yield from _pooled(waiting, wishes, workers, lost)
            if not lost:
                return
            for job in lost:  # one of them ended its process: each alone
                yield job.name, _alone(job, wishes)

    return answers


def _pooled(jobs: Iterator[ScoreJob], wishes: LibraryWishes, workers: int, lost: deque[ScoreJob]) -> Answers:
    """The answers of one pool, until there is no job left or one of its processes was ended."""
    with _pool(workers) as pool:
        at_work: dict[Future[ScoreAnswer], ScoreJob] = {}
        try:
            while True:
                for job in islice(jobs, workers * AHEAD - len(at_work)):
                    at_work[_submitted(pool, job, wishes)] = job
                if not at_work:
                    return
                done, _ = wait(at_work, return_when=FIRST_COMPLETED)
                broken = False
                for future in done:
                    job = at_work.pop(future)
                    if isinstance(future.exception(), BrokenProcessPool):
                        broken = True
                        lost.append(job)
                    else:
                        yield job.name, future.result()
                if broken:
                    lost.extend(at_work.values())
                    return
        finally:
            pool.shutdown(wait=True, cancel_futures=True)


def _pool(workers: int) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(workers, mp_context=get_context("spawn"), initializer=_begin_worker)


def _begin_worker() -> None:
    """Leave interruptions to the process that asked, and end when that one ends, however it does."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    collect_seldom()
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    if (parent := parent_process()) is not None:
        parent.join()
        os._exit(0)


def _submitted(pool: ProcessPoolExecutor, job: ScoreJob, wishes: LibraryWishes) -> Future[ScoreAnswer]:
    """The future of a job; of a pool that has just broken one that says so."""
    try:
        return pool.submit(work_on, job, wishes)
    except BrokenProcessPool as problem:
        broken: Future[ScoreAnswer] = Future()
        broken.set_exception(problem)
        return broken


def _alone(job: ScoreJob, wishes: LibraryWishes) -> ScoreAnswer:
    """A score in a process of its own."""
    with _pool(1) as pool:
        try:
            return pool.submit(work_on, job, wishes).result()
        except BrokenProcessPool:
            return failed(job.name, ended(job.name), again=True)


def ended(name: str) -> GripwayError:
    """The error of a score whose process was ended from outside."""
    return GripwayError(
        "the process that worked on it was ended, perhaps for want of memory",
        place=name,
        next_step="Run the same command again, with fewer --jobs",
    )
