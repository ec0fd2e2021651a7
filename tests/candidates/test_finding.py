"""Found grips: inside the limits, never printed, never twice, ranked by an explained sum."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.acoustics.measured_flute import FLUTE, atlas_of, number, standard_grips
from tests.tiers import examples

from gripway.acoustics.sounds import nearest_resonances
from gripway.asked.found_wishes import NO_WISHES, FoundWishes, parse_wishes
from gripway.candidates.found_grips import FoundGrip, found_grips
from gripway.catalog.flute.grips import allowed, grip_rows
from gripway.catalog.tables.acoustic_limits import acoustic_limits
from gripway.errors import RequestError
from gripway.model.grip import Grip

ATLAS = atlas_of()
LIMITS = acoustic_limits()
ROWS = grip_rows(FLUTE)
PITCHES = st.sampled_from(range(number("C4"), number("C7") + 1))
WINDOWS = st.sampled_from([None, 5.0, 25.0, 60.0])


def printed(note: int) -> list[Grip]:
    """The printed grips of a note on this flute, the standard one first."""
    return [row.grip for row in ROWS[note] if allowed(row, FLUTE)]


def found(pitch: str, *wishes: str, beside: str = "") -> tuple[FoundGrip, ...]:
    """Found grips of a pitch."""
    note = number(pitch)
    neighbours = [Grip.parse(beside)] if beside else []
    return found_grips(FLUTE, ATLAS, note, printed(note), parse_wishes(wishes), neighbours)


def holes(grip: Grip) -> int:
    """Hole pattern of a grip."""
    return FLUTE.mechanism.hole_pattern(grip)


@settings(max_examples=examples(40), deadline=None)
@given(PITCHES, WINDOWS)
def test_they_keep_to_every_limit(note: int, within_cents: float | None) -> None:
    """Each can be held, sounds inside the window and the response limits, is new, and comes once."""
    known = {holes(grip) for grip in printed(note)}
    answers = found_grips(FLUTE, ATLAS, note, printed(note), replace(NO_WISHES, within_cents=within_cents))
    rows, base = ATLAS.rows(), ATLAS.rows()[holes(printed(note)[0])]
    standard = nearest_resonances(ATLAS, note)
    own = nearest_resonances(ATLAS, float(standard.numbers[base]))
    assert len({answer.pattern for answer in answers}) == len(answers)
    for answer in answers:
        row = rows[answer.pattern]
        assert answer.kind == "found"
        assert holes(answer.grip) == answer.pattern not in known
        assert FLUTE.mechanism.holds(answer.grip)
        assert abs(answer.cents_vs_standard) <= (within_cents or LIMITS.found_cents)
        assert answer.cents_vs_standard == pytest.approx(100 * (own.numbers[row] - standard.numbers[base]))
        assert answer.loss_ratio == pytest.approx(own.loss[row] / standard.loss[base])
        assert answer.loss_ratio <= LIMITS.found_loss_ratio
        assert answer.gap_cents is None or answer.gap_cents >= LIMITS.found_gap_cents


@settings(max_examples=examples(20), deadline=None)
@given(PITCHES)
def test_they_are_ranked_by_the_sum_of_their_parts(note: int) -> None:
    """The parts are the score, none is negative, and the least comes first."""
    answers = found_grips(FLUTE, ATLAS, note, printed(note))
    for answer in answers:
        assert [name for name, _ in answer.parts] == ["tuning", "loss", "gap", "hand", "idle"]
        assert all(share >= 0.0 for _, share in answer.parts)
        assert answer.score == pytest.approx(sum(share for _, share in answer.parts))
    assert [answer.score for answer in answers] == sorted(answer.score for answer in answers)


@settings(max_examples=examples(25), deadline=None)
@given(PITCHES, st.sampled_from(["keep R2 R3", "no trill keys", "within 10 cents", "without T Tb L4"]))
def test_a_wish_only_takes_away(note: int, wish: str) -> None:
    """The holes found under a wish are among those found without, and every grip keeps it."""
    wishes = parse_wishes([wish])
    under = found_grips(FLUTE, ATLAS, note, printed(note), wishes)
    assert {a.pattern for a in under} <= {a.pattern for a in found_grips(FLUTE, ATLAS, note, printed(note))}
    for answer in under:
        assert answer.grip.mask & wishes.keep.mask == wishes.keep.mask
        assert not answer.grip.mask & wishes.without.mask
        assert abs(answer.cents_vs_standard) <= (wishes.within_cents or LIMITS.found_cents)


def test_one_finger_from_a_grip() -> None:
    """Every answer is one finger from the F#6 grip it was asked to stay near."""
    answers = found("F#6", "one finger from T L1 L3 | R3 Eb")
    assert answers
    origin = Grip.parse("T L1 L3 | R3 Eb")
    for answer in answers:
        changed = Grip(answer.grip.mask ^ origin.mask).touches
        assert len(changed) <= 2  # one touch, or a slide from one to another


