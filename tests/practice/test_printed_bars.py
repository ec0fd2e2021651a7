"""Bars printed on a sheet have the notes, ties, slurs and rests of the part."""

import re
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from tests.score import small_scores as small

from gripway.model.passage import Note, Passage, last_bar
from gripway.page.sheet.heading_words import beyond_words
from gripway.page.sheet.practice_drill import section_of
from gripway.page.sheet.printed_bars import bars_to_print
from gripway.practice.drills.excerpts import Excerpt, excerpts, whole_bars, with_held
from gripway.practice.plan.plan import Plan
from gripway.practice.ways.whole_passage import Stretch, taken_on
from gripway.score.reading.read_notes import FERMATA
from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.score_reading import read_score
from gripway.score.writing.write_note import ARTICULATIONS
from gripway.score.writing.write_score import Section, write_score
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise
from gripway.tasks.scores import read

DATA = Path(__file__).parents[1] / "data"
STRETCH = 40
"""Notes printed at a time."""


def printed(found: Sequence[Excerpt]) -> tuple[Note, ...]:
    """The notes that excerpts which follow one another are read again as."""
    runs = [
        Section(
            each.passage,
            metre=each.metre,
            rests_after=each.rests_after,
            goes_on=each.follows,
            short=each.short,
            ends=False,
        )
        for each in found
    ]
    return read_score(write_score(runs).data, "printed bars").passage.notes


def test_a_new_tempo_is_printed_at_its_note_or_under_a_held_one() -> None:
    """Presto at the second bar, Adagio where the third begins, into which a note is tied."""
    allegro, presto, adagio = (
        small.direction(f"<words>{word}</words>", sound=small.tempo(rate))
        for word, rate in (("Allegro", 120), ("Presto", 180), ("Adagio", 60))
    )
    held, tied = (small.note("E5", 16, after=f'<tie type="{end}"/>') for end in ("start", "stop"))
    music = (allegro + small.note("C5", 16), presto + held, adagio + tied, small.note("D5", 16))
    four = "<time><beats>4</beats><beat-type>4</beat-type></time>"
    bars = (small.bar(each, str(number), attributes=four) for number, each in enumerate(music, 1))
    notes = small.read(small.score(*bars)).passage.notes
    assert [each.tempo_words for each in notes] == ["Allegro", "Presto", ""]
    found = next(excerpts(notes, 1, 2, 1))
    text = write_score([Section(each.passage, metre=each.metre, ends=False) for each in found]).data.decode()
    assert re.findall("<words.*?>(.*?)</words>", text) == ["Presto", "Adagio"]


def test_brackets_around_a_number_are_no_tempo_words() -> None:
    """An editor's [quarter = 144] has words without a letter."""
    number = "<metronome><beat-unit>quarter</beat-unit><per-minute>144</per-minute></metronome>"
    inner = "</direction-type><direction-type>".join(("<words>[</words>", number, "<words>]</words>"))
    music = small.direction(inner, sound=small.tempo(144)) + small.note("C5", 16)
    notes = small.read(small.score(small.bar(music))).passage.notes
    assert [note.tempo_words for note in notes] == [""]


def told(notes: Sequence[Note]) -> list[tuple[object, ...]]:
    """What must be the same: pitch, place in the bar, beginning, length, slur, ornament, signs."""
    return [
        (
            note.pitch.name,
            note.at,
            note.onset - notes[0].onset,
            note.length,
            note.slurred and place > 0,
            note.ornament.kind if note.ornament and note.ornament.kind != "tremolo" else "",
            sorted({*ARTICULATIONS, FERMATA}.intersection(note.articulations)),
            note.grace,
        )
        for place, note in enumerate(notes)
    ]


