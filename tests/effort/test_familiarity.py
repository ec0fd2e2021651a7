"""What an unusual grip costs, by what it is taught for and where it stands."""

from dataclasses import replace
from itertools import pairwise

import pytest
from tests.oracles.flutes import FIGURES, TABLES, candidate, number
from tests.oracles.passages import played

from gripway.effort.candidate import ANY_NEIGHBOUR, Candidate
from gripway.effort.familiarity import (
    LENGTHS,
    b_flat_effort,
    beside_partner,
    held_effort,
    may_stand,
    taught_here,
    unfamiliarity,
)
from gripway.effort.setting import Setting, links, settings

SIZES = TABLES.unfamiliarity


def setting(text: str, place: int = 0, tempo: float = 120.0) -> Setting:
    """The setting of one note of a line of notation."""
    notes = played(text, tempo).notes
    return settings(notes, links(notes, FIGURES), TABLES)[place]


def cost(c: Candidate, where: Setting) -> float:
    """Unfamiliarity of a candidate in a setting, without the flat part for leaving the standard grip."""
    leaving = (
        0.0 if c.case == "standard" or taught_here(c, where, FIGURES) else FIGURES.leaving_standard_effort
    )
    return unfamiliarity(c, where, TABLES) - leaving


def quickness(where: Setting) -> float:
    """Share of its unfamiliarity that a grip keeps on this note."""
    return max(FIGURES.unfamiliar_least_factor, min(1.0, where.exposure))


HELD = setting("D6:1/1")
PASSING = setting("D6:1/16")


@pytest.mark.parametrize("pitch", ["C4", "D5", "D6", "F#6", "A6", "C7"])
def test_standard_grips_are_familiar(pitch: str) -> None:
    """A standard grip costs nothing anywhere."""
    assert cost(candidate(pitch), HELD) == cost(candidate(pitch), PASSING) == 0.0


@pytest.mark.parametrize("grip", ["Tb L1 | Eb", "T L1 | Sb Eb", "T L1 | R1 Eb"])
def test_every_player_knows_three_b_flats(grip: str) -> None:
    """The thumb, lever and one-and-one B-flats cost no unfamiliarity (rule: know all three)."""
    assert cost(candidate("A#5", grip), HELD) == 0.0


def test_an_alternate_in_its_use_is_no_trouble() -> None:
    """F#4 with R2 is taught beside E4 in the fastest passages: there it costs nothing, elsewhere its size."""
    r2 = candidate("F#4", "T L1 L2 L3 | R2 Eb")
    there, slower, apart = (
        setting("E4 F#4 G4", 1, 180.0),  # 83 ms
        setting("E4 F#4 G4", 1, 108.0),  # 139 ms: R2 is not for that (tests/cases: speeds)
        setting("G4 F#4 A4", 1, 180.0),  # beside no partner
    )
    assert (
        taught_here(r2, there, FIGURES),
        taught_here(r2, slower, FIGURES),
        taught_here(r2, apart, FIGURES),
    ) == (True, False, False)
    assert unfamiliarity(r2, there, TABLES) == SIZES["alternate_in_use"] == 0.0
    assert cost(r2, slower) == pytest.approx(SIZES["alternate"] * quickness(slower))
    assert cost(r2, apart) == pytest.approx(SIZES["alternate"] * quickness(apart))


def test_a_quick_alternation_is_quick_enough() -> None:
    """What is taught for the fastest passages serves an alternation of two partners too, however it runs."""
    r2 = candidate("F#4", "T L1 L2 L3 | R2 Eb")
    assert taught_here(r2, setting("E4 F#4 E4 F#4", 1, 132.0), FIGURES)  # 114 ms: no quick note by itself
    assert not taught_here(r2, setting("G4 F#4 G4 F#4", 1, 132.0), FIGURES)
    assert not taught_here(r2, setting("E4 F#4 E4 F#4", 1, 108.0), FIGURES)  # 139 ms: a line


