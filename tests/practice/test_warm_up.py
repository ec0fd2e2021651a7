"""The warm-up card: which changes of a repertoire, each once, with a drill that fits its minutes."""

from tests.oracles.practice import TABLES

from gripway.practice.drills.drill_minutes import minutes_of
from gripway.practice.plan.warm_up import WarmUpCard
from gripway.tasks.flutes import flute
from gripway.tasks.scores import notes
from gripway.tasks.warm_ups import warm_up

FIGURES = TABLES.figures
UP = "(D6 E6 F#6 G#6 A6:1/4)"
DOWN = "(A6 G#6 F#6 E6 D6:1/4)"


def changes(card: WarmUpCard) -> list[frozenset[str]]:
    """The two pitches of each item."""
    return [
        frozenset(cell.pitches[cell.worst - 1 : cell.worst + 1])
        for cell in (item.planned.cell for item in card.items)
    ]


def test_a_change_and_its_way_back_in_another_piece_are_one_item_that_names_both() -> None:
    """Two pieces, the same scale up and down: no change twice, the hardest with places in both."""
    card = warm_up([("up", notes(UP, tempo=132)), ("down", notes(DOWN, tempo=132))], flute())
    found = changes(card)
    assert len(found) == len(set(found)) > 0
    assert {place.part for place in card.items[0].found.places} == {"up", "down"}


def test_the_hardest_comes_first_and_only_the_third_octave_counts() -> None:
    """Loads fall as hardness does; each change has a note from D6 up, though C5 to D5 is fast as well."""
    card = warm_up([("both", notes(f"{UP} (C5 D5 C5 D5 C5 D5 C5:1/4) {DOWN}", tempo=132))], flute())
    hardness = [item.planned.cell.hardness(FIGURES) for item in card.items]
    assert hardness == sorted(hardness, reverse=True)
    for item in card.items:
        cell = item.planned.cell
        pair = cell.notes[cell.worst - 1 : cell.worst + 1]
        assert max(note.note.pitch.number for note in pair) >= 86  # D6


def test_three_clean_times_at_each_tempo_fit_the_two_minutes() -> None:
    """By the plan's own arithmetic, and the last tempo is that of the piece."""
    card = warm_up([("piece", notes(f"{UP} {DOWN}", tempo=132))], flute())
    for item in card.items:
        assert item.minutes == 2
        assert 1 < len(item.steps) <= 7
        assert item.steps[-1] == item.planned.ladder.target == 132
        assert all(minutes_of(item.drill, item.planned.ladder, (s,), FIGURES) <= 2 for s in item.steps)
        assert item.drill.changes  # the drill has the change


def test_what_is_left_is_counted() -> None:
    """With one change asked for, the others of the same pieces are left."""
    parts = [("piece", notes(f"{UP} {DOWN}", tempo=160))]
    full, one = warm_up(parts, flute()), warm_up(parts, flute(), most=1)
    assert (len(one.items), one.left) == (1, full.left + len(full.items) - 1)


def test_slow_music_has_no_card() -> None:
    """Quarter notes at 60 leave every change time to spare."""
    card = warm_up([("slow", notes("D6:1/4 E6:1/4 F#6:1/4", tempo=60))], flute())
    assert (card.items, card.left, card.minutes) == ((), 0, 0)


def test_a_card_to_warm_up_is_soft_whatever_the_part() -> None:
    """The same run at ff: every drill of the card is mp."""
    card = warm_up([("loud", notes(f"ff {UP} {DOWN}", tempo=132))], flute())
    assert card.items
    assert {note.dynamic for item in card.items for note in item.drill.passage.notes} <= {"mp", "mf"}
