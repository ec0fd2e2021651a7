"""What the reader makes of notes: ties, chords, grace notes, voices, slurs, ornaments, dynamics."""

from fractions import Fraction

import pytest
from tests.score.small_scores import bar, direction, names, note, read, remarks, score, scores, tempo

from gripway.errors import ScoreError
from gripway.model.passage import Ornament
from gripway.model.pitch import Pitch
from gripway.score.writing.write_score import write_passage

TIE_START, TIE_STOP = '<tie type="start"/>', '<tie type="stop"/>'


def notations(inner: str) -> str:
    """Notations of a note."""
    return f"<notations>{inner}</notations>"


def ornaments(inner: str) -> str:
    """Ornaments of a note."""
    return notations(f"<ornaments>{inner}</ornaments>")


def test_ids_count_every_note_element_of_the_part() -> None:
    """Rests and chord members count: the id names the k-th note element from 1."""
    data = score(bar(note("r") + note("C5") + note("E5", before="<chord/>") + note("G5")))
    assert [n.id for n in read(data).passage.notes] == ["P1-n3", "P1-n4"]


def test_rests_only_move_the_onset() -> None:
    """A quarter rest puts the next note a quarter later, in whole notes and milliseconds."""
    last = read(score(bar(tempo(120) + note("C5") + note("r") + note("D5", 2)))).passage.notes[-1]
    assert (last.onset, last.length, last.onset_ms, last.length_ms) == (
        Fraction(1, 2),
        Fraction(1, 8),
        1000,
        250,
    )


def test_ties_join_across_the_bar_line() -> None:
    """Two tied quarters in two bars are one half note."""
    data = score(bar(note("C5", after=TIE_START)), bar(note("C5", after=TIE_STOP) + note("D5"), "2"))
    first, second = read(data).passage.notes
    assert (first.length, first.bar, second.onset) == (Fraction(1, 2), "1", Fraction(1, 2))


def test_a_tie_to_another_pitch_joins_nothing() -> None:
    """A slip of the file, a tie from C to D, leaves both notes."""
    assert names(score(bar(note("C5", after=TIE_START) + note("D5", after=TIE_STOP)))) == ["C5", "D5"]


def test_the_highest_note_of_a_chord_is_taken_and_said() -> None:
    """Of C5 E5 the E5 is read, and a remark with the note's id names both."""
    data = score(bar(note("C5") + note("E5", before="<chord/>") + note("G4")))
    passage = read(data).passage
    assert [n.pitch.name for n in passage.notes] == ["E5", "G4"]
    assert [n.onset for n in passage.notes] == [0, Fraction(1, 4)]
    remark = passage.remarks[0]
    assert (remark.text, remark.bar, remark.note_id) == (
        "chord of C5, E5: the highest note, E5, was taken",
        "1",
        "P1-n2",
    )


def test_cue_notes_are_left_out() -> None:
    """Another instrument's cue is not played."""
    data = score(bar(note("A4", before="<cue/>") + note("C5")))
    assert names(data) == ["C5"]
    assert "cue notes left out: 1" in remarks(data)


def test_the_first_voice_is_read_unless_another_is_asked_for() -> None:
    """Voice 2 is named in a remark, and read on request."""
    second = "<backup><duration>4</duration></backup>" + note("A4", after="<voice>2</voice>")
    data = score(bar(note("C5", after="<voice>1</voice>") + second))
    assert names(data) == ["C5"]
    assert "left out: voice 2 (notes: 1)" in remarks(data)
    assert names(data, voice="2") == ["A4"]
    with pytest.raises(ScoreError, match=r"no voice '7'.*1, 2"):
        read(data, voice="7")


def test_microtones_stay_as_notes_with_a_problem() -> None:
    """A quarter-tone keeps its place, rounded towards the letter, and says so with bar and id."""
    half = (
        "<note><pitch><step>A</step><alter>0.5</alter><octave>4</octave></pitch><duration>4</duration></note>"
    )
    passage = read(score(bar(half + note("C5"), "7"))).passage
    assert [n.problem for n in passage.notes] == ["microtone: A+0.5, octave 4", ""]
    assert passage.notes[0].pitch == Pitch("A", 0, 4)
    assert (passage.remarks[0].bar, passage.remarks[0].note_id) == ("7", "P1-n1")


def test_slurs_mark_every_note_after_the_first() -> None:
    """Under one slur the second and third note are slurred, the first and the next are not."""
    slurred = [
        note("C5", after=notations('<slur type="start" number="1"/>')),
        note("D5"),
        note("E5", after=notations('<slur type="stop" number="1"/>')),
        note("F5"),
    ]
    flags = [n.slurred for n in read(score(bar("".join(slurred)))).passage.notes]
    assert flags == [False, True, True, False]


def test_a_slur_that_never_ends_slurs_nothing() -> None:
    """A lost slur start does not run through the rest of the piece."""
    data = score(bar(note("C5", after=notations('<slur type="start"/>')) + note("D5") + note("E5")))
    assert not any(n.slurred for n in read(data).passage.notes)


