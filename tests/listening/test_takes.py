"""Takes in a recording: found in their order with their cents, or refused with the reason."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from tests.listening.sessions import RATE_HZ, Session, asked_for, played, recorded, takes_in, tones
from tests.listening.tones import Tone, echoed, samples, silence
from tests.tiers import thinned

from gripway.catalog.tables.listening_figures import cents_figures
from gripway.listening.own_cents import difference, takes_for
from gripway.listening.sounding import Sounding, soundings
from gripway.listening.spectra import spectra
from gripway.listening.steady_pitch import steady_pitch
from gripway.listening.takes import (
    BLOCKS,
    CLIPPED,
    MISSING,
    NOISY,
    NOISY_GAPS,
    OFF,
    OTHER_NOTE,
    SHORT,
    UNSTEADY,
    Refusal,
    Take,
    _clipped_share,
    _measured,
    _missing,
    _of_part,
    _same_note,
    shares,
)
from gripway.model.grip import Grip

FIGURES = cents_figures()
PLAIN = Session()


def takes(sound: np.ndarray, rate_hz: int = RATE_HZ, *asked: object) -> tuple[Take, ...]:  # type: ignore[type-arg]
    """The takes of a sound, of the F#6 that sessions are about."""
    return takes_in(recorded(sound, rate_hz), asked or [asked_for()])  # type: ignore[arg-type]


def with_third(changed: Tone | np.ndarray) -> tuple[Take, ...]:  # type: ignore[type-arg]
    """The takes of a session whose third one is another tone."""
    found = [*tones(PLAIN)]
    found[2] = changed  # type: ignore[call-overload]
    return takes(played(found))


def test_nine_takes_are_found_in_their_order() -> None:
    """Three of each block, where they were put, each within a cent of what was played."""
    found, made = takes(played(tones(PLAIN))), tones(PLAIN)
    assert [take.block for take in found] == [block for block in BLOCKS for _ in range(3)]
    for number, (take, tone) in enumerate(zip(found, made, strict=True)):
        begins_s = 0.8 + number * (PLAIN.length_s + 0.8)
        assert take.start_s == pytest.approx(begins_s, abs=0.06)
        assert take.end_s == pytest.approx(begins_s + PLAIN.length_s, abs=0.06)
        assert take.cents == pytest.approx(tone.cents, abs=1.0)


@pytest.mark.parametrize("rate_hz", thinned([8_000, 44_100, 96_000], 3))
def test_other_rates_and_an_echo_change_nothing(rate_hz: int) -> None:
    """In a room whose echo dies away in half a second."""
    sound = echoed(played(tones(PLAIN), rate_hz=rate_hz), rate_hz)
    for take, tone in zip(takes(sound, rate_hz), tones(PLAIN), strict=True):
        assert take.cents == pytest.approx(tone.cents, abs=1.5)


def test_notes_without_silence_between_are_parted_by_their_pitch() -> None:
    """F#6, G#6 and F#6 in one breath are three notes."""
    sound = np.concatenate([silence(0.5), _joined((90, 92, 90)), silence(0.5)])
    found = soundings(recorded(sound), 1480.0, FIGURES)
    assert [round(1200 * np.log2((each.hz or 1.0) / 1479.98), -1) for each in found] == [0.0, 200.0, 0.0]
    assert [each.length_s for each in found] == pytest.approx([1.0, 1.0, 1.0], abs=0.12)


def _joined(pitches: tuple[int, ...]) -> np.ndarray:  # type: ignore[type-arg]
    """A second of each pitch, without attack or end between them."""
    hz = np.repeat([440.0 * 2 ** ((pitch - 69) / 12) for pitch in pitches], RATE_HZ)
    phase = 2 * np.pi * np.cumsum(hz) / RATE_HZ
    return 0.3 * np.sin(phase) + 0.05 * np.sin(2 * phase)


