"""`gripway warmup` as a player meets it: forms, one page, and what it refuses."""

from pathlib import Path

from tests.cli.run_gripway import FLUTE, ask

from gripway.score.notation import read_notation

STUDY = Path(__file__).parents[2] / "examples" / "rooftop_study.musicxml"
SCHUBERT = Path(__file__).parents[1] / "data" / "schubert_d485_flute.musicxml"


def test_the_text_begins_with_what_to_do_and_ends_with_the_caution() -> None:
    """Two parts, at most three changes, each with its bars, a drill and tempos."""
    answer = ask("warmup", FLUTE, SCHUBERT, "--top", 3)
    assert answer.code == 0
    assert answer.out.startswith(
        "Once a day this week, play these 3 changes of the third octave for 2 minutes"
    )
    assert answer.out.count("quarter = ") + answer.out.count("half = ") == 3
    assert "bar" in answer.out
    assert "No medical advice" in " ".join(" ".join(answer.out.splitlines()[-2:]).split())
    assert max(map(len, answer.out.splitlines())) <= 100


def test_the_json_has_the_documented_shape() -> None:
    """Parts, minutes, items with change, grips, places, tempos and a drill that notation reads."""
    data = ask("warmup", FLUTE, SCHUBERT, "--format", "json").json
    assert len(data["parts"]) == 2
    assert data["minutes"] == 2 * len(data["items"]) <= 20
    for item in data["items"]:
        assert len(item["change"]) == len(item["grips"]) == 2
        assert item["places"][0]["part"] in data["parts"]
        assert item["tempos"] == sorted(set(item["tempos"]))
        assert set(item["change"]) <= {
            note.pitch.name for note in read_notation(item["drill"]["notes"]).notes
        }


def test_the_card_is_one_page_with_a_diagram_under_each_grip() -> None:
    """One section for the printer, a drill an item, grips drawn, no script."""
    page = ask("warmup", FLUTE, "--top", 4, "--format", "html").out
    assert page.count('class="day') == 1
    assert page.count('class="drill"') == 4
    assert "<script" not in page
    assert page.count("<use") >= 8  # two grips a change at least


def test_the_same_piece_twice_counts_once() -> None:
    """A score that is named twice is read once."""
    assert ask("warmup", STUDY, STUDY).out == ask("warmup", STUDY).out


def test_a_missing_score_is_named() -> None:
    """The error says which of the scores cannot be read."""
    answer = ask("warmup", FLUTE, "no_such_part.musicxml")
    assert answer.code == 2
    assert "no_such_part.musicxml" in answer.err


def test_slow_music_is_told_to_be_played(tmp_path: Path) -> None:
    """Quarter notes at 60 have no hard change: text and page say to play them as music, with the caution."""
    slow = tmp_path / "slow.musicxml"
    ask("finger", "--notes", "D6:1/4 E6:1/4 F#6:1/4", "--tempo", 60, "--format", "musicxml", "--out", slow)
    text = ask("warmup", slow)
    assert (text.code, text.out.partition(":")[0]) == (0, "Play your pieces as music")
    page = ask("warmup", slow, "--format", "html").out
    assert "Play your pieces as music" in page
    assert "clinician" in page
