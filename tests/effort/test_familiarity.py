"""What an unusual grip costs, by what it is taught for and where it stands."""

from dataclasses import replace
from itertools import pairwise

import pytest
from tests.oracles.flutes import FIGURES, TABLES, candidate, number
from tests.oracles.passages import played

from gripway.effort.candidate import Candidate
from gripway.effort.familiarity import b_flat_effort, held_effort, in_use, trill_allowed, unfamiliarity
from gripway.effort.setting import Setting, links, settings

SIZES = TABLES.unfamiliarity


def setting(text: str, place: int = 0, tempo: float = 120.0) -> Setting:
    """The setting of one note of a line of notation."""
    notes = played(text, tempo).notes
    return settings(notes, links(notes, FIGURES), TABLES)[place]


def cost(c: Candidate, where: Setting) -> float:
    """Unfamiliarity of a candidate in a setting, without the flat part for leaving the standard grip."""
    leaving = 0.0 if c.case == "standard" else FIGURES.leaving_standard
    return unfamiliarity(c, where, TABLES) - leaving


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


def test_an_alternate_in_its_use_is_cheaper() -> None:
    """F#4 with R2 beside E4 is in the use it is taught for; held it also pays for being for motion only."""
    r2 = candidate("F#4", "T L1 L2 L3 | R2 Eb")
    beside = setting("E4:1/2 F#4:1/2", 1)
    assert in_use(r2, beside)
    assert cost(r2, beside) == pytest.approx(SIZES["alternate_in_use"] + SIZES["motion_when_held"])
    assert cost(r2, HELD) == pytest.approx(SIZES["alternate"] + SIZES["motion_when_held"])


def test_a_soft_grip_is_in_use_when_soft() -> None:
    """E6 with the second trill key is taught for very soft notes."""
    vented = candidate("E6", "T L1 L2 | R1 R2 Kds Eb")
    soft, plain = setting("pp E6:1/1"), setting("E6:1/1")
    assert cost(vented, soft) == pytest.approx(SIZES["vented_in_use"] * FIGURES.exposure_soft)
    assert cost(vented, plain) == pytest.approx(SIZES["vented"])


def test_trill_grips_stand_beside_their_partner_only() -> None:
    """D6 by the trill key may stand beside C6 and nowhere else."""
    trill = candidate("D6", "L1 | Kd Eb")
    assert trill.kind == "trill"
    assert trill_allowed(trill, setting("C6 D6", 1))
    assert not trill_allowed(trill, setting("C#6 D6 E6", 1))
    assert trill_allowed(candidate("D6", "T L1 L2 L3 | Eb"), HELD)


def test_trill_grips_are_cheap_in_their_alternation() -> None:
    """Inside c d c d at speed a trill grip costs 0.3 of its size, beside c outside one, three times."""
    trill = candidate("D6", "L1 | Kd Eb")
    inside, beside = setting("C6 D6 C6 D6", 1, 180.0), setting("C6 D6 E6", 1, 180.0)
    assert cost(trill, inside) == pytest.approx(0.3 * SIZES["trill"] * inside.exposure)
    assert cost(trill, beside) == pytest.approx(3.0 * SIZES["trill"] * beside.exposure)


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
    assert cost(found, inside) >= SIZES["found"] * inside.exposure


def test_harmonics_taught_in_passing_are_the_cheapest() -> None:
    """B4 for F#6 in passing under another harmonic, that under a fifth partial, that under one from A6 up."""
    taught = candidate("F#6", "T L1 | Eb")
    other = candidate("F#6", "T L1 L2 L3 | R3 Eb")
    fifth = candidate("F#6", "T L1 L2 L3 | R1 R2 R3")
    passing = setting("E6 F#6 G6", 1)
    high = candidate("A6", "T L1 L2 | Eb")
    harmonics = (taught, other, fifth, high)
    costs = [cost(replace(c, confidence="high"), passing) / passing.exposure for c in harmonics]
    names = ("harmonic_in_passing", "harmonic", "harmonic_far", "harmonic_high")
    assert costs == pytest.approx([SIZES[name] for name in names])


def test_held_harmonics_lose_the_passing_price() -> None:
    """Held, the overblown B grip is a harmonic like others, and one that is only for motion."""
    held = cost(candidate("F#6", "T L1 | Eb"), setting("F#6:1/1"))
    assert held == pytest.approx(SIZES["harmonic"] + SIZES["motion_when_held"])


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


def test_unfamiliarity_is_in_proportion_to_exposure() -> None:
    """Passing notes hardly care."""
    grip = candidate("D6", "T L2 L3 |")
    assert cost(grip, replace(HELD, exposure=0.25)) == pytest.approx(0.25 * cost(grip, HELD))


def test_leaving_the_standard_grip_costs_at_any_length() -> None:
    """Every grip but the standard ones pays the same small part, however short the note."""
    short = replace(HELD, exposure=0.0)
    assert unfamiliarity(candidate("D6"), short, TABLES) == 0.0
    assert unfamiliarity(candidate("D6", "T L2 L3 |"), short, TABLES) == FIGURES.leaving_standard


def test_fingers_held_without_need_cost_little() -> None:
    """Each needless finger 0.1, and Tb held outside flat keys 0.05."""
    c6 = candidate("C6")
    flat, sharp = replace(HELD, near="flat"), replace(HELD, near="sharp")
    held = replace(c6, held=1)
    assert held_effort(held, sharp, TABLES) - held_effort(c6, sharp, TABLES) == pytest.approx(0.1)
    thumb = replace(c6, thumb_held=True)
    assert held_effort(thumb, sharp, TABLES) == pytest.approx(0.05)
    assert held_effort(thumb, flat, TABLES) == 0.0


def test_a_dropped_e_flat_key_costs_where_it_is_heard() -> None:
    """D6 without the little finger: 0.5 held, in proportion in passing; D4 drops nothing."""
    dropped = candidate("D6", "T L2 L3 |")
    assert dropped.eb_dropped
    assert held_effort(dropped, HELD, TABLES) == pytest.approx(0.5)
    assert held_effort(dropped, PASSING, TABLES) == pytest.approx(0.5 * PASSING.exposure)
    assert not candidate("D4").eb_dropped


@pytest.mark.parametrize(
    ("near", "first"), [("flat", "Tb"), ("beside", "Sb"), ("near", "R1"), ("sharp", "R1")]
)
def test_the_b_flat_habit(near: str, first: str) -> None:
    """In flats the thumb is plain, beside B natural or F#6 the lever (rules of the B-flats)."""
    grips = {"Tb": "Tb L1 | Eb", "Sb": "T L1 | Sb Eb", "R1": "T L1 | R1 Eb"}
    where = replace(HELD, near=near)
    costs = {form: b_flat_effort(candidate("A#5", grip), where, TABLES) for form, grip in grips.items()}
    assert min(costs, key=costs.__getitem__) == first
    assert costs[first] == 0.0
    assert b_flat_effort(candidate("D6"), where, TABLES) == 0.0


def test_the_thumb_is_worst_beside_b_natural() -> None:
    """Beside B natural or F#6 the thumb B-flat is the dearest of the three, and dearer than near it."""
    thumb = candidate("A#5", "Tb L1 | Eb")
    by_place = [b_flat_effort(thumb, replace(HELD, near=near), TABLES) for near in ("flat", "near", "beside")]
    assert by_place == sorted(by_place)
    assert by_place[-1] > by_place[0]
    assert number("A#5") == thumb.pitch
