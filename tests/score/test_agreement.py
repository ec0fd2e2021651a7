"""The reader against music21, an independent reader of the same format: pitch, onset, grace, played order.

Real parts (tests/data) and the one-feature suite that the music21 package ships are compared note for
note. Both sides are reduced to the highest note of each chord and to the first note of each tie.
"""

import re
import warnings
from collections import Counter
from contextlib import suppress
from fractions import Fraction
from pathlib import Path

import music21
import pytest
from music21 import chord, converter, harmony, note, stream
from music21.pitch import Pitch
from music21.repeat import ExpanderException
from tests.every import every
from tests.score.small_scores import bar, direction, read, score
from tests.score.small_scores import note as write_note
from tests.tiers import some, thinned

from gripway.errors import ScoreError
from gripway.score.reading.bar_positions import place_bars
from gripway.score.reading.jump_signs import read_jumps
from gripway.score.reading.parts import score_parts
from gripway.score.reading.performance import bar_lengths_of, perform
from gripway.score.reading.played_order import played_order
from gripway.score.reading.read_notes import read_written
from gripway.score.reading.score_reading import read_score
from gripway.score.reading.tempo_marks import TempoMap
from gripway.score.xml.archive import open_archive
from gripway.score.xml.xml_tree import parse_tree
from gripway.score.xml.zip_limits import is_zip

DATA = Path(__file__).parents[1] / "data"
SUITE_FOLDER = Path(music21.__file__).parent / "musicxml" / "lilypondTestSuite"
SUITE = sorted(path for path in SUITE_FOLDER.iterdir() if path.suffix in (".xml", ".mxl"))
WHERE_WE_DIFFER = {
    "02e-Rests-NoType.xml": "a note without <staff>: music21 gives it to both staves, we read it once",
    "21f-Chord-ElementInBetween.xml": "music21 breaks the chord at the direction inside it, we keep it",
    "22b-Staff-Notestyles.xml": "notes with print-object=no: we leave them out and say so",
    "32c-MultipleNotationChildren.xml": "no <alter> beside a printed sharp: the standard lets <alter> decide",
    "33i-Ties-NotEnded.xml": "a tie stop without a start: to us a note of its own",
    "41c-StaffGroups.xml": "two-staff parts: music21 lists parts otherwise",
    "41h-TooManyParts.xml": "parts missing in the part list: music21 drops them, we list them",
    "61f-Lyrics-GracedNotes.xml": "a tie across a grace note: the grace note breaks it for us",
}
Sound = tuple[Fraction, int, bool]


def music21_notes(part: stream.Stream) -> Counter[Sound]:
    """Onset in whole notes, note number, grace of each sounded note in played order."""
    with suppress(ExpanderException):  # music21 refuses some malformed repeats: then the written order
        part = part.expandRepeats()
    found: Counter[Sound] = Counter()
    for each in part.flatten().notes:
        if isinstance(each, harmony.Harmony) or not isinstance(each, note.Note | chord.Chord):
            continue
        top = each if isinstance(each, note.Note) else max(each.notes, key=lambda n: n.pitch.ps)
        if top.tie is None or top.tie.type not in ("stop", "continue"):
            onset = Fraction(each.offset).limit_denominator(10_000) / 4
            found[onset, towards_the_letter(top.pitch), each.duration.isGrace] += 1
    return found


def towards_the_letter(pitch: Pitch) -> int:
    """Note number of a pitch, its quarter-tones dropped as we drop them."""
    alter = pitch.accidental.alter if pitch.accidental else 0
    return round(pitch.ps - alter) + int(alter)


def our_notes(data: bytes, name: str, part: int) -> Counter[Sound]:
    """The same of our reading of one part (from 0), all its voices together."""
    _, measures = score_parts(parse_tree(data, name))
    bars = tuple(place_bars(measures[part], name))
    metres = [Fraction(*bar.metre) if bar.metre else Fraction(0) for bar in bars]
    lengths = bar_lengths_of([bar.length for bar in bars], {}, metres)
    written = read_written(bars).notes
    order = played_order(read_jumps(bars), "part", [bar.number for bar in bars])
    found: Counter[Sound] = Counter()
    for voice in {each.voice for each in written}:
        notes = [each for each in written if each.voice == voice]
        played = perform(notes, order, lengths, TempoMap([]))
        found += Counter((n.onset, n.written.pitch.number, n.written.grace) for n in played)
    return found


