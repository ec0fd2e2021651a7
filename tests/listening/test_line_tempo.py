"""Scales at rising tempos: what is even is told from what is not; the limit gives the factor of the line."""

from dataclasses import replace

import pytest
from tests.listening.simulated_player import scale_of

from gripway.catalog.tables.times_figures import times_figures
from gripway.errors import ArgumentError, RecordingError, RequestError
from gripway.listening.times.line_tempo import ScaleLimit, ScaleTake, fitted_line, scale_limit, scale_take
from gripway.listening.times.take_names import ScaleRun, TrillTake, take_named

FIGURES = times_figures()


def test_even_and_uneven_scales_are_told_apart() -> None:
    """Notes that differ by 3% are even, by 25% uneven; the time a note is that of the click."""
    run = take_named("scale G4-G5 100.wav")
    assert isinstance(run, ScaleRun)
    for uneven, is_even in ((0.03, True), (0.25, False)):
        take = scale_take(
            scale_of(run.pitches, run.note_ms, uneven, 3, "a"), run.pitches, run.note_ms, FIGURES
        )
        assert take.is_even is is_even
        assert take.note_ms == pytest.approx(150.0, rel=0.03)
    slow = scale_of(run.pitches, 1.12 * run.note_ms, 0.02, 3, "a")
    with pytest.raises(RecordingError, match="a note are heard"):
        scale_take(slow, run.pitches, run.note_ms, FIGURES)


def test_a_scale_is_even_up_to_its_bound() -> None:
    """With the bound at its own unevenness it is even, with one a little lower it is not."""
    run = take_named("scale G4-G5 100.wav")
    assert isinstance(run, ScaleRun)
    sound = scale_of(run.pitches, run.note_ms, 0.1, 3, "a")
    share = scale_take(sound, run.pitches, run.note_ms, FIGURES).uneven_share
    for bound, is_even in ((share, True), (share - 0.001, False)):
        figures = replace(FIGURES, scale_even_share=bound)
        assert scale_take(sound, run.pitches, run.note_ms, figures).is_even is is_even


@pytest.mark.parametrize(("tempo", "taken"), [(19, False), (20, True), (400, True), (401, False)])
def test_a_click_has_a_tempo_that_can_be_played(tempo: int, taken: bool) -> None:
    """From 20 to 400 quarters a minute; beyond either end the name is refused, not measured against."""
    name = f"scale G4-G5 {tempo}.wav"
    if taken:
        assert take_named(name) == ScaleRun(67, 79, tempo)
        return
    with pytest.raises(RequestError, match="no tempo"):
        take_named(name)


def test_the_limit_lies_between_even_and_uneven() -> None:
    """A slip at a slow tempo does not count; without an uneven take there is no limit."""
    takes = [ScaleTake(150, 0.04, True), ScaleTake(140, 0.2, False), ScaleTake(120, 0.06, True)]
    assert scale_limit("s", takes, 100.0).limit_ms is None
    found = scale_limit("s", [*takes, ScaleTake(108, 0.15, False)], 100.0)
    assert (found.quickest_even_ms, found.slowest_uneven_ms) == (120, 108)
    assert found.limit_ms == pytest.approx((120 * 108) ** 0.5)


def test_the_factor_is_drawn_to_the_tables_and_gets_surer_with_scales() -> None:
    """Limits a fifth beyond the law give nearly 1.2, nearer with three scales than with one."""
    one = ScaleLimit("s", 100.0, 122.0, 118.0)
    first, third = fitted_line([one], FIGURES), fitted_line([one] * 3, FIGURES)
    assert first is not None
    assert third is not None
    assert 1.15 < first.factor < third.factor < 1.2
    assert third.spread < first.spread
    assert fitted_line([ScaleLimit("s", 100.0, 120.0, None)], FIGURES) is None


@pytest.mark.parametrize(
    ("name", "held"),
    [
        ("G4-A4.wav", TrillTake(67, 69)),
        ("A4-G4 2.wav", TrillTake(67, 69)),
        ("F#5_G5 (3).flac", TrillTake(78, 79)),
        ("Fs5-G5.wav", TrillTake(78, 79)),
        ("bb4-c5.wav", TrillTake(70, 72)),
        ("scale G4-G5 96.wav", ScaleRun(67, 79, 96)),
        ("Scale_D5_D6_120_2.wav", ScaleRun(74, 86, 120)),
    ],
)
def test_names_say_what_a_recording_holds(name: str, held: object) -> None:
    """As players write them, sharps as # or s, take numbers behind."""
    assert take_named(name) == held


def test_names_that_say_nothing_are_refused() -> None:
    """With how to name them; the pair says it for any name."""
    for name in ("take one.wav", "G4.wav", "G4-G4.wav", "C4-D6.wav", "scale G4-A4 96.wav", "scale G4-G5.wav"):
        with pytest.raises(RequestError):
            take_named(name)
    assert take_named("take one.wav", "G4 A4") == TrillTake(67, 69)
    for pair, said in (("G4", "no pair"), ("G4 H9", "not a pitch")):
        with pytest.raises(ArgumentError, match=said) as found:
            take_named("take one.wav", pair)
        assert found.value.place == "pair"  # the command says --pair
