"""The examples: invented scores, lines of notes and own files, in the checkout or the installed package."""

from functools import cache
from pathlib import Path

from gripway.catalog.tables.locator import examples_folder

ABOUT = {
    "rooftop_study.musicxml": "sixteenths in the third octave, A major and E-flat",
    "rooftop_study.txt": "the same as notes",
    "weathercock_part.musicxml": "a part of 32 bars with a repeat, for an editor",
    "weathercock_part.txt": "the same as notes",
    "kettle_trills.musicxml": "trills and tremolos",
    "kettle_trills.txt": "the same as notes, without the trills",
    "ladder_cell.musicxml": "the cell F#6 G#6 A6, for practice",
    "ladder_cell.txt": "the same as notes",
    "windmill_rounds.musicxml": "a part with a teacher's fingerings, for gripway taste",
    "player.toml": "a player's own file: flute, dials, hands, known grips",
    "tuner.csv": "a tuner's list for it",
    "f_sharp_takes.wav": "nine takes of F#6, recorded for gripway listen",
    "E5-F5.wav": "a trill, recorded for gripway own-times",
    "rules.toml": "rules of a player's own",
    "house_style.toml": "the house style of an edition",
    "decisions.toml": "an editor's decisions for the weathercock part",
}
"""What each file is, in the order of the list."""


@cache
def example_files() -> dict[str, Path]:
    """The file of each example by its name."""
    return {name: examples_folder() / name for name in ABOUT}
