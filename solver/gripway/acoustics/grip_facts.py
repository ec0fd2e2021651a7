"""The standing wave of a grip at the note it is asked for, and its partials, as lines of text."""

from textwrap import wrap

from gripway.acoustics.atlas import atlas, open_holes
from gripway.acoustics.harmonic_series import series
from gripway.acoustics.ladder import Tube
from gripway.acoustics.pitch_lean import nearest
from gripway.acoustics.standing_wave import standing_wave, wave_lines
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.pitch import plain_name
from gripway.model.survey import HIGHEST_CLAIM
from gripway.units import frequency_hz

HARD = "\u00a0"
"""A space no line breaks at."""


def standing_lines(instrument: Instrument, tube: Tube, grip: Grip, number: int, width: int) -> list[str]:
    """A plot of pressure along the tube at the grip's resonance nearest a note number.

    Empty when the grip sounds nothing near it.
    """
    found = atlas(instrument, tube, [instrument.mechanism.hole_pattern(grip)])
    place = nearest(found, 0, number)
    if place is None:
        return []
    wave = standing_wave(
        tube, open_holes(instrument, tube, found.patterns)[0], frequency_hz(float(found.numbers[0, place]))
    )
    names = {hole.id: hole.title for hole in instrument.mechanism.holes}
    return wave_lines(wave, names, width)


def series_lines(instrument: Instrument, tube: Tube, grip: Grip, width: int) -> list[str]:
    """The partials of a low grip: the note nearest to each, and how far it is from a whole multiple."""
    told = [
        f"{one.partial}:{HARD}{plain_name(one.pitch)}{HARD}{one.pure_cents:+.0f}"
        for one in series(instrument, tube, grip)
        if one.pitch <= HIGHEST_CLAIM
    ]
    if len(told) < 2:
        return []
    text = "partials (cents from whole multiples of the first): " + ", ".join(told)
    return ["", *(line.replace(HARD, " ") for line in wrap(text, width, break_on_hyphens=False))]