def test_articulations_and_fingerings_are_carried() -> None:
    """Staccato and a printed fingering reach the note."""
    marks = notations(
        "<technical><fingering>T 2</fingering></technical><articulations><staccato/></articulations>"
    )
    only = read(score(bar(note("C5", after=marks)))).passage.notes[0]
    assert (only.articulations, only.fingering) == (("staccato",), ("T 2",))


@pytest.mark.parametrize(
    ("key", "before", "mark", "upper"),
    [
        (0, "", "", "C6"),  # B to C in C major
        (2, "", "", "C#6"),  # D major has C sharp
        (0, note("C#6"), "", "C#6"),  # an accidental earlier in the bar, same octave
        (0, note("C#5"), "", "C6"),  # another octave does not count
        (2, "", '<accidental-mark placement="above">natural</accidental-mark>', "C6"),
    ],
)
def test_a_trill_goes_to_the_next_letter_under_key_and_accidentals(
    key: int, before: str, mark: str, upper: str
) -> None:
    """The upper note of a trill on B5 follows accidental mark, earlier accidental, key (music theory)."""
    data = score(bar(before + note("B5", after=ornaments("<trill-mark/>" + mark)), key=key))
    assert read(data).passage.notes[-1].ornament == Ornament("trill", upper=Pitch.parse(upper))


@pytest.mark.parametrize(
    ("sign", "from_upper", "ending"),
    [
        ('<trill-mark start-note="upper"/>', True, None),
        ('<trill-mark start-note="main" accelerate="yes" beats="8"/>', False, None),
        ('<trill-mark two-note-turn="half"/>', False, "A#5"),
        ('<trill-mark two-note-turn="whole" start-note="upper"/>', True, "A5"),
        ('<trill-mark two-note-turn="none"/>', False, None),
        ("<trill-mark/><turn/>", False, "A5"),  # the key's note below
        ('<trill-mark/><turn/><accidental-mark placement="below">sharp</accidental-mark>', False, "A#5"),
    ],
)
def test_how_a_trill_begins_and_ends(sign: str, from_upper: bool, ending: str | None) -> None:
    """start-note, two-note-turn (W3C MusicXML 4.0 reference, trill-mark); a turn after it is its ending."""
    only = read(score(bar(note("B5", after=ornaments(sign)), key=0))).passage.notes[0].ornament
    expected = Ornament("trill", Pitch.parse("C6"), None, from_upper, Pitch.parse(ending) if ending else None)
    assert only == expected


def test_accidentals_end_with_the_bar() -> None:
    """C sharp in bar 1 does not reach a trill in bar 2."""
    data = score(bar(note("C#6"), key=0), bar(note("B5", after=ornaments("<trill-mark/>")), "2"))
    assert read(data).passage.notes[-1].ornament == Ornament("trill", upper=Pitch.parse("C6"))


@pytest.mark.parametrize(
    ("sign", "expected"),
    [
        ("mordent", Ornament("mordent", lower=Pitch.parse("F#5"))),  # MusicXML: the sign with the line, lower
        ("inverted-mordent", Ornament("inverted-mordent", upper=Pitch.parse("A5"))),
        ("turn", Ornament("turn", Pitch.parse("A5"), Pitch.parse("F#5"))),
        ("inverted-turn", Ornament("inverted-turn", Pitch.parse("A5"), Pitch.parse("F#5"))),
    ],
)
def test_mordents_and_turns_touch_their_neighbours(sign: str, expected: Ornament) -> None:
    """On G5 in G major the neighbours are A5 and F#5 (W3C MusicXML 4.0 reference, mordent)."""
    data = score(bar(note("G5", after=ornaments(f"<{sign}/>")), key=1))
    assert read(data).passage.notes[0].ornament == expected


def test_a_wavy_line_carries_the_trill_to_its_last_note() -> None:
    """A trill sign with a wavy line over three notes makes all three trills, the fourth none."""
    data = score(
        bar(
            note("C5", after=ornaments('<trill-mark/><wavy-line type="start" number="1"/>'))
            + note("D5")
            + note("E5", after=ornaments('<wavy-line type="stop" number="1"/>'))
            + note("F5")
        )
    )
    uppers = [n.ornament and n.ornament.upper and n.ornament.upper.name for n in read(data).passage.notes]
    assert uppers == ["D5", "E5", "F5", None]


def test_a_fingered_tremolo_makes_partners() -> None:
    """The two notes of a tremolo name each other; a single-note tremolo is no ornament."""
    data = score(
        bar(
            note("C6", after=ornaments('<tremolo type="start">3</tremolo>'))
            + note("E6", after=ornaments('<tremolo type="stop">3</tremolo>'))
            + note("G6", after=ornaments('<tremolo type="single">3</tremolo>'))
        )
    )
    low, high, single = (n.ornament for n in read(data).passage.notes)
    assert low == Ornament("tremolo", upper=Pitch.parse("E6"))
    assert high == Ornament("tremolo", lower=Pitch.parse("C6"))
    assert single is None


