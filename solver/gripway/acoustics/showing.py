"""The standing wave of a grip at the note it is asked for, as lines of text."""

from gripway.acoustics.atlas import atlas, open_holes
from gripway.acoustics.ladder import Tube
from gripway.acoustics.standing import standing_wave, wave_lines
from gripway.acoustics.tuning import nearest
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.units import frequency_hz


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
