"""The Boehm mechanism: touches held -> holes open, and what no hand can hold.

The expected linkages, holds and counts are those of the closed-G# Boehm flute: common
practice, no source, where nothing else is said.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.every import every
from tests.oracles.finger_states import finger_states

from gripway.catalog.flute.instruments import load_instrument
from gripway.errors import ImpossibleHoldError
from gripway.model.grip import Grip
from gripway.model.mechanism import FINGER_NAMES, Mechanism, Reach

FLUTE = load_instrument("concert-flute").mechanism
B_FOOT = load_instrument("concert-flute", ["high-c"]).mechanism
ALL_KEYS = load_instrument("concert-flute", ["high-c", "c-sharp-trill"]).mechanism
SPLIT_E = load_instrument("concert-flute", ["split-e"]).mechanism
OPEN_G_SHARP = load_instrument("concert-flute", ["open-g-sharp"]).mechanism

HOLDS = st.sampled_from(sorted(set(finger_states(FLUTE)), key=lambda grip: grip.mask))

LOW_GRIPS = {  # common practice, no source
    "B3": "T L1 L2 L3 | R1 R2 R3 C B",
    "C4": "T L1 L2 L3 | R1 R2 R3 C",
    "C#4": "T L1 L2 L3 | R1 R2 R3 Cs",
    "D4": "T L1 L2 L3 | R1 R2 R3",
    "D#4": "T L1 L2 L3 | R1 R2 R3 Eb",
    "E4": "T L1 L2 L3 | R1 R2 Eb",
    "F4": "T L1 L2 L3 | R1 Eb",
    "F#4": "T L1 L2 L3 | R3 Eb",
    "G4": "T L1 L2 L3 | Eb",
    "G#4": "T L1 L2 L3 L4 | Eb",
    "A4": "T L1 L2 | Eb",
    "A#4": "T L1 | R1 Eb",
    "B4": "T L1 | Eb",
    "C5": "L1 | Eb",
    "C#5": "| Eb",
}


def opened(mechanism: Mechanism, grip: str) -> set[str]:
    """Ids of the holes this grip leaves open."""
    return {hole.id for hole in mechanism.open_holes(Grip.parse(grip))}


def without_double_c(mechanism: Mechanism) -> Mechanism:
    """The mechanism without the further hold Cs and C together, which moves no other hole than C."""
    return Mechanism(tuple(r for r in mechanism.reaches if r.touches != ("Cs", "C")), mechanism.holes)


@every(LOW_GRIPS.items())
def test_the_first_open_hole_of_a_low_grip_names_its_note(note: str, grip: str) -> None:
    """Each of the 15 lowest standard grips opens, first from the head, the hole of its note."""
    holes = B_FOOT.open_holes(Grip.parse(grip))
    assert (holes[0].title if holes else "B3") == note


@pytest.mark.parametrize("grip", [grip for note, grip in LOW_GRIPS.items() if note not in ("B3", "C4")])
def test_a_b_foot_only_lengthens_the_tube(grip: str) -> None:
    """With a B foot the same grip opens the same holes, and the hole of C4 besides."""
    assert opened(B_FOOT, grip) == opened(FLUTE, grip) | {"c_foot_b"}


@pytest.mark.parametrize(
    ("mechanism", "states", "patterns"),
    [(without_double_c(FLUTE), 9_216, 3_840), (without_double_c(B_FOOT), 18_432, 5_760)],
    ids=["C foot", "B foot"],
)
def test_counts_of_finger_states_and_hole_patterns(mechanism: Mechanism, states: int, patterns: int) -> None:
    """All finger states, and the hole patterns they make, are as many as counted by hand.

    States: thumb 3, left fingers 2 x 2 x 2 x 2, R1 4, R2 4, R3 3, R4 4 (C foot) or 8 (B foot).
    Patterns: a separate count from a written list of linkages, without this code.
    """
    grips = list(finger_states(mechanism))
    assert len(grips) == states
    assert len({mechanism.hole_pattern(grip) for grip in grips}) == patterns


@pytest.mark.parametrize("mechanism", [FLUTE, B_FOOT], ids=["C foot", "B foot"])
def test_holding_both_low_c_keys_adds_no_pattern(mechanism: Mechanism) -> None:
    """C brings the C# key down anyway: Cs and C together open what C alone opens."""
    for grip in set(finger_states(mechanism)):
        if grip.has("Cs") and grip.has("C"):
            assert mechanism.hole_pattern(grip) == mechanism.hole_pattern(grip.without("Cs"))