def test_a_struck_alternate_comes_back_first() -> None:
    """F#6 with R2 for R3, struck from the tables, is the first answer; with all printed it is no answer."""
    note, grip = number("F#6"), Grip.parse("T L1 L3 | R2 Eb")
    others = [other for other in printed(note) if holes(other) != holes(grip)]
    answers = found_grips(FLUTE, ATLAS, note, others)
    assert grip in [answer.grip for answer in answers[:3]]
    assert holes(grip) not in {answer.pattern for answer in found("F#6")}


def test_neighbours_draw_the_order() -> None:
    """Beside a grip the answers nearest to it in the hand come first."""
    near = found("D6", beside="L1 | Kd Eb")
    far = found("D6")
    shares = [dict(answer.parts)["hand"] for answer in near[:5]]
    others = {answer.pattern: dict(answer.parts)["hand"] for answer in near}
    assert sum(shares) < sum(others[answer.pattern] for answer in far[:5])


def test_fingers_that_change_nothing_count_against_a_grip() -> None:
    """C5 with R3 down is C5 with an idle finger; C5 with the side lever is another note by some cents."""
    by_text = {answer.grip.text: dict(answer.parts) for answer in found("C5")}
    assert by_text["L1 | R3 Eb"]["idle"] == LIMITS.found_idle_fingers / LIMITS.found_fingers
    assert by_text["L1 | Sb Eb"]["idle"] == 0.0


@pytest.mark.parametrize(
    ("note", "grips", "wishes", "reason"),
    [
        (number("C5"), [], NO_WISHES, "no printed grip"),
        (number("D7"), [Grip.parse("T L2 L3 | R1 R2 C")], NO_WISHES, "claims nothing for D7"),
        (number("C5"), [Grip.parse("T L1 L2 L3 | R1 R2 R3 Cs")], NO_WISHES, "does not sound the standard"),
        (number("C5"), [Grip.parse("L1 | Eb")], FoundWishes(keep=Grip.of(["T", "Tb"])), "cannot press T, Tb"),
        (number("C5"), [Grip.parse("L1 | Eb")], FoundWishes(keep=Grip.of(["Kcs"])), "does not have"),
        (number("C5"), [Grip.parse("L1 | Eb")], FoundWishes(origin=Grip.of(["Hc"])), "does not have"),
    ],
)
def test_what_cannot_be_asked_is_refused(
    note: int, grips: list[Grip], wishes: FoundWishes, reason: str
) -> None:
    """The error gives the reason and a next step."""
    with pytest.raises(RequestError) as caught:
        found_grips(FLUTE, ATLAS, note, grips, wishes)
    assert reason in str(caught.value)
    assert caught.value.next_step


def test_a_wish_nothing_meets_is_an_empty_answer() -> None:
    """No C4 can do without the thumb: nothing is found, and that is no error."""
    assert found("C4", "without T Tb") == ()


def test_every_pitch_up_to_c_sharp_7_can_be_asked() -> None:
    """Each standard grip from C4 to C#7 can be compared with."""
    for note in standard_grips():
        if note <= number("C#7"):
            found_grips(FLUTE, ATLAS, note, printed(note))
