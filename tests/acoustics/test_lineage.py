"""Lineage of high grips, against facts of the trade, the tables' own partials and the standing wave."""

import time

import pytest

from gripway.acoustics.end_corrections import PlayerTerm
from gripway.acoustics.ladder import Tube
from gripway.acoustics.lineage import Lineage, lineage, lineage_sentence, lineage_text, lineages
from gripway.catalog.flute.bores import bores
from gripway.catalog.flute.grips import allowed, grip_rows
from gripway.catalog.flute.instruments import load_instrument
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.pitch import Pitch

FLUTE = load_instrument("concert-flute")
B_FOOT = load_instrument("concert-flute", ["b-foot"])


def tube_of(flute: Instrument) -> Tube:
    """The measured bore of a flute, with the player's two fitted figures."""
    return Tube(bores(flute)[0], PlayerTerm(121.3, 41.3))


def number(name: str) -> int:
    """Note number of a pitch name."""
    return Pitch.parse(name).number


def standard(name: str, flute: Instrument = FLUTE) -> Grip:
    """The first standard grip of a pitch."""
    return next(row.grip for row in grip_rows(flute)[number(name)] if row.kind == "standard")


def found(name: str, grip: str = "", flute: Instrument = FLUTE) -> Lineage:
    """The lineage of a grip (without one, of the standard grip) that is known to have one."""
    wanted = Grip.parse(grip) if grip else standard(name, flute)
    answer = lineage(flute, tube_of(flute), wanted, number(name))
    assert answer is not None
    return answer


@pytest.mark.parametrize("flute", [FLUTE, B_FOOT], ids=["C foot", "B foot"])
@pytest.mark.parametrize(
    ("name", "text"),
    [
        # Common practice, no source.
        ("D5", "D4 x2, vent L1"),
        ("D#5", "D#4 x2, vent L1"),
        ("E5", "E4 x2"),
        ("F5", "F4 x2"),
        ("F#5", "F#4 x2"),
        ("G5", "G4 x2"),
        ("G#5", "G#4 x2"),
        ("A5", "A4 x2"),
        ("A#5", "A#4 x2"),
        ("B5", "B4 x2"),
        ("C6", "C5 x2"),
        ("C#6", "C#5 x2"),
        ("D6", "G4 x3, vent L1"),
        ("D#6", "D#4 x4, vent L4"),
        ("E6", "E4 x4, vent L3; also A4 x3"),
        ("F6", "F4 x4, vent L2; also A#4 x3"),
        ("F#6", "F#4 x4, vent L2; also B4 x3"),
        ("G6", "G4 x4, vent T; also C5 x3"),
        ("G#6", "G#4 x4, vent L1 T; also C#5 x3"),
        ("A#6", "A#4 x4, vent Kd L1"),
    ],
)
def test_standard_grips_have_the_lineage_the_trade_gives_them(
    flute: Instrument, name: str, text: str
) -> None:
    """From D5 to A#6 the reading computed is the one players are taught."""
    assert lineage_text(found(name, flute=flute)) == text


def test_a6_is_the_fifth_partial_of_the_f4_grip() -> None:
    """A6 lifts L1 and L3 from the F4 grip; the fourth partial of A4 is nearly as good a reading."""
    # Common practice, no source.
    a6 = found("A6")
    assert (a6.fundamental, a6.partial) == (number("F4"), 5)
    assert (number("A4"), 4) in a6.also


@pytest.mark.parametrize("flute", [FLUTE, B_FOOT], ids=["C foot", "B foot"])
def test_every_standard_grip_from_d5_to_c7_has_a_lineage(flute: Instrument) -> None:
    """No printed standard grip of the overblown range is left unexplained."""
    rows = [
        row
        for pitch in range(number("D5"), number("C7") + 1)
        for row in grip_rows(flute)[pitch]
        if row.kind == "standard" and allowed(row, flute)
    ]
    answers = lineages(flute, tube_of(flute), [(row.grip, row.pitch) for row in rows])
    assert [row.grip.text for row, answer in zip(rows, answers, strict=True) if answer is None] == []


def test_harmonics_come_out_as_the_partials_their_rows_name() -> None:
    """A harmonic of a low grip is read as that very partial, with no vent."""
    # The rows' partials come from the whole-number series of a tube open at both ends.
    rows = [
        row
        for pitch, of_pitch in grip_rows(B_FOOT).items()
        for row in of_pitch
        if row.kind == "harmonic" and row.partial_of is not None and pitch <= number("B6")
        if row.partial_of < number("D5")
    ]
    assert len(rows) > 50
    answers = lineages(B_FOOT, tube_of(B_FOOT), [(row.grip, row.pitch) for row in rows])
    for row, answer in zip(rows, answers, strict=True):
        assert answer is not None, row.grip.text
        assert (answer.fundamental, answer.partial) == (row.partial_of, row.partial), row.grip.text
        assert answer.vents == ()


@pytest.mark.parametrize("name", ["C4", "D#4", "G#4", "C5", "C#5"])
def test_low_grips_have_no_lineage(name: str) -> None:
    """A grip that sounds its own fundamental is not overblown from another."""
    assert lineage(FLUTE, tube_of(FLUTE), standard(name), number(name)) is None


def test_a_trill_key_that_shortens_the_tube_is_no_vent() -> None:
    """D5 with everything lifted and the D trill key sounds its own short tube."""
    # Common practice, no source: the D trill key on C#5 gives a D5 of its own, not an overblown one.
    assert lineage(FLUTE, tube_of(FLUTE), Grip.parse("| Kd Eb"), number("D5")) is None


