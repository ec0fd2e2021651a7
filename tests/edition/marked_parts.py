"""What a marked score promises, over as many parts as are named, as figures.

    python -m tests.edition.marked_parts SCORE...

prints a line a part: notes, marks and marks per 100 notes by default; the least gain of a mark; then what is
not kept of: insertions only, no new schema error, the same notes for music21, marked twice the same, renewed
(marked at other tempos before) as marked once, unmarked byte for byte, unmarked by the list as it was.
The last line has the median, and how many parts have at most 4 marks per 100 notes.
"""

import csv
import io
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from lxml import etree
from tests.cli.run_gripway import ask
from tests.cli.test_marked_scores import heard, only_inserted
from tests.score.w3c_schema import schema_errors

SCORE = ("--format", "musicxml")
INSTRUCTIONS = re.compile(rb"<\?gripway[^>]*\?>")
MOST = 4.0


def elements(score: bytes) -> bytes:
    """A score with no blanks between its elements."""
    parser = etree.XMLParser(remove_blank_text=True, load_dtd=False)
    return etree.tostring(etree.fromstring(score, parser))


def notes_in(score: Path) -> int:
    """How many notes are written in the part that is read."""
    notes = ask("finger", score, "-q", "--format", "json").json["notes"]
    return len({note["id"] for note in notes})


def gains_of(score: Path) -> list[float]:
    """What each mark saves, by the critical list."""
    rows = csv.DictReader(io.StringIO(ask("finger", score, "-q", "--format", "critical").out))
    return [float(row["effort_more"]) for row in rows if row["effort_more"] and row["mark"]]


def broken(score: Path, marked: bytes, folder: Path) -> Iterator[str]:
    """The promises that are not kept for this part."""
    bare = score.read_bytes()
    path, other, saved = folder / "marked.musicxml", folder / "other.musicxml", folder / "saved.musicxml"
    path.write_bytes(marked)
    if not only_inserted(bare, marked):
        yield "insertions only"
    if schema_errors(marked) != schema_errors(bare):
        yield "no new schema error"
    if heard(marked) != heard(bare):
        yield "read back"
    if ask("finger", path, "-q", *SCORE).data != marked:
        yield "twice the same"
    other.write_bytes(ask("finger", score, "-q", "--tempo", 108, *SCORE).data)
    if ask("finger", other, "-q", "--renew", *SCORE).data != marked:
        yield "renewed as fresh"
    if ask("unmark", other, "-q").data != bare:
        yield "unmarked as it was"
    saved.write_bytes(INSTRUCTIONS.sub(b"", marked))
    if elements(ask("unmark", saved, "--marks-list", path, "-q").data) != elements(bare):
        yield "unmarked by the list"


def main(scores: list[str]) -> None:
    """Measure each part, then all of them."""
    shares = []
    print("notes", "marks", "per 100", "least gain", "not kept", "part", sep="\t")
    for score in map(Path, scores):
        notes, marked = notes_in(score), ask("finger", score, "-q", *SCORE).data
        marks = marked.count(b"<fingering") - score.read_bytes().count(b"<fingering")
        shares.append(100 * marks / notes)
        with TemporaryDirectory() as folder:
            amiss = ", ".join(broken(score, marked, Path(folder))) or "nothing"
        gain = f"{min(gains_of(score), default=0.0):.2f}" if marks else ""
        print(notes, marks, f"{shares[-1]:.2f}", gain, amiss, score.stem, sep="\t", flush=True)
    few = sum(share <= MOST for share in shares)
    print(
        f"median {median(shares):.2f} marks per 100 notes; {few} of {len(shares)} parts have at most {MOST:g}"
    )


if __name__ == "__main__":
    main(sys.argv[1:])
