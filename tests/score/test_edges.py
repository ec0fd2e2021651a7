"""Edges of what a score may say: at the bound and just beside it, with bounds read from their modules."""

import io
import zipfile
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest
from tests.score.small_scores import bar, direction, grace, note, read, score, tempo

from gripway.errors import ScoreError
from gripway.model.passage import Ornament
from gripway.model.pitch import Pitch
from gripway.model.tempo import written_beat
from gripway.score.free_side import SIDES, Surroundings, TakenSides, TextBeside, Wanted
from gripway.score.reading import bar_positions, musicxml
from gripway.score.reading.bar_choice import chosen_bars
from gripway.score.reading.bar_positions import LONGEST, MOST_BEATS, SHORTEST_BEAT
from gripway.score.reading.dynamics import DynamicLine, DynamicMark
from gripway.score.reading.jump_signs import BarJumps, unfollowed
from gripway.score.reading.ornaments import tremolo_with
from gripway.score.reading.performance import GRACE_MS
from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.tempo_marks import (
    FASTEST,
    METRONOME,
    MOST_DOTS,
    SLOWEST,
    SOUND,
    TempoMark,
    merge_marks,
)
from gripway.score.spelling import _pitch_of
from gripway.score.xml import archive, xml_tree

NUMBERS = ("1", "2", "3")


def refused(data: bytes) -> bool:
    """Whether a score is refused."""
    try:
        read(data)
    except ScoreError:
        return True
    return False


def metre(beats: object, kind: object) -> str:
    """A time signature."""
    return f"<time><beats>{beats}</beats><beat-type>{kind}</beat-type></time>"


def quarters(sound: float) -> float:
    """Quarters a minute by which a note of a score with this playback tempo is timed."""
    note_of = read(score(bar(tempo(sound) + note("E6", 4)))).passage.notes[0]
    return 60_000 / note_of.length_ms


@pytest.mark.parametrize("edge", [SLOWEST, FASTEST])
def test_a_tempo_counts_up_to_both_its_ends(edge: float) -> None:
    """The slowest and the fastest are tempos, what lies just beyond is left out."""
    beyond = edge - 0.01 if edge == SLOWEST else edge + 0.01
    assert quarters(edge) == pytest.approx(edge)
    assert quarters(beyond) != pytest.approx(beyond)


def test_a_metronome_has_so_many_dots() -> None:
    """As many dots as may be are read, one more is no tempo."""

    def read_with(dots: int) -> str:
        unit = f"<beat-unit>quarter</beat-unit>{'<beat-unit-dot/>' * dots}"
        mark = f"<metronome>{unit}<per-minute>90</per-minute></metronome>"
        return read(score(bar(direction(mark) + note("E6")))).passage.tempo_by

    assert read_with(MOST_DOTS) == read_with(0)
    assert read_with(MOST_DOTS + 1) != read_with(0)


@pytest.mark.parametrize(
    ("beats", "length"),
    [((6, 8), 1.5), ((3, 8), 1.0), ((9, 8), 1.5), ((4, 8), 1.0), ((2, 2), 2.0), ((6, 4), 1.0)],
)
def test_a_beat_is_dotted_from_six_eighths_on(beats: tuple[int, int], length: float) -> None:
    """Three eighths beat in eighths, six and nine in threes; halves beat in halves."""
    assert written_beat(beats) == length


def test_lengths_and_offsets_are_read_up_to_the_longest() -> None:
    """An offset of the longest length either way, a bar that reaches it; a sixteenth more is refused."""
    whole = LONGEST * 16
    words = "<direction-type><words>a</words></direction-type>"
    for sign in ("", "-"):
        for length, wrong in ((whole, False), (whole + 1, True)):
            offset = f"<offset sound='yes'>{sign}{length}</offset>"
            shifted = f"<direction>{words}{offset}</direction>"
            assert refused(score(bar(shifted + note("E6")))) is wrong, (sign, length)
    forward = "<forward><duration>{}</duration></forward>"
    assert not refused(score(bar(note("E6", 16) + forward.format(whole - 16))))
    assert refused(score(bar(note("E6", 16) + forward.format(whole - 15))))


def test_places_are_as_fine_as_can_be_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """With 64ths as the finest, sixteen to a quarter are read and seventeen refused."""
    monkeypatch.setattr(bar_positions, "FINEST", 64)
    for divisions, wrong in ((16, False), (17, True)):
        changed = f"<attributes><divisions>{divisions}</divisions></attributes>"
        assert refused(score(bar(changed + note("E6", 1) + note("F6", divisions * 4 - 1)))) is wrong


