"""Passages written as MusicXML: valid, and the same when read by us and by music21."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from tests.score.w3c_schema import schema_errors
from tests.tiers import examples

from gripway.errors import RequestError
from gripway.model.passage import Note, Ornament, Passage
from gripway.model.pitch import Pitch
from gripway.score.notation import read_notation
from gripway.score.reading.score_reading import read_score
from gripway.score.writing.write_score import Section, write_passage, write_score

LENGTHS = [Fraction(1, each) for each in (1, 2, 4, 8, 16, 32, 12, 6, 24, 20)] + [
    Fraction(3, 8),
    Fraction(9, 4),
]
PITCHES = [
    Pitch(step, alter, octave) for step in "CDEFGAB" for alter in (-2, -1, 0, 1, 2) for octave in (4, 5, 6)
]


@st.composite
def lines(draw: st.DrawFn) -> str:
    """A random line of the notation: notes, rests, dynamics, slurs, one kind of tuplet at most."""
    odd = draw(st.sampled_from([(1, 3, 9), (1, 5)]))
    lengths = [
        length
        for length in LENGTHS
        if any(length.denominator % o == 0 and length.denominator // o in (1, 2, 4, 8, 16, 32) for o in odd)
    ]
    words, slurred = [], False
    for _ in range(draw(st.integers(1, 14))):
        name = draw(st.sampled_from(PITCHES)).name if draw(st.integers(0, 5)) else "r"
        word = f"{name}:{draw(st.sampled_from(lengths))}"
        if not slurred and draw(st.integers(0, 3)) == 0:
            word, slurred = f"({word}", True
        if slurred and draw(st.integers(0, 2)) == 0:
            word, slurred = f"{word})", False
        words += [draw(st.sampled_from(["pp", "mf", "ff"]))] if draw(st.integers(0, 5)) == 0 else []
        words.append(word)
    if all(word.strip("()").startswith(("r:", "pp", "mf", "ff")) for word in words):
        words.append("A5:1/8" if not slurred else "A5:1/8)")
        slurred = False
    return " ".join(words) + (")" if slurred else "")


def essence(passage: Passage) -> list[tuple[object, ...]]:
    """What the fingers need of each note, counted from the first."""
    start = passage.notes[0].onset
    return [
        (n.pitch, n.onset - start, n.length, n.dynamic, n.slurred, n.grace, n.fifths) for n in passage.notes
    ]


@given(lines(), st.integers(-7, 7))
@hypothesis_settings(max_examples=examples(60))
def test_our_reader_reads_back_what_was_written(line: str, fifths: int) -> None:
    """Pitch, onset, length, dynamic, slur and key of every note come back, and its id is the one given."""
    passage = read_notation(line, tempo=88, fifths=fifths)
    written = write_passage(passage, tempo=88)
    again = read_score(written.data, "line").passage
    assert essence(again) == essence(passage)
    assert tuple(note.id for note in again.notes) == written.ids[0]
    assert [n.length_ms for n in again.notes] == pytest.approx([n.length_ms for n in passage.notes])


@given(lines(), st.integers(-7, 7))
@hypothesis_settings(max_examples=examples(25))
def test_every_line_is_valid(line: str, fifths: int) -> None:
    """The W3C schema of MusicXML 4.0 finds nothing."""
    assert schema_errors(write_passage(read_notation(line, fifths=fifths), tempo=96).data) == []


@given(lines())
@hypothesis_settings(max_examples=examples(12))
def test_music21_reads_the_same(line: str) -> None:
    """An independent reader finds the same pitches, onsets and lengths once ties are joined."""
    from music21 import converter

    passage = read_notation(line)
    stream = converter.parseData(write_passage(passage).data.decode(), format="musicxml")
    found = [
        (
            n.pitch.midi,
            Fraction(n.offset).limit_denominator(5000),
            Fraction(n.duration.quarterLength).limit_denominator(5000),
        )
        for n in stream.parts[0].stripTies().flatten().notes
    ]
    assert found == [(n.pitch.number, 4 * n.onset, 4 * n.length) for n in passage.notes]


def test_accidentals_stand_where_key_and_bar_do_not_say_so() -> None:
    """Signs of the key need none, a natural holds for its bar, and a tie needs none."""
    data = write_passage(read_notation("F#5:1/4 F5:1/4 F5:1/4 C#6:3/4 C6:1/2", fifths=2)).data.decode()
    signs = [
        line.split("<accidental>")[1].split("<")[0] if "<accidental>" in line else ""
        for line in data.splitlines()
        if line.startswith("<note>")
    ]
    assert signs == ["", "natural", "", "", "", "natural"]


@pytest.mark.parametrize(("upper", "ending"), [("E5", "C5"), ("Eb5", "C#5"), ("E5", "Cb5")])
def test_a_trill_comes_back_with_its_beginning_and_its_ending(upper: str, ending: str) -> None:
    """Start on the upper note, and a turn at the end, as far below as it may be."""
    trill = Ornament("trill", Pitch.parse(upper), None, from_upper=True, ending=Pitch.parse(ending))
    notes = (replace(read_notation("D5:1/2").notes[0], ornament=trill),)
    written = write_score([Section(Passage(notes))])
    assert schema_errors(written.data) == []
    assert read_score(written.data, "sheet").passage.notes[0].ornament == trill


def test_the_slur_of_a_grace_note_ends_at_the_note_it_leads_to() -> None:
    """Though that is tied on; a slur from a note before it goes on to the last tied one."""
    held = Note("h", "", Pitch("A", 0, 6), Fraction(1, 4), Fraction(5, 8), 0.0, 900.0, slurred=True)
    grace = Note("g", "", Pitch("G", 1, 6), Fraction(1, 4), Fraction(0), 0.0, 80.0, grace=True)
    plain = Note("p", "", Pitch("E", 0, 6), Fraction(0), Fraction(1, 4), 0.0, 300.0)
    for line, place in (((plain, grace, held), 2), ((plain, replace(grace, slurred=True), held), 3)):
        notes = write_passage(Passage(line)).data.decode().split("<note>")[1:]
        assert len(notes) >= 4
        assert ['<slur type="stop"' in each for each in notes].index(True) == place


def test_grace_notes_ornaments_articulations_and_fingerings_come_back() -> None:
    """What a passage of a score holds beside its notes is written where our reader finds it."""
    base = read_notation("C5:1/4 D5:1/4 E5:1/2").notes
    grace = Note("g", "", Pitch("F", 1, 5), Fraction(1, 4), Fraction(0), 0.0, 80.0, grace=True)
    trill = Ornament("trill", upper=Pitch("E", -1, 5))
    turn = Ornament("turn", upper=Pitch("F", 1, 5), lower=Pitch("D", 0, 5))
    notes = (
        replace(base[0], articulations=("staccato",)),
        grace,
        replace(base[1], ornament=trill),
        replace(base[2], ornament=turn),
    )
    written = write_score(
        [Section(Passage(notes), fingerings={0: "T 1 | Eb"}, lyrics={2: "la"}, words={3: "here"})]
    )
    again = read_score(written.data, "sheet").passage.notes
    assert schema_errors(written.data) == []
    assert [n.grace for n in again] == [False, True, False, False]
    assert (again[2].ornament, again[3].ornament) == (trill, turn)
    assert (again[0].articulations, again[0].fingering) == (("staccato",), ("T 1 | Eb",))
    assert b"<words>here</words>" in written.data
    assert b"<text>la</text>" in written.data


def test_sections_have_headings_breaks_keys_and_metres_of_their_own() -> None:
    """A sheet of drills: each begins with a bar of its own and is found again by its ids."""
    first = Section(read_notation("E6:1/8 F#6:1/8", fifths=2), heading="Cell 1", tempo=60)
    second = Section(
        read_notation("C6:1/8 D6:1/8 E6:1/8", fifths=-3), heading="Cell 2", metre=(3, 8), new_system=True
    )
    written = write_score([first, second], title="Drills")
    assert schema_errors(written.data) == []
    notes = read_score(written.data, "sheet").passage.notes
    assert [n.bar for n in notes] == ["1", "1", "2", "2", "2"]
    assert [n.fifths for n in notes] == [2, 2, -3, -3, -3]
    assert [id for ids in written.ids for id in ids] == [n.id for n in notes]
    assert written.data.count(b"new-system") == 1
    assert all(f"Cell {n}</words>".encode() in written.data for n in (1, 2))


def test_hostile_texts_stay_texts() -> None:
    """Markup and control characters in titles, headings and lyrics are escaped or dropped."""
    nasty = "<script>alert(1)</script>&\x00\x0b]]>"
    section = Section(
        read_notation("C5"), heading=nasty, lyrics={0: nasty}, words={0: nasty}, fingerings={0: nasty}
    )
    written = write_score([section], title=nasty, part=nasty)
    assert schema_errors(written.data) == []
    assert b"<script" not in written.data
    assert read_score(written.data, "x").passage.title == "<script>alert(1)</script>& ]]>"


def test_what_has_no_written_form_is_refused() -> None:
    """A pitch below octave 0 and a length that is no note are errors with a next step."""
    with pytest.raises(RequestError, match="cannot be written"):
        write_passage(read_notation("C-1"))
    with pytest.raises(RequestError, match="cannot be written"):
        write_passage(read_notation("C5:1/999983"))
