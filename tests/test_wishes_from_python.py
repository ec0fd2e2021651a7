"""Pins, bans and players made in Python: texts are read when they are made, the rest is refused at once."""

from collections.abc import Callable
from typing import Any

import pytest
from tests.every import every

import gripway
from gripway import Ban, Grip, Pin, Player, Wishes
from gripway.errors import RequestError

FLUTE = gripway.FlutePlayer(gripway.flute())
PASSAGE = gripway.notes("E6 F#6 G#6 A6", tempo=112)
UNUSUAL = "L2 L3 | Eb"
"""An alternate grip of G#6 in our tables, the third note of the passage."""


def route(**asked: Any) -> gripway.Route:
    """The route of the passage under wishes given as values."""
    return gripway.finger(PASSAGE, FLUTE.instrument, Wishes(**asked))


def grips(found: gripway.Route) -> list[Grip | None]:
    """The grips of a route."""
    return [note.candidate.grip if note.candidate else None for note in found.notes]


def test_a_ban_of_texts_is_the_ban_of_values() -> None:
    """Pitch and grip as texts, and as numpy counts, ban what the values ban."""
    assert Ban("G#6", UNUSUAL) == Ban(92, Grip.parse(UNUSUAL))
    number = gripway.note_frame(route())["index"].iloc[2] + 90
    assert Ban(number) == Ban(92)
    assert isinstance(Ban(number).pitch, int)


def test_a_ban_by_text_holds() -> None:
    """A grip or a whole pitch that is banned by its text is gone from the route."""
    standard = "L2 L3 L4 | Eb"
    assert grips(route(bans=(Ban("G#6"),)))[2] is None
    assert grips(route(bans=(Ban(grip=standard),)))[2] not in (None, Grip.parse(standard))


@pytest.mark.parametrize(
    ("ask", "place"),
    [
        (lambda: gripway.PracticeTime(minutes=0), "minutes"),
        (lambda: gripway.PracticeTime(days=99), "days"),
        (lambda: gripway.PracticeTime(cells=0), "cells"),
        (lambda: gripway.PracticeTime(order="x"), "order"),
        (lambda: gripway.tradeoff(PASSAGE, FLUTE, Wishes(choose="standard")), "choose"),
        (lambda: gripway.tradeoff(PASSAGE, gripway.flute("piccolo")), "tradeoff"),
        (lambda: gripway.tradeoff(gripway.notes("C2"), FLUTE), "tradeoff"),
        (lambda: gripway.alternatives(PASSAGE, FLUTE, distance=gripway.Distance(bar="9")), "distance.bar"),
        (
            lambda: gripway.hard_patterns(FLUTE, gripway.PatternQuestion(84, 96, kinds=("blues",))),
            "kinds",
        ),
        (lambda: gripway.PracticeTime(minutes="20"), "minutes"),  # type: ignore[arg-type]
        (lambda: gripway.PracticeTime(days=2.5), "days"),  # type: ignore[arg-type]
        (lambda: gripway.Distance(notes="2"), "distance.notes"),  # type: ignore[arg-type]
        (lambda: gripway.alternatives(PASSAGE, FLUTE, most="2"), "most"),  # type: ignore[arg-type]
        (lambda: gripway.worth_it(route(), FLUTE, spots="1"), "spots"),  # type: ignore[arg-type]
        (lambda: gripway.near(FLUTE, "E6", fingers="2"), "fingers"),  # type: ignore[arg-type]
        (lambda: gripway.PatternQuestion(84, 96, kinds="major"), "kinds"),  # type: ignore[arg-type]
        (lambda: gripway.wishes(learn="2"), "learn"),  # type: ignore[arg-type]
        (lambda: gripway.wishes(others="2"), "others"),  # type: ignore[arg-type]
        (lambda: gripway.Limits(unusual="3"), "unusual"),  # type: ignore[arg-type]
        (lambda: gripway.wishes(pins="1"), "pins"),
        (lambda: gripway.wishes(bans="x"), "bans"),
        (lambda: gripway.wishes(limits="x"), "limits"),
    ],
)
def test_an_error_names_the_argument_and_not_the_option(ask: Callable[[], object], place: str) -> None:
    """In Python the place is an argument or function of ours, and no word of it is the command line's."""
    with pytest.raises(RequestError) as caught:
        ask()
    assert (caught.value.place, "--" in str(caught.value)) == (place, False)


def test_a_number_of_a_part_a_bar_or_a_voice_is_its_text() -> None:
    """Counting from Python, `part=1` and `bars=2` are what they are as texts."""
    assert gripway.ReadOptions(part=1, bars=2, voice=1) == gripway.ReadOptions(part="1", bars="2", voice="1")
    assert gripway.Distance(bar=3) == gripway.Distance(bar="3")


def test_a_pin_takes_the_text_of_a_grip() -> None:
    """By index from 0 and by id it is the same note."""
    by_index, by_id = route(pins=(Pin(2, UNUSUAL),)), route(pins=(Pin("n3", UNUSUAL),))
    assert grips(by_index) == grips(by_id)
    assert grips(by_index)[2] == Grip.parse(UNUSUAL)


def test_a_grip_known_by_texts_costs_less() -> None:
    """Known grips by name and by number are the same, and a pinned one costs no unfamiliarity."""
    pins = (Pin("n3", Grip.parse(UNUSUAL)),)
    named = [("G#6", UNUSUAL)]
    assert Player(known=named) == Player(known={(92, Grip.parse(UNUSUAL))})
    assert route(pins=pins, player=Player(known=named)).effort < route(pins=pins).effort


