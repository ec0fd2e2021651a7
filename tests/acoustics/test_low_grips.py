"""The low grips that high ones are read from."""

from gripway.acoustics.end_corrections import PlayerTerm
from gripway.acoustics.ladder import Tube
from gripway.acoustics.low_grips import LowGrip, low_grips, touches_changed
from gripway.catalog.flute.bores import bores
from gripway.catalog.flute.instruments import load_instrument
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.pitch import plain_name

FLUTE = load_instrument("concert-flute")


def lows(flute: Instrument = FLUTE) -> dict[str, LowGrip]:
    """The low grips of a flute by pitch name."""
    tube = Tube(bores(flute)[0], PlayerTerm(121.3, 41.3))
    return {plain_name(low.number): low for low in low_grips(flute, tube)}


def test_low_grips_run_from_the_lowest_note_to_c_sharp_5() -> None:
    """A C foot has fourteen low grips from C4; a B foot brings B3."""
    # Common practice, no source: the first octave of the flute, C4 to C#5, has one grip a semitone.
    octave = ["C4", "C#4", "D4", "D#4", "E4", "F4", "F#4", "G4", "G#4", "A4", "A#4", "B4", "C5", "C#5"]
    assert list(lows()) == octave
    assert list(lows(load_instrument("concert-flute", ["b-foot"]))) == ["B3", *octave]


def test_the_first_open_hole_is_the_one_the_note_is_named_after() -> None:
    """G4 ends at the G4 hole; low C with all holes shut ends past the last one."""
    # Boehm mechanism: holes are named by the note that sounds when they are the first open one.
    holes = FLUTE.mechanism.holes
    assert holes[lows()["G4"].first].title == "G4"
    assert lows()["C4"].first == len(holes)


def test_each_low_grip_sounds_its_note_as_its_first_partial() -> None:
    """The fundamental lies within 30 cents of the note, and comes first."""
    # The measured flute's standard grips lie within 25 cents of equal temperament there.
    for low in lows().values():
        partial, sounding = low.partials[0]
        assert partial == 1
        assert abs(sounding - low.number) < 0.30


def test_foot_keys_below_the_end_do_not_count_as_changes() -> None:
    """Eb off is no change of the G4 grip, but it is one of the D#4 grip, and L1 off counts in both."""
    g4, ds4 = lows()["G4"], lows()["D#4"]
    assert touches_changed(FLUTE, g4.grip, g4) == 0
    assert touches_changed(FLUTE, g4.grip.without("Eb"), g4) == 0
    assert touches_changed(FLUTE, ds4.grip.without("Eb"), ds4) == 1
    assert touches_changed(FLUTE, Grip.parse("T L2 L3 |"), g4) == 1
