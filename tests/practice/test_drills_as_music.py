"""What a teacher asks of any drill, over all passages of tests/data: speeds, metre, values, loudness."""

from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import islice, pairwise
from pathlib import Path

import pytest
from tests.oracles.passages import barred, played
from tests.oracles.practice import A_MAJOR, FIGURES, TABLES, drills_in, routed
from tests.tiers import thinned

from gripway.limits.answer import solve_within
from gripway.model.passage import Hairpin, Passage, Stress
from gripway.practice.cells.beat_grid import grid_at
from gripway.practice.cells.cells import Cell, find_cells, is_tremolo
from gripway.practice.cells.trill_cells import trill_cells
from gripway.practice.drills.drill_minutes import item_steps
from gripway.practice.drills.drills import FASTEST_LOAD, FREE, IN_THE_PART, Drill, drills_of, load_at
from gripway.practice.drills.tempo_ladder import ladder_of, sittings
from gripway.route.result import RouteNote
from gripway.route.solve import Solver
from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.score_reading import load_score
from gripway.score.writing.bar_filling import fill_bars
from gripway.score.writing.note_groups import tupled
from gripway.score.writing.write_hairpins import hairpin_ends
from gripway.tasks.flute_player import asked_of
from gripway.tasks.flutes import flute

SCORES = sorted((Path(__file__).parents[1] / "data").glob("*.musicxml"))
TEMPOS = (144.0, None)
MOST_CELLS = 8


@cache
def worked(score: Path, tempo: float | None) -> tuple[Solver, tuple[RouteNote, ...], tuple[Cell, ...]]:
    """The solver, route and hardest cells and trills of a score."""
    passage = load_score(score, ReadOptions(tempo=tempo)).passage
    mine, wishes = asked_of(flute("piccolo" if "piccolo" in score.stem else "concert-flute"), None)
    solver, passage = mine.ready(passage, wishes)
    route = solve_within(solver, passage, wishes)
    cells = (*find_cells(route, FIGURES)[:MOST_CELLS], *trill_cells(route, solver, FIGURES)[:2])
    return solver, route.notes, cells


@cache
def drills(score: Path, tempo: float | None) -> tuple[tuple[Cell, Drill], ...]:
    """Every drill of these cells."""
    solver, notes, cells = worked(score, tempo)
    return tuple((cell, drill) for cell in cells for drill in drills_of(cell, solver, notes, TABLES))


every_passage = pytest.mark.parametrize("tempo", thinned(TEMPOS, 2))
every_score = pytest.mark.parametrize("score", SCORES, ids=lambda path: path.stem)


@every_score
@every_passage
def test_no_drill_is_asked_for_faster_than_the_fingers_or_the_part(score: Path, tempo: float | None) -> None:
    """At its fastest no load is above 1, the hard change no faster than in the part nor than it can be."""
    solver, _, cells = worked(score, tempo)
    assert cells
    for cell, drill in drills(score, tempo):
        assert drill.fastest <= round(cell.quarters)
        if drill.kind in FREE or drill.kind == IN_THE_PART:
            continue
        assert load_at(drill, drill.fastest, cell, solver) <= FASTEST_LOAD + 0.01
        for to in drill.changes:
            before, after = drill.passage.notes[to - 1 : to + 1]
            time_ms = (after.onset_ms - before.onset_ms) * cell.quarters / drill.fastest
            assert time_ms >= 0.99 * cell.change.available_ms * max(1.0, cell.load)


@every_score
@every_passage
def test_to_and_fro_is_never_faster_than_a_trill(score: Path, tempo: float | None) -> None:
    """Ten notes a second is what a trill of one finger has (effort/figures.csv)."""
    for cell, drill in drills(score, tempo):
        if drill.kind == "pair" and not is_tremolo(cell):
            notes_a_second = drill.fastest / 60 / float(drill.passage.notes[0].length * 4)
            assert notes_a_second <= FIGURES.trill_quarters_a_minute * 4 / 60 + 0.01