def test_parts_and_dials_are_read_as_the_functions_read_them() -> None:
    """One text with commas is several parts, and a mapping is its pairs."""
    parts: Any = "split-e, b-foot"
    dials: Any = {"tuning": 2}
    assert Player(parts=parts).parts == ("split-e", "b-foot")
    assert gripway.FlutePlayer(FLUTE.instrument, Player(parts=parts)).instrument.parts == (
        "b-foot",
        "split-e",
    )
    assert Player(dials=dials).dials == (("tuning", 2.0),)


def test_one_pin_and_one_ban_need_no_list() -> None:
    """In Wishes and in wishes, one is a tuple of one."""
    pin, ban = Pin("n3", Grip.parse(UNUSUAL)), Ban(kind="harmonic")
    alone: Any = {"pins": pin, "bans": ban}
    assert Wishes(**alone) == Wishes(pins=(pin,), bans=(ban,)) == gripway.wishes(**alone)
    assert Player(bans=alone["bans"]).bans == (ban,)


def test_a_grip_without_a_pitch_is_banned_everywhere() -> None:
    """The text of a ban that is a grip with its bar bans it at every pitch."""
    assert gripway.wishes(bans="T 1 3 | 3 Eb").bans == (Ban(grip=Grip.parse("T 1 3 | 3 Eb")),)
    with pytest.raises(gripway.GripwayError, match="bans nothing"):
        gripway.wishes(bans="C")  # a touch, and as like a pitch without its octave


GRIP = Grip.parse("T 1 | Eb")
SLIPS: list[tuple[Callable[..., object], dict[str, Any], str]] = [
    (Ban, {"pitch": "H6"}, "In English it is B6"),
    (Ban, {"grip": "T 9 | Eb"}, "Write a grip"),
    (Ban, {"kind": "nonsense"}, "alternate, vented, trill, harmonic"),
    (Ban, {"kind": "standard"}, "alternate, vented, trill, harmonic"),
    (Pin, {"note": None, "grip": GRIP}, "its id"),
    (Pin, {"note": 2, "grip": "x"}, "Write a grip"),
    (Player, {"known": {92: GRIP}}, "no pairs of a pitch and a grip"),
    (Player, {"known": [(92, 3)]}, "an int is no grip"),
    (Player, {"parts": 3}, "an int is no list of parts"),
    (Player, {"dials": "tuning"}, "numbers by name"),
    (Player, {"finger_factors": {"thumb": 1.2}}, "'thumb' is no finger"),
    (Player, {"bans": ["harmonic"]}, "a str is no ban"),
    (Player, {"cents": [3]}, "no tuner reading"),
    (Wishes, {"pins": {3: GRIP}}, "an int is no pin"),
    (Wishes, {"pins": [(3, GRIP)]}, "a tuple is no pin"),
    (Wishes, {"pins": 3}, "an int is no list of pins"),
    (Wishes, {"player": "me.toml"}, "a str is no player"),
    (Wishes, {"limits": "thumb stays"}, "a str is no set of limits"),
    (gripway.wishes, {"pins": {3: GRIP}}, "an int is no pin"),
    (gripway.wishes, {"pins": [(3, GRIP)]}, "a tuple is no pin"),
    (gripway.wishes, {"bans": [3]}, "an int is no ban"),
    (gripway.wishes, {"bans": 3}, "an int is no list"),
]


@pytest.mark.parametrize(("maker", "given", "told"), SLIPS)
def test_what_would_do_nothing_is_refused(
    maker: Callable[..., object], given: dict[str, Any], told: str
) -> None:
    """A value that no search could use is a RequestError where it is made, with what to give."""
    with pytest.raises(gripway.GripwayError, match=told) as refusal:
        maker(**given)
    assert refusal.value.next_step


def test_a_pin_on_no_note_says_how_notes_are_named() -> None:
    """The id column, or a number counted from 1."""
    with pytest.raises(gripway.GripwayError, match="there is no note 10 to pin") as refusal:
        route(pins=(Pin(9, GRIP),))
    assert refusal.value.next_step == (
        "Write the note's id, as in the `id` column (n3=...), or its number counted from 1"
    )


def test_a_limit_in_python_names_no_option() -> None:
    """What is not understood is the limits', not an option of the command."""
    with pytest.raises(gripway.GripwayError, match="not understood") as refusal:
        gripway.wishes(limits="fewer grips")
    assert "--" not in str(refusal.value)
    with pytest.raises(gripway.GripwayError, match="no time to search") as refusal:
        gripway.Limits(unusual=1, seconds=0.0)
    assert "--" not in str(refusal.value)


def test_repeats_say_that_they_are_played() -> None:
    """The passage counts the notes played and those written, where these differ."""
    assert "4 notes played, 2 written" in repr(gripway.notes("|: E6 F#6 :|"))
    assert "written" not in repr(PASSAGE)


def test_the_frame_says_which_notes_limits_count() -> None:
    """Its last column is false on as many notes as the limit says are unusual."""
    found = gripway.finger(
        PASSAGE, FLUTE, gripway.wishes(pins=f"n3={UNUSUAL}", limits="at most one unusual grip")
    )
    frame = gripway.note_frame(found)
    assert found.limits is not None
    assert frame.columns[-1] == "usual"
    assert (~frame["usual"]).sum() == found.limits.uses[0].used == 1


PRIVATE = ("familiarity.csv", ".py", "of FORMS", "of OVER", "gripway.tasks")
"""What nobody can look up from a notebook."""


@every(gripway.__all__)
def test_help_refers_to_nothing_private(name: str) -> None:
    """No docstring of a public name sends its reader to a file of ours."""
    told = getattr(gripway, name).__doc__ or ""
    assert [word for word in PRIVATE if word in told] == []
