"""Reading a real part against general readers of MusicXML, in turn in one process."""

from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from tests.bench.clock import cpu, in_turn, report

from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.score_reading import load_score

pytestmark = pytest.mark.bench

SCORE = Path(__file__).parents[1] / "data" / "schubert_d485_flute.musicxml"


def _element_tree() -> int:
    """The bare tree, without places in the bytes, ties, repeats or times."""
    return sum(1 for _ in ElementTree.parse(SCORE).getroot().iter("note"))


def _music21() -> int:
    converter = pytest.importorskip("music21").converter
    score: Any = converter.parse(str(SCORE), forceSource=True)
    return len(list(score.recurse().notesAndRests))


def _partitura() -> int:
    musicxml = pytest.importorskip("partitura")
    parts: Any = musicxml.load_musicxml(str(SCORE))
    return sum(len(part.notes) for part in parts)


PEERS: dict[str, Callable[[], int]] = {
    "ElementTree": _element_tree,
    "music21": _music21,
    "partitura": _partitura,
}


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("peer", PEERS)
def test_reading_a_real_part(peer: str) -> None:
    """Both find notes; gripway's reading has ties, repeats, times and places in the bytes as well."""
    read = PEERS[peer]
    timed = in_turn(
        7 if peer == "ElementTree" else 2,
        lambda: cpu(lambda: load_score(SCORE, ReadOptions())),
        lambda: cpu(read),
    )
    report(f"reading {SCORE.name}", timed, peer)
    assert read() > 0
    assert load_score(SCORE, ReadOptions()).passage.notes