def test_a_soft_grip_is_in_use_when_held_softly() -> None:
    """E6 with the second trill key is taught for very soft held notes: not for loud ones, nor in passing."""
    vented = candidate("E6", "T L1 L2 | R1 R2 Kds Eb")
    assert taught_here(vented, setting("pp E6:1/1"), FIGURES)
    for text in ("E6:1/1", "ff E6:1/1", "p E6:1/1", "pp E6:1/8", "pp E6:1/16"):
        assert not taught_here(vented, setting(text), FIGURES), text
    assert cost(vented, setting("E6:1/1")) == pytest.approx(SIZES["vented"])


def test_a_held_use_names_its_dynamic_or_none() -> None:
    """C6 with R1-R3 is for loud held notes, E6 without the little finger for held notes of any dynamic."""
    loud, any_dynamic = candidate("C6", "L1 | R1 R2 R3 Eb"), candidate("E6", "T L1 L2 | R1 R2")
    for dynamic, is_loud in (("pp ", False), ("", False), ("ff ", True)):
        assert taught_here(loud, setting(f"{dynamic}C6:1/1"), FIGURES) == is_loud
        assert taught_here(any_dynamic, setting(f"{dynamic}E6:1/1"), FIGURES)


def test_a_leap_speaks_for_itself() -> None:
    """F#6 as B overblown is taught for quick leaps whatever lies beside, and not for steps or slow notes."""
    harmonic = candidate("F#6", "T L1 | Eb")
    assert taught_here(harmonic, setting("A5 F#6 D6", 1, 180.0), FIGURES)
    assert not taught_here(harmonic, setting("A5 F#6 D6", 1, 120.0), FIGURES)
    assert not taught_here(harmonic, setting("E6 F#6 G6", 1, 180.0), FIGURES)
    assert not taught_here(harmonic, setting("A5:1/8 F#6:1/8 D6", 1), FIGURES)


@pytest.mark.parametrize(
    ("text", "tempo", "allowed"),
    [
        ("C6 D6 C6 D6", 180.0, True),  # a b a b at speed
        ("C6 D6 C6", 180.0, True),  # the quick note between two of its partner
        ("C6 D6 C6", 120.0, False),  # 125 ms: not quick
        ("C6 D6 C6 D6", 60.0, False),  # 250 ms: held
        ("C6 D6 E6", 180.0, False),  # a line
        ("C#6 D6 C#6 D6", 180.0, False),  # no partner
        ("C6 D6", 180.0, False),  # a neighbour alone is no turn
        ("D6:1/1", 120.0, False),
    ],
)
def test_trill_grips_stand_in_alternations_and_turns_only(text: str, tempo: float, allowed: bool) -> None:
    """D6 by the trill key, partner C6: trill grips are tricks for trills (common practice)."""
    trill, place = candidate("D6", "L1 | Kd Eb"), int(" " in text)
    assert trill.kind == "trill"
    assert may_stand(trill, setting(text, place, tempo)) is allowed
    assert may_stand(candidate("D6"), setting(text, place, tempo))


@pytest.mark.parametrize(
    "grip",
    [
        ("D6", "T L1 L2 L3 | R1 R2 R3"),  # harmonic, for motion
        ("D6", "T L1 L2 L3 | Eb"),  # harmonic, for leaps
        ("F#6", "T L1 L2 L3 | R3 Eb"),  # harmonic for colour
        ("D6", "T L2 L3 |"),  # an alternate for the quickest
        ("F#4", "T L1 L2 L3 | R2 Eb"),
    ],
)
def test_nothing_for_motion_and_nothing_overblown_on_a_held_note(grip: tuple[str, str]) -> None:
    """From 250 ms on they never stand, however much they would ease the fingers; below that they may."""
    c = candidate(*grip)
    pitch = grip[0]
    assert not may_stand(c, setting(f"{pitch}:1/8"))  # 250 ms
    assert not may_stand(c, setting(f"{pitch}:1/1"))
    assert may_stand(c, setting(f"{pitch}:1/9"))
    assert may_stand(c, setting(f"{pitch}:1/16"))


def test_what_a_player_asked_for_may_stand() -> None:
    """A pinned grip has any note as its partner and stands where no table would have it."""
    for pitch, grip in (("D6", "L1 | Kd Eb"), ("D6", "T L1 L2 L3 | Eb"), ("F#4", "T L1 L2 L3 | R2 Eb")):
        asked = replace(candidate(pitch, grip), partners=ANY_NEIGHBOUR)
        assert may_stand(asked, setting(f"{pitch}:1/1"))
        assert may_stand(asked, setting(f"A4 {pitch} A4", 1, 180.0))