def test_a_grip_that_does_not_sound_the_note_has_no_lineage() -> None:
    """The plain G4 grip has no resonance near B5."""
    # Common practice, no source: G4 gives G5 and D6 above it, a fourth below and a third above B5.
    assert lineage(FLUTE, tube_of(FLUTE), standard("G4"), number("B5")) is None


def test_vents_are_named_by_what_opens_them() -> None:
    """L3 lifted opens both holes it keeps shut; L4 pressed opens the G#4 hole."""
    # Linkages of the Boehm flute: common practice, no source.
    e6, ds6 = found("E6"), found("D#6")
    assert [(v.hole, v.touches, v.pressed) for v in e6.vents] == [
        ("a", ("L3",), False),
        ("gs_dup", ("L3",), False),
    ]
    assert [(v.hole, v.touches, v.pressed) for v in ds6.vents] == [("gs", ("L4",), True)]


@pytest.mark.parametrize("name", ["D5", "D#5", "D6", "D#6", "E6", "F6", "G6", "A#6"])
def test_single_vents_lie_near_a_node_and_raise_the_pitch_a_little(name: str) -> None:
    """Taught vents open within half a quarter wave of a node and raise the partial by under 50 cents."""
    # Common practice, no source: a vent is opened near a pressure node, so that it helps this
    # partial and disturbs the others; opening a hole anywhere never lowers a resonance.
    answer = found(name)
    assert all(0.0 <= vent.share < 0.5 for vent in answer.vents)
    assert -1.0 < answer.shift_cents < 50.0


def test_share_is_the_distance_over_a_quarter_wavelength() -> None:
    """At D5 (587.33 Hz) a quarter of the wavelength is about 148 mm."""
    # Wavelength = c / f with c about 347 m/s in warm air: 347 / 587.33 / 4 = 0.1477 m.
    (vent,) = found("D5").vents
    assert vent.distance_m / vent.share == pytest.approx(0.1477, rel=0.01)


def test_the_vent_of_d5_and_ds5_straddles_the_node() -> None:
    """One small hole serves both notes because the middle node lies on it within 20 mm for either."""
    # Half of the sounding length: the C#5 hole is a compromise for D5 and D#5 (common practice, no source).
    for name in ("D5", "D#5"):
        (vent,) = found(name).vents
        assert vent.hole == "cs_vent"
        assert vent.distance_m < 0.020


def test_a_key_below_the_end_is_no_vent() -> None:
    """F#5 with R2 in place of R3 stays the second partial of F#4, flatter, without a vent."""
    # Common practice, no source: R2 in place of R3 makes F#5 flat.
    answer = found("F#5", "T L1 L2 L3 | R2 Eb")
    assert lineage_text(answer) == "F#4 x2"
    assert answer.shift_cents < -3.0


def test_deviation_is_counted_from_the_whole_multiple() -> None:
    """For an unvented octave, deviation is that octave's own and the shift is nil."""
    answer = found("G5")
    assert answer.shift_cents == pytest.approx(0.0, abs=0.01)
    assert abs(answer.deviation_cents) < 15.0


def test_sentences_tell_partial_vent_distance_and_shift() -> None:
    """The sentence for D6 names G4, L1, the hole, its distance in millimetres and the cents."""
    d6 = found("D6")
    (vent,) = d6.vents
    assert lineage_sentence(d6) == (
        "third partial of the G4 grip; lifting L1 opens the C#5 hole "
        f"{vent.distance_m * 1000:.0f} mm from a pressure node: {d6.shift_cents:+.0f} cents"
    )
    assert lineage_sentence(found("E5")) == "second partial of the E4 grip"
    assert "lifting L3 opens the A4 and G#4 holes" in lineage_sentence(found("E6"))
    assert lineage_sentence(found("E6")).endswith("nearly the third partial of the A4 grip")
    assert "with other holes below: -" in lineage_sentence(found("F#5", "T L1 L2 L3 | R2 Eb"))


def test_many_at_once_are_the_same_as_one_by_one() -> None:
    """Asking for a list gives, in its order, what asking singly gives."""
    names = ["D6", "C4", "E6", "A#6"]
    wanted = [(standard(name), number(name)) for name in names]
    singly = [lineage(FLUTE, tube_of(FLUTE), grip, pitch) for grip, pitch in wanted]
    assert list(lineages(FLUTE, tube_of(FLUTE), wanted)) == singly
    assert lineages(FLUTE, tube_of(FLUTE), []) == ()


@pytest.mark.bench
def test_bench_lineage_of_one_grip_and_of_every_printed_grip() -> None:
    """Prints milliseconds for one grip and for the whole table."""
    tube = tube_of(B_FOOT)
    every = [(row.grip, row.pitch) for rows in grip_rows(B_FOOT).values() for row in rows]
    lineage(B_FOOT, tube, *every[0])
    start = time.perf_counter()
    lineage(B_FOOT, tube, *every[100])
    one = time.perf_counter()
    lineages(B_FOOT, tube, every)
    print(f"one {1e3 * (one - start):.1f} ms, {len(every)} {1e3 * (time.perf_counter() - one):.1f} ms")


def test_no_reading_is_farther_from_the_note_than_its_neighbour() -> None:
    """A partial nearer to another note explains nothing: every reading lies well within a semitone.

    The bound is a judgement of ours; C7 of a C foot, 67 cents from its partial, is the farthest kept.
    """
    rows = [row for pitch in range(number("D5"), number("C7") + 1) for row in grip_rows(FLUTE)[pitch]]
    rows = [row for row in rows if allowed(row, FLUTE)]
    answers = lineages(FLUTE, tube_of(FLUTE), [(row.grip, row.pitch) for row in rows])
    found = [answer for answer in answers if answer]
    assert len(found) > 40
    assert max(abs(answer.shift_cents) for answer in found) <= 70
