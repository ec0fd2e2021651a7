"""The engines give the same answers, whoever works, and whatever is ended while they do."""

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event

import psutil
import pytest
from tests.cli.run_gripway import ask, start
from tests.library.small_library import TUNES, put, run, tree
from tests.patience import HANG_S
from tests.tiers import whole

from gripway.errors import RequestError
from gripway.library import engines
from gripway.library.cluster import on_cluster
from gripway.library.engines import in_processes
from gripway.library.library_wishes import LibraryWishes
from gripway.library.one_score import work_on
from gripway.library.record import ScoreJob
from gripway.library.run import run_library
from gripway.library.run_state import STATE_FILE
from gripway.library.score_files import score_files

KILLS = (1, 3, 7)
"""After so many marked scores the process is killed."""

SCORES = 12

JOURNAL = f"{STATE_FILE}-journal"

ENDED = """
import os, signal, sqlite3, sys
from gripway.library.run_state import STATE_FILE
state = sqlite3.connect(os.path.join(sys.argv[1], STATE_FILE))
state.execute("PRAGMA locking_mode = EXCLUSIVE")
with state:
    state.execute("PRAGMA user_version = 99")
os.kill(os.getpid(), signal.SIGKILL)
"""
"""Holds a state as a run does, writes to it, and is killed."""


@pytest.fixture
def scores(tmp_path: Path) -> Path:
    """A library of twelve scores."""
    folder = tmp_path / "scores"
    for number in range(SCORES):
        notes, tempo = list(TUNES.values())[number % len(TUNES)]
        put(folder / f"{number:02}.musicxml", notes, tempo + number)
    return folder


def test_processes_give_the_same(scores: Path, tmp_path: Path) -> None:
    """Two processes give byte for byte what one gives."""
    run(scores, tmp_path / "one")
    run(scores, tmp_path / "two", engine=in_processes(2))
    assert tree(tmp_path / "one") == tree(tmp_path / "two")


@whole
def test_a_worker_that_is_ended_loses_nothing(scores: Path, tmp_path: Path) -> None:
    """What it had in hand is worked on by another: the same answer, each score once."""
    run(scores, tmp_path / "whole")
    out, killed, told = tmp_path / "out", [], []

    def kill(step: object) -> None:
        told.append(step)
        if not killed:
            killed.extend(child for child in psutil.Process().children() if _is_worker(child))
            killed[0].kill()

    run_library(score_files(scores).scores, out, LibraryWishes(), in_processes(2), told=kill)
    assert killed
    assert len(told) == SCORES
    assert tree(out) == tree(tmp_path / "whole")


def _is_worker(process: psutil.Process) -> bool:
    """A process of the pool, not its tracker of resources."""
    return "spawn_main" in " ".join(process.cmdline())


def test_a_score_that_ends_its_process_is_its_own_error(tmp_path: Path) -> None:
    """It is told with a next step, is worked on again by the next run, and the others are done."""
    jobs = [ScoreJob(name, b"") for name in ("bad", "good")]
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(engines, "work_on", _ending)
        answers = dict(in_processes(1)(jobs, LibraryWishes()))
    (row,) = answers["bad"].record.of("errors")
    assert "was ended" in row["what"]
    assert "--jobs" in row["next_step"]
    assert answers["bad"].record.again
    assert answers["good"].record.of("errors")[0]["what"] == "the file is empty"


def _ending(job: ScoreJob, wishes: LibraryWishes) -> object:
    """Works on a score, but for one that ends its process."""
    if job.name == "bad":
        os.kill(os.getpid(), signal.SIGKILL)
    return work_on(job, wishes)


@whole
@pytest.mark.parametrize("jobs", [1, 2])
def test_a_run_killed_three_times_goes_on(scores: Path, tmp_path: Path, jobs: int) -> None:
    """Killed with SIGKILL after one, three and seven scores: no half file, and at the end every byte."""
    whole, out = tmp_path / "whole", tmp_path / "out"
    run(scores, whole)
    for marked in KILLS:
        process = start("library", scores, "--out", out, "--jobs", jobs)
        _wait_for(out, marked)
        process.kill()
        process.communicate()
        for path in out.rglob("*.musicxml"):
            assert path.read_bytes() == (whole / path.relative_to(out)).read_bytes()
    process = start("library", scores, "--out", out, "--jobs", jobs)
    _, err = process.communicate(timeout=HANG_S)
    assert process.returncode == 0, err
    assert tree(out) == tree(whole)


