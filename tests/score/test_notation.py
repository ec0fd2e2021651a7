"""The one-line notation, read and written."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.every import every
from tests.score.small_scores import bar, note, read, score, tempo

from gripway.errors import NotationError, RequestError
from gripway.model.passage import DYNAMICS
from gripway.score.notation import read_notation
from gripway.score.write_notation import write_notation


def test_a_line_is_read_word_by_word() -> None:
    """Pitches, lengths, rests, dynamics, slurs and bar signs."""
    notes = read_notation("F#6 | (Bb5:1/8 C6) r:1/4 ff D6|", tempo=60).notes
    assert [n.pitch.name for n in notes] == ["F#6", "Bb5", "C6", "D6"]
    assert [n.length for n in notes] == [Fraction(1, 16), Fraction(1, 8), Fraction(1, 16), Fraction(1, 16)]
    assert [n.onset for n in notes] == [0, Fraction(1, 16), Fraction(3, 16), Fraction(1, 2)]
    assert [n.slurred for n in notes] == [False, False, True, False]
    assert [n.dynamic for n in notes] == ["mf", "mf", "mf", "ff"]
    assert (notes[0].id, notes[0].bar) == ("n1", "")
    assert notes[3].onset_ms == 2000


def test_a_key_holds_until_the_next_and_tells_a_trill_its_upper_note() -> None:
    """The pitches keep their own accidentals; behind tr stands that of the upper note."""
    line = "tr B5 key:D tr C#6 tr E6 trn E6 trb E6 key:Fm tr♯ G6 A6"
    notes = read_notation(line).notes
    assert [n.fifths for n in notes] == [0, 2, 2, 2, 2, -4, -4]
    assert [n.ornament.upper.name if n.ornament else "" for n in notes] == [
        *("C6", "D6", "F#6", "F6", "Fb6", "A#6", "")
    ]
    assert {n.ornament.kind for n in notes[:-1] if n.ornament} == {"trill"}


def test_grace_notes_lead_to_their_note() -> None:
    """They have no length of their own and sound before the beat, out of the time of the note before."""
    notes = read_notation("C6:1/4 {D6 E6}F6:1/4 (G6 {A6} B6)", tempo=60).notes
    assert [n.grace for n in notes] == [False, True, True, False, False, True, False]
    assert [n.onset for n in notes][:4] == [0, Fraction(1, 4), Fraction(1, 4), Fraction(1, 4)]
    assert [n.onset_ms for n in notes][:4] == [0, 840, 920, 1000]  # 80 ms each, as in a score
    assert [n.length_ms for n in notes][:4] == [840, 80, 80, 1000]
    assert [n.slurred for n in notes] == [False, False, False, False, False, True, True]


def test_a_repeat_is_played_twice() -> None:
    """From the sign, the last repeat or the beginning; the notes of the second time have the same ids."""
    notes = read_notation("C6 D6 :| |: r E6:|:(F6 G6) :| A6", tempo=60).notes
    assert " ".join(n.pitch.name for n in notes) == "C6 D6 C6 D6 E6 E6 F6 G6 F6 G6 A6"
    assert [n.id for n in notes] == ["n1", "n2", "n1", "n2", "n3", "n3", "n4", "n5", "n4", "n5", "n6"]
    assert [n.time_through for n in notes] == [1, 1, 2, 2, 1, 2, 1, 1, 2, 2, 1]
    assert [n.onset * 16 for n in notes] == [0, 1, 2, 3, 5, 7, 8, 9, 10, 11, 12]
    assert [n.onset_ms for n in notes] == [float(n.onset * 4000) for n in notes]
    assert [n.slurred for n in notes][-5:] == [False, True, False, True, False]


ORNAMENTED = (
    "key:D |: mordent E6:1/4 mordent# G6:1/4 turn A6:1/4 [1 turn#/n B6:1/4 :| "
    "[2 turn/# D6:1/4 inverted-turnb F#6:1/4"
)


def _as_score() -> bytes:
    def ornament(sign: str, *accidentals: tuple[str, str]) -> str:
        marks = "".join(
            f'<accidental-mark placement="{side}">{name}</accidental-mark>' for name, side in accidentals
        )
        return f"<notations><ornaments><{sign}/>{marks}</ornaments></notations>"

    first = (
        note("E6", after=ornament("mordent"))
        + note("G6", after=ornament("mordent", ("sharp", "below")))
        + note("A6", after=ornament("turn"))
    )
    begin = '<barline location="left"><repeat direction="forward"/></barline>'
    opened, closed = (
        '<barline location="{}"><ending number="{}" type="{}"/>{}</barline>'.format for _ in range(2)
    )
    again = '<repeat direction="backward"/>'
    return score(
        bar(tempo(96) + begin + first, key=2),
        bar(
            opened("left", 1, "start", "")
            + note("B6", after=ornament("turn", ("sharp", "above"), ("natural", "below")))
            + closed("right", 1, "stop", again),
            "2",
        ),
        bar(
            opened("left", 2, "start", "")
            + note("D6", after=ornament("turn", ("sharp", "below")))
            + note("F#6", after=ornament("inverted-turn", ("flat", "above")))
            + closed("right", 2, "discontinue", ""),
            "3",
        ),
    )


def test_ornaments_and_endings_are_what_the_same_music_is_as_a_score() -> None:
    """Pitches, times through, onsets and auxiliary notes are those that the reader of MusicXML finds."""
    written, scored = read_notation(ORNAMENTED).notes, read(_as_score()).passage.notes
    assert " ".join(n.pitch.name for n in written) == "E6 G6 A6 B6 E6 G6 A6 D6 F#6"
    for what in ("pitch", "ornament", "time_through", "onset", "length", "onset_ms", "length_ms", "fifths"):
        assert [getattr(n, what) for n in written] == [getattr(n, what) for n in scored], what
    touched = [(n.ornament.kind, n.ornament.upper, n.ornament.lower) for n in written[:4] if n.ornament]
    assert [" ".join(str(pitch and pitch.name) for pitch in pair) for _, *pair in touched] == [
        *("None D6", "None F#6", "B6 G6", "C#7 A6")
    ]


def test_unit_tempo_and_key_are_taken() -> None:
    """The default length, the milliseconds and the key signature come from the caller."""
    only = read_notation("C5", unit=Fraction(1, 4), tempo=120, fifths=-2).notes[0]
    assert (only.length, only.length_ms, only.fifths) == (Fraction(1, 4), 500, -2)


@every(
    [
        ("C5 H5", "word 2, 'H5'", "neither a pitch"),
        ("C5 ffz D5", "word 2, 'ffz'", "neither a pitch"),
        ("(C5 D5):1/8", "word 2, 'D5):1/8'", "length stands behind the bracket"),
        ("C5:0", "word 1, 'C5:0'", "no length"),
        ("C5:1/0", "word 1, 'C5:1/0'", "no length"),
        ("r:x C5", "word 1, 'r:x'", "no length"),
        ("C5:999", "word 1, 'C5:999'", "no length"),
        ("C5 (D5 E5", "word 2, '(D5'", "never closed"),
        ("C5 D5)", "word 2, 'D5)'", "not opened"),
        ("(C5 (D5) E5)", "word 2, '(D5)'", "inside a slur"),
        ("C5 key:H C5", "word 2, 'key:H'", "'H' is no key"),
        ("C5 tr", "word 2, 'tr'", "this trill has no note"),
        ("tr r C5", "word 1, 'tr'", "this trill has no note"),
        ("tr tr C5", "word 1, 'tr'", "this trill has no note"),
        ("trx C5", "word 1, 'trx'", "neither a pitch"),
        ("{C5", "word 1, '{C5'", "not closed before the end"),
        ("{C5 :| D5", "word 1, '{C5'", "not closed before the repeat"),
        ("C5 } D5", "word 2, '}'", "no grace note to close"),
        ("C5 {} D5", "word 2, '{}'", "no grace note to close"),
        ("{C5 {D5} E5", "word 2, '{D5}'", "behind grace notes"),
        ("{C5} {D5} E5", "word 2, '{D5}'", "behind grace notes"),
        ("{C5:1/8} D5", "word 1, '{C5:1/8}'", "without lengths"),
        ("C5 {r} D5", "word 2, '{r}'", "without lengths and rests"),
        ("C5 {D5}", "word 2, '{D5}'", "lead to no note before the end"),
        ("{D5} r E5", "word 1, '{D5}'", "lead to no note before the rest"),
        ("|: {D5} :|", "word 2, '{D5}'", "lead to no note before the repeat"),
        ("|: C5 D5", "word 1, '|:'", "never closed"),
        ("|: C5 |: D5 :|", "word 3, '|:'", "inside a repeat"),
        ("C5 |: :| D5", "word 3, ':|'", "nothing to repeat"),
        ("C5 mordent r", "word 2, 'mordent'", "this ornament has no note"),
        ("mordent/# C5", "word 1, 'mordent/#'", "neither a pitch"),
        ("turnx C5", "word 1, 'turnx'", "neither a pitch"),
        ("C5 [1 D5 :|", "word 4, ':|'", "no second ending"),
        ("C5 [1 D5 :| E5", "word 4, ':|'", "no second ending"),
        ("C5 [1 D5 [2 E5", "word 4, '[2'", "behind no first"),
        ("C5 [1 D5", "word 2, '[1'", "no repeat sign"),
        ("C5 [1 [1 D5 :| [2 E5", "word 3, '[1'", "inside a first ending"),
        ("[1 D5 :| [2 E5", "word 1, '[1'", "nothing stands before"),
        ("C5 [1 :| [2 E5", "word 3, ':|'", "nothing to repeat"),
        ("C5 [1 D5 :|: E5 :|", "word 4, ':|:'", "inside a first ending"),
        ("C5 [1 D5 |: E5 :|", "word 4, '|:'", "inside a first ending"),
        ("C5 [1 D5 :| [2 E5 :|", "word 7, ':|'", "begin in a second ending"),
        ("C5 [1 D5 :| [2 E5 [1 F5 :| [2 G5", "word 7, '[1'", "begin in a second ending"),
        ("C5 (D5 [1 E5) :| [2 F5", "word 2, '(D5'", "never closed before the repeat"),
        ("|: (C5 :| D5)", "word 2, '(C5'", "never closed before the repeat"),
        ("", "", "no notes"),
        ("r r |", "", "no notes"),
    ]
)
def test_a_wrong_word_is_pointed_at(text: str, place: str, what: str) -> None:
    """The error carries the word, its number from 1, and the next step."""
    with pytest.raises(NotationError, match=what) as caught:
        read_notation(text)
    assert caught.value.place == place
    assert caught.value.next_step


def test_a_unit_or_tempo_of_nothing_is_refused() -> None:
    """Both must be above zero."""
    for unit, quarters in ((Fraction(0), 96.0), (Fraction(1, 16), 0.0)):
        with pytest.raises(RequestError):
            read_notation("C5", unit=unit, tempo=quarters)


lengths = st.fractions(min_value=Fraction(1, 64), max_value=4, max_denominator=64)
pitches = st.builds(
    "{}{}{}".format, st.sampled_from("CDEFGAB"), st.sampled_from(["", "#", "b", "##"]), st.integers(3, 7)
)
sounds = st.one_of(pitches, st.just("r"), st.builds("{}:{}".format, pitches, lengths))
trills = ("tr", "tr#", "trb", "trn", "tr##", "trbb")
others = (
    "mordent",
    "mordentb",
    "inverted-mordent#",
    "turn",
    "turn#",
    "turn/#",
    "turnb/bb",
    "inverted-turn/n",
)
signs = st.sampled_from((*trills, *others))
graces = st.lists(pitches, min_size=1, max_size=3).map(lambda g: f"{{{' '.join(g)}}}")
groups = st.one_of(
    sounds,
    st.builds("{} {}".format, signs, pitches),
    st.builds("{} {}".format, graces, pitches),
    st.builds("({} {}{})".format, pitches, graces, pitches),
    st.builds("{} {} {}".format, signs, graces, pitches),
    st.sampled_from(["key:A", "key:Ebm", "key:Cb", "key:F#m", "key:C"]),
    st.sampled_from(DYNAMICS),
    st.lists(pitches, min_size=2, max_size=4).map(lambda g: f"({' '.join(g)})"),
)


@given(st.lists(groups, min_size=1, max_size=12), lengths)
def test_writing_and_reading_give_the_same_passage(words: list[str], unit: Fraction) -> None:
    """Whatever was read comes back the same after being written, in any default length."""
    passage = read_notation(" ".join([*words, "C5"]), unit=unit)
    assert read_notation(write_notation(passage, unit), unit=unit) == passage
    assert read_notation(write_notation(passage)) == passage


def test_lengths_without_a_common_unit_are_an_error() -> None:
    """Three large primes under the bars make an onset in parts of a whole note that nobody can count."""
    with pytest.raises(NotationError, match=r"word 3.*no common unit"):
        read_notation("E6:1/99991 F6:1/99989 G6:1/99971")


def test_a_rest_is_spelled_in_plain_and_dotted_values() -> None:
    """Seven 32nds are a dotted eighth and a 32nd, the longest first; what is plain or dotted stays one."""
    lines = {f"r:{length} E6": length for length in ("7/32", "5/8", "3/16", "1/2", "3", "1/12")}
    written = [write_notation(read_notation(line)) for line in lines]
    assert written == ["r:3/16 r:1/32 E6", "r:1/2 r:1/8 E6", "r:3/16 E6", "r:1/2 E6", "r:3 E6", "r:1/12 E6"]
    assert [read_notation(each).notes[0].onset for each in written] == [
        Fraction(each) for each in lines.values()
    ]