@given(HOLDS, st.sampled_from(["L2", "R1"]))
def test_the_thumb_lever_acts_as_the_plate_when_l2_or_r1_is_down(grip: Grip, down: str) -> None:
    """Tb in place of T changes no hole while L2 or R1 is pressed."""
    base = grip.without("T", "Tb").with_touches(down)
    plate, lever = base.with_touches("T"), base.with_touches("Tb")
    assert FLUTE.hole_pattern(plate) == FLUTE.hole_pattern(lever)


@given(HOLDS)
def test_the_thumb_lever_shuts_one_hole_more_otherwise(grip: Grip) -> None:
    """With L2, R1 and Sb up, Tb shuts the B hole that T leaves open, and nothing else."""
    base = grip.without("T", "Tb", "L2", "R1", "Sb")
    plate = opened(FLUTE, base.with_touches("T").text)
    assert plate - opened(FLUTE, base.with_touches("Tb").text) == {"b"}
    assert plate - opened(FLUTE, base.with_touches("T", "Sb").text) == {"b"}


@pytest.mark.parametrize(
    ("note", "grip", "low_note", "vent"),
    [
        ("D5", "T L2 L3 | R1 R2 R3", "D4", {"cs_vent"}),  # L1 lifted
        ("D#5", "T L2 L3 | R1 R2 R3 Eb", "D#4", {"cs_vent"}),  # L1 lifted
        ("D6", "T L2 L3 | Eb", "G4", {"cs_vent"}),  # third partial, L1 lifted
        ("D#6", "T L1 L2 L3 L4 | R1 R2 R3 Eb", "D#4", {"gs"}),  # L4 pressed
        ("E6", "T L1 L2 | R1 R2 Eb", "E4", {"a", "gs_dup"}),  # fourth partial, L3 lifted
        ("G6", "L1 L2 L3 | Eb", "G4", {"c_thumb"}),  # fourth partial, thumb lifted
    ],
)
def test_a_high_grip_is_a_low_grip_with_a_vent(note: str, grip: str, low_note: str, vent: set[str]) -> None:
    """The grip opens the holes of its low grip and the vent, and no other."""
    assert opened(FLUTE, grip) == opened(FLUTE, LOW_GRIPS[low_note]) | vent, note


def test_split_e_shuts_the_lower_g_sharp_hole_for_e6() -> None:
    """With split E the vent of E6 is the A hole alone."""
    low = opened(SPLIT_E, LOW_GRIPS["E4"])
    assert opened(SPLIT_E, "T L1 L2 | R1 R2 Eb") == low | {"a"}


@given(HOLDS)
def test_split_e_changes_nothing_but_its_hole(grip: Grip) -> None:
    """A grip differs on a split-E flute only with L3 up and R2 down, and only by the duplicate hole."""
    plain, split = opened(FLUTE, grip.text), opened(SPLIT_E, grip.text)
    assert plain - split == ({"gs_dup"} if grip.has("R2") and not grip.has("L3") else set())
    assert split <= plain


@given(HOLDS)
def test_a_rewritten_grip_sounds_alike_on_an_open_g_sharp_flute(grip: Grip) -> None:
    """L4 the other way round under a pressed L3, up otherwise: the same holes open.

    The one hole of the open-G# flute stands for the two of the closed one.
    """
    other_way = grip.has("L3") and not grip.has("L4")
    rewritten = grip.without("L4").with_touches(*(["L4"] if other_way else []))
    closed, open_ = opened(FLUTE, grip.text), opened(OPEN_G_SHARP, rewritten.text)
    assert open_ - {"gs"} == closed - {"gs", "gs_dup"}
    assert ("gs" in open_) == bool(closed & {"gs", "gs_dup"})


