"""A taste in words and as data, for every status."""

from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator

from gripway.catalog.answer_schemas import answer_schema
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.cli.text.own.taste_text import taste_text
from gripway.display import SCHEMA
from gripway.model.grip import Grip
from gripway.taste.always import KnownGrip
from gripway.taste.fitted import HeldOut, chance_of
from gripway.taste.held_out import PASSAGE
from gripway.taste.mark import Place
from gripway.taste.taste import KEPT, LEARNT, PERHAPS, TOO_FEW, DialFound, Missed, Taste
from gripway.taste.taste_data import charges_of, taste_data
from gripway.taste.taste_sentence import sentence

NAMES = ("speed", "steadiness", "tuning", "familiarity", "learning")
GRIP = Grip.parse("T 1 3 | 2 Eb".replace("1", "L1").replace("3", "L3").replace(" 2 ", " R2 "))
PLACE = Place("a.musicxml", "Flute", "7", "F#6", "P1-n9", GRIP)
HELD = HeldOut(100, 93, 71, 24, 2, chance_of(24, 2), 5, PASSAGE)


def learnt(*known: KnownGrip, **moved: float) -> Taste:
    """Something learnt: these dials moved, these grips known."""
    return Taste(
        status=LEARNT,
        parts=3,
        marks=100,
        quiet=40,
        dials=tuple(DialFound(name, 1.0, moved.get(name, 1.0)) for name in NAMES),
        known=known,
        right=95,
        right_now=71,
        held_out=HELD,
        missed=(Missed(PLACE, None, ever=False),),
        contradictions=(),
    )


def test_the_sentence_says_what_weighs_how_much_and_the_held_out_figures() -> None:
    """Twice, half, not at all, another ratio; a known grip; the default or one's own file."""
    tail = "93 of 100 held-out marks come out as you wrote them, 71 with the default."
    assert sentence(learnt(tuning=2.0)) == (
        f"Your fingerings weigh tuning twice as much as the default: with these dials {tail}"
    )
    several = sentence(learnt(tuning=0.5, speed=0.0, learning=3.0))
    assert "weigh speed not at all, tuning half as much and learning 3 times as much as" in several
    assert sentence(learnt(KnownGrip(90, GRIP, 4))) == f"Your fingerings use 1 grip as known: so {tail}"
    assert sentence(replace(learnt(tuning=2.0), status=PERHAPS)) == (
        "Your fingerings perhaps weigh tuning twice as much as the default: with these dials 95 of 100 marks "
        "come out as you wrote them, 71 with the default, which is too little to be certain."
    )
    own = replace(learnt(tuning=2.0), dials=(DialFound("speed", 2.0, 2.0), DialFound("tuning", 1.0, 2.0)))
    assert "as your file:" in sentence(own)


@pytest.mark.parametrize("status", [LEARNT, PERHAPS, KEPT, TOO_FEW])
def test_the_data_keep_the_schema_with_known_grips_and_without(status: str) -> None:
    """Every status; the grip has its pitch, its touches and its count."""
    held = None if status == TOO_FEW else HELD
    taste = replace(learnt(KnownGrip(90, GRIP, 4), tuning=2.0), status=status, held_out=held)
    data = {"schema": SCHEMA, **taste_data(taste)}
    assert list(Draft202012Validator(answer_schema("taste")).iter_errors(data)) == []
    assert data["known"] == [{"pitch": "F#6", "grip": "T L1 L3 | R2 Eb", "marks": 4}]


def test_the_text_says_what_would_be_written_and_nothing_where_nothing_is_learnt() -> None:
    """Lines of the player's file; a mark no dials explain by its place."""
    text = taste_text(learnt(KnownGrip(90, GRIP, 4), tuning=2.0), None, wrote=False)
    assert '  tuning = 2\n  [known]\n  grips = ["F#6: T L1 L3 | R2 Eb"]\n' in text
    assert (
        "No dials explain:\n  a.musicxml, Flute, bar 7, F#6: T 1 3 | 2 Eb marked, no grip comes out" in text
    )
    kept = taste_text(replace(learnt(), status=KEPT), None, wrote=False)
    assert kept.startswith("Leave your dials as they are")
    assert "--write" not in kept


def test_the_charges_follow_the_dial_of_learning() -> None:
    """A new grip is charged 1 effort, a return 0.3 (tables/effort/figures.csv), times the dial."""
    found = charges_of(learnt(learning=0.5), effort_tables())
    assert found == [("new grip", 1.0, 0.5), ("return", 0.3, 0.15)]


def test_chance() -> None:
    """The sign test's own values: two of two one time in four, three of four five times in sixteen."""
    assert chance_of(2, 0) == 0.25
    assert chance_of(3, 1) == 5 / 16  # (4 + 1) / 16, counted by hand
