"""A long part cut into chunks: nothing lost, nothing torn, nothing drawn twice."""

import re
from itertools import pairwise

from tests.score.small_scores import bar, note, read, score

from gripway.page.browser_data.sheet_data import chunk_data, page_chunks, sheet_data
from gripway.page.engraving.sheet_chunks import CHUNK_NOTES, LONGEST_WHOLE, sheet_chunks
from gripway.page.engraving.sheet_xml import sheet_xml
from gripway.score.reading.score_reading import ScoreReading

CLEF = "<time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef>"
BARS = 60
"""Of sixteen notes each: more than are one chunk."""


def slur(kind: str) -> str:
    """One end of a slur."""
    return f'<notations><slur type="{kind}" number="1"/></notations>'


def long_part(**bars: str) -> ScoreReading:
    """A part of sixteenths; `b21` is what stands in bar 21 in their place."""
    plain = "".join(note("E5", 1) for _ in range(16))
    made = [
        bar(bars.get(f"b{k}", plain), str(k), key=2 if k == 1 else None, attributes=CLEF if k == 1 else "")
        for k in range(1, BARS + 1)
    ]
    return read(score(*made))


def last_bars(reading: ScoreReading) -> list[int]:
    """The number of the last bar of each chunk."""
    return [
        int(re.findall(r'<measure number="(\d+)"', chunk.sheet.text)[-1]) for chunk in sheet_chunks(reading)
    ]


def test_a_short_part_is_one_chunk() -> None:
    """Up to a bound the document is the whole one, to the letter."""
    reading = read(score(bar(note("E5") + note("F5"), attributes=CLEF)))
    (chunk,) = sheet_chunks(reading)
    assert (chunk.first, chunk.last, chunk.sheet) == (1, 2, sheet_xml(reading))
    notes = [note("E5", 1)] * LONGEST_WHOLE
    assert len(sheet_chunks(read(score(bar("".join(notes)), bar(note("r", 16), "2"))))) == 2
    assert len(sheet_chunks(read(score(bar("".join(notes[1:])), bar(note("r", 16), "2"))))) == 1


def test_chunks_have_every_note_once_and_in_order() -> None:
    """The first note of a chunk follows the last one of the chunk before, in numbers and in the drawing."""
    reading = long_part()
    chunks = page_chunks(reading, None)
    assert [len(range(chunk.first, chunk.last + 1)) for chunk in chunks] == [CHUNK_NOTES] * 3
    assert all(b.first == a.last + 1 for a, b in pairwise(chunks))
    drawn = [chunk_data(chunks, k, "a score", 180.0) for k in range(len(chunks))]
    for chunk, data in zip(chunks, drawn, strict=True):
        names = {name for system in data["systems"] for name in system["notes"]}
        assert names == {f"P1-n{k}" for k in range(chunk.first, chunk.last + 1)}
        assert data["chunks"] == [[1, 320], [321, 640], [641, 960]]
    whole = sheet_data(reading, None, 180.0)
    assert sum(len(data["systems"]) for data in drawn) == len(whole["systems"])


def test_a_chunk_repeats_clef_and_key_but_not_the_time() -> None:
    """As at the start of any line: the time signature stands at the beginning only."""
    first, second, _ = sheet_chunks(long_part())
    assert second.sheet.text.index("<fifths>2</fifths>") < second.sheet.text.index("<note ")
    assert '<time print-object="no">' in second.sheet.text
    assert "print-object" not in first.sheet.text
    drawn = chunk_data(page_chunks(long_part(), None), 1, "a score", 180.0)
    assert {"E050", "E262"} <= set(drawn["glyphs"]), "clef and sharps (SMuFL)"
    assert "E084" not in drawn["glyphs"], "the 4 of a time signature (SMuFL)"


def test_a_chunk_ends_after_a_slur_over_its_last_bar() -> None:
    """What is drawn from bar to bar is not torn: the chunk ends where the slur has ended."""
    rest = "".join(note("E5", 1) for _ in range(15))
    reading = long_part(
        b20=rest + note("E5", 1, after=slur("start")), b22=note("E5", 1, after=slur("stop")) + rest
    )
    assert last_bars(reading) == [22, 42, 60]
    assert last_bars(long_part()) == [20, 40, 60]


def test_a_chunk_ends_before_or_after_joined_rests() -> None:
    """Bars without notes in a row are one rest with a number: a chunk does not part them."""
    silent = note("r", 16)
    reading = long_part(b20=silent, b21=silent, b22=silent)
    assert last_bars(reading)[0] == 23


def test_bars_asked_for_are_cut_as_well() -> None:
    """The first chunk of some bars has the time signature of what came before."""
    chunks = sheet_chunks(long_part(), "5-")
    assert chunks[0].first == 65
    assert chunks[0].sheet.text.index("<beats>") < chunks[0].sheet.text.index("<note ")
    assert "print-object" not in chunks[0].sheet.text
