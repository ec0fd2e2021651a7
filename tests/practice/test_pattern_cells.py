"""The worst changes of many patterns: each once, at its worst, with everywhere it stands."""

from collections import Counter
from fractions import Fraction
from itertools import pairwise

import pytest
from tests.oracles.practice import FIGURES

from gripway.asked.wishes import STANDARD_ONLY, Wishes
from gripway.errors import RequestError
from gripway.model.key import Key
from gripway.model.pitch import Pitch
from gripway.practice.cells.pattern_cells import work_of
from gripway.practice.cells.pattern_export import change_rows, places_words
from gripway.tasks.flutes import flute
from gripway.tasks.pattern_cell_lists import (
    HardPatterns,
    PatternQuestion,
    cells_data,
    hard_patterns,
    patterns_of,
)


def asked(
    low: str, high: str, *keys: str, kinds: tuple[str, ...] = (), quarters: float = 120.0
) -> PatternQuestion:
    """A question about sixteenths."""
    ends = Pitch.parse(low).number, Pitch.parse(high).number
    return PatternQuestion(*ends, tuple(map(Key.parse, keys)), kinds, Fraction(1, 16), quarters)


@pytest.fixture(scope="module")
def third_octave() -> HardPatterns:
    """All keys from C6 to C7."""
    return hard_patterns(flute(), asked("C6", "C7"), Wishes(others=0), most=20)


def test_three_notes_of_a_major_are_isolated() -> None:
    """F#6 G#6 A6, which every flutist practises by themselves (common practice, no source)."""
    found = hard_patterns(flute(), asked("F#6", "A6", "A", kinds=("major",)), Wishes(others=0))
    assert found.cells[0].cell.pitches == ("F#6", "G#6", "A6")
    assert [(place.pattern, place.direction) for place in found.cells[0].places] == [
        ("A major: scale", "up"),
        ("A major: scale", "down"),
    ]
    assert {note.pitch.name for drill in found.worked[0].drills for note in drill.passage.notes} == {
        "F#6",
        "G#6",
        "A6",
    }


def test_every_change_of_every_route_is_met_once_at_its_worst(third_octave: HardPatterns) -> None:
    """Counted again from the routes: the works, their highest loads, and how often they stand there."""
    loads: dict[object, float] = {}
    times: Counter[object] = Counter()
    for at in third_octave.routes:
        for change in at.route.changes:
            if change.movers:
                work = work_of(at.route, change)
                loads[work] = max(loads.get(work, 0.0), change.load)
                times[work] += len(at.names)
    told = {work_of(each.at.route, each.change): each for each in third_octave.changes}
    assert len(told) == len(third_octave.changes)
    assert {work: each.change.load for work, each in told.items()} == loads
    assert {work: sum(place.times for place in each.places) for work, each in told.items()} == times
    ordered = [each.change.load for each in third_octave.changes]
    assert ordered == sorted(ordered, reverse=True)


def test_no_cell_has_the_worst_change_of_another(third_octave: HardPatterns) -> None:
    """Neither forwards nor backwards; cells come hardest first and hold their worst change."""
    met: set[object] = set()
    for found in third_octave.cells:
        work = work_of(found.at.route, found.cell.change)
        assert work not in met
        sounds = [
            (note.note.pitch.number, note.candidate.row_grip.text)
            for note in found.cell.notes
            if note.candidate
        ]
        assert work in list(pairwise(sounds))
        met |= set(pairwise(sounds)) | set(pairwise(reversed(sounds)))
    hardness = [found.cell.hardness(FIGURES) for found in third_octave.cells]
    assert hardness == sorted(hardness, reverse=True)
    assert third_octave.cells[0].cell.load == third_octave.changes[0].change.load


def test_the_matrix_has_the_highest_load_of_two_pitches(third_octave: HardPatterns) -> None:
    """Each field is the worst of the changes between its pitches."""
    worst: dict[tuple[int, int], float] = {}
    for each in third_octave.changes:
        notes = each.at.route.notes
        pair = notes[each.change.to - 1].note.pitch.number, notes[each.change.to].note.pitch.number
        worst[pair] = max(worst.get(pair, 0.0), each.change.load)
    fields = {(c.before.pitch, c.after.pitch): c.change.load for c in third_octave.matrix.changes}
    assert fields == worst


def test_patterns_with_the_same_notes_are_solved_once() -> None:
    """From C6 to E6 the scales of C major and A minor are one route with both names."""
    question = asked("C6", "E6", "C", "A minor", kinds=("major", "natural-minor"))
    found = hard_patterns(flute(), question, Wishes(others=0))
    assert [each.names for each in found.routes] == [("C major: scale", "A minor: natural scale")]


def test_without_a_key_patterns_without_one_come_too() -> None:
    """All keys: one chromatic scale, two whole-tone scales; a key alone: neither."""
    named = [each.name for each in patterns_of(asked("C6", "C7"))]
    assert len([name for name in named if "whole-tone" in name]) == 2
    assert named.count("chromatic scale") == 1
    assert not [
        n for n in (each.name for each in patterns_of(asked("C6", "C7", "D"))) if "chrom" in n or "tone" in n
    ]


def test_at_a_slow_tempo_there_is_nothing_to_practise() -> None:
    """Changes are listed, cells are not."""
    found = hard_patterns(flute(), asked("G4", "D5", "G", kinds=("major",), quarters=30), Wishes(others=0))
    assert found.cells == ()
    assert found.changes


@pytest.mark.whole
def test_standard_grips_can_be_looked_at() -> None:
    """Where A6 to B6 is late, the standard grips are harder than the best ones."""
    free, plain = (
        hard_patterns(flute(), asked("F#6", "B6", "A", quarters=180), Wishes(others=0, choose=choose))
        for choose in ("effort", STANDARD_ONLY)
    )
    assert plain.changes[0].change.load > free.changes[0].change.load


def test_data_and_rows_say_the_same(third_octave: HardPatterns) -> None:
    """The JSON's changes are the first of the rows; every cell's places are patterns of the answer."""
    data, rows = cells_data(third_octave, 5), change_rows(third_octave.changes)
    assert [row["load"] for row in data["changes"]] == [row["load"] for row in rows[:5]]
    assert len(rows) == len(third_octave.changes)
    known = set(data["patterns"])
    assert all(place["pattern"] in known for cell in data["cells"] for place in cell["places"])


def test_places_are_told_by_pattern_and_what_is_left_out_is_counted(third_octave: HardPatterns) -> None:
    """At most as many patterns as asked for, then how many more."""
    places = max((each.places for each in third_octave.changes), key=len)
    patterns = len({place.pattern for place in places})
    assert places_words(places).count(";") == patterns - 1
    assert places_words(places, 2).endswith(f"; and {patterns - 2} more")


def test_what_is_not_there_is_an_error() -> None:
    """A pattern nobody knows, and a range too narrow for any."""
    with pytest.raises(RequestError, match="no pattern is called 'blues'"):
        hard_patterns(flute(), asked("C6", "C7", kinds=("blues",)))
    with pytest.raises(RequestError, match="two notes"):
        hard_patterns(flute(), asked("C6", "C#6", "C"))


def test_the_matrix_is_spelt_in_its_key() -> None:
    """Ab minor has seven flats: no sharp in its matrix (common practice, no source)."""
    found = hard_patterns(flute(), asked("C6", "C7", "Ab minor", kinds=("natural-minor",)), Wishes(others=0))
    assert cells_data(found, 1)["pitches"] == ["Db6", "Eb6", "Fb6", "Gb6", "Ab6", "Bb6", "Cb7"]