def test_a_run_killed_when_all_was_done_leaves_nothing(scores: Path, tmp_path: Path) -> None:
    """Ended after its last record, with a journal beside the state: the next run takes the journal away."""
    out = tmp_path / "out"
    run(scores, out)
    process = subprocess.run([sys.executable, "-c", ENDED, str(out)], check=False)
    assert process.returncode == -signal.SIGKILL
    assert (out / JOURNAL).exists()
    before = tree(out)
    run(scores, out)
    assert before.keys() - tree(out).keys() == {JOURNAL}


def _wait_for(out: Path, marked: int) -> None:
    """Until so many marked scores are there, or a hang."""
    for _ in range(int(HANG_S / 0.01)):
        if len(list(out.rglob("*.musicxml"))) >= marked:
            return
        Event().wait(0.01)
    raise AssertionError("the run makes no marked score")


def test_every_engine_is_one_that_can_work(scores: Path, tmp_path: Path) -> None:
    """No process, a cluster with its own and a scheduler that is not there are refused with a next step."""
    for words, said in (
        (("--jobs", 0), "--jobs"),
        (("--jobs", 2, "--scheduler", "tcp://127.0.0.1:1"), "Leave --jobs out"),
    ):
        answer = ask("library", scores, "--out", tmp_path / "out", *words)
        assert (answer.code, said in answer.err) == (2, True)


def test_a_missing_extra_is_named(scores: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without Dask or pyarrow the extra that brings it is named, before any work."""
    for module, words, extra in (
        ("distributed", ("--scheduler", "tcp://127.0.0.1:1"), "gripway[cluster]"),
        ("pyarrow", ("--parquet",), "gripway[library]"),
    ):
        with monkeypatch.context() as patched:
            patched.setitem(sys.modules, module, None)
            answer = ask("library", scores, "--out", tmp_path / "out", *words)
        assert (answer.code, extra in answer.err) == (2, True)
        assert not (tmp_path / "out").exists()


def _address(found: Path) -> str:
    """The address that a scheduler has written; empty as long as it has not."""
    try:
        return str(json.loads(found.read_text())["address"])
    except (OSError, ValueError):
        return ""


@contextmanager
def cluster(folder: Path, workers: int) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """A scheduler and its workers, each a process of its own: its address, the processes in this order."""
    folder.mkdir(exist_ok=True)
    dask = [sys.executable, "-m", "distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", "0"]
    found = folder / "scheduler.json"
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "cwd": folder}
    begun = [
        subprocess.Popen([*dask, "--no-dashboard", "--scheduler-file", str(found)], **quiet)  # type: ignore[call-overload]
    ]
    try:
        while not (said := _address(found)):
            assert begun[0].poll() is None
            Event().wait(0.05)
        address = said
        worker = [sys.executable, "-m", "distributed.cli.dask_worker", address, "--nthreads", "1"]
        begun += [
            subprocess.Popen([*worker, "--no-nanny", "--no-dashboard"], **quiet)  # type: ignore[call-overload]
            for _ in range(workers)
        ]
        from distributed import Client

        with Client(address, timeout=HANG_S, set_as_default=False) as client:
            client.wait_for_workers(workers, timeout=HANG_S)
        yield address, begun
    finally:
        for process in begun[::-1]:
            process.kill()
            process.wait()


@whole
@pytest.mark.filterwarnings("ignore")
def test_a_cluster_gives_the_same_and_loses_nothing(scores: Path, tmp_path: Path) -> None:
    """Two workers in processes of their own, one killed in the middle: the same bytes, each score once."""
    run(scores, tmp_path / "whole")
    out, told = tmp_path / "out", []
    with cluster(tmp_path / "dask", 2) as (address, (_, *workers)):

        def kill(step: object) -> None:
            told.append(step)
            if len(told) == 2:
                workers[0].kill()

        run_library(score_files(scores).scores, out, LibraryWishes(), on_cluster(address), told=kill)
        assert workers[0].poll() is not None
        assert workers[1].poll() is None
    assert len(told) == SCORES
    assert tree(out) == tree(tmp_path / "whole")


@whole
@pytest.mark.filterwarnings("ignore")
def test_a_scheduler_that_goes_away_is_told_and_the_run_goes_on(scores: Path, tmp_path: Path) -> None:
    """The error says what to do; the same command without a cluster finishes the run."""
    run(scores, tmp_path / "whole")
    out, told = tmp_path / "out", []
    with cluster(tmp_path / "dask", 1) as (address, processes):

        def kill(step: object) -> None:
            told.append(step)
            if len(told) == 2:
                processes[0].kill()

        found = score_files(scores).scores
        with pytest.raises(RequestError, match="scheduler cannot be reached"):
            run_library(found, out, LibraryWishes(), on_cluster(address), told=kill)
    run(scores, out)
    assert tree(out) == tree(tmp_path / "whole")
