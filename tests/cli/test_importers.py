"""A marked score goes through the programs an editor has: what is missing on this machine is skipped."""

import re
import shutil
import subprocess
import warnings
from pathlib import Path

import pytest
import verovio
from music21 import converter
from tests.cli.run_gripway import PICCOLO, ask
from tests.cli.tiny_scores import note, part, score
from tests.patience import HANG_S
from tests.tiers import thinned

CONVERTER, ENGRAVER = shutil.which("musicxml2ly"), shutil.which("lilypond")
QUICK = ("--tempo", "300")
TINY = score(part("".join(note(pitch) for pitch in ("E6", "F#6", "G6", "A6"))))
PIN = ("--pin", "2=T 1 3 | 2 Eb")


def test_verovio_takes_every_mark_over() -> None:
    """As many fingerings in its own format as in the file, with their texts."""
    data = ask("finger", PICCOLO, *QUICK, "--mark", "every", "--format", "musicxml").data.decode()
    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    assert toolkit.loadData(data)
    written = re.findall(r"<fing\b[^>]*>([^<]*)</fing>", toolkit.getMEI())
    texts = re.findall(r"<fingering[^>]*>([^<]*)<", data)
    assert sorted(written) == sorted(texts) != []


def test_music21_reads_and_writes_the_marks(tmp_path: Path) -> None:
    """Read, written as MusicXML again and read by us, every note has its fingering still."""
    path = tmp_path / "marked.musicxml"
    path.write_bytes(ask("finger", "-", *PIN, "--mark", "every", "--format", "musicxml", stdin=TINY).data)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        again = Path(converter.parse(path).write("musicxml", tmp_path / "again.musicxml"))
    kept = ask("finger", again, "--keep-fingerings", "--format", "json").json
    assert kept["notes"][1]["grip"] == "T L1 L3 | R2 Eb"
    assert again.read_text(encoding="utf-8").count("<fingering") == 4


@pytest.mark.skipif(not (CONVERTER and ENGRAVER), reason="musicxml2ly and lilypond are not installed")
@pytest.mark.parametrize("style", thinned(["words", "lyric"], 2))
def test_lilypond_compiles_what_its_converter_makes_of_the_marks(style: str, tmp_path: Path) -> None:
    """As words and as lyrics; the text of a <fingering> its converter writes into the music unquoted."""
    path = tmp_path / "marked.musicxml"
    words = ("--mark", "every", "--mark-as", style, "--format", "musicxml")
    path.write_bytes(ask("finger", "-", *PIN, *words, stdin=TINY).data)
    made = tmp_path / "marked.ly"
    for command in (
        [CONVERTER, str(path), "-o", str(made)],
        [ENGRAVER, "--svg", "-o", str(tmp_path / "marked"), str(made)],
    ):
        done = subprocess.run(command, capture_output=True, text=True, timeout=HANG_S, check=False)  # type: ignore[arg-type]
        assert (done.returncode, "error" in done.stderr) == (0, False), done.stderr
    assert "1 3" in made.read_text(encoding="utf-8")
