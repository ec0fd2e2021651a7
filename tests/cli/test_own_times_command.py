"""`gripway own-times` and `gripway evenness` as a player meets them, with recordings made in the test."""

from pathlib import Path

import pytest
from tests.cli.run_gripway import ask
from tests.listening.simulated_player import MEASURED, as_wav, scale_of, some_takes, trill_of

from gripway.catalog.own_files.player_file import read_player
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.tasks.own.finger_times import pairs_to_record

LINE = "E5 F#5 G#5 A5 B5 C#6 D#6 E6 D#6 C#6 B5 A5 G#5 F#5 E5"
EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
TRILL, UNNAMED = EXAMPLES / "E5-F5.wav", EXAMPLES / "f_sharp_takes.wav"
LINE_NUMBERS = (76, 78, 80, 81, 83, 85, 87, 88, 87, 85, 83, 81, 80, 78, 76)


@pytest.fixture(scope="module")
def card_takes(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Two takes of every pair of the card by a player with a slow left little finger."""
    folder = tmp_path_factory.mktemp("takes")
    weights = {**effort_tables().finger_weight, "L4": 1.7}
    return [
        as_wav(trill_of(pair, 100.0, weights, 10 * k + take, 4.0), folder / f"{pair.name} {take}.wav")
        for k, pair in enumerate(pairs_to_record())
        for take in (1, 2)
    ]


def test_the_card_is_told_first_and_ends_with_the_caution() -> None:
    """Twelve pairs with grips, names of files, scales, at most 100 columns."""
    answer = ask("own-times")
    assert answer.code == 0
    assert answer.out.startswith("Record these 12 pairs")
    assert "stop on pain" in answer.out
    assert max(map(len, answer.out.splitlines())) <= 100
    assert len(ask("own-times", "--format", "json").json["record"]) == 12


def test_the_pairs_as_a_page_to_print() -> None:
    """Twelve rows with two diagrams and a box for every take, the caution, no script."""
    page = ask("own-times", "--format", "html").out
    assert page.startswith("<!DOCTYPE html>")
    assert (page.count("<li>"), page.count("<svg"), page.count("□□□")) == (12, 24, 12)
    assert "stop on pain" in page
    assert "<script" not in page


def test_a_slow_finger_is_found_saved_and_traced(card_takes: list[Path], tmp_path: Path) -> None:
    """The sentence names it, the file has it, and --explain tells each change by it with the day."""
    own = tmp_path / "me.toml"
    own.write_text("[dials]\ntuning = 2   # mine\n", encoding="utf-8")
    answer = ask("own-times", *card_takes, "--player", own, "--save", "--date", "2026-11-20")
    assert answer.code == 0, answer.out
    assert answer.out.startswith("Reckon with your own times: your left little finger is slower")
    times = read_player(own).own_times
    assert times is not None
    assert (times.date, times.pairs, times.takes) == ("2026-11-20", 12, 24)
    assert dict(times.weights)["L4"] == pytest.approx(1.7, abs=dict(times.spreads)["L4"])
    assert own.read_text(encoding="utf-8").startswith("[dials]\ntuning = 2   # mine\n")
    told = ask("finger", "--notes", "G5 G#5 A5 G#5 G5", "--tempo", "160", "--player", own, "--explain").out
    assert "Your own trill times of 2026-11-20 (24 takes of 12 pairs)" in told
    assert "by your own trill times of" in told.partition("Ledger")[2]


def test_too_few_takes_say_what_to_record_next(tmp_path: Path) -> None:
    """One pair: the tables speak; a take that is too short is named with file, time and next step."""
    takes = some_takes(tmp_path)
    answer = ask("own-times", *takes)
    assert answer.code == 1
    assert answer.out.startswith("Record more: 1 take of 1 pair counts, and the tables speak until")
    first = " ".join(answer.out.split())
    assert "until there are 16 takes of 8 pairs, next D5-D#5" in first
    assert "Ask next: record D5-D#5.wav" in first
    assert "by other pairs" not in answer.out
    assert "--save" not in answer.out
    assert "only 1.0 s long" in " ".join(answer.out.split())
    assert "even down to" in answer.out
    own = tmp_path / "few.toml"
    assert ask("own-times", *takes, "--player", own, "--save").code == 1
    route = ask("finger", "--notes", LINE, "--tempo", "120", "--player", own)
    assert "1 take of 1 pair: from 16 takes of 8 pairs they count" in " ".join(route.err.split())


def test_what_is_measured_changes_no_answer_without_a_table(tmp_path: Path) -> None:
    """A player file without the table gives the bytes of the plain player."""
    own = tmp_path / "me.toml"
    own.write_text("", encoding="utf-8")
    asked = ("finger", "--notes", LINE, "--tempo", "120", "--explain")
    assert ask(*asked, "--player", own).data == ask(*asked).data
    own.write_text(MEASURED, encoding="utf-8")
    assert ask(*asked, "--player", own).data != ask(*asked).data


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("own-times", "missing/G4-A4.wav"), "G4-A4.wav: cannot be read: No such file"),
        (("own-times", "missing"), "missing: cannot be read: No such file"),
        (("own-times", "missing.wav", "--save"), "missing.wav: cannot be read: No such file"),
        (("own-times", UNNAMED), "does not say which notes"),
        (("own-times", UNNAMED), 'or say --pair "G4 A4"'),
        (("own-times", UNNAMED, "--pair", "G4"), "--pair: 'G4' is no pair of notes"),
        (("own-times", TRILL, "--format", "html"), "no page of recordings"),
        (("own-times", TRILL, "--save"), "no player file"),
        (("own-times", "--save"), "Give the recordings"),
        (("own-times", "--date", "2026-11-20"), "is for recordings"),
        (("own-times", TRILL, "--reference", "20"), "is no A"),
        (("own-times", TRILL, "--date", "soon"), "--date: 'soon' is no day"),
        (("evenness", "missing.wav", "--notes", "E5 F5 G5"), "missing.wav: cannot be read"),
        (("evenness", "missing"), "missing: cannot be read: No such file"),
        (("evenness", TRILL), "SCORE or --notes"),
    ],
)
def test_what_cannot_be_done_is_refused(words: tuple[str | Path, ...], said: str) -> None:
    """With one message and no traceback."""
    answer = ask(*words)
    assert (answer.code, answer.data) == (2, b"")
    assert said in answer.err


def test_evenness_in_all_its_forms(tmp_path: Path) -> None:
    """An even take is even; text, JSON and a page with no script and two rows for what is late."""
    even = as_wav(scale_of(LINE_NUMBERS, 150.0, 0.01, 1, "even"), tmp_path / "even.wav")
    rough = as_wav(scale_of(LINE_NUMBERS, 150.0, 0.25, 5, "rough"), tmp_path / "rough.wav")
    asked = ("--notes", LINE, "--tempo", "100")
    assert ask("evenness", even, *asked).out.startswith("It is even: no change comes late.")
    text = ask("evenness", rough, *asked)
    assert text.out.startswith("Practise the changes that come late:")
    assert "rank correlation" in text.out
    assert max(map(len, text.out.splitlines())) <= 100
    data = ask("evenness", rough, *asked, "--format", "json").json
    late = [each for each in data["changes"] if each["late"]]
    page = ask("evenness", rough, *asked, "--format", "html").out
    assert page.startswith("<!DOCTYPE html>")
    assert "<script" not in page
    assert page.count('class="fill heard"') == len(late) >= 2


def test_another_passage_is_refused(tmp_path: Path) -> None:
    """Other notes than are heard: file, time and what to check, nothing on standard output."""
    even = as_wav(scale_of(LINE_NUMBERS, 150.0, 0.01, 1, "even"), tmp_path / "even.wav")
    answer = ask("evenness", even, "--notes", "C4 F4 Bb4 C4 F4 Bb4 C4 F4 Bb4 C4 F4 Bb4", "--tempo", "100")
    assert (answer.code, answer.data) == (2, b"")
    assert "even.wav, " in answer.err
