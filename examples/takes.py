"""Makes f_sharp_takes.wav: F#6 with two grips, as a player would record it, by arithmetic alone.

    python examples/takes.py examples/f_sharp_takes.wav

Nine takes, the standard grip, T 1 3 | 2 Eb eight cents below it, the standard grip again; the flute grows
warmer by half a cent a take, no take is quite like another, and there is vibrato, breath and a quiet room.
8 kHz, 8 bits: as small as can be.
"""

import math
import random
import sys
import wave

RATE_HZ, TAKE_S, BREATH_S = 8000, 1.1, 0.3
F_SHARP_HZ = 440.0 * 2 ** (21 / 12)
STANDARD_CENTS, OTHER_CENTS = 16.0, 8.0
WARMER_CENTS, UNLIKE_CENTS = 0.5, 1.5
VIBRATO_CENTS, VIBRATO_HZ = 9.0, 5.2
PARTIALS = (0.40, 0.07)
NOISE = 0.008


def take(cents: float, chance: random.Random) -> list[float]:
    """One take, within -1 to 1."""
    phase, sound, count = 0.0, [], round(TAKE_S * RATE_HZ)
    for k in range(count):
        time_s = k / RATE_HZ
        swing = VIBRATO_CENTS * math.sin(2 * math.pi * VIBRATO_HZ * time_s)
        phase += 2 * math.pi * F_SHARP_HZ * 2 ** ((cents + swing) / 1200) / RATE_HZ
        shape = min(1.0, time_s / 0.04, (TAKE_S - time_s) / 0.06)
        tone = sum(size * math.sin(n * phase) for n, size in enumerate(PARTIALS, start=1))
        sound.append(shape * tone + NOISE * chance.gauss(0.0, 1.0))
    return sound


def recording() -> bytes:
    """The samples of all takes, 8 bits each."""
    chance, sound = random.Random(6), []  # noqa: S311 - the same takes every time
    for number in range(9):
        lean = OTHER_CENTS if 3 <= number < 6 else STANDARD_CENTS
        room = [NOISE * chance.gauss(0.0, 1.0) for _ in range(round(BREATH_S * RATE_HZ))]
        sound += [*room, *take(lean + WARMER_CENTS * number + chance.gauss(0.0, UNLIKE_CENTS), chance)]
    return bytes(min(max(round(128 + 127 * each), 0), 255) for each in sound)


if __name__ == "__main__":
    with wave.open(sys.argv[1], "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(1)
        file.setframerate(RATE_HZ)
        file.writeframes(recording())