def differences(notes: Sequence[Note], first: int, last: int) -> list[str]:
    """Where the first excerpt of some notes, printed and read again, is not the part; its runs one by one.

    The rest of a note from before, in brackets, is none of its notes; the last note is there to its end.
    """
    groups: list[list[Excerpt]] = []
    for each in next(excerpts(notes, first, last, first), ()):
        if each.follows and groups:
            groups[-1].append(each)
        else:
            groups.append([each])
    wrong = []
    for group in groups:
        begin = group[0].first
        ids = {note.id for each in group for note in each.passage.notes}
        part = list({note.id: note for note in notes[begin : last + 1] if note.id in ids}.values())
        wanted, got = told(part), told(printed(group)[group[0].has_held :])
        both = zip(part, wanted, got, strict=False)
        wrong += [f"bar {note.bar}: {one} is printed as {other}" for note, one, other in both if one != other]
        wrong += [f"bar {part[0].bar}: {len(wanted)} notes, {len(got)} printed"] * (len(wanted) != len(got))
    return wrong


TIE, TIED = '<tied type="start"/>', '<tied type="stop"/>'
OPEN, CLOSE = '<slur type="start"/>', '<slur type="stop"/>'
TRILL = "<ornaments><trill-mark/></ornaments>"


def time(beats: int) -> str:
    """Quarters of two units, and so many in a bar."""
    metre = f"<time><beats>{beats}</beats><beat-type>4</beat-type></time>"
    return f"<attributes><divisions>2</divisions>{metre}</attributes>"


def sounded(name: str, eighths: int, *signs: str, grace: bool = False) -> str:
    """A note of so many eighths (a rest without a name) with its ties, slurs and ornaments."""
    pitch = f"<pitch><step>{name[0]}</step><octave>{name[1]}</octave></pitch>" if name else "<rest/>"
    lasts = "" if grace else f"<duration>{eighths}</duration>"
    ties = "".join(sign.replace("tied", "tie") for sign in signs if "tied" in sign)
    told = f"<notations>{''.join(signs)}</notations>" if signs else ""
    return f"<note>{'<grace/>' * grace}{pitch}{lasts}{ties}{told}</note>"


BARS = (
    time(4) + sounded("F5", 1, OPEN),
    sounded("G5", 2, CLOSE) + sounded("", 2) + sounded("C5", 4, TIE),
    time(3) + sounded("C5", 2, TIED, OPEN) + sounded("D5", 2) + sounded("E5", 2, CLOSE),
    sounded("F5", 6, OPEN, TIE),
    time(4) + sounded("F5", 2, TIED) + sounded("G5", 2) + sounded("A5", 4, CLOSE),
    sounded("E5", 8, TRILL) + sounded("D5", 0, grace=True) + sounded("E5", 0, grace=True),
    sounded("F5", 2, OPEN) + sounded("", 2) + sounded("E5", 4, CLOSE, "<fermata/>"),
)
"""An upbeat, ties and slurs over bar lines where the metre changes, the ending of a trill, a slur over a rest
and a fermata."""


def test_printed_bars_are_those_of_the_part() -> None:
    """An upbeat stays one, no tie or slur is cut at a new metre, endings of trills stay in their bar."""
    bars = "".join(f'<measure number="{number}">{bar}</measure>' for number, bar in enumerate(BARS))
    text = (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Flute</part-name>'
        f'</score-part></part-list><part id="P1">{bars}</part></score-partwise>'
    )
    notes = read_score(text.replace('number="0"', 'number="0" implicit="yes"').encode(), "own").passage.notes
    assert " ".join(note.pitch.name for note in notes) == "F5 G5 C5 D5 E5 F5 G5 A5 E5 D5 E5 F5 E5"
    assert differences(notes, 0, len(notes) - 1) == []
    for first in range(len(notes)):
        assert differences(notes, *whole_bars(notes, first, first)) == []


def test_a_line_that_is_tied_over_every_bar_line_is_printed_from_its_own_bar() -> None:
    """Bar 4 alone: the end of E5 of bar 3 in brackets, without a dynamic of its own in a crescendo."""
    cresc = "<direction><direction-type><words>cresc.</words></direction-type></direction>"
    line = (
        time(4) + sounded("C5", 6) + sounded("D5", 2, TIE),
        sounded("D5", 2, TIED) + cresc + sounded("E5", 6, TIE),
        sounded("E5", 2, TIED) + sounded("F5", 6),
    )
    bars = "".join(f'<measure number="{number}">{bar}</measure>' for number, bar in enumerate(line, start=2))
    text = (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Flute</part-name>'
        f'</score-part></part-list><part id="P1">{bars}</part></score-partwise>'
    )
    notes = read_score(text.encode(), "own").passage.notes
    assert whole_bars(notes, 3, 3) == (3, 3)
    (found,) = next(excerpts(notes, 3, 3, 3))
    assert [note.pitch.name for note in found.passage.notes] == ["E5", "F5"]
    assert found.bars == ("4", "4")
    written = write_score([Section(found.passage, metre=found.metre, ends=False)]).data.decode()
    assert written.count('<notehead parentheses="yes">') == 1
    assert "<dynamics>" not in written
    assert [note.length for note in printed((found,))] == [Fraction(1, 4), Fraction(3, 4)]


