"""Which parts of a score are a flute's: by name, and without one by the way it transposes."""

from gripway.catalog.flute.instruments import instrument_names, load_instrument, transpositions
from gripway.score.reading.parts import PartInfo, flute_parts


def test_a_nameless_part_is_a_flute_where_a_flute_of_the_tables_transposes_so() -> None:
    """Every transposition of tables/instruments counts, no other does, and none at all says nothing."""
    there = {load_instrument(name).sounds_semitones for name in instrument_names()}
    assert transpositions() == there - {0}
    for semitones in range(-24, 25):
        found = flute_parts([PartInfo(1, "P1", "", semitones)], transpositions())
        assert bool(found) == (semitones in there and semitones != 0)


def test_a_part_with_a_name_goes_by_it() -> None:
    """A clarinet that sounds where an alto flute does is none; a flute in any key is one."""
    clarinet, flute = PartInfo(1, "P1", "Clarinet", -5), PartInfo(2, "P2", "Flauto", -2)
    assert flute_parts([clarinet, flute], transpositions()) == [flute]
