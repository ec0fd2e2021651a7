"""How much is searched for an answer of `gripway finger`: one solver, and few searches, in every form."""

from collections import Counter
from pathlib import Path

import pytest
from tests.cli.run_gripway import PASSAGE, ask

from gripway.route import solve
from gripway.route.solve import Solver
from gripway.route.tempo import tempos

WEATHERCOCK = Path(__file__).parents[2] / "examples" / "weathercock_part.musicxml"
MOST_SEARCHES = 12
"""Searches of a text answer: that of the route, and one a tempo that is tried where it is needed."""


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """How many solvers are made, how many passages solved, how often grips to learn are searched."""
    counts: Counter[str] = Counter()

    def count(place: object, name: str, what: str) -> None:
        plain = getattr(place, name)
        monkeypatch.setattr(place, name, lambda *a, **k: (counts.update([what]), plain(*a, **k))[1])

    count(Solver, "__init__", "solvers")
    count(Solver, "ground", "solved")
    for module in (solve, tempos):
        count(module, "charged_route", "searches")
    return counts


@pytest.mark.parametrize(
    "passage",
    [(str(WEATHERCOCK),), ("--notes", PASSAGE, "--tempo", "160"), ("--notes", "F#6:1/1 (E6 F#6 G#6 A6) B4")],
    ids=["a part", "a line", "long and short notes"],
)
def test_a_text_answer_searches_a_few_times(passage: tuple[str, ...], counted: Counter[str]) -> None:
    """One solver, the passage solved once, and at most twelve searches with those at other tempos."""
    assert ask("finger", *passage).code == 0
    assert (counted["solvers"], counted["solved"]) == (1, 1)
    assert 1 < counted["searches"] <= MOST_SEARCHES


@pytest.mark.parametrize(
    "words", [("--format", "html"), ("--format", "json"), ("--explain",), ("--tradeoff",)]
)
def test_every_form_solves_the_passage_once(words: tuple[str, ...], counted: Counter[str]) -> None:
    """Report, data, reasons and trade-off are made of one solver and one solved passage."""
    assert ask("finger", "--notes", PASSAGE, "--tempo", "160", *words).code == 0
    assert (counted["solvers"], counted["solved"]) == (1, 1)


def test_two_parts_of_one_flute_share_a_solver(counted: Counter[str], tmp_path: Path) -> None:
    """What is learnt of the flute in one part serves the other."""
    text = WEATHERCOCK.read_text(encoding="utf-8")
    head, part = text.index("<score-part "), text.index('<part id="P1"')
    after_head, after_part = text.index("</score-part>") + 13, text.index("</part>") + 7
    second = text[part:after_part].replace('id="P1"', 'id="P2"', 1)
    declared = text[head:after_head].replace('id="P1"', 'id="P2"', 1)
    twice = text[:after_head] + declared + text[after_head:after_part] + second + text[after_part:]
    path = tmp_path / "two.musicxml"
    path.write_text(twice, encoding="utf-8")
    assert ask("finger", path, "--part", "all", "--bars", "1-2").code == 0
    assert (counted["solvers"], counted["solved"]) == (1, 2)
