"""Played flutes: tones of two free sound banks (FluidR3_GM, MuseScore_General; MIT), bent by known cents."""

from dataclasses import replace
from pathlib import Path

import pytest
from tests.listening.sampled_flutes import BANKS, DATA, KEPT, PICCOLO, rendered, takes, there
from tests.listening.sessions import takes_in
from tests.listening.tones import hz

from gripway.catalog.tables.listening_figures import cents_figures
from gripway.listening.own_cents import CentsDifference, difference
from gripway.listening.takes import Asked
from gripway.model.grip import Grip
from gripway.sound.reading import read_recording
from gripway.sound.recording import Recording

FIGURES = cents_figures()
STEP_CENTS = 1.0
"""fluidsynth turns pitch in whole cents: a bend may come out one short."""

OUT_OF_TUNE_CENTS = 15.0
"""The samples themselves are in tune within this."""


def heard(recording: Recording, pitch: int) -> CentsDifference:
    """What is heard of nine takes of a pitch."""
    one, other = Grip.parse("T 1 3 | 3 Eb"), Grip.parse("T 1 3 | 2 Eb")
    found = takes_in(recording, [Asked(pitch, other, one, hz(pitch))])
    assert [take.refused for take in found] == [None] * 9
    measured = difference(found, FIGURES)
    assert measured is not None
    return measured


BENT = {60: 10.5, 74: -20.5, 83: 5.5, 90: 25.5, 96: -12.5}
"""From C4 to C7: each pitch with the cents it is bent by."""


@pytest.mark.whole
@pytest.mark.parametrize("bank", BANKS)
def test_a_sampled_flute_bent_by_known_cents(bank: str, tmp_path: Path) -> None:
    """From C4 to C7 the bend is found, and the flute is about in tune."""
    if not there(bank):
        pytest.skip(f"fluidsynth or {bank} is not installed")
    every = [take for pitch, cents in BENT.items() for take in takes(pitch, cents)]
    played = rendered(bank, every, tmp_path)
    of_one = round(played.rate_hz * sum(take.silence_s + take.length_s for take in every[:9]))
    for number, (pitch, cents) in enumerate(BENT.items()):
        part = replace(played, samples=played.samples[number * of_one : (number + 1) * of_one])
        found = heard(part, pitch)
        assert found.vs_standard == pytest.approx(cents, abs=STEP_CENTS + 0.6)
        assert abs(found.standard_cents) < OUT_OF_TUNE_CENTS


@pytest.mark.whole
@pytest.mark.parametrize("bank", BANKS)
def test_a_sampled_piccolo(bank: str, tmp_path: Path) -> None:
    """F#7 as it sounds, in its own program."""
    if not there(bank):
        pytest.skip(f"fluidsynth or {bank} is not installed")
    found = heard(rendered(bank, takes(102, -14.5), tmp_path, PICCOLO), 102)
    assert found.vs_standard == pytest.approx(-14.5, abs=STEP_CENTS + 0.6)


@pytest.mark.parametrize("bank", KEPT)
def test_the_kept_recordings_are_heard_on_any_machine(bank: str) -> None:
    """8 kHz and 8 bits, as small as can be: the bend within two cents."""
    pitch, cents = KEPT[bank]
    found = heard(read_recording(DATA / f"flute_{bank}.wav"), pitch)
    assert found.vs_standard == pytest.approx(cents, abs=2.0)
