"""Passages for the benches: seeded, invented, of a stated size."""

import random
from pathlib import Path

from gripway.model.pitch import Pitch

STEPS = (-4, -2, -1, 1, 2, 3)
LOWEST, HIGHEST = 74, 93
"""D5 to A6."""


def pitches(count: int, seed: int = 7) -> list[int]:
    """Note numbers of a wandering line in the two upper octaves."""
    source = random.Random(seed)
    line = [81]
    while len(line) < count:
        step = source.choice(STEPS)
        line.append(min(HIGHEST, max(LOWEST, line[-1] + step)))
    return line


def score_text(count: int, seed: int = 7) -> str:
    """A MusicXML part of `count` sixteenths in 4/4, quarter = 120."""
    notes = [_note_text(number) for number in pitches(count, seed)]
    bars = [
        f'<measure number="{1 + k // 16}">{"" if k else _first_bar()}{"".join(notes[k : k + 16])}</measure>'
        for k in range(0, count, 16)
    ]
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<score-partwise version="4.0"><part-list>'
        '<score-part id="P1"><part-name>Flute</part-name></score-part></part-list>'
        f'<part id="P1">{"".join(bars)}</part></score-partwise>'
    )


def write_score(folder: Path, count: int) -> Path:
    """The part of `count` notes as a file in `folder`."""
    path = folder / f"line_{count}.musicxml"
    path.write_text(score_text(count), encoding="utf-8")
    return path


def _first_bar() -> str:
    return (
        "<attributes><divisions>4</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
        "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>120</per-minute>"
        '</metronome></direction-type><sound tempo="120"/></direction>'
    )


def _note_text(number: int) -> str:
    pitch = Pitch.from_number(number)
    alter = f"<alter>{pitch.alter}</alter>" if pitch.alter else ""
    return (
        f"<note><pitch><step>{pitch.step}</step>{alter}<octave>{pitch.octave}</octave></pitch>"
        "<duration>1</duration><voice>1</voice><type>16th</type></note>"
    )