@pytest.mark.parametrize("uses", [LENGTHS, frozenset({"quick"}), frozenset()])
def test_a_grip_that_is_taught_for_no_held_note_is_not_held(uses: frozenset[str]) -> None:
    """All its uses are lengths, one or every one: not on a held note; with one other use it may."""
    known = replace(candidate("F#6", "T L1 L3 | R2 Eb"), uses=uses)
    assert not may_stand(known, HELD)
    assert may_stand(replace(known, uses=uses | {"soft"}), HELD)
    assert may_stand(known, PASSING)


def test_alternates_for_held_notes_may_be_held() -> None:
    """E6 without the little finger, F#6 with R2 and the soft E6 are taught for held notes."""
    for pitch, grip in (
        ("E6", "T L1 L2 | R1 R2"),
        ("F#6", "T L1 L3 | R2 Eb"),
        ("E6", "T L1 L2 | R1 R2 Kds Eb"),
    ):
        assert may_stand(candidate(pitch, grip), setting(f"{pitch}:1/1"))


def test_a_partner_stands_before_or_after() -> None:
    """F#4 with R2 is meant to go with D#4 and E4, on either side."""
    r2 = candidate("F#4", "T L1 L2 L3 | R2 Eb")
    assert beside_partner(r2, setting("E4 F#4 G4", 1))
    assert beside_partner(r2, setting("G4 F#4 D#4", 1))
    assert not beside_partner(r2, setting("G4 F#4 A4", 1))


def test_trill_grips_are_cheap_in_their_alternation() -> None:
    """Inside c d c d at speed a trill grip costs 0.3 of its size, in a quick turn all of it."""
    trill = candidate("D6", "L1 | Kd Eb")
    inside, turn = setting("C6 D6 C6 D6", 1, 180.0), setting("C6 D6 C6", 1, 180.0)
    assert cost(trill, inside) == pytest.approx(0.15 * SIZES["trill"] * quickness(inside))
    assert cost(trill, turn) == pytest.approx(SIZES["trill"] * quickness(turn))


def test_trill_scale_follows_the_ramp() -> None:
    """Between a line and a full alternation the scale of a trill grip runs without a jump."""
    trill = candidate("D6", "L1 | Kd Eb")
    inside = replace(setting("C6 D6 C6 D6", 1, 180.0), exposure=1.0)
    costs = [cost(trill, replace(inside, alternation=step / 10)) for step in range(11)]
    steps = [a - b for a, b in pairwise(costs)]
    assert steps == pytest.approx([steps[0]] * 10)
    assert steps[0] > 0.0


def test_found_grips_stay_dear_in_an_alternation() -> None:
    """A grip known from a model only is never cheaper than its full size, even as a trill."""
    found = candidate("E6", "T L2 | Eb")
    assert (found.kind, found.case) == ("trill", "found")
    inside = setting("D6 E6 D6 E6", 1, 180.0)
    assert cost(found, inside) >= SIZES["found"] * quickness(inside)


def test_harmonics_taught_in_passing_are_the_cheapest() -> None:
    """Out of a taught place: B4 for F#6 under a fifth partial, that under one from A6 up."""
    other = candidate("F#6", "T L1 L2 L3 | R3 Eb")
    fifth = candidate("F#6", "T L1 L2 L3 | R1 R2 R3")
    passing = setting("E6 F#6 G6", 1)
    high = candidate("A6", "T L1 L2 | Eb")
    costs = [cost(replace(c, confidence="high"), passing) / quickness(passing) for c in (other, fifth, high)]
    assert costs == pytest.approx([SIZES[name] for name in ("harmonic", "harmonic_far", "harmonic_high")])
    assert costs == sorted(costs)


def test_a_harmonic_in_its_quick_leap_is_no_trouble() -> None:
    """F#6 as B overblown: nothing in a quick leap, a little in a quick alternation, all of it in a line."""
    taught = candidate("F#6", "T L1 | Eb")
    leap, alternating = setting("B5 F#6 D6", 1, 180.0), setting("E6 F#6 E6 F#6", 1, 180.0)
    line = setting("E6 F#6 G6", 1)
    assert unfamiliarity(taught, leap, TABLES) == SIZES["harmonic_in_passing"] == 0.0
    assert cost(taught, alternating) == pytest.approx(SIZES["harmonic_alternating"] * quickness(alternating))
    assert cost(taught, line) == pytest.approx(SIZES["harmonic"] * quickness(line))


