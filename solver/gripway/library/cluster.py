"""A cluster as the engine: Dask distributed (optional extra), its workers on this machine or on others.

Workers need gripway of the same version and nothing of the disk: scores go out and files come back.
"""

from collections.abc import Iterable, Iterator
from concurrent.futures import CancelledError
from contextlib import contextmanager
from itertools import islice
from typing import TYPE_CHECKING, Any

from gripway.catalog.installation import installation
from gripway.errors import RequestError
from gripway.library.engines import AHEAD, Answers, Engine, ended
from gripway.library.library_wishes import LibraryWishes
from gripway.library.one_score import work_on
from gripway.library.record import ScoreAnswer, ScoreJob, failed

if TYPE_CHECKING:
    from distributed import Client

CONNECT_SECONDS = 30


def check_cluster() -> None:
    """RequestError with the extra where Dask distributed is not installed."""
    try:
        import distributed  # noqa: F401
    except ImportError:
        raise RequestError(
            "a cluster needs Dask distributed, which is not installed",
            place="--scheduler",
            next_step='Install it with: pip install "gripway[cluster]"',
        ) from None


def on_cluster(address: str) -> Engine:
    """The workers of the scheduler at this address (tcp://HOST:PORT).

    A score whose worker ends is given to another one. Raises RequestError where the scheduler cannot be
    reached, has no worker, or goes away, and where a worker has another version of gripway.
    """
    check_cluster()

    def answers(jobs: Iterable[ScoreJob], wishes: LibraryWishes) -> Answers:
        with _client(address) as client:
            try:
                yield from _answers(client, jobs, wishes)
            except (CancelledError, OSError) as problem:  # what Dask makes of a scheduler that is gone
                raise _out_of_reach(address, str(problem) or "it went away") from None

    return answers


@contextmanager
def _client(address: str) -> "Iterator[Client]":
    from distributed import Client

    try:
        client = Client(address, timeout=CONNECT_SECONDS, set_as_default=False)
    except (OSError, ValueError) as problem:
        raise _out_of_reach(address, str(problem)) from None
    with client:
        _check_workers(client, address)
        yield client


def _out_of_reach(address: str, why: str) -> RequestError:
    return RequestError(
        f"the scheduler cannot be reached: {why}",
        place=f"--scheduler {address}",
        next_step="Start it (dask scheduler, dask worker) and run the same command again: it goes on",
    )


def _check_workers(client: "Client", address: str) -> None:
    """Workers there are, all with this version of gripway."""
    here = _version()
    found = client.run(_version, on_error="return")
    if not found:
        raise RequestError(
            "the scheduler has no worker",
            place=f"--scheduler {address}",
            next_step=f"Start some: dask worker {address} --nthreads 1",
        )
    for worker, version in found.items():
        if version != here:
            told = version if isinstance(version, str) else "not installed"
            raise RequestError(
                f"gripway is {told} on the worker {worker} and {here} here",
                place=f"--scheduler {address}",
                next_step="Install the same version on all workers",
            )


def _version() -> str:
    return installation()["gripway"]


def _answers(client: "Client", jobs: Iterable[ScoreJob], wishes: LibraryWishes) -> Answers:
    """The answers as they come; no more scores are out than the workers have in hand and waiting."""
    from distributed import as_completed

    waiting = iter(jobs)
    names: dict[Any, str] = {}

    def submit(most: int) -> list[Any]:
        out = []
        for job in islice(waiting, most):
            future = client.submit(work_on, job, wishes, pure=False)
            names[future.key] = job.name
            out.append(future)
        return out

    going = as_completed(submit(_room(client)), loop=client.loop)
    for future in going:
        name = names.pop(future.key)
        yield name, _answer(future, name)
        future.release()
        going.update(submit(max(_room(client) - len(names), 0)))


def _room(client: "Client") -> int:
    threads: int = sum(client.nthreads().values())
    return AHEAD * max(threads, 1)


def _answer(future: Any, name: str) -> ScoreAnswer:
    """The answer of a future; of one that ended one worker after the other an error."""
    from distributed.scheduler import KilledWorker

    try:
        answer: ScoreAnswer = future.result()
    except KilledWorker:
        return failed(name, ended(name), again=True)
    return answer
