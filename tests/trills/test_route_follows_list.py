"""A trill inside a part takes the pair that the list has first, of those from the written note's grip."""

import pytest
from tests.tiers import whole
from tests.trills.printed_rate import STEPS

import gripway
from gripway.asked.wishes import Wishes
from gripway.model.pitch import plain_name
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.trill_lists import trill

OTHERWISE = {"D#5-F5", "F6-G6"}
"""Nobody printed pairs from that grip, or a note is grossly false: solver/decisions/trills.md."""

WORDS = ("tr", "tr#", "trb", "trn", "tr##")


@pytest.fixture(scope="module")
def mine() -> FlutePlayer:
    """A plain player of the concert flute."""
    return FlutePlayer(gripway.flute())


def in_a_part(low: int, high: int, mine: FlutePlayer, quarters: int = 90) -> tuple[str, str]:
    """The grips (short) that a route trills with on a quarter note between two others of its pitch."""
    name = plain_name(low)
    lines = (f"{name}:1/4 {word} {name}:1/4 {name}:1/4" for word in WORDS)
    passages = (gripway.notes(line, tempo=quarters) for line in lines)
    passage = next(
        one
        for one in passages
        if (said := one.notes[1].ornament) and said.upper and said.upper.number == high
    )
    route = gripway.finger(passage, mine, Wishes(player=mine.player, others=0))
    played = route.notes[1].ornament
    assert played is not None
    one, other = (each.candidate for each in played.notes)
    assert one is not None
    assert other is not None
    return one.grip.short, other.grip.short


def listed_first(low: int, high: int, grip: str, mine: FlutePlayer) -> str | None:
    """The upper grip of the list's first pair from this lower one."""
    pairs = trill(plain_name(low), plain_name(high), mine.instrument).pairs
    return next((pair.upper.grip.short for pair in pairs if pair.lower.grip.short == grip), None)


@pytest.mark.parametrize("tempo", [60, 90, 160])
def test_c6_d6_takes_the_second_trill_key(mine: FlutePlayer, tempo: int) -> None:
    """Nearer in pitch than the first (its row in tables/trills says so), however long the note is."""
    assert in_a_part(84, 86, mine, tempo) == ("1 | Eb", "1 | Kds Eb")


@whole
def test_every_step_is_trilled_as_the_list_has_it(mine: FlutePlayer) -> None:
    """All half and whole steps from C4 to C7 but those with a reason."""
    assert len(STEPS) == 71
    found = set()
    for low, high in STEPS:
        lower, upper = in_a_part(low, high, mine)
        if listed_first(low, high, lower, mine) not in (upper, None):
            found.add(f"{plain_name(low)}-{plain_name(high)}")
    assert found == OTHERWISE