IMPOSSIBLE = [
    *(f"| {one} R2 Kd" for one in ("R1", "Sb", "Kcs")),
    "| R2 R3 Kds",
    *(f"| {one} R3 Kd Kds" for one in ("R1", "Sb", "Kcs")),
    "| R2 R3 Kd Kds",
    "T Tb |",
    "| R1 Sb",
    "| R1 Kcs",
    "| Eb Cs",
    "| Eb C",
    "| Eb B",
    "| B Hc",
]


@pytest.mark.parametrize("text", IMPOSSIBLE)
def test_what_no_hand_can_hold_is_refused_with_the_reason(text: str) -> None:
    """The reason names the fingers and exactly the touches that are in each other's way."""
    grip = Grip.parse(text)
    with pytest.raises(ImpossibleHoldError) as caught:
        ALL_KEYS.holds(grip)
    reason = caught.value.what
    assert reason.startswith(f"no hand can hold {grip.text}: the ")
    fingers, touches = reason.split(": the ")[1].split(" cannot press ")
    assert set(fingers.split(" and ")) <= set(FINGER_NAMES.values())
    conflict = Grip.parse(touches.removesuffix(" at once"))
    for touch in conflict.touches:
        assert ALL_KEYS.holds(conflict.without(touch)), f"{touch} is not needed for the conflict"
    assert caught.value.next_step


@pytest.mark.parametrize(
    ("text", "fingers"),
    [
        ("| R1 R2 Kds", {"R1": "R1", "R2": "R2", "R3": "Kds"}),
        ("| R2 R3 Kd", {"R1": "Kd", "R2": "R2", "R3": "R3"}),
        ("| R1 Kd Kds", {"R1": "R1", "R2": "Kd", "R3": "Kds"}),
        ("| R2 Kd Kds", {"R1": "Kd", "R2": "R2", "R3": "Kds"}),
        ("| C B", {"R4": "C B"}),
        ("| C Hc", {"R4": "C Hc"}),
        ("| Cs C", {"R4": "Cs C"}),
        ("| Kd", {"R2": "Kd"}),
        ("| R2 Kd", {"R1": "Kd", "R2": "R2"}),
    ],
)
def test_what_can_be_held_names_the_finger_of_each_touch(text: str, fingers: dict[str, str]) -> None:
    """The first hold uses these fingers: their first choices wherever that is possible."""
    hold = ALL_KEYS.holds(Grip.parse(text))[0]
    used = {reach.finger: " ".join(reach.touches) for reach in hold.reaches if reach is not None}
    assert used == fingers


@given(HOLDS, st.data())
def test_lifting_a_finger_never_makes_a_hold_impossible(grip: Grip, data: st.DataObject) -> None:
    """Every part of a grip that can be held can be held."""
    lifted = data.draw(st.sets(st.sampled_from(grip.touches)) if grip.touches else st.just(set()))
    assert FLUTE.holds(grip.without(*lifted))


@given(HOLDS)
def test_a_hold_presses_exactly_the_grip_first_choices_first(grip: Grip) -> None:
    """Each hold's fingers press the touches of the grip and no other; second choices come last."""
    holds = FLUTE.holds(grip)
    for hold in holds:
        pressed = [t for reach in hold.reaches if reach is not None for t in reach.touches]
        assert sorted(pressed) == sorted(grip.touches)
    assert [hold.second_choices for hold in holds] == sorted(hold.second_choices for hold in holds)


@pytest.mark.parametrize("text", ["T L1 L2 L3 | R1 R2 R3 C B", "L1 L2 L3 L4 | R1 Hc", "T L1 | Kcs"])
def test_a_key_this_flute_lacks_is_named(text: str) -> None:
    """A grip that needs an optional key is refused on a plain flute, and the key named."""
    grip = Grip.parse(text)
    with pytest.raises(ImpossibleHoldError, match="which this flute does not have") as caught:
        FLUTE.holds(grip)
    assert f"needs {', '.join(FLUTE.missing(grip))}," in caught.value.what
    assert "optional parts" in caught.value.next_step


def test_a_reach_is_the_mask_of_its_touches() -> None:
    """The touches a finger presses at once are one grip mask."""
    assert Reach("R4", ("Cs", "C")).mask == Grip.parse("Cs C").mask