def test_a_note_held_over_into_the_bars_is_printed() -> None:
    """Read from bar 4 on, A5 of bar 3 is no note of the passage, but stands in its first bar, in brackets."""
    held = (time(4) + sounded("A5", 8, TIE), sounded("A5", 2, TIED) + sounded("F5", 6))
    bars = "".join(f'<measure number="{number}">{bar}</measure>' for number, bar in enumerate(held, start=3))
    text = (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Flute</part-name>'
        f'</score-part></part-list><part id="P1">{bars}</part></score-partwise>'
    )
    passage = read_score(text.encode(), "own", ReadOptions(bars="4")).passage
    assert [note.pitch.name for note in passage.notes] == ["F5"]
    assert passage.held_over is not None
    (found,) = with_held(passage.held_over, next(excerpts(passage.notes, 0, 0, 0)))
    printed_notes = printed((found,))
    assert [(note.pitch.name, note.at, note.length) for note in printed_notes] == [
        ("A5", 0, Fraction(1, 4)),
        ("F5", Fraction(1, 4), Fraction(3, 4)),
    ]
    text = write_score([Section(found.passage, metre=found.metre, ends=False)]).data.decode()
    assert text.count('<tied type="stop"/>') == text.count('<notehead parentheses="yes">') == 1
    whole = read_score(text.encode(), "own").passage
    assert whole.held_over is None


@pytest.mark.whole
@pytest.mark.parametrize("name", ["boulanger_matin_flute.musicxml", "schubert_d485_flute.musicxml"])
def test_printed_bars_of_real_parts_are_those_of_the_part(name: str) -> None:
    """Forty notes at a time with the rest of their bars, through each part."""
    notes = read(DATA / name).passage.notes
    for first in range(0, len(notes), STRETCH):
        last = min(first + STRETCH, len(notes)) - 1
        assert differences(notes, *whole_bars(notes, first, last)) == []


def measures(plan: Plan) -> list[str]:
    """The numbers of the bars that are printed of a whole passage, one after another."""
    music = next(bars_to_print(plan, (0, len(plan.route.notes) - 1), 1))
    runs = [[section_of(part) for part in drill.parts] for drill in music]
    return [
        number
        for run in runs
        for number in re.findall(r'<measure number="(\d+)"', write_score(run).data.decode())
    ]


@pytest.mark.parametrize(
    ("name", "bars"),
    [("boulanger_matin_flute.musicxml", "40-112"), ("schubert_d485_flute.musicxml", "118-240")],
)
def test_no_silent_bar_of_a_stretch_is_missing(name: str, bars: str) -> None:
    """Whoever counts from the sheet comes in right: every bar from the first to the last, each once."""
    plan = practise(read(DATA / name, bars=bars), flute(), time=PracticeTime(20, 1))
    notes = plan.route.passage.notes
    wanted = [str(number) for number in range(int(notes[0].bar), int(last_bar(notes[-1])) + 1)]
    assert measures(plan) == wanted


