"""Recordings of takes made by arithmetic: what a player would record for some grips, with known cents."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from tests.listening.tones import Samples, Tone, hz, samples, silence

from gripway.catalog.tables.listening_figures import cents_figures
from gripway.listening.sounding import soundings
from gripway.listening.takes import Asked, Take, takes_of
from gripway.model.grip import Grip
from gripway.sound.recording import Recording

RATE_HZ = 48_000
STANDARD, OTHER = Grip.parse("T 1 3 | 3 Eb"), Grip.parse("T 1 3 | 2 Eb")


@dataclass(frozen=True)
class Session:
    """Nine takes of a pitch: cents of the standard grip and of the other one, and how the player plays."""

    pitch: int = 90
    standard_cents: float = 5.0
    other_cents: float = 17.0
    warmer_cents: float = 0.5
    unlike_cents: float = 1.5
    length_s: float = 1.5
    breath_s: float = 0.8
    vibrato_cents: float = 12.0
    noise_db: float = 40.0

    @property
    def difference(self) -> float:
        """What is to be found."""
        return self.other_cents - self.standard_cents


def tones(session: Session, seed: int = 0) -> list[Tone]:
    """The nine tones of a session."""
    chance = np.random.default_rng(seed)
    return [
        Tone(
            session.pitch,
            (session.other_cents if 3 <= number < 6 else session.standard_cents)
            + session.warmer_cents * number
            + chance.normal(0.0, session.unlike_cents),
            session.length_s,
            session.vibrato_cents,
            vibrato_phase=chance.uniform(0, 6.28),
            tremor=0.3,
            noise_db=session.noise_db,
        )
        for number in range(9)
    ]


def played(found: Sequence[Tone | Samples], breath_s: float = 0.8, rate_hz: int = RATE_HZ) -> Samples:
    """Tones, or sounds as they are, with a breath before each and at the end."""
    parts = [silence(breath_s, rate_hz)]
    for number, each in enumerate(found):
        parts += [
            samples(each, rate_hz, number) if isinstance(each, Tone) else each,
            silence(breath_s, rate_hz),
        ]
    return np.concatenate(parts)


def recorded(sound: Samples, rate_hz: int = RATE_HZ) -> Recording:
    """A recording in memory, cut off at full scale as a recorder does it."""
    return Recording(np.clip(sound, -1.0, 1.0), rate_hz, float((np.abs(sound) >= 1.0).mean()), "takes.wav")


def asked_for(pitch: int = 90, grip: Grip = OTHER, standard: Grip = STANDARD) -> Asked:
    """A grip asked for at equal temperament."""
    return Asked(pitch, grip, standard, hz(pitch))


def takes_in(recording: Recording, asked: Sequence[Asked]) -> tuple[Take, ...]:
    """The takes that are found in a recording."""
    figures = cents_figures()
    return takes_of(recording, soundings(recording, min(each.hz for each in asked), figures), asked, figures)