def parsed(file: Path) -> list[stream.Stream]:
    """The parts of a file as music21 reads it."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return list(converter.parse(file, forceSource=True, storePickle=False).parts)


@pytest.mark.parametrize("file", thinned(sorted(DATA.glob("*.musicxml")), 3), ids=lambda file: file.stem)
def test_real_parts_agree_note_for_note(file: Path) -> None:
    """Every note of a real part has music21's pitch, onset and grace, repeats played out."""
    passage = read_score(file.read_bytes(), file.name).passage
    theirs = sorted(music21_notes(parsed(file)[0]).elements())
    ours = sorted((n.onset + theirs[0][0], n.pitch.number, n.grace) for n in passage.notes)
    assert len(ours) > 100
    assert ours == theirs


def agrees(file: Path) -> bool:
    """Whether every part of a file sounds the same to both readers."""
    data = read_bytes(file)
    _, measures = score_parts(parse_tree(data, file.name))
    ours = [our_notes(data, file.name, place) for place in range(len(measures))]
    theirs = [music21_notes(part) for part in parsed(file)]
    if len(ours) == 1:  # a part on several staves is one part to us
        theirs = [sum(theirs, Counter())]
    return ours == theirs


def read_bytes(file: Path) -> bytes:
    """The MusicXML of a file, out of its archive where it is in one."""
    data = file.read_bytes()
    return open_archive(data, file.name)[1] if is_zip(data) else data


@every(some(SUITE, 4), lambda file: file.stem)
def test_the_one_feature_suite_agrees_or_differs_for_a_stated_reason(file: Path) -> None:
    """Each file sounds the same to both readers, or is listed above with the reason."""
    assert agrees(file) == (file.name not in WHERE_WE_DIFFER)


@every(SUITE, lambda file: file.stem)
def test_the_one_feature_suite_is_read_or_refused_clearly(file: Path) -> None:
    """Each file gives a passage, or a ScoreError with its next step; percussion and empty parts only."""
    assert outcome(file) in ("a passage", "no notes")


def outcome(file: Path) -> str:
    """What came of reading a file, in words."""
    try:
        return "a passage" if read_score(file.read_bytes(), file.name).passage.notes else "an empty passage"
    except ScoreError as error:
        stated = error.place and error.next_step and re.search("has no notes|only unpitched", error.what)
        return "no notes" if stated else str(error)


@pytest.mark.parametrize(
    "marks",
    [
        ("", "fine", "", "dacapo"),
        ("", "segno", "tocoda", "dalsegno", "coda"),
        ("segno", "fine", "dalsegno"),
    ],
    ids=" ".join,
)
def test_jumps_play_in_the_order_music21_expands(marks: tuple[str, ...], tmp_path: Path) -> None:
    """D.C. al Fine, D.S. al Coda and D.S. al Fine give music21's order of bars."""
    file = tmp_path / "jumps.musicxml"
    file.write_bytes(score(*[_jump_bar(number, mark) for number, mark in enumerate(marks, start=1)]))
    ours = [int(n.bar) for n in read(file.read_bytes()).passage.notes]
    expanded = parsed(file)[0].expandRepeats()
    assert ours == [each.measureNumber for each in expanded.flatten().notes]


WORDS = {"fine": "Fine", "dacapo": "D.C. al Fine", "tocoda": "To Coda", "coda": "", "segno": "", "": ""}


def _jump_bar(number: int, mark: str) -> str:
    """A bar with a jump written as sign or words and as sound."""
    text = WORDS.get(mark, "D.S. al Coda" if number > 3 else "D.S. al Fine")
    sign = f"<words>{text}</words>" if text else f"<{mark}/>"
    sound = f'<sound {mark}="{"yes" if mark == "dacapo" else "x"}"/>'
    written = direction(sign, sound=sound) if mark else ""
    at_start = mark in ("segno", "coda")
    content = write_note("C5", 16)
    return bar(written + content if at_start else content + written, str(number))
