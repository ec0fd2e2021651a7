"""What a marked score promises an editor, on real parts in every house style.

Only insertions; no new schema error (W3C schema of MusicXML 4.0); marking twice adds nothing,
with the marks kept as fingerings or not; music21 reads the same notes; the consistency report
is empty.
"""

import warnings
from pathlib import Path

import pytest
from music21 import converter
from tests.cli.house_styles import STYLES, house_file
from tests.cli.run_gripway import FLUTE, PICCOLO, REPEATS, ask
from tests.score.w3c_schema import schema_errors
from tests.tiers import whole

CASES = [
    *((PICCOLO, style) for style in STYLES),
    *((FLUTE, style) for style in ("figures", "few")),
    *((REPEATS, style) for style in ("letters", "words")),
]
"""Every style on the shortest part; those with most to say on the long ones."""


TEMPO = {PICCOLO: ("--tempo", "300"), FLUTE: (), REPEATS: ()}
"""So quick that the shortest part has something to mark."""


def only_inserted(before: bytes, after: bytes) -> bool:
    """Whether every byte of the first stands, in order, in the second."""
    rest = iter(after)
    return all(byte in rest for byte in before)


def heard(data: bytes) -> list[tuple[str, float]]:
    """Names and lengths of all notes as music21 reads them."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        notes = converter.parseData(data, format="musicxml").flatten().notes
    return [(each.fullName, float(each.offset)) for each in notes]


@pytest.fixture(
    scope="module",
    params=[pytest.param(case, marks=() if case in CASES[:2] else whole) for case in CASES],
    ids=lambda case: f"{case[0].stem}-{case[1]}",
)
def marked(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, Path, Path]:
    """A real part, the file of a house style, and the part marked in it."""
    score, style = request.param
    folder = tmp_path_factory.mktemp(style)
    house, out = house_file(folder, style), folder / score.name
    answer = ask("finger", score, *TEMPO[score], "--format", "musicxml", "--house-style", house, "--out", out)
    assert (answer.code, answer.data) == (0, b"")
    return score, house, out


def test_only_insertions_and_no_new_schema_error(marked: tuple[Path, Path, Path]) -> None:
    """Every byte of the source is there, in order, and the schema finds nothing it did not find before."""
    score, _, out = marked
    before, after = score.read_bytes(), out.read_bytes()
    assert len(after) > len(before)
    assert only_inserted(before, after)
    assert schema_errors(after) == schema_errors(before)


@pytest.mark.parametrize("keep", [(), ("--keep-fingerings",)], ids=["anew", "kept"])
def test_marking_twice_adds_nothing(marked: tuple[Path, Path, Path], keep: tuple[str, ...]) -> None:
    """The marks of the first time are recognised, whether they are kept as fingerings or not."""
    score, house, out = marked
    again = ask("finger", out, *TEMPO[score], "--format", "musicxml", "--house-style", house, *keep)
    assert again.code == 0
    assert again.data == out.read_bytes()


def test_the_marks_agree(marked: tuple[Path, Path, Path]) -> None:
    """The consistency report of our own output is empty."""
    answer = ask("consistency", marked[2])
    assert (answer.code, answer.out) == (0, "Nothing to report: the marks agree.\n")


@pytest.mark.whole
@pytest.mark.parametrize("style", ["figures", "words", "lyrics"])
def test_music21_reads_the_same_notes(style: str, tmp_path: Path) -> None:
    """An independent reader hears nothing new."""
    house = house_file(tmp_path, style)
    after = ask("finger", FLUTE, "--format", "musicxml", "--house-style", house).data
    assert heard(after) == heard(FLUTE.read_bytes())


def test_bars_marked_one_after_the_other_agree(tmp_path: Path) -> None:
    """The second run keeps the marks of the first and gives equal figures the grips they have there."""
    house = house_file(tmp_path, "figures")
    marked = tmp_path / "marked.musicxml"
    words = ("--format", "musicxml", "--house-style", house)
    marked.write_bytes(ask("finger", REPEATS, "--bars", "40-70", *words).data)
    assert ask("consistency", marked).code == 0
    assert ask("finger", marked, "--bars", "40-70", *words).data == marked.read_bytes()
    marked.write_bytes(ask("finger", marked, "--bars", "71-110", "--keep-fingerings", *words).data)
    assert ask("consistency", marked).code == 0


@pytest.mark.whole
def test_found_grips_are_grips_to_the_report_when_it_is_told(tmp_path: Path) -> None:
    """A score marked with grips only the model knows agrees under the same wishes."""
    marked = tmp_path / "marked.musicxml"
    words = ("--found", "--wish", "keep R2 R3")
    answer = ask("finger", FLUTE, "--bars", "1-30", *words, "--format", "musicxml", "--mark", "every")
    marked.write_bytes(answer.data)
    assert ask("consistency", marked, *words).out == "Nothing to report: the marks agree.\n"
