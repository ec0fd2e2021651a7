"""Ornaments in a route: their pair or their notes, how they join, and how they are told."""

from dataclasses import replace

import pytest
from tests.oracles.flutes import FIGURES, TABLES, number, solver_of
from tests.oracles.passages import played, with_ornament

import gripway
from gripway.catalog.tables.trill_pairs import pair_figures
from gripway.effort.setting import links, settings
from gripway.model.passage import Ornament, Passage
from gripway.model.pitch import Pitch
from gripway.route.result import Route
from gripway.route.route_data import note_data, note_frame
from gripway.score.reading.score_reading import read_score
from gripway.trellis.trellis import effort_of

SOLVER = solver_of()
STEPS = [(low, low + width) for low in range(60, 97) for width in (1, 2) if low + width <= 96]
NEAR_THE_BEST = 65
"""Of the 71 half and whole steps; seen when written: 66."""


def trilled(text: str, place: int, other: str, kind: str = "trill") -> Route:
    """The route of a passage with an ornament on one note."""
    return SOLVER.solve(with_ornament(played(text, 60.0), place, kind, other))


def test_a_trill_is_entered_and_left_by_the_grip_of_its_note() -> None:
    """The changes before and after go to and from that grip; the pair's other grip stands between."""
    route = trilled("E6 F6:1/2 E6", 1, "G6")
    note = route.notes[1]
    assert note.ornament is not None
    main, other = note.ornament.notes
    assert main.candidate is note.candidate is note.ornament.exit
    assert other.candidate is not None
    assert (main.pitch.number, other.pitch.number) == (number("F6"), number("G6"))
    movers = SOLVER.model.change(note.candidate, other.candidate).movers
    assert note.ornament.movers == (movers,)
    assert len(route.changes) == 2


def test_the_other_grip_is_the_best_for_the_one_chosen() -> None:
    """No other grip of the auxiliary note makes the written note's cost less: counted one by one."""
    passage = with_ornament(played("D6 C6:1/2 B5", 60.0), 1, "trill", "D6")
    route = SOLVER.solve(passage)
    note = route.notes[1]
    about = settings(passage.notes, links(passage.notes, FIGURES), TABLES)[1]
    for candidate in SOLVER.book.column(number("C6"), True, True):
        held = SOLVER.model.holding(candidate, about)
        if candidate.grip == note.candidate.grip and held is not None:
            assert SOLVER.model.trill(candidate, about)[1].grip == note.ornament.notes[1].candidate.grip
            break


@pytest.mark.whole
def test_a_lone_trill_takes_one_of_the_first_pairs() -> None:
    """The route and `gripway trill` agree: the pair is among the first three but for a few steps."""
    hits = 0
    for low, high in STEPS:
        pitches = Pitch.from_number(low), Pitch.from_number(high)
        route = trilled(f"{pitches[0].plain}:1/2", 0, pitches[1].plain)
        grips = tuple(note.candidate.grip for note in route.notes[0].ornament.notes)
        pairs = gripway.trill(*pitches, gripway.flute()).pairs[:3]
        hits += grips in [(pair.lower.grip, pair.upper.grip) for pair in pairs]
    assert hits >= NEAR_THE_BEST


def test_a_repeated_note_keeps_its_plain_grip_under_a_trill() -> None:
    """C#5, then C#5 trilled with D5 for 341 ms (an orchestral part): first trill key, common practice."""
    route = SOLVER.solve(with_ornament(played("C#5:1/8 C#5:3/8 D5:1/4", 264.0), 1, "trill", "D5"))
    assert [note.candidate.grip.text for note in route.notes[:2]] == ["| Eb", "| Eb"]
    assert route.notes[1].note.length_ms == pytest.approx(341.0, abs=1.0)
    assert route.notes[1].ornament.notes[1].candidate.grip.text == "| Kd Eb"


@pytest.mark.parametrize("length", ["1/16", "1/8", "1/4", "1/1"])
def test_a_trilled_note_takes_a_printed_pair_where_one_can_be_used(length: str) -> None:
    """However long it is, for half and whole steps with a printed pair on a grip that is not overblown."""
    for low, high in STEPS[::5]:
        pitches = Pitch.from_number(low), Pitch.from_number(high)
        if SOLVER.trill_points.has_printed(low, high):
            note = trilled(f"{pitches[0].plain}:{length}", 0, pitches[1].plain).notes[0]
            main, other = note.ornament.notes
            pair = SOLVER.trill_points.pair(main.candidate, other.candidate)
            assert pair.usable, f"{low} {high}: {main.candidate.grip} {other.candidate.grip}"