def test_divisions_are_more_than_none() -> None:
    """None and fewer are no unit; one is."""
    for divisions, wrong in (("1", False), ("0", True), ("-1", True)):
        changed = f"<attributes><divisions>{divisions}</divisions></attributes>"
        assert refused(score(bar(changed + note("E6", 1)))) is wrong


def test_a_time_signature_has_bounds() -> None:
    """The most beats and the shortest are read, one beat more or half of it is refused."""
    for signature, wrong in (
        (metre(MOST_BEATS, 4), False),
        (metre(MOST_BEATS + 1, 4), True),
        (metre(f"{MOST_BEATS}+1", 4), True),
        (metre(3, SHORTEST_BEAT), False),
        (metre(3, SHORTEST_BEAT + 1), True),
    ):
        assert refused(score(bar(note("E6"), attributes=signature))) is wrong, signature


def test_as_many_notes_are_played_as_may_be(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two bars repeated: at the most it is read, with one note fewer allowed it is refused."""
    repeat = '<barline location="right"><repeat direction="backward"/></barline>'
    data = score(bar(note("E6") * 2), bar(note("F6") * 2 + repeat, "2"))
    monkeypatch.setattr(musicxml, "MOST_PLAYED_NOTES", 8)
    assert len(read(data).passage.notes) == 8
    monkeypatch.setattr(musicxml, "MOST_PLAYED_NOTES", 7)
    assert refused(data)


def test_a_file_is_read_up_to_its_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    """As long as may be is read, a byte more is not."""
    data = score(bar(note("E6")))
    monkeypatch.setattr(xml_tree, "MAX_BYTES", len(data))
    assert not refused(data)
    monkeypatch.setattr(xml_tree, "MAX_BYTES", len(data) - 1)
    assert refused(data)


@pytest.mark.parametrize(
    ("wanted", "found"), [("2", range(1, 2)), ("2-2", range(1, 2)), ("2-", range(1, 3)), ("-2", range(2))]
)
def test_bars_are_chosen_to_their_last(wanted: str, found: range) -> None:
    """The last bar asked for belongs to them; one bar may be first and last."""
    assert chosen_bars(wanted, NUMBERS, "a score") == found


@pytest.mark.parametrize("wanted", ["3-2", "0-2", "2-4", "-"])
def test_bars_that_are_none_are_refused(wanted: str) -> None:
    """The end before the beginning by one, a bar before the first or after the last."""
    with pytest.raises(ScoreError):
        chosen_bars(wanted, NUMBERS, "a score")


def test_a_dynamic_holds_from_its_own_place_on() -> None:
    """A note at the place of a mark has it, the note just before it has not."""
    line = DynamicLine([DynamicMark(0, Fraction(1, 4), "ff")])
    before, there = (line.at(0, at)[0] for at in (Fraction(15, 64), Fraction(1, 4)))
    assert (before != "ff", there) == (True, "ff")


def test_grace_notes_at_the_very_start_take_from_their_note() -> None:
    """With nothing before it a grace note begins on the beat; after a note it takes from that one."""
    first, main = read(score(bar(grace("D6") + note("E6", 16)))).passage.notes
    assert first.onset_ms == 0.0
    assert main.onset_ms == pytest.approx(first.length_ms)
    before, between, after = read(score(bar(note("E6", 8) + grace("D6") + note("F6", 8)))).passage.notes
    assert between.onset_ms + between.length_ms == pytest.approx(after.onset_ms)
    assert between.length_ms == pytest.approx(GRACE_MS)
    assert before.length_ms == pytest.approx(between.onset_ms)


@pytest.mark.parametrize(
    ("asked", "wrong"), [(4.99, True), (5.0, False), (500.0, False), (500.5, True), (float("inf"), True)]
)
def test_a_tempo_of_ones_own_is_one_to_play_at(asked: float, wrong: bool) -> None:
    """From 5 to 500 quarters a minute, both ends among them."""

    def options() -> ReadOptions:
        return ReadOptions(tempo=asked)

    assert raises(options) is wrong


def raises(make: Callable[[], object]) -> bool:
    """Whether something is refused."""
    try:
        make()
    except Exception:
        return True
    return False


def test_of_two_marks_as_sure_the_earlier_part_counts() -> None:
    """At one place the later part counts only where its mark is surer."""
    own, other = (TempoMark(0, Fraction(0), quarters, METRONOME) for quarters in (60.0, 90.0))
    assert merge_marks([[own], [other]]) == [own]
    surer = replace(other, rank=SOUND)
    assert merge_marks([[own], [surer]]) == [surer]


def test_of_two_sounds_at_one_place_the_printed_number_counts() -> None:
    """An "a tempo" that sounds 144 and a printed 144 at one place are a printed 144, no other number."""
    sounds = TempoMark(0, Fraction(0), 144.0, SOUND, words="a tempo")
    prints = TempoMark(0, Fraction(0), 144.0, SOUND, numbered=True, shown="quarter = 144")
    assert merge_marks([[sounds, prints]]) == [prints]
    assert merge_marks([[prints, sounds]]) == [prints]
    assert merge_marks([[sounds, replace(prints, quarters_per_minute=90.0)]]) == [sounds]


def test_the_partner_of_a_tremolo_is_above_from_the_same_pitch_on() -> None:
    """A partner of the same pitch counts as the upper note, one a semitone below as the lower."""
    here, below = Pitch.parse("E6"), Pitch.parse("D#6")
    assert tremolo_with(here, Pitch.parse("Fb6")) == Ornament("tremolo", upper=Pitch.parse("Fb6"))
    assert tremolo_with(here, below) == Ornament("tremolo", lower=below)


def test_a_jump_leads_back_to_its_own_bar_and_a_coda_comes_after() -> None:
    """A segno in the bar of its dal segno is found; a coda in the bar of its sign is none to leap to."""
    segno, later = BarJumps(segno="", dalsegno=""), BarJumps(segno="")
    told = [words for _, words in unfollowed([segno, BarJumps(fine=True)])]
    assert not [words for words in told if "no segno" in words]
    assert [words for _, words in unfollowed([BarJumps(dalsegno=""), later]) if "no segno" in words]
    same, after = [BarJumps(tocoda="", coda="")], [BarJumps(tocoda=""), BarJumps(coda="")]
    assert [words for _, words in unfollowed(same) if "to the coda" in words]
    assert not [words for _, words in unfollowed(after) if "to the coda" in words]


def test_a_pitch_goes_up_to_octave_nine() -> None:
    """MusicXML's octaves are 0 to 9 (its schema): an octave beyond is no pitch."""
    for octave, is_pitch in (("0", True), ("9", True), ("10", False), ("-1", False)):
        assert (_pitch_of("C", octave, "")[0] is not None) is is_pitch


@pytest.mark.parametrize(("name", "deepest"), [("a", 4), ("lyric", 5)])
def test_elements_are_as_deep_as_their_bound(
    monkeypatch: pytest.MonkeyPatch, name: str, deepest: int
) -> None:
    """Five are read, or skipped within what is not read; a sixth is refused."""
    monkeypatch.setattr(xml_tree, "MAX_DEPTH", 5)

    def nested(depth: int) -> bytes:
        return f"<a>{f'<{name}>' * depth}{f'</{name}>' * depth}</a>".encode()

    assert xml_tree.parse_tree(nested(deepest), "x.xml").name == "a"
    with pytest.raises(ScoreError, match="nested deeper than 5"):
        xml_tree.parse_tree(nested(deepest + 1), "x.xml")


def test_an_archive_unpacks_to_its_most_bytes(monkeypatch: pytest.MonkeyPatch) -> None:
    """At the bound it is read, a byte above it is refused."""
    monkeypatch.setattr(archive, "MAX_BYTES", 100)
    for size, fits in ((100, True), (101, False)):
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w") as made:
            made.writestr("a.xml", bytes(size))
        with zipfile.ZipFile(packed) as made:
            if fits:
                archive._check_size(made, "a.mxl")
            else:
                with pytest.raises(ScoreError, match="too much"):
                    archive._check_size(made, "a.mxl")


@pytest.mark.parametrize(("start", "clear"), [(1.0, True), (0.99, False)])
def test_words_that_begin_where_a_mark_ends_leave_its_side(start: float, clear: bool) -> None:
    """They touch and do not overlap; a little nearer they take the side."""
    words = {0: [TextBeside(SIDES[0], start, 9.0)]}
    around = Surroundings({7: TakenSides(frozenset(), 0.0, 0, 0)}, words)
    assert (SIDES[0] in around._clear(Wanted(7, 1.0, 1.0))) is clear
