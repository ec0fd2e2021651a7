"""A flute with its player, kept between questions: the same answers, less work, bounded memory."""

import gc
import tracemalloc
from collections.abc import Callable
from dataclasses import replace

import pytest
from tests.tiers import thinned

import gripway
from gripway.asked.found_wishes import FoundWishes
from gripway.asked.wishes import Wishes
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.player import Ban, Player
from gripway.route.solve import Solver
from gripway.tasks import flute_player as module
from gripway.tasks.flute_player import Flute, FlutePlayer

pytestmark = pytest.mark.own_solver

LINE = "(E6 F#6 G#6 A6 B6 A6 G#6 F#6) E6:1/4 D6"
TEN_NOTES = gripway.notes(LINE, tempo=132)
KEYED = Player(dials=(("tuning", 2.0),))
ALTERNATE = Grip.parse("T 1 3 | 2 Eb")


def test_its_answers_are_those_of_the_flute_alone() -> None:
    """Whatever was asked before, every question has the answer it has alone."""
    mine, flute = FlutePlayer(gripway.flute(), KEYED), gripway.flute()
    alone = Wishes(player=KEYED)
    for line in ("Bb4 (C5 D5 Eb5) F5", LINE):
        passage = gripway.notes(line, tempo=132)
        route = gripway.finger(passage, mine)
        assert route == gripway.finger(passage, flute, alone)
        assert gripway.worth_it(route, mine) == gripway.worth_it(route, flute, alone)
        assert gripway.tradeoff(passage, mine) == gripway.tradeoff(passage, flute, alone)
        assert gripway.alternatives(passage, mine) == gripway.alternatives(passage, flute, alone)
        assert gripway.practise(passage, mine) == gripway.practise(passage, flute, alone)
    assert gripway.trill("E6", "F#6", mine) == gripway.trill("E6", "F#6", flute, KEYED)
    assert gripway.grips("F#6", mine) == gripway.grips("F#6", flute, KEYED)
    assert gripway.hardest(mine, "F#6", "A6") == gripway.hardest(flute, "F#6", "A6", player=KEYED)


def test_bans_and_found_grips_have_their_own_solvers() -> None:
    """A ban holds for the question that has it; found grips come only where they are asked for."""
    mine, flute = FlutePlayer(gripway.flute()), gripway.flute()
    banned = Wishes(bans=(Ban(66 + 24, ALTERNATE),))
    for wishes in (
        banned,
        Wishes(),
        Wishes(found=FoundWishes()),
        banned,
        replace(banned, found=FoundWishes()),
    ):
        assert gripway.finger(TEN_NOTES, mine, wishes) == gripway.finger(TEN_NOTES, flute, wishes)


def test_the_wishes_are_its_players() -> None:
    """Wishes without a player are this player's; those of another are refused, also beside a list."""
    mine = FlutePlayer(gripway.flute(), KEYED)
    assert mine.wishes() == mine.wishes(Wishes()) == Wishes(player=KEYED)
    assert mine.wishes(Wishes(player=KEYED, others=1)) == Wishes(player=KEYED, others=1)
    other = Player(dials=(("tuning", 3.0),))
    with pytest.raises(RequestError, match="another player's"):
        gripway.finger(TEN_NOTES, mine, Wishes(player=other))
    with pytest.raises(RequestError, match="another player's"):
        gripway.grips("E6", mine, other)


def test_the_same_question_is_searched_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The route, its trade-off and the other routes are made of one search; progress is told all the same."""
    searched: list[int] = []
    ground = Solver.ground
    monkeypatch.setattr(
        Solver, "ground", lambda *asked, **how: (searched.append(1), ground(*asked, **how))[1]
    )
    mine = FlutePlayer(gripway.flute())
    told: list[tuple[int, int]] = []
    for _ in range(2):
        gripway.finger(TEN_NOTES, mine, progress=lambda done, whole: told.append((done, whole)))
    gripway.tradeoff(TEN_NOTES, mine)
    gripway.alternatives(TEN_NOTES, mine)
    assert searched == [1]
    assert told == [(5, 10), (10, 10), (10, 10)]


def test_it_begins_anew_when_it_is_full(monkeypatch: pytest.MonkeyPatch) -> None:
    """Above its bound of blocks the next question has a new solver; just at the bound it has the old one."""
    mine = FlutePlayer(gripway.flute())
    gripway.finger(TEN_NOTES, mine)
    before = mine.plain
    monkeypatch.setattr(module, "MOST_BLOCKS", before.learnt)
    gripway.finger(TEN_NOTES, mine)
    assert mine.plain is before
    monkeypatch.setattr(module, "MOST_BLOCKS", before.learnt - 1)
    gripway.finger(TEN_NOTES, mine)
    assert mine.plain is not before


def test_what_is_kept_of_the_music_can_be_bounded() -> None:
    """Just at the bound all blocks stay; above it they go, the steps stay, and the answer is the same."""
    mine = FlutePlayer(gripway.flute())
    first = gripway.finger(TEN_NOTES, mine)
    builder = mine.plain.builder(Wishes())
    blocks = dict(builder._blocks)
    mine.keep_at_most(mine.plain.learnt)
    assert builder._blocks == blocks
    mine.keep_at_most(mine.plain.learnt - 1)
    assert not builder._blocks
    assert builder._steps
    assert gripway.finger(replace(TEN_NOTES, title="again"), mine).notes == first.notes
    assert builder._blocks.keys() == blocks.keys()


def test_what_found_grips_learn_counts_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """A solver with found grips learns by itself, and is counted into the bound."""
    mine = FlutePlayer(gripway.flute())
    gripway.finger(TEN_NOTES, mine, Wishes(found=FoundWishes()))
    monkeypatch.setattr(module, "MOST_BLOCKS", mine.plain.learnt)
    assert mine.full


WARM, ASKED = 3, 6
MOST_KEPT = 2_000_000 / 950
"""Bytes a question may leave behind: 1,000 calls may keep 2 MB after the first 50."""

QUESTIONS: dict[str, Callable[[Flute], object]] = {
    "finger": lambda flute: gripway.finger(gripway.notes(LINE, tempo=132), flute),
    "found": lambda flute: gripway.finger(gripway.notes(LINE, tempo=132), flute, Wishes(found=FoundWishes())),
    "worth": lambda flute: gripway.worth_it(gripway.finger(TEN_NOTES, flute), flute, spots=0),
    "tradeoff": lambda flute: gripway.tradeoff(gripway.notes(LINE, tempo=132), flute),
    "near": lambda flute: gripway.near(flute, "E6", within=1),
    "grips": lambda flute: gripway.grips("F#6", flute),
    "trill": lambda flute: gripway.trill("E6", "F#6", flute),
}


ASKS = [*((question, True) for question in QUESTIONS), ("finger", False), ("trill", False)]


@pytest.mark.parametrize(("question", "kept"), thinned(ASKS, 9))
def test_memory_stays_flat(question: str, kept: bool) -> None:
    """Ten notes asked again and again: nothing of a question outlives it, kept or not."""
    flute = FlutePlayer(gripway.flute()) if kept else gripway.flute()

    def ask(times: int) -> int:
        for _ in range(times):
            QUESTIONS[question](flute)
        gc.collect()
        return tracemalloc.get_traced_memory()[0]

    tracemalloc.start()
    try:
        before = ask(WARM)
        assert ask(ASKED) - before < MOST_KEPT * ASKED
    finally:
        tracemalloc.stop()