def test_a_pair_nobody_printed_has_points_for_it() -> None:
    """C#5-D5 has a printed pair: the plain grips of both have `not_printed_points`; D7-E7 has none."""
    plain = SOLVER.book.column(number("C#5"), False, False)[0]
    other, key = (
        next(c for c in SOLVER.book.column(number("D5"), False, False) if c.grip.text == grip)
        for grip in ("T L2 L3 | R1 R2 R3", "| Kd Eb")
    )
    points = SOLVER.trill_points
    assert points.points(plain, other) == points.pair(plain, other).points + pair_figures().not_printed_points
    assert points.points(plain, key) == points.pair(plain, key).points
    assert not points.has_printed(number("D7"), number("E7"))


@pytest.mark.whole
def test_a_printed_pair_on_an_overblown_grip_binds_no_written_trill() -> None:
    """F6 to G6 has printed pairs to trill by, all with an overblown F6: other pairs are not held to them."""
    printed = [pair for pair in gripway.trill("F6", "G6", gripway.flute()).pairs if pair.row and pair.usable]
    assert printed
    assert {pair.lower.kind for pair in printed} == {"harmonic"}
    assert not SOLVER.trill_points.has_printed(number("F6"), number("G6"))


def test_a_trill_from_its_upper_note_is_entered_by_that_grip() -> None:
    """B4 to C5 with a trill to D5: the change goes from B4 to D5, and from C5 on; the sums agree."""
    passage = with_ornament(played("B4:1/4 C5:1/2 E5:1/4", 100.0), 1, "trill", "D5")
    notes = list(passage.notes)
    notes[1] = replace(notes[1], ornament=replace(notes[1].ornament, from_upper=True))
    route = SOLVER.solve(replace(passage, notes=tuple(notes)))
    played_as = route.notes[1].ornament
    main, other = played_as.notes
    assert (played_as.entry.pitch, played_as.exit.pitch) == (number("D5"), number("C5"))
    assert played_as.entry.grip == other.candidate.grip
    into, out = route.changes
    model, about = SOLVER.model, links(tuple(notes), FIGURES)
    into_upper = model.step(route.notes[0].candidate, other.candidate)
    assert dict(into.movers) == dict(model.change(route.notes[0].candidate, other.candidate).movers)
    assert into.moving.total == model.moving_total(into_upper, about[1])
    assert dict(out.movers) == dict(model.change(main.candidate, route.notes[2].candidate).movers)
    assert any(flag.endswith("a second, from D5") for flag in route.notes[1].flags)
    plain = SOLVER.solve(passage)
    assert plain.notes[1].ornament.entry is plain.notes[1].candidate


def test_the_entry_counts_in_the_search() -> None:
    """What the least route costs is the sum of its parts, the change into the upper note among them."""
    passage = with_ornament(played("E5:1/8 C5:1/2 B4:1/8", 150.0), 1, "trill", "D5")
    notes = list(passage.notes)
    notes[1] = replace(notes[1], ornament=replace(notes[1].ornament, from_upper=True))
    passage = replace(passage, notes=tuple(notes))
    for piece in SOLVER.ground(passage).pieces:
        trellis, path = piece.trellis, piece.path
        (upper,) = {trellis.columns[1][path[1]].entry}
        step = SOLVER.model.step(trellis.columns[0][path[0]], upper)
        moved = SOLVER.model.moving_total(step, SOLVER.ground(passage).links[1])
        assert effort_of(trellis.blocks[1][path[1]][path[0]]) == moved


def test_a_turn_ends_a_trill_on_its_own_note() -> None:
    """C5 with a trill to D5 and a turn over B4: main, below, main, all with their plain grips."""
    passage = with_ornament(played("C5:1/2 D5:1/2", 60.0), 0, "trill", "D5")
    notes = list(passage.notes)
    notes[0] = replace(notes[0], ornament=replace(notes[0].ornament, ending=Pitch.parse("B4")))
    route, without = SOLVER.solve(replace(passage, notes=tuple(notes))), SOLVER.solve(passage)
    ornament = route.notes[0].ornament
    assert [note.pitch.name for note in ornament.ending] == ["C5", "B4", "C5"]
    assert [note.candidate.grip.text for note in ornament.ending] == ["L1 | Eb", "T L1 | Eb", "L1 | Eb"]
    assert [note.ms for note in ornament.ending] == [FIGURES.ornament_note_ms] * 3
    assert "ends with a turn: C5-B4-C5 with B4 T 1 | Eb" in route.notes[0].flags
    sizes = [dict(each.notes[0].holding.parts)["trill"] for each in (route, without)]
    about = settings(tuple(notes), links(tuple(notes), FIGURES), TABLES)[0]
    aside = SOLVER.model.auxiliary(route.notes[0].candidate, number("B4"), about)
    assert sizes[0] - sizes[1] == aside[0] > 0
    assert without.notes[0].ornament.ending == ()