def test_a_harmonic_beside_its_own_low_grip_is_no_trouble() -> None:
    """D6 on the D grip beside D5 keeps the fingers where they are at the limit of speed, and only there."""
    harmonic = candidate("D6", "T L2 L3 | R1 R2 R3")
    fast, slower = setting("D5 D6 D5", 1, 180.0), setting("D5 D6 D5", 1, 120.0)
    assert cost(harmonic, fast) == pytest.approx(SIZES["harmonic_in_passing"])
    assert cost(harmonic, slower) == pytest.approx(SIZES["harmonic"] * quickness(slower))


def test_doubtful_grips_cost_more() -> None:
    """Low confidence and an unconfirmed grip are added, each by its own row."""
    plain = replace(candidate("D6", "T L2 L3 |"), confidence="high")
    low, unconfirmed = replace(plain, confidence="low"), replace(plain, flags=("unconfirmed",))
    base = cost(plain, HELD)
    assert cost(low, HELD) - base == pytest.approx(SIZES["low_confidence"])
    assert cost(unconfirmed, HELD) - base == pytest.approx(SIZES["unconfirmed"])


def test_a_standard_grip_of_low_confidence_is_not_blamed() -> None:
    """Low confidence counts against grips other than the standard one."""
    assert cost(replace(candidate("D6"), confidence="low"), HELD) == 0.0


def test_unfamiliarity_hardly_shrinks_on_quick_notes() -> None:
    """Habit matters most where it is quick: four fifths are left on the quickest note."""
    grip = candidate("D6", "T L2 L3 |")
    assert cost(grip, replace(HELD, exposure=0.05)) == pytest.approx(0.8 * SIZES["alternate"])
    assert cost(grip, replace(HELD, exposure=0.9)) == pytest.approx(0.9 * SIZES["alternate"])
    assert cost(grip, replace(HELD, exposure=2.5)) == pytest.approx(SIZES["alternate"])


def test_leaving_the_standard_grip_costs_at_any_length() -> None:
    """Every grip out of its place pays the same small part, however short the note; a taught one nothing."""
    short = replace(PASSING, exposure=0.0)
    grip = candidate("D6", "T L2 L3 |")
    least = FIGURES.unfamiliar_least_factor * SIZES["alternate"]
    assert unfamiliarity(candidate("D6"), short, TABLES) == 0.0
    assert unfamiliarity(grip, short, TABLES) == pytest.approx(least + FIGURES.leaving_standard_effort)
    assert unfamiliarity(grip, replace(short, uses=frozenset({"quick"})), TABLES) == 0.0


def test_fingers_left_down_are_for_figures_and_not_for_scales() -> None:
    """C#5 with the right hand down beside D5: where C#5 comes again or between D5s, not from B4 on to D5."""
    right_down = candidate("C#5", "| R1 R2 R3 Eb")
    where = {"B4 C#5 D5 E5": False, "B4 C#5 D5 C#5": True, "D5 C#5 D5 B4": True}
    for text, taught in where.items():
        assert taught_here(right_down, setting(text, 1), FIGURES) == taught, text


def test_a_trill_grip_is_entered_from_its_partner() -> None:
    """D5 by the trill key in C#5-D5-C#5-D5, but not on a first D5 that E5 leads to."""
    trill_key = candidate("D5", "| Kd Eb")
    assert may_stand(trill_key, setting("C#5 D5 C#5 D5", 1, 200.0))
    assert not may_stand(trill_key, setting("E5 D5 C#5 D5 C#5", 1, 200.0))


def test_fingers_held_without_need_cost_little() -> None:
    """Leaving the plain hand 0.1, each needless finger 0.25, and Tb held outside flat keys 0.15."""
    c6 = candidate("C6")
    flat, sharp = replace(HELD, near="flat"), replace(HELD, near="sharp")
    costs = [held_effort(replace(c6, held=held), sharp, TABLES) for held in (0, 1, 2)]
    assert costs == pytest.approx([0.0, 0.35, 0.6])
    thumb = replace(c6, thumb_held=True)
    assert held_effort(thumb, sharp, TABLES) == pytest.approx(0.15)
    assert held_effort(thumb, flat, TABLES) == 0.0


