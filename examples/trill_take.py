"""Makes E5-F5.wav: a trill as a player would record it for gripway own-times, by arithmetic alone.

    python examples/trill_take.py examples/E5-F5.wav

Twenty-four notes, ten a second, no two quite as long; the tenth comes 40 ms late, and those after it
stay behind. 8 kHz, 8 bits: as small as can be.
"""

import math
import random
import sys
import wave

RATE_HZ, NOTES, NOTE_S, ROOM_S = 8000, 24, 0.1, 0.2
LATE_NOTE, LATE_S, UNLIKE_S = 9, 0.04, 0.003
E5_HZ, F5_HZ = 440.0 * 2 ** (7 / 12), 440.0 * 2 ** (8 / 12)
PARTIALS = (0.40, 0.2, 0.08)
NOISE, GLIDE_S = 0.01, 0.004


def recording() -> bytes:
    """The samples, 8 bits each."""
    chance = random.Random(5)  # noqa: S311 - the same take every time
    lengths = [NOTE_S + chance.gauss(0.0, UNLIKE_S) for _ in range(NOTES)]
    lengths[LATE_NOTE - 1] += LATE_S
    ends = [ROOM_S + sum(lengths[: place + 1]) for place in range(NOTES)]
    phase, hz, sound = 0.0, E5_HZ, []
    for k in range(round((ends[-1] + ROOM_S) * RATE_HZ)):
        time_s = k / RATE_HZ
        place = next((number for number, end in enumerate(ends) if time_s < end), NOTES)
        goal = F5_HZ if place % 2 else E5_HZ
        hz += (goal - hz) / (GLIDE_S * RATE_HZ)
        phase += 2 * math.pi * hz / RATE_HZ
        shape = max(0.0, min(1.0, (time_s - ROOM_S) / 0.01, (ends[-1] - time_s) / 0.01))
        tone = sum(size * math.sin(n * phase) for n, size in enumerate(PARTIALS, start=1))
        sound.append(shape * tone + NOISE * chance.gauss(0.0, 1.0))
    return bytes(min(max(round(128 + 127 * each), 0), 255) for each in sound)


if __name__ == "__main__":
    with wave.open(sys.argv[1], "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(1)
        file.setframerate(RATE_HZ)
        file.writeframes(recording())