def test_an_upper_note_before_a_trill_belongs_to_it() -> None:
    """A grace note D5 before C#5 with a trill to D5 is played with the trill key, a slow D5 plainly."""
    for kind, grip in (("1/32", "| Kd Eb"), ("1/2", "T L2 L3 | R1 R2 R3")):
        route = SOLVER.solve(with_ornament(played(f"D5:{kind} C#5:1/2", 90.0), 1, "trill", "D5"))
        assert [note.candidate.grip.text for note in route.notes] == [grip, "| Eb"]


@pytest.mark.parametrize(
    ("kind", "names"),
    [
        ("turn", ["F#6", "G6", "F#6", "E6", "F#6"]),
        ("inverted-turn", ["F#6", "E6", "F#6", "G6", "F#6"]),
        ("inverted-mordent", ["F#6", "G6", "F#6"]),
        ("mordent", ["F#6", "E6", "F#6"]),
    ],
)
def test_turns_and_mordents_are_expanded(kind: str, names: list[str]) -> None:
    """Note by note with a grip and a time each, in the time of the written note."""
    upper = Pitch.parse("G6") if "G6" in names else None
    lower = Pitch.parse("E6") if "E6" in names else None
    passage = played("D6 F#6:1/8 A6", 90.0)
    notes = list(passage.notes)
    notes[1] = replace(notes[1], ornament=Ornament(kind, upper=upper, lower=lower))
    route = SOLVER.solve(replace(passage, notes=tuple(notes)))
    ornament = route.notes[1].ornament
    assert ornament is not None
    assert [note.pitch.name for note in ornament.notes] == names
    assert all(
        note.candidate is not None and note.candidate.pitch == note.pitch.number for note in ornament.notes
    )
    assert {note.candidate for note in ornament.notes[::2]} == {route.notes[1].candidate}
    assert sum(note.ms for note in ornament.notes) <= notes[1].length_ms + 0.01
    assert len(route.notes) == 3
    assert dict(route.notes[1].holding.parts)["trill"] > 0
    assert any(flag.startswith(kind.replace("-", " ")) for flag in route.notes[1].flags)


def test_a_short_note_leaves_its_turn_less_time() -> None:
    """Five notes share what the written note has."""
    passage = played("F#6:1/32", 150.0)
    notes = (replace(passage.notes[0], ornament=Ornament("turn", Pitch.parse("G6"), Pitch.parse("E6"))),)
    ornament = SOLVER.solve(Passage(notes)).notes[0].ornament
    assert ornament.notes[0].ms == pytest.approx(notes[0].length_ms / 5, abs=0.01)


def test_an_auxiliary_note_without_a_grip_is_told() -> None:
    """A turn over the top of the flute keeps its other notes."""
    passage = played("E7:1/4", 60.0)
    notes = (replace(passage.notes[0], ornament=Ornament("turn", Pitch.parse("F7"), Pitch.parse("D7"))),)
    route = solver_of("concert-flute", "split-e").solve(Passage(notes))
    assert [bool(note.candidate) for note in route.notes[0].ornament.notes] == [True, False, True, True, True]
    assert any("F7 without a grip" in flag for flag in route.notes[0].flags)


def test_a_tremolo_between_two_notes_ends_on_the_second() -> None:
    """Both notes tell the pair they make; it is left by the second one's grip."""
    passage = with_ornament(
        with_ornament(played("E6:1/4 G6:1/4", 60.0), 0, "tremolo", "G6"), 1, "tremolo", "E6"
    )
    route = SOLVER.solve(passage)
    pair = route.notes[0].ornament
    assert pair is not None
    assert pair is route.notes[1].ornament
    assert [note.candidate for note in pair.notes] == [note.candidate for note in route.notes]
    assert pair.exit is route.notes[1].candidate