def test_the_upbeat_to_the_passage_is_printed_before_its_first_bar() -> None:
    """D5 E5 of bar 1 under the slur to F5 of bar 2: a short bar 1, then bar 2; not before bar 3."""
    line = (
        time(4) + sounded("", 6) + sounded("D5", 1, OPEN) + sounded("E5", 1),
        sounded("F5", 8, CLOSE),
        sounded("G5", 8),
    )
    bars = "".join(f'<measure number="{number}">{bar}</measure>' for number, bar in enumerate(line, start=1))
    text = (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Flute</part-name>'
        f'</score-part></part-list><part id="P1">{bars}</part></score-partwise>'
    )
    passage = read_score(text.encode(), "own", ReadOptions(bars="2-3")).passage
    plan = practise(passage, flute(), time=PracticeTime(20, 1))
    ((drill,), *_) = bars_to_print(plan, (0, 1), 1)
    again = read_score(write_score([section_of(part) for part in drill.parts]).data, "printed").passage.notes
    assert [(note.bar, note.pitch.name, note.slurred) for note in again] == [
        *(("1", "D5", False), ("1", "E5", True), ("2", "F5", True), ("3", "G5", False)),
    ]
    assert again[2].onset == Fraction(1, 4)
    ((later,), *_) = bars_to_print(plan, (1, 1), 1)
    assert [note.pitch.name for part in later.parts for note in part.passage.notes] == ["G5"]


def test_bars_end_where_their_last_note_does() -> None:
    """Bar 2 alone: its F5 is tied on into bar 3, which ends with it; a whole bar where nothing is held on."""
    line = (
        time(4) + sounded("C5", 4) + sounded("D5", 4),
        sounded("E5", 6) + sounded("F5", 2, TIE),
        sounded("F5", 2, TIED) + sounded("G5", 6),
    )
    bars = "".join(f'<measure number="{number}">{bar}</measure>' for number, bar in enumerate(line, start=1))
    text = (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Flute</part-name>'
        f'</score-part></part-list><part id="P1">{bars}</part></score-partwise>'
    )
    whole = read_score(text.encode(), "own").passage.notes
    asked = read_score(text.encode(), "own", ReadOptions(bars="1-2")).passage.notes

    def written(first: int, last: int, notes: Sequence[Note] = whole, *, rests: bool = False) -> list[object]:
        """First and last bar that are printed of some notes, its last length, and how many rests."""
        (found,) = next(excerpts(notes, *whole_bars(notes, first, last), first, rests_follow=rests))
        section = Section(found.passage, metre=found.metre, ends=False, short=found.short)
        data = write_score([section]).data.decode()
        return [*found.bars, found.short, data.count("<rest/>")]

    assert written(2, 3) == ["2", "3", Fraction(1, 4), 0]
    assert written(0, 1) == ["1", "1", None, 0]
    assert written(2, 4) == ["2", "3", None, 0]
    assert written(2, 3, asked) == ["2", "3", Fraction(1, 4), 0], "no rests are made up in the bar it ends in"
    assert written(2, 3, asked, rests=True) == ["2", "3", None, 2], "what is known to be silent is"


def own_score(*bars: str, first: int = 1) -> bytes:
    """Bars one after another as a score."""
    text = "".join(f'<measure number="{n}">{bar}</measure>' for n, bar in enumerate(bars, start=first))
    return (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Flute</part-name>'
        f'</score-part></part-list><part id="P1">{text}</part></score-partwise>'
    ).encode()


def test_a_passage_takes_the_end_of_its_last_slur_along() -> None:
    """E5 of bar 2 is slurred to F5 G5 of bar 3: these are printed, and told; no note that is not slurred."""
    line = (
        time(4) + sounded("C5", 8),
        sounded("D5", 4) + sounded("E5", 4, OPEN),
        sounded("F5", 2) + sounded("G5", 1, CLOSE) + sounded("A5", 5),
    )
    passage = read_score(own_score(*line), "own", ReadOptions(bars="1-2")).passage
    assert [(note.bar, note.pitch.name) for note in passage.on_to] == [("3", "F5"), ("3", "G5")]
    assert beyond_words(passage) == "The last slur goes on to G5 in bar 3: take it along."
    plan = practise(passage, flute(), time=PracticeTime(20, 1))
    ((drill,), *_) = bars_to_print(plan, (0, 2), 1)
    again = read_score(write_score([section_of(part) for part in drill.parts]).data, "printed").passage.notes
    assert [note.pitch.name for note in again] == ["C5", "D5", "E5", "F5", "G5"]
    assert again[-1].slurred
    assert not read_score(own_score(*line), "own", ReadOptions(bars="1")).passage.on_to