@every_score
@every_passage
def test_every_tempo_of_every_sitting_is_within_reach(score: Path, tempo: float | None) -> None:
    """Whatever day it is, no drill has a tempo above its fastest."""
    for cell, drill in islice(drills(score, tempo), 30):
        ladder = ladder_of(cell.load, cell.quarters, FIGURES)
        for climb in sittings(ladder, 6, FIGURES):
            steps = item_steps(drill, ladder, climb, FIGURES.item_most_min, 20, TABLES)
            assert 0 < max(steps) <= drill.fastest


@every_score
@every_passage
def test_a_drill_has_the_metre_of_the_part(score: Path, tempo: float | None) -> None:
    """But for trills, which have a tempo of their own, in quarters of four."""
    _, notes, _ = worked(score, tempo)
    for cell, drill in drills(score, tempo):
        assert drill.metre == ((4, 4) if cell.trill else notes[cell.place].note.metre)


@every_score
@every_passage
def test_a_drill_is_read_at_sight(score: Path, tempo: float | None) -> None:
    """No second dot, no chain of ties, nothing below a 32nd, every tuplet whole and mostly sounding."""
    for _, drill in drills(score, tempo):
        pieces: dict[int, int] = {}
        for bar in fill_bars(drill.passage.notes, Fraction(*drill.metre)):
            for printed in bar:
                if printed.index is not None and not printed.grace:
                    pieces[printed.index] = pieces.get(printed.index, 0) + 1
                    assert printed.value.dots <= 1
                    assert printed.value.base >= Fraction(1, 32)
            for group in tupled(bar):
                lasts = sum(bar[place].length for place in group)
                assert Fraction(lasts).denominator in (1, 2, 4, 8, 16, 32)
                assert sum(bar[place].length for place in group if bar[place].index is not None) > lasts / 2
        assert max(pieces.values()) <= 2


@every_score
@every_passage
def test_to_and_fro_fills_whole_beats(score: Path, tempo: float | None) -> None:
    """Its last note, the first one again, begins on a beat."""
    _, notes, _ = worked(score, tempo)
    for cell, drill in drills(score, tempo):
        if drill.kind == "pair":
            last = drill.passage.notes[-1]
            assert last.onset % grid_at(notes[cell.place].note).beat == 0
            assert last.pitch == drill.passage.notes[0].pitch


@every_score
@every_passage
def test_graces_keep_their_time(score: Path, tempo: float | None) -> None:
    """Graces stay graces where a drill stands in the part, and are nowhere else."""
    _, notes, _ = worked(score, tempo)
    for cell, drill in drills(score, tempo):
        for note in drill.passage.notes:
            if note.grace:
                assert drill.kind == IN_THE_PART
                assert note.length == 0
                lengths = {n.note.length_ms for n in notes if n.note.grace and n.note.pitch == note.pitch}
                assert any(note.length_ms == pytest.approx(length, rel=0.01) for length in lengths), cell


@every_score
@every_passage
def test_drills_of_the_piccolo_and_of_the_loudest_places_are_soft(score: Path, tempo: float | None) -> None:
    """At most mp on the piccolo; ff only where a drill stands in the part."""
    solver, *_ = worked(score, tempo)
    piccolo = solver.knowledge.instrument.id == "piccolo"
    for _, drill in drills(score, tempo):
        marks = {note.dynamic for note in drill.passage.notes}
        if piccolo:
            assert marks <= {"pp", "p", "mp"}
        elif drill.kind != IN_THE_PART:
            assert "ff" not in marks or len(marks) > 1


def test_a_dotted_figure_stays_in_its_metre() -> None:
    """In 6/8 a dotted eighth, sixteenth and eighth are drilled as they are, and the stop has an upbeat."""
    from gripway.score.notation import read_notation

    line = read_notation("A5:3/16 D6:1/16 F#6:1/8 A5:3/16 D6:1/16 F#6:1/8", tempo=156)
    marked = [replace(note, bar="1", at=note.onset, metre=(6, 8), id=f"P1-{note.id}") for note in line.notes]
    solver, route = routed(Passage(tuple(marked)))
    cell = find_cells(route, FIGURES)[0]
    assert cell.pitches[cell.worst - 1 : cell.worst + 1] == ("D6", "F#6")
    lines = {drill.kind: drill for drill in drills_of(cell, solver, route.notes, TABLES)}
    assert {drill.metre for drill in lines.values()} == {(6, 8)}
    assert lines["before"].notation.endswith("A5:3/16 D6 F#6:1/8")
    assert lines["stop"].notation == "r:1/4 r mp (D6 F#6:3/8)"
    assert "pair" not in lines  # it never goes back