def test_tongued_notes_of_one_pitch_are_parted_by_the_dip() -> None:
    """Two notes with 80 ms between them that the room half fills."""
    pair = np.concatenate([samples(Tone(90)), silence(0.08), samples(Tone(90))])
    sound = np.concatenate([silence(0.5), echoed(pair, RATE_HZ, decay_s=0.3), silence(0.5)])
    assert len(soundings(recorded(sound), 1480.0, FIGURES)) == 2


def test_a_wide_vibrato_parts_no_note() -> None:
    """25 cents either way, and a level that swings with it, is one note."""
    tone = Tone(90, vibrato_cents=25.0, tremor=0.5, length_s=2.0)
    assert len(soundings(recorded(played([tone])), 1480.0, FIGURES)) == 1


def test_keys_and_taps_are_no_takes() -> None:
    """Clicks and a short knock between the takes change nothing."""
    click = np.zeros(RATE_HZ // 100)
    click[::7] = 0.5
    knock = 0.4 * np.random.default_rng(1).standard_normal(RATE_HZ // 10) * np.hanning(RATE_HZ // 10)
    found: list[object] = []
    for tone in tones(PLAIN):
        found += [click, tone, knock]
    assert all(take.cents is not None for take in takes(played(found)))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changed", "kind", "size", "within"),
    [
        (Tone(90, length_s=0.8), SHORT, 0.8, 0.06),
        (Tone(90, 170.0), OFF, 170.0, 12.0),
        (Tone(90, -170.0), OFF, -170.0, 12.0),
        (Tone(92, 60.0), OTHER_NOTE, 260.0, 12.0),
        (Tone(78), OTHER_NOTE, -1200.0, 12.0),
        (Tone(90, vibrato_cents=42.0, vibrato_hz=4.5), UNSTEADY, 27.0, 3.0),
    ],
    ids=["short", "sharp", "flat", "another note", "an octave low", "unsteady"],
)
def test_a_take_is_refused_with_its_reason(changed: Tone, kind: str, size: float, within: float) -> None:
    """The third take is another one: it alone is refused, with kind, size and its time."""
    found = with_third(changed)
    assert [take.refused is not None for take in found] == [False, False, True] + [False] * 6
    assert found[2].refused is not None
    assert found[2].refused.kind == kind
    assert found[2].refused.size == pytest.approx(size, abs=within)
    assert found[2].start_s == pytest.approx(5.4, abs=0.06)
    assert found[2].cents is None


def test_a_clipped_take_is_refused_and_a_loud_one_is_not() -> None:
    """A tone at twice full scale is cut off by the recorder; one that just reaches it is whole."""
    found = with_third(samples(Tone(90, amplitude=2.0)))
    assert found[2].refused is not None
    assert found[2].refused.kind == CLIPPED
    assert found[2].refused.size > FIGURES.clipped_most_share
    assert with_third(samples(Tone(90, amplitude=0.99, noise_db=70.0)))[2].refused is None


def test_a_take_in_too_much_noise_is_refused() -> None:
    """Noise a hundred times as loud as the tone."""
    found = with_third(samples(Tone(90, noise_db=-20.0, amplitude=0.02)))
    assert found[2].refused is not None
    assert found[2].refused.kind in (NOISY, OTHER_NOTE, OFF)


def test_the_edges_of_length_and_distance() -> None:
    """A take as long as asked for and 150 cents off is measured; just beyond either it is refused."""
    long = with_third(Tone(90, length_s=FIGURES.take_least_s + 0.05))
    short = with_third(Tone(90, length_s=FIGURES.take_least_s - 0.1))
    assert (long[2].refused, short[2].refused and short[2].refused.kind) == (None, SHORT)
    near, far = (with_third(Tone(90, FIGURES.off_most_cents + more)) for more in (-6, 6))
    assert (near[2].refused, far[2].refused and far[2].refused.kind) == (None, OFF)


def test_a_semitone_played_for_another_is_another_note() -> None:
    """All nine takes are F6 where F#6 was asked for: within reach, but no flute stands so low."""
    found = takes(played(tones(replace(PLAIN, pitch=89))))
    assert {take.refused.kind for take in found if take.refused} == {OTHER_NOTE}
    assert not any(take.cents for take in found)


@pytest.mark.parametrize("count", [0, 1, 8, 10])
def test_too_few_or_too_many_notes_measure_nothing(count: int) -> None:
    """Which take is which cannot be told: all are missing, with how many were heard."""
    made = (tones(PLAIN) * 2)[:count]
    found = takes(played(made) if made else silence(3.0))
    assert len(found) == 9
    assert {take.refused.kind for take in found if take.refused} == {MISSING}
    assert {take.refused.size for take in found if take.refused} == {count}


def test_a_slip_beside_nine_good_takes_is_passed_over() -> None:
    """A wrong note, played again at once, is not counted among the takes."""
    made = tones(PLAIN)
    found = takes(played([*made[:2], Tone(85), *made[2:]]))
    assert [take.cents for take in found] == pytest.approx([tone.cents for tone in made], abs=1.0)


OTHERS = ("T 1 3 | 2 Eb", "T 1 3 | 2 3 Eb", "1 2 3 | 1 Eb")
"""Three grips of F#6 beside its standard one."""


def in_a_row(cents: Sequence[float], warmer_cents: float = 0.0, slip: int | None = None) -> tuple[Take, ...]:
    """The takes of alternates of F#6 one after another, standard takes between them played once.

    The flute grows warmer by so much a take; at a slip the player plays a take twice.
    """
    leans = [0.0, *(lean for each in cents for lean in (each, 0.0))]
    one = Tone(90, length_s=1.2, noise_db=45.0)
    made = [replace(one, cents=lean + warmer_cents * k) for k, lean in enumerate(np.repeat(leans, 3))]
    if slip is not None:
        made.insert(slip, made[slip])
    grips = [asked_for(90, Grip.parse(grip)) for grip in OTHERS[: len(cents)]]
    return takes(played(made, 0.5), RATE_HZ, *grips)


def test_alternates_of_one_pitch_share_the_standard_takes_between_them() -> None:
    """Three grips are 21 takes and not 27; even warming moves no difference, whichever place it has."""
    leans = (12.0, -20.0, 5.0)
    grips = [asked_for(90, Grip.parse(grip)) for grip in OTHERS]
    for warmer in (0.0, 0.8):
        found = in_a_row(leans, warmer)
        assert len(found) == 21
        for place, lean in enumerate(leans):
            mine = difference(takes_for(grips, place, found), FIGURES)
            assert mine is not None
            assert (mine.takes, mine.standard_takes) == (3, 6)
            assert mine.vs_standard == pytest.approx(lean, abs=0.7)


def test_a_pitch_apart_shares_nothing() -> None:
    """Drift cancels between neighbours only: with another pitch between them each grip has its nine takes."""
    grips = [asked_for(90, Grip.parse(OTHERS[0])), asked_for(93), asked_for(90, Grip.parse(OTHERS[1]))]
    assert [shares(grips, place) for place in range(3)] == [False, False, False]
    assert [len(takes_for(grips, place, takes(silence(2.0), RATE_HZ, *grips))) for place in range(3)] == [
        9
    ] * 3


def test_a_slip_among_shared_takes_is_told_of_every_grip_it_may_concern() -> None:
    """A take played twice leaves open which is which: no grip of the run is guessed at."""
    found = in_a_row((12.0, -20.0), slip=7)
    assert {take.refused.kind for take in found if take.refused} <= {MISSING}
    grips = [asked_for(90, Grip.parse(grip)) for grip in OTHERS[:2]]
    assert all(difference(takes_for(grips, place, found), FIGURES) is None for place in range(2))


def test_several_grips_in_one_recording() -> None:
    """Of two pitches, one of which has a take too few, the other is measured."""
    second = replace(PLAIN, pitch=93)
    sound = played([*tones(PLAIN), *tones(second, 1)])
    both = takes(sound, RATE_HZ, asked_for(), asked_for(93))
    assert [take.place for take in both] == [0] * 9 + [1] * 9
    assert all(take.cents is not None for take in both)
    part = takes(played([*tones(PLAIN)[:8], *tones(second, 1)]), RATE_HZ, asked_for(), asked_for(93))
    assert [take.refused is not None for take in part] == [True] * 9 + [False] * 9


def test_stereo_in_which_one_side_is_silent_is_heard() -> None:
    """The mean of both sides is half as loud, and no less clear."""
    assert all(take.cents is not None for take in takes(0.5 * played(tones(PLAIN))))


@pytest.mark.parametrize(("place", "length_s"), thinned(product([0, 4, 9], [0.3, 0.45, 0.58, 0.8]), 5))
def test_a_false_start_is_passed_over(place: int, length_s: float) -> None:
    """A short note of the same pitch before, between or after nine good takes voids none of them."""
    made = tones(PLAIN)
    found = takes(played([*made[:place], Tone(90, 10.0, length_s), *made[place:]]))
    assert [take.cents for take in found] == pytest.approx([tone.cents for tone in made], abs=1.0)


def test_a_false_start_beside_eight_takes_is_no_take() -> None:
    """Nine notes were heard, but which of the nine takes is missing cannot be told."""
    found = takes(played([Tone(90, 5.0, 0.4), *tones(PLAIN)[:8]]))
    assert {(take.refused.kind, take.refused.size) for take in found if take.refused} == {(MISSING, 9)}
    assert not any(take.cents for take in found)


SLIPS = {
    "false start": lambda made: [*made[:40], replace(made[40], length_s=0.5), *made[40:]],
    "one note too many": lambda made: [*made[:40], made[40], *made[40:]],
    "one note too few": lambda made: [*made[:40], *made[41:]],
    "another note": lambda made: [*made[:40], replace(made[40], pitch=made[40].pitch - 12), *made[41:]],
    "another note, and one too many": lambda made: [
        *made[:40],
        replace(made[40], pitch=made[40].pitch + 5),
        *made[41:70],
        made[70],
        *made[70:],
    ],
}


@pytest.mark.parametrize("name", thinned(SLIPS, 3))
def test_one_slip_among_a_hundred_notes_voids_one_grip_at_most(name: str) -> None:
    """Twelve grips, some a semitone apart and some pitches twice: the others have all their takes."""
    pitches = (78, 79, 81, 82, 84, 78, 86, 79, 81, 87, 78, 88)
    short = Session(length_s=1.15, breath_s=0.3, vibrato_cents=0.0)
    made = [tone for k, pitch in enumerate(pitches) for tone in tones(replace(short, pitch=pitch), k)]
    found = takes(played(SLIPS[name](made), 0.3, 16_000), 16_000, *map(asked_for, pitches))
    voided = {take.place for take in found if take.refused and take.refused.kind == MISSING}
    assert (
        voided
        == {
            "false start": set(),
            "one note too many": {4},
            "one note too few": {4},
            "another note": set(),
            "another note, and one too many": {7},
        }[name]
    )
    for take, tone in zip(found, made, strict=True):
        if take.cents is not None:
            assert take.cents == pytest.approx(tone.cents, abs=1.0)


@pytest.mark.parametrize("above_db", thinned([10, 8, 5, 0], 3))
def test_white_noise_between_the_notes_hides_none(above_db: float) -> None:
    """What the noise between nine notes sounds like is no take; the notes are as sure as they are clear."""
    made = tones(PLAIN)
    for take, tone in zip(takes(noisy(made, above_db)), made, strict=True):
        assert take.cents == pytest.approx(tone.cents, abs=1.5)


@pytest.mark.parametrize("above_db", thinned([10, 8, 5], 2))
def test_noise_is_named_where_the_notes_do_not_fit(above_db: float) -> None:
    """Eight notes in noise: which is missing cannot be told, and the noise is the first thing to mend."""
    found = takes(noisy(tones(PLAIN)[:8], above_db))
    assert {take.refused.kind for take in found if take.refused} == {NOISY_GAPS}


def noisy(made: list[Tone], above_db: float) -> np.ndarray:  # type: ignore[type-arg]
    """Tones that lie by so much above white noise throughout."""
    sound = played(made)
    power = float((sound[sound != 0.0] ** 2).mean())
    hiss = np.random.default_rng(3).standard_normal(len(sound))
    return 0.3 * (sound + np.sqrt(power) * 10 ** (-above_db / 20) * hiss)


def kind_of(found: float | Refusal | None) -> str:
    """The kind of a refusal; empty where there is none."""
    return found.kind if isinstance(found, Refusal) else ""


def test_a_note_is_long_enough_from_its_least_length_on() -> None:
    """A player who holds it just as long as asked for is not sent back to play it again."""
    tone, least_s = recorded(samples(Tone(90, length_s=2.0))), FIGURES.take_least_s
    long, short = (Sounding(0.0, length_s, 1480.0) for length_s in (least_s, least_s - 0.001))
    assert kind_of(_measured(tone, 1479.98, long, FIGURES)) == ""
    assert kind_of(_measured(tone, 1479.98, short, FIGURES)) == SHORT


def test_noise_between_the_notes_is_named_below_its_bound_only() -> None:
    """At the bound the gaps are quiet enough: the count of notes is what has to be mended."""
    least_db = FIGURES.gap_least_db
    assert _missing(8, lambda: least_db, FIGURES) == Refusal(MISSING, 8)
    assert _missing(8, lambda: least_db - 0.1, FIGURES) == Refusal(NOISY_GAPS, least_db - 0.1)
    assert _missing(0, lambda: 0.0, FIGURES) == Refusal(MISSING, 0)


def test_a_standard_grip_may_stand_as_far_off_as_its_bound() -> None:
    """Just beyond it another note was played, and no take of that grip counts."""
    for more, kind in ((0.0, ""), (0.5, OTHER_NOTE)):
        for way in (1, -1):
            cents = way * (FIGURES.standard_most_cents + more)
            (take,) = _same_note([Take(0, BLOCKS[0], 0.0, 1.0, cents)], FIGURES)
            assert kind_of(take.refused) == kind


def test_each_refusal_begins_beyond_its_bound() -> None:
    """A take that measures just what is allowed is taken: bounds at its own values do not refuse it."""
    part, hz = samples(Tone(90, 20.0, noise_db=40.0, vibrato_cents=12.0)), 1479.98
    part[100:140] = 1.0
    found = steady_pitch(spectra(part, RATE_HZ), hz, RATE_HZ)
    assert found is not None
    off, clipped = 1200.0 * np.log2(1500.0 / hz), _clipped_share(part)
    assert min(off, clipped, found.wander_cents) > 0.0
    just = replace(
        FIGURES,
        clipped_most_share=clipped,
        off_most_cents=off + 1e-9,
        clear_least_db=found.clear_db,
        wander_most_cents=found.wander_cents,
    )
    assert _of_part(part, RATE_HZ, hz, 1500.0, just) == found.cents
    beyond = {
        CLIPPED: {"clipped_most_share": clipped * 0.999},
        OFF: {"off_most_cents": off - 0.01, "other_note_cents": off + 0.01},
        OTHER_NOTE: {"off_most_cents": off - 0.01, "other_note_cents": off - 0.01},
        NOISY: {"clear_least_db": found.clear_db + 0.01},
        UNSTEADY: {"wander_most_cents": found.wander_cents - 0.01},
    }
    for kind, bounds in beyond.items():
        assert kind_of(_of_part(part, RATE_HZ, hz, 1500.0, replace(just, **bounds))) == kind


def test_a_pitch_off_by_the_bound_of_another_note_is_still_the_note() -> None:
    """An octave is 1200 cents exactly: at that bound it is off, a little nearer it is another note."""
    part = samples(Tone(90))
    for bound, kind in ((1200.0, OFF), (1199.9, OTHER_NOTE)):
        figures = replace(FIGURES, off_most_cents=100.0, other_note_cents=bound)
        assert kind_of(_of_part(part, RATE_HZ, 1000.0, 2000.0, figures)) == kind