def test_strokes_through_a_stem_are_kept_and_written() -> None:
    """What strokes tell to repeat (MusicXML 4.0, element tremolo, type single) is written with them."""
    signs = ("<tremolo>2</tremolo>", '<tremolo type="single">3</tremolo>', "<tremolo>many</tremolo>")
    data = score(bar("".join(note("C6", after=ornaments(sign)) for sign in signs) + note("D6")))
    passage = read(data).passage
    assert [each.strokes for each in passage.notes] == [2, 3, 0, 0]
    again = read(write_passage(passage).data).passage
    assert [each.strokes for each in again.notes] == [2, 3, 0, 0]


def test_dynamics_hold_and_sforzato_does_not() -> None:
    """After ff a sfz is f for one note only; ppp reads as pp; mf before the first mark."""
    marks = [direction(f"<dynamics><{mark}/></dynamics>") for mark in ("ff", "sfz", "ppp")]
    data = score(
        bar(note("C5") + marks[0] + note("D5") + marks[1] + note("E5") + note("F5") + marks[2] + note("G5"))
    )
    assert [n.dynamic for n in read(data).passage.notes] == ["mf", "ff", "f", "ff", "pp"]


def test_words_in_the_mark_of_a_dynamic_are_kept() -> None:
    """`p dolce` as one mark (MusicXML 4.0, other-dynamics) is p, and its word is a word over the staff."""
    mark = "<dynamics><p/><other-dynamics> dolce</other-dynamics></dynamics>"
    first, second = read(score(bar(direction(mark) + note("C5") + note("D5")))).passage.notes
    assert (first.dynamic, first.words, second.dynamic) == ("p", ("dolce",), "p")
    assert second.manner == ("dolce",)


def test_forte_piano_goes_soft_after_its_note() -> None:
    """A fp is loud for the note it stands at, then p."""
    data = score(bar(direction("<dynamics><fp/></dynamics>") + note("C5") + note("D5")))
    assert [n.dynamic for n in read(data).passage.notes] == ["f", "p"]


def test_divisions_may_change_in_the_bar() -> None:
    """A quarter of 4 divisions and one of 8 last the same."""
    change = "<attributes><divisions>8</divisions></attributes>"
    data = score(bar(note("C5", 4) + change + note("D5", 8)))
    assert [n.length for n in read(data).passage.notes] == [Fraction(1, 4)] * 2


def test_an_empty_bar_lasts_as_long_as_its_metre() -> None:
    """A bar without content takes the length of the time signature."""
    metre = "<time><beats>3</beats><beat-type>4</beat-type></time>"
    data = score(bar(note("C5", 12), attributes=metre), '<measure number="2"/>', bar(note("D5"), "3"))
    assert read(data).passage.notes[-1].onset == Fraction(6, 4)


def test_transposition_is_carried_beside_written_pitches() -> None:
    """A piccolo's C5 stays C5; the part says that it sounds an octave higher."""
    transpose = "<transpose><chromatic>0</chromatic><octave-change>1</octave-change></transpose>"
    reading = read(score(bar(note("C5"), attributes=transpose), name="Piccolo"))
    assert reading.passage.notes[0].pitch.name == "C5"
    assert (reading.part.name, reading.part.sounds_semitones) == ("Piccolo", 12)


def test_percussion_is_refused_with_the_next_step() -> None:
    """A part of unpitched notes has nothing for a flute."""
    drum = "<note><unpitched/><duration>4</duration></note>"
    with pytest.raises(ScoreError, match=r"only unpitched notes.*Choose another part"):
        read(scores(("Drum", (bar(drum),))))


def test_timewise_scores_are_turned_round() -> None:
    """A score-timewise document reads like the partwise one, with places in its own bytes."""
    body = "".join(
        f'<measure number="{number}"><part id="P1">{note(pitch)}</part></measure>'
        for number, pitch in (("1", "C5"), ("2", "D5"))
    )
    data = f"<score-timewise>{body}</score-timewise>".encode()
    reading = read(data)
    assert [(n.pitch.name, n.bar) for n in reading.passage.notes] == [("C5", "1"), ("D5", "2")]
    assert data[reading.places["P1-n2"].start :].startswith(b"<note><pitch><step>D")


def test_marks_are_read_in_every_style() -> None:
    """Our own line of lyrics and our signs over the staff count as fingerings, other words do not."""
    lyric = '<lyric number="2" name="grip"><text>T 1 | Eb</text></lyric><lyric><text>T 1 | Eb</text></lyric>'
    signs = [direction(f"<words>{text}</words>") for text in ("[Tb]", "simile", "dolce", "grips sim.")]
    data = score(bar(note("D6", after=lyric) + "".join(signs) + note("E6") + note("F6")))
    assert [each.fingering for each in read(data).passage.notes] == [
        ("T 1 | Eb",),
        ("[Tb]", "grips sim."),
        (),
    ]