def test_a_row_that_ends_with_the_passage_goes_on_to_the_end_of_its_slur() -> None:
    """To the first note of the next bar; long notes do not, nor what ends before, nor a longer slur."""
    line = (time(4) + sounded("C5", 8), sounded("D5", 4) + sounded("E5", 4, OPEN))
    arrives = (*line, sounded("F5", 4, CLOSE) + sounded("A5", 4))
    passage = read_score(own_score(*arrives), "own", ReadOptions(bars="1-2")).passage
    row = Stretch(0, 2, ("1", "2"), 1.0, 100, 1, 1.0, way="entry")
    taken = taken_on(row, passage)
    assert (taken.bars, taken.to_first) == (("1", "3"), True)
    assert taken_on(replace(row, way="tone"), passage).bars == ("1", "2")
    assert taken_on(replace(row, last=1), passage).bars == ("1", "2")
    longer = (*line, sounded("F5", 4) + sounded("A5", 4, CLOSE))
    assert taken_on(row, read_score(own_score(*longer), "own", ReadOptions(bars="1-2")).passage) == row


def test_a_passage_that_ends_within_a_run_goes_on_to_the_first_note_after_it() -> None:
    """Eighths into bar 2, with its grace note; not over a rest, nor where it ends with a quarter."""
    head, run = time(4), sounded("C5", 6) + sounded("D5", 1) + sounded("E5", 1)
    graced = sounded("F5", 0, grace=True) + sounded("G5", 8)

    def read_bar(*bars: str) -> Passage:
        return read_score(own_score(*bars), "own", ReadOptions(bars="1")).passage

    passage = read_bar(head + run, graced)
    assert [(note.bar, note.pitch.name) for note in passage.on_to] == [("2", "F5"), ("2", "G5")]
    assert beyond_words(passage) == "The music goes on to G5 in bar 2: take it along."
    row = Stretch(0, 2, ("1", "1"), 1.0, 100, 1, 1.0, way="entry")
    assert taken_on(row, passage).bars == ("1", "2")
    assert not read_bar(head + run, sounded("", 4) + sounded("G5", 4)).on_to
    assert not read_bar(head + sounded("C5", 6) + sounded("D5", 2), graced).on_to


def test_a_note_that_sounds_on_from_before_is_played_from_the_first_bar() -> None:
    """Of bars 2 to 4 A5 of bar 1 sounds to the half of 4: bar 2 is the first that is printed."""
    line = (
        time(4) + sounded("A5", 8, TIE),
        sounded("A5", 8, TIED, TIE),
        sounded("A5", 8, TIED, TIE),
        sounded("A5", 4, TIED) + sounded("B5", 4),
    )
    passage = read_score(own_score(*line), "own", ReadOptions(bars="2-4")).passage
    assert passage.held_over is not None
    assert (passage.held_over.bar, passage.held_over.length) == ("2", Fraction(5, 2))
    assert beyond_words(passage) == "A5 is held on from before: play it from bar 2 on."
    plan = practise(passage, flute(), time=PracticeTime(20, 1))
    assert measures(plan) == ["2", "3", "4"]


def test_a_silent_bar_of_another_metre_and_a_short_one_are_printed() -> None:
    """Bar 1 in 3/4, a silent one of 4/4, two halves of a bar of 3/4, one whole bar, then bar 6 in 3/4."""
    bars = (
        time(3) + sounded("A5", 6),
        time(4) + sounded("", 8),
        time(3) + sounded("", 4),
        sounded("", 2),
        sounded("", 6),
        sounded("B5", 6),
    )
    text = "".join(f'<measure number="{number}">{bar}</measure>' for number, bar in enumerate(bars, start=1))
    text = (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Flute</part-name>'
        f'</score-part></part-list><part id="P1">{text}</part></score-partwise>'
    )
    passage = read_score(text.encode(), "own").passage
    (first, second) = next(excerpts(passage.notes, 0, 1, 0, passage.metres))
    assert second.follows
    assert [(each.count, each.metre, each.short) for each in second.between] == [
        (1, (4, 4), None),
        (1, (3, 4), Fraction(1, 2)),
        (1, (3, 4), Fraction(1, 4)),
    ]
    assert (first.rests_after, second.rests_before) == (0, 1)