def test_back_into_the_bar_has_hairpins_and_stresses_of_the_part_and_no_other_drill_has() -> None:
    """A hairpin over four notes and sf on the last: over each group that has them; elsewhere p stays p."""
    marked = []
    for place, note in enumerate(played(A_MAJOR, 120, fifths=3).notes):
        hairpin = Hairpin("crescendo", -(place % 4) * note.length, (4 - place % 4) * note.length)
        loud = {"dynamic": "f", "stress": Stress("sf", "p")} if place % 4 == 3 else {"dynamic": "p"}
        marked.append(replace(note, hairpins=(hairpin,), **loud))
    found = drills_in(Passage(tuple(marked)))
    assert {drill.kind for _, drill in found} >= {"overlap", "pair", "around", "rhythm"}
    for _, drill in found:
        notes = drill.passage.notes
        if drill.kind == IN_THE_PART:
            ends = hairpin_ends(notes)
            assert ends
            assert len([each for each in ends if each.kind == "stop"]) * 2 == len(ends)
            assert all(note.hairpins for note in notes)
        else:
            assert {note.dynamic for note in notes} == {"p"}
            assert not any(note.hairpins or note.stress for note in notes)


def test_back_into_the_bar_says_words_once_and_what_holds_in_brackets() -> None:
    """All under gai, which was written before, with cresc. on one note: no word comes twice."""
    notes = [
        replace(note, manner=("gai",), words=("cresc.",) * (place == 7), id=f"P1-n{place}")
        for place, note in enumerate(played(A_MAJOR, 120, fifths=3).notes)
    ]
    found = [drill for _, drill in drills_in(Passage(tuple(notes))) if drill.kind == IN_THE_PART]
    assert found
    for drill in found:
        said = [word for note in drill.passage.notes for word in note.words]
        assert said[0] == "[gai]"
        assert len(said) == len(set(said))


def test_a_repeated_note_under_a_slur_of_the_part_stays_under_it() -> None:
    """As in the part where a drill stands in it; drills for the fingers alone join no note to itself."""
    found = drills_in(barred("(A6:1/4 A6:1/8 G#6:1/16 F#6 E6:1/2) " * 3, 176))
    repeated = [
        (drill.kind, other.slurred)
        for _, drill in found
        for one, other in pairwise(drill.passage.notes)
        if one.pitch == other.pitch and other.onset == one.onset + one.length
    ]
    assert (IN_THE_PART, True) in repeated
    assert (IN_THE_PART, False) not in repeated
    assert all(kind == IN_THE_PART for kind, slurred in repeated if slurred)


def test_a_drill_in_the_part_begins_a_beat_before_a_change_that_opens_its_bar() -> None:
    """F#6 to E6 on the first beat and one note more: the drill with that note has no more than these."""
    found = drills_in(barred("A5:1/1 A5:3/4 F#6:1/4 (F#6:1/8 E6:7/8) A5:1/1 ", 150))
    own = {drill.kind: drill.passage.notes for _, drill in found}
    sounds = {kind: [note.pitch.name for note in notes] for kind, notes in own.items()}
    assert sounds["after"] == ["F#6", "E6", "A5"]
    assert sounds[IN_THE_PART] == ["F#6", "F#6", "E6", "A5"]
    assert own[IN_THE_PART][0].onset == Fraction(3, 4)


def test_a_drill_that_is_louder_only_is_no_other_drill() -> None:
    """After a long rest the change and one note more are all there is, in f; high notes elsewhere are mf."""
    found = drills_in(barred("f A5:1/1 A5:1/4 r:3/4 (F#6:1/8 E6:7/8) A5:1/1 ", 300))
    music = [[(note.pitch, note.onset, note.length) for note in drill.passage.notes] for _, drill in found]
    kept = [drill for _, drill in found if drill.kind == IN_THE_PART]
    assert [[note.pitch.name for note in drill.passage.notes] for drill in kept] == [["F#6", "E6", "A5"]]
    assert all(music.count(each) == 1 for each in music)
