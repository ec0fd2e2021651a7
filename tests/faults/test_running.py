"""The suite itself: no case is lost with its process, none is asked twice, and the table reaches the manual."""

import os
import re
import signal
from collections import Counter
from pathlib import Path

from tests.faults.__main__ import MANUAL, table, with_table
from tests.faults.judging import ANSWERED, REFUSED
from tests.faults.running import Chunk, Kept, chunks_of, verdicts_of


def test_a_lost_process_costs_only_the_case_it_was_at() -> None:
    """A process that is ended at case 3 leaves cases 0 to 2 and 4 to 5 as they went."""

    def verdict(_section: str, number: int) -> str:
        if number == 3:
            os.kill(os.getpid(), signal.SIGKILL)
        return ANSWERED if number % 2 else REFUSED

    found = dict(case for _, cases in verdicts_of([Chunk("a", 0, 6)], 2, verdict) for case in cases)
    lost = found.pop(3)
    assert lost == "the process was lost: SIGKILL"
    assert found == {0: REFUSED, 1: ANSWERED, 2: REFUSED, 4: REFUSED, 5: ANSWERED}


def test_what_was_kept_is_not_asked_again(tmp_path: Path) -> None:
    """A run goes on after the chunks of its own seed, also where one of them ended early."""
    kept = Kept(tmp_path / "kept", seed=1)
    for chunk in (Chunk("a", 0, 100), Chunk("a", 100, 130), Chunk("b", 0, 100)):
        kept.add(chunk, Counter({ANSWERED: chunk.stop - chunk.start}))
    before = Kept(tmp_path / "kept", seed=1).before()
    assert sum(before[Chunk("a", 100, 130)].values()) == 30
    assert list(chunks_of("a", 250, before)) == [Chunk("a", 130, 230), Chunk("a", 230, 250)]
    assert Kept(tmp_path / "kept", seed=2).before() == {}


def test_the_table_of_the_manual_is_written_with_its_command() -> None:
    """The first command, its day and the first table are those of the run; all else stays."""
    old = MANUAL.read_text()
    rows = table([("scores, tags", Counter({ANSWERED: 1200, REFUSED: 34}))])
    new = with_table(old, rows, ["--scores", "6170", "--keep", "kept", "--manual"])
    assert "```sh\npython -m tests.faults --scores 6170\n```" in new
    assert "| scores, tags | 1,234 | 1,200 | 34 | 0 |\n\n" in new
    undated = (re.sub(r"\d{4}-\d\d-\d\d", "day", text).splitlines() for text in (new, old))
    assert next(undated)[:10] == next(undated)[:10]
    assert new.splitlines()[-5:] == old.splitlines()[-5:]
