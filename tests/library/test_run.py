"""A run over a library: what comes of it, how it goes on, what it refuses."""

import csv
import re
from collections.abc import Iterable
from pathlib import Path

import pytest
from tests.cli.run_gripway import ask
from tests.library.small_library import TUNES, Counting, put, run, small_library, tree

from gripway.errors import GripwayError, RequestError
from gripway.library.engines import Answers
from gripway.library.library_wishes import LibraryWishes
from gripway.library.record import Record, ScoreAnswer, ScoreJob, failed
from gripway.library.run import run_library
from gripway.library.run_state import STATE_FILE, opened
from gripway.library.score_files import score_files
from gripway.model.house_style import HouseStyle
from gripway.score.reading.read_options import ReadOptions


@pytest.fixture
def scores(tmp_path: Path) -> Path:
    """A small library."""
    return small_library(tmp_path / "scores")


def rows(out: Path, table: str) -> list[dict[str, str]]:
    """The rows of a table of an answer."""
    with (out / "data" / f"{table}.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def test_a_marked_score_is_that_of_finger(scores: Path, tmp_path: Path) -> None:
    """Byte for byte, in every house style, decisions honoured; the scores are untouched."""
    before = tree(scores)
    for which in ("needed", "every"):
        out = tmp_path / which
        summary = run(scores, out, LibraryWishes(house=HouseStyle(which=which)))
        assert (summary.scores, summary.errors) == (4, 0)
        for name in TUNES:
            said = ask("finger", scores / name, "--part", 1, "--format", "musicxml", "--mark", which)
            assert (out / "marked" / name).read_bytes() == said.data
    assert tree(scores) == before


def test_decisions_are_honoured(scores: Path, tmp_path: Path) -> None:
    """A decision in a file beside its score makes the mark that finger makes with it."""
    first = scores / "a/first.musicxml"
    decided = '[[decision]]\nbar = "1"\nbeat = 1.25\npitch = "F#6"\ngrip = "T 1 3 | 2 Eb"\n'
    folder = tmp_path / "decided"
    (folder / "a").mkdir(parents=True)
    (folder / "a" / "first.musicxml.toml").write_text(decided)
    out = tmp_path / "out"
    answer = ask("library", scores, "--out", out, "--decisions", folder, "--jobs", 1)
    assert answer.code == 0, answer.err
    with_it = ask(
        "finger", first, "--format", "musicxml", "--decisions", folder / "a" / "first.musicxml.toml"
    )
    without = ask("finger", first, "--format", "musicxml")
    marked = out / "marked" / "a/first.musicxml"
    assert marked.read_bytes() == with_it.data != without.data
    marked.write_bytes(re.sub(rb"<\?gripway[^>]*\?>", b"", marked.read_bytes()))
    bare = ask("unmark", marked)
    assert bare.data.count(b"<fingering") == first.read_bytes().count(b"<fingering")
    assert "0 marks of ours taken out" not in bare.err


@pytest.mark.parametrize("stop_at", [0, 1, 3])
def test_a_run_that_was_stopped_goes_on(scores: Path, tmp_path: Path, stop_at: int) -> None:
    """Nothing is worked on twice, and every byte is that of a run that was not disturbed."""
    whole, broken = tmp_path / "whole", tmp_path / "broken"
    run(scores, whole)
    stopped, rest = Counting(stop_at), Counting()
    with pytest.raises(KeyboardInterrupt):
        run(scores, broken, engine=stopped)
    run(scores, broken, engine=rest)
    assert sorted(stopped.names + rest.names) == sorted(TUNES)
    assert tree(broken) == tree(whole)
    again = Counting()
    run(scores, broken, engine=again)
    assert again.names == []
    assert tree(broken) == tree(whole)


def test_what_changed_is_worked_on_anew(scores: Path, tmp_path: Path) -> None:
    """A score with other bytes, one whose marked file is gone, and a new one; no other."""
    out = tmp_path / "out"
    run(scores, out)
    put(scores / "fourth.musicxml", "C6 D6", 100)
    (out / "marked" / "a/first.musicxml").unlink()
    put(scores / "new.musicxml", "C6 D6 E6", 100)
    again = Counting()
    run(scores, out, engine=again)
    assert again.names == ["a/first.musicxml", "fourth.musicxml", "new.musicxml"]
    run(scores, tmp_path / "fresh")
    assert tree(out) == tree(tmp_path / "fresh")


def test_a_score_that_cannot_be_read_is_an_error_of_its_own(scores: Path, tmp_path: Path) -> None:
    """The others are done; the table says what, where and what next; mended, it alone is worked on."""
    (scores / "broken.musicxml").write_bytes(b"<score-partwise><part")
    (scores / "empty.xml").write_bytes(b"")
    out = tmp_path / "out"
    summary = run(scores, out)
    assert (summary.scores, summary.errors, summary.parts) == (6, 2, 4)
    assert [row["file"] for row in rows(out, "errors")] == ["broken.musicxml", "empty.xml"]
    assert all(row["what"] and row["place"] and row["next_step"] for row in rows(out, "errors"))
    assert not (out / "marked" / "broken.musicxml").exists()
    put(scores / "broken.musicxml", "C6 D6", 100)
    again = Counting()
    assert run(scores, out, engine=again).errors == 1
    assert again.names == ["broken.musicxml"]


def test_an_error_of_ours_is_one_score_s(
    scores: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What no reader foresaw in one score is told as a fault, and the run goes on."""

    def broken(*_: object, **__: object) -> None:
        raise KeyError("nothing of that name")

    monkeypatch.setattr("gripway.library.one_score.part_rows", broken)
    out = tmp_path / "out"
    assert run(scores, out).errors == 4
    assert {row["what"] for row in rows(out, "errors")} == {
        "a fault in gripway: KeyError: 'nothing of that name'"
    }


def test_another_run_s_folder_is_refused(scores: Path, tmp_path: Path) -> None:
    """Where something else was asked for, where other things lie, where the scores are, where a file is."""
    out = tmp_path / "out"
    run(scores, out)
    before = tree(out)
    with pytest.raises(RequestError, match="asked for something else"):
        run(scores, out, LibraryWishes(options=ReadOptions(tempo=200)))
    assert tree(out) == before
    other = tmp_path / "other"
    other.mkdir()
    (other / "letter.txt").write_text("mine")
    with pytest.raises(RequestError, match="other things"):
        run(scores, other)
    for folder in (scores, tmp_path):
        with pytest.raises(RequestError, match="scores of the library lie in it"):
            run(scores, folder)
    with pytest.raises(RequestError, match="no folder"):
        run(scores, scores / "fourth.musicxml")


def test_a_second_run_at_once_is_refused(scores: Path, tmp_path: Path) -> None:
    """The state is held by the run that is at work."""
    out = tmp_path / "out"
    out.mkdir()
    with opened(out, "a run"), pytest.raises(RequestError, match="another run at work"):
        run(scores, out)


def test_a_state_that_is_none_is_refused(scores: Path, tmp_path: Path) -> None:
    """A file of that name that is no state is said and left as it is."""
    out = tmp_path / "out"
    out.mkdir()
    (out / STATE_FILE).write_bytes(b"no state " * 200)
    with pytest.raises(RequestError, match="no state of a run"):
        run(scores, out)
    assert (out / STATE_FILE).read_bytes() == b"no state " * 200


def test_what_a_killed_process_left_is_taken_away(scores: Path, tmp_path: Path) -> None:
    """Files under the passing names of gripway/files.py, in the folder of the answer only."""
    out = tmp_path / "out"
    run(scores, out)
    left = out / "marked" / "a" / ".gripway-123-abcdef01"
    left.write_bytes(b"half")
    run(scores, out)
    assert not left.exists()


def test_reports_are_made_and_taken_away_with_their_part(scores: Path, tmp_path: Path) -> None:
    """A report a part; when the score has become unreadable, none is left of it."""
    out = tmp_path / "out"
    run(scores, out, LibraryWishes(reports=True))
    report = out / "reports" / "fourth.musicxml.part-1.html"
    assert b"<svg" in report.read_bytes()
    (scores / "fourth.musicxml").write_bytes(b"")
    run(scores, out, LibraryWishes(reports=True))
    assert not report.exists()
    assert not (out / "marked" / "fourth.musicxml").exists()


class Idle:
    """An engine that only remembers what it was given; what `ends` has ended before it was done."""

    def __init__(self, *ends: str) -> None:
        self.ends = ends
        self.jobs: list[ScoreJob] = []

    def __call__(self, jobs: Iterable[ScoreJob], _wishes: LibraryWishes) -> Answers:
        """An answer without rows for each."""
        for job in jobs:
            self.jobs.append(job)
            ended = failed(job.name, GripwayError("ended"), again=True)
            yield job.name, ended if job.name in self.ends else ScoreAnswer(Record({}))


def given(scores: Path, out: Path, decided: Path | None = None, ends: str = "") -> list[ScoreJob]:
    """The scores that a run gives to its engine."""
    engine = Idle(ends)
    run_library(score_files(scores, decided).scores, out, LibraryWishes(), engine)
    return engine.jobs


def test_new_decisions_are_worked_on(tmp_path: Path) -> None:
    """An editor who changes decisions would else get the score with the old ones."""
    put(tmp_path / "scores" / "a.musicxml", "E6 F#6", 100)
    decided = tmp_path / "decided"
    decided.mkdir()
    both = (tmp_path / "scores", tmp_path / "out", decided)
    assert [job.decisions for job in given(*both)] == [()]
    assert given(*both) == []
    text = '[[decision]]\nbar = "1"\nbeat = 1\npitch = "E6"\ngrip = "T 1 2 | Eb"\n'
    (decided / "a.musicxml.toml").write_text(text)
    assert [len(job.decisions) for job in given(*both)] == [1]
    (decided / "a.musicxml.toml").write_text(text.replace("T 1 2 | Eb", "T 1 2 | 1 2 Eb"))
    assert [len(job.decisions) for job in given(*both)] == [1]
    assert given(*both) == []


def test_a_score_that_was_ended_comes_again(tmp_path: Path) -> None:
    """What failed for want of memory is worked on by the next run, and only that."""
    for name in "ab":
        put(tmp_path / "scores" / f"{name}.musicxml", "E6 F#6", 100)
    paths = (tmp_path / "scores", tmp_path / "out")
    assert len(given(*paths, ends="b.musicxml")) == 2
    assert [job.name for job in given(*paths)] == ["b.musicxml"]
    assert given(*paths) == []


def test_an_empty_folder_can_be_the_answer_s(tmp_path: Path) -> None:
    """One that the person made beforehand is taken; nothing in it could be lost."""
    put(tmp_path / "scores" / "a.musicxml", "E6 F#6", 100)
    (tmp_path / "out").mkdir()
    assert len(given(tmp_path / "scores", tmp_path / "out")) == 1