def test_a_dropped_e_flat_key_costs_where_it_is_heard() -> None:
    """D6 without the little finger: 0.5, more on long notes, nothing where it is taught; D4 drops nothing."""
    dropped = candidate("D6", "T L2 L3 |")
    assert dropped.eb_dropped
    assert held_effort(dropped, HELD, TABLES) == pytest.approx(0.5 * HELD.exposure)
    assert held_effort(dropped, PASSING, TABLES) == pytest.approx(0.5 * quickness(PASSING))
    assert held_effort(dropped, setting("D6:1/32"), TABLES) == 0.0
    assert not candidate("D4").eb_dropped


@pytest.mark.parametrize(
    ("near", "first"), [("flat", "Tb"), ("beside", "R1"), ("near", "R1"), ("sharp", "R1")]
)
def test_the_b_flat_habit(near: str, first: str) -> None:
    """In flats the thumb is plain, elsewhere one-and-one: a single A# beside B is nearer with R1."""
    grips = {"Tb": "Tb L1 | Eb", "Sb": "T L1 | Sb Eb", "R1": "T L1 | R1 Eb"}
    where = replace(HELD, near=near)
    costs = {form: b_flat_effort(candidate("A#5", grip), where, TABLES) for form, grip in grips.items()}
    assert min(costs, key=costs.__getitem__) == first
    assert costs[first] == 0.0
    assert b_flat_effort(candidate("D6"), where, TABLES) == 0.0


def test_the_lever_is_for_alternations() -> None:
    """A#-B to and fro goes by the side lever (rules of the B-flats): there it costs nothing."""
    lever, one = candidate("A#5", "T L1 | Sb Eb"), candidate("A#5", "T L1 | R1 Eb")
    beside = replace(HELD, near="beside")
    costs = [b_flat_effort(lever, replace(beside, alternation=a), TABLES) for a in (0.0, 0.5, 1.0)]
    assert costs == pytest.approx([costs[0], costs[0] / 2, 0.0])
    assert costs[0] > b_flat_effort(one, beside, TABLES)


@pytest.mark.parametrize(("line", "free"), [("A5 Bb5 A5", True), ("G5 Bb5 G5", True), ("D6 Bb5 D6", False)])
def test_the_lever_is_no_grip_for_leaps(line: str, free: bool) -> None:
    """There and back by step the side lever is free; there and back by leap nothing calls for it.

    Common practice, no source; two blind readers objected to the lever between two F6.
    """
    lever = candidate("Bb5", "T L1 | Sb Eb")
    assert (b_flat_effort(lever, setting(line, 1, 200), TABLES) == 0.0) is free


def test_an_alternate_in_its_use_keeps_a_little_weight_when_sustained() -> None:
    """F#6 with R2 on a held note: taught, but the usual sound has some weight there."""
    r2 = candidate("F#6", "T L1 L3 | R2 Eb")
    assert taught_here(r2, setting("F#6:1/1"), FIGURES)
    assert cost(r2, setting("F#6:1/1")) == pytest.approx(SIZES["alternate_when_held"])


def test_a_grip_for_the_softest_notes_serves_them_at_any_length() -> None:
    """What is taught for pp stands there in pp however short the note, and not in mf."""
    r2 = candidate("F#6", "T L1 L3 | R2 Eb")
    assert "pp" in r2.uses
    assert taught_here(r2, setting("G6 pp F#6 G6", 1), FIGURES)
    assert not taught_here(r2, setting("G6 F#6 G6", 1), FIGURES)


def test_the_thumb_is_worst_beside_b_natural() -> None:
    """Beside B natural or F#6 the thumb B-flat is the dearest of the three, and dearer than near it."""
    thumb = candidate("A#5", "Tb L1 | Eb")
    by_place = [b_flat_effort(thumb, replace(HELD, near=near), TABLES) for near in ("flat", "near", "beside")]
    assert by_place == sorted(by_place)
    assert by_place[-1] > by_place[0]
    assert number("A#5") == thumb.pitch