def test_the_json_of_a_trill() -> None:
    """Kind, entry and exit, both notes with cents, the fingers, their limit; plain notes have no such key."""
    route = trilled("B5 C6:1/2 B5", 1, "D6")
    data = note_data(route.notes[1])["ornament"]
    assert data["kind"] == "trill"
    assert data["entry_grip"] == data["exit_grip"] == route.notes[1].candidate.grip.text
    assert [note["pitch"] for note in data["notes"]] == ["C6", "D6"]
    assert all(note["cents_spread"] for note in data["notes"])
    assert data["movers"]
    assert data["notes_per_s"] > 5
    assert data["interval"].startswith("whole tone")
    assert "ornament" not in note_data(route.notes[0])
    frame = note_frame(route)
    assert frame["ornament"][1].startswith("trill: C6 ")


def test_the_words_of_a_trill_name_pair_fingers_and_speed() -> None:
    """The flag says with which grip, what moves and how fast."""
    flags = trilled("C6:1/2", 0, "D6").notes[0].flags
    told = next(flag for flag in flags if flag.startswith("trill with D6 = "))
    assert "moves, up to " in told
    assert told.endswith(" a second")


def test_a_trill_of_more_than_an_octave_is_no_trouble() -> None:
    """A lone tremolo to a far note has a pair; its interval is told in semitones."""
    route = trilled("D5:1/2", 0, "F#6", "tremolo")
    assert route.notes[0].ornament.interval.startswith("16 semitones")


@pytest.mark.parametrize(("mark", "upper"), [("", "Eb6"), ("natural", "E6"), ("sharp", "E#6")])
def test_key_and_accidental_mark_choose_the_other_note(mark: str, upper: str) -> None:
    """A trill on D6 in three flats goes to Eb6; an accidental mark above says otherwise."""
    sign = f"<accidental-mark>{mark}</accidental-mark>" if mark else ""
    text = (
        '<score-partwise><part-list><score-part id="P1"><part-name>Flute</part-name></score-part></part-list>'
        '<part id="P1"><measure number="1"><attributes><divisions>1</divisions><key><fifths>-3</fifths></key>'
        "</attributes><note><pitch><step>D</step><octave>6</octave></pitch><duration>4</duration>"
        f"<notations><ornaments><trill-mark/>{sign}</ornaments></notations></note></measure></part>"
        "</score-partwise>"
    )
    route = SOLVER.solve(read_score(text.encode(), "key.musicxml").passage)
    assert [note.pitch.name for note in route.notes[0].ornament.notes] == ["D6", upper]


def test_a_termination_has_grips_of_its_own() -> None:
    """Grace notes after a trill are notes of the route; the change into them starts at the trill's exit."""
    text = (
        '<score-partwise><part-list><score-part id="P1"><part-name>Flute</part-name></score-part></part-list>'
        '<part id="P1"><measure number="1"><attributes><divisions>1</divisions></attributes>'
        "<note><pitch><step>F</step><octave>6</octave></pitch><duration>2</duration>"
        "<notations><ornaments><trill-mark/></ornaments></notations></note>"
        "<note><grace/><pitch><step>E</step><octave>6</octave></pitch></note>"
        "<note><grace/><pitch><step>F</step><octave>6</octave></pitch></note>"
        "<note><pitch><step>G</step><octave>6</octave></pitch><duration>2</duration></note>"
        "</measure></part></score-partwise>"
    )
    route = SOLVER.solve(read_score(text.encode(), "termination.musicxml").passage)
    assert [note.note.pitch.name for note in route.notes] == ["F6", "E6", "F6", "G6"]
    assert [note.ornament is None for note in route.notes] == [False, True, True, True]
    first = route.notes[0]
    hands = SOLVER.model.times.hands(first.ornament.exit.position, route.notes[1].candidate.position)
    assert route.changes[0].movers == hands[0].movers + hands[1].movers


def test_a_grossly_false_pair_has_more_points() -> None:
    """F6-G6 by the thumb alone leaves G6 flat by half a semitone; with the second trill key it does not."""
    points = SOLVER.trill_points
    for more, size in (("", pair_figures().gross_points), (" Kds", 0.0)):
        pair = (
            next(c for c in SOLVER.book.column(number(pitch), False, False) if c.grip.text == grip)
            for pitch, grip in (("F6", f"T L1 L3 | R1{more} Eb"), ("G6", f"L1 L3 | R1{more} Eb"))
        )
        low, high = pair
        assert points.points(low, high) == pytest.approx(points.pair(low, high).points + size)
