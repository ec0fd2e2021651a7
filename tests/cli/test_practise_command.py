"""`gripway practise` as a player meets it: plan, forms, log, and what it refuses."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from tests.cli.run_gripway import FLUTE, PICCOLO, ask
from tests.score.w3c_schema import schema_errors

from gripway.asked.wishes import Pin, Wishes
from gripway.cli.text.practise_text import mixed_grips
from gripway.model.grip import Grip
from gripway.score.notation import read_notation
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise
from gripway.tasks.scores import notes

LINE = "(D6 E6 F6 D6)"
QUICK = ("--tempo", 120, "--minutes", 10, "--days", 3)


def test_the_json_has_the_documented_shape() -> None:
    """Cells with notes, grips, places, load, why, drills, ladder; days with items; cautions."""
    answer = ask("practise", "--notes", LINE, *QUICK, "--format", "json")
    data = answer.json
    cell = data["cells"][0]
    assert (cell["notes"], cell["load"] >= 0.5, bool(cell["why"])) == (["E6", "F6", "D6"], True, True)
    assert cell["places"] == [{"bar": "", "index": 1, "whole": True}]
    assert len(cell["grips"]) == len(cell["notes"])
    assert cell["ladder"]["steps"][0] == cell["ladder"]["from"] < cell["ladder"]["to"] == 120
    assert all(read_notation(drill["notes"]).notes for drill in cell["drills"])
    assert [day["day"] for day in data["days"]] == [1, 2, 3]
    assert {"cell", "drill", "minutes"} <= data["days"][0]["items"][0].keys()
    assert any("pain" in caution for caution in data["cautions"])
    assert answer.code == 0


def test_the_text_of_a_real_part_names_cells_drills_days_and_cautions() -> None:
    """A movement gives cells with their bars, drills, days within the minutes, and cautions at the end."""
    text = ask("practise", FLUTE, "--days", 2, "--minutes", 15).out
    for part in (
        "Cell 1: ",
        "of the time there is",
        "bar",
        "Tempos, quarter = ",
        "Look-ahead hold",
        "Day 2: ",
        "mirror",
        "clinician",
    ):
        assert part in text
    assert max(map(len, text.splitlines())) <= 100


def test_the_piccolo_is_warned() -> None:
    """The transposition says that it is a piccolo, and the plan says what it does to the ear."""
    text = ask("practise", PICCOLO, "--bars", "1-40", "--days", 1).out
    assert "Piccolo: " in text
    assert "3.8 minutes of the loudest (106 dB)" in " ".join(text.split())


def test_the_drills_are_written_as_a_part(tmp_path: Path) -> None:
    """MusicXML under the schema, which gripway reads again."""
    out = tmp_path / "drills.musicxml"
    assert ask("practise", "--notes", LINE, *QUICK, "--format", "musicxml", "--out", out).code == 0
    assert schema_errors(out.read_bytes()) == []
    assert ask("finger", out, "--format", "json").code == 0


def test_easy_music_is_said_to_be_easy_and_gets_days_of_music() -> None:
    """No cells and no drills, exit 0, and the first sentence says so; as a part there is nothing to write."""
    easy = ("--notes", "G5 A5 B5", "--tempo", 60)
    answer = ask("practise", *easy)
    assert answer.code == 0
    assert "Nothing here is hard at this tempo" in answer.out
    first = "For 5 days, 20 minutes a day: nothing here is hard for the fingers, so work on sound and line"
    assert " ".join(answer.out.split()).startswith(first)
    assert "that is enough, the rest is free" in " ".join(answer.out.split())
    assert all(not day["items"] for day in ask("practise", *easy, "--format", "json").json["days"])
    refused = ask("practise", *easy, "--format", "musicxml")
    assert (refused.code, "no drills to write" in refused.err) == (2, True)


def test_a_note_without_a_grip_is_a_gap() -> None:
    """Beyond the flute: exit 1, and the rest is planned."""
    answer = ask("practise", "--notes", "F7 D6 E6 F6 D6", *QUICK, "--format", "json")
    assert answer.code == 1
    assert answer.json["cells"]


def test_a_sheet_is_laid_out_for_its_paper() -> None:
    """The size of the page is that paper's; other forms have none, and refuse it."""
    for paper, other in (("a4", "letter"), ("letter", "a4")):
        sheet = ask("practise", "--notes", LINE, *QUICK, "--format", "html", "--paper", paper).out.lower()
        (size,) = {found for found in (paper, other) if f"size: {found}" in sheet or f"size:{found}" in sheet}
        assert size == paper
    answer = ask("practise", "--notes", LINE, *QUICK, "--paper", "a4")
    assert (answer.code, "--paper: this option is for --format html" in answer.err) == (2, True)


def test_standard_grips_can_be_practised_instead() -> None:
    """--choose standard, --ban and --pin change the grips of the cells."""
    data = ask("practise", "--notes", LINE, *QUICK, "--choose", "standard", "--format", "json").json
    assert data["cells"][0]["grips"][:2] == ["T L1 L2 | R1 R2 Eb", "T L1 L3 | R1 Eb"]
    banned = ask("practise", "--notes", LINE, *QUICK, "--ban", "harmonic", "--format", "json").json
    assert "T L1 L2 | Eb" not in banned["cells"][0]["grips"]


def test_a_log_goes_on_from_day_to_day(tmp_path: Path) -> None:
    """Begun with a passage; a tempo noted without it; the next plan begins two notches lower, on day 2."""
    log = tmp_path / "my.log"
    begun = ask("practise", "--notes", LINE, *QUICK, "--log", log, "--format", "json").json
    steps = begun["cells"][0]["ladder"]["steps"]
    noted = ask("practise", "--log", log, "--reached", f"1={steps[6]}", "--format", "json")
    assert f"clean at quarter = {steps[6]} (of 120)" in noted.err
    again = ask("practise", "--log", log, "--format", "json").json
    assert again == noted.json
    assert again["cells"][0]["ladder"] == {
        "from": steps[4],
        "to": 120,
        "part": 120,
        "steps": steps[4:],
        "reached": steps[6],
    }
    assert again["cells"][0]["reached"][0]["tempo"] == steps[6]
    assert [day["day"] for day in again["days"]] == [2, 3]
    assert again["days"][0]["items"][0]["from"] == steps[4]
    assert f"Reached: {steps[6]} (" in ask("practise", "--log", log).out


def test_the_next_day_goes_on_at_the_next_drill(tmp_path: Path) -> None:
    """What was on the day that is over is met: day 2 has the drills day 2 was planned to begin with."""
    log = tmp_path / "my.log"
    begun = ask("practise", "--notes", "(E6 F#6 G#6 A6)", *QUICK, "--log", log, "--format", "json").json
    met = [item["drill"] for item in begun["days"][0]["items"] if item["cell"] == 0]
    assert 0 < len(met) < len(begun["cells"][0]["drills"])
    ask("practise", "--log", log, "--reached", "1=70")
    again = ask("practise", "--log", log, "--reached", "1=76", "--format", "json").json
    drills = {item["drill"] for day in again["days"] for item in day["items"] if item["cell"] == 0}
    fresh = [item["drill"] for item in again["days"][0]["items"] if item["drill"] not in met]
    assert fresh[0] == min({*range(len(begun["cells"][0]["drills"]))} - {*met})
    assert fresh[0] in drills
    kinds = [json.loads(line)["kind"] for line in log.read_text().splitlines()]
    assert kinds == ["plan", "day", "reached", "reached"]


def test_after_a_change_of_tempo_it_says_which_cells_keep_their_history(tmp_path: Path) -> None:
    """Told once on standard error; without a change nothing is told."""
    log = tmp_path / "my.log"
    ask("practise", "--notes", LINE, *QUICK, "--log", log)
    assert "is kept for cell" not in ask("practise", "--log", log, "--reached", "1=70").err
    told = ask("practise", "--log", log, "--tempo", 132)
    assert "at this tempo what you reached is kept for cell 1" in told.err
    assert "is kept for cell" not in ask("practise", "--log", log).err


def test_a_part_too_large_for_the_solver_still_gets_a_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """Thirty minutes on seven days of forty bars, and no counted time: a plan all the same."""
    monkeypatch.setattr("gripway.practice.schedule.schedule_solver.COUNTED_TIME", 0.0)
    answer = ask("practise", FLUTE, "--bars", "1-40", "--minutes", 30, "--days", 7, "--format", "json")
    assert answer.code == 0
    assert answer.json["plan"]["proved"] is False
    assert 0 in {item["cell"] for item in answer.json["days"][0]["items"]}


def test_a_reached_tempo_is_kept_up_and_days_that_are_over_give_one_more(tmp_path: Path) -> None:
    """A cell at its tempo says so; a plan of one day, once played, offers one more."""
    log = tmp_path / "my.log"
    ask("practise", "--notes", LINE, "--tempo", 120, "--days", 1, "--log", log, "--reached", "1=120")
    text = ask("practise", "--log", log).out
    assert "120 is reached; keep it up" in text
    assert "Day 2: " in text


def test_options_beside_a_log_are_remembered_and_a_line_cut_off_is_passed_over(tmp_path: Path) -> None:
    """More days stay; after an interruption the log is gone on with and nothing that was whole is lost."""
    log = tmp_path / "my.log"
    ask("practise", "--notes", LINE, *QUICK, "--log", log, "--reached", "1=60")
    ask("practise", "--log", log, "--days", 4)
    with log.open("a") as stream:
        stream.write('{"log": "gripway practice log", "kind": "rea')
    answer = ask("practise", "--log", log, "--reached", "1=64", "--format", "json")
    assert "is not whole and is passed over" in answer.err
    assert [entry["tempo"] for entry in answer.json["cells"][0]["reached"]] == [60, 64]
    assert answer.json["days"][-1]["day"] == 4


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--minutes", 0), "--minutes: 0 minutes a day make no plan. Give 1 to 180"),
        (("--days", 0), "--days: 0 days make no plan. Give 1 to 60"),
        (("--cells", 99), "--cells: 99 cells make no plan. Give 1 to 20"),
        (("--reached", "1=90"), "there is no log to write it in. Add --log FILE"),
        (("--bars", "1"), "--bars"),
        (("--tempo", 1), "no tempo to play at"),
    ],
)
def test_what_makes_no_plan_is_refused(words: tuple[object, ...], told: str) -> None:
    """Exit 2 and one line with the option and the next step."""
    answer = ask("practise", "--notes", LINE, *words)
    assert (answer.code, answer.data) == (2, b"")
    assert told in answer.err


@pytest.mark.parametrize(
    ("reached", "told"),
    [
        ("9=90", "there is no cell 9. The cells are 1 to"),
        ("1", "says no cell and tempo. Write cell=tempo"),
        ("1=fast", "says no cell and tempo"),
        ("1=181", "far above the tempo of the part here, quarter = 120. Give at most 180"),
        ("1=9000", "no tempo to play at"),
        ("0=90", "there is no cell 0"),
    ],
)
def test_a_result_that_means_nothing_is_refused_and_not_written(
    tmp_path: Path, reached: str, told: str
) -> None:
    """The log stays as it was."""
    log = tmp_path / "my.log"
    ask("practise", "--notes", LINE, *QUICK, "--log", log)
    before = log.read_bytes()
    answer = ask("practise", "--log", log, "--reached", reached)
    assert (answer.code, told in answer.err) == (2, True), answer.err
    assert log.read_bytes() == before


def test_logs_that_cannot_be_are_refused(tmp_path: Path) -> None:
    """Another passage's, an empty one, the score itself, one for standard input, one that is the output."""
    log = tmp_path / "my.log"
    ask("practise", "--notes", LINE, *QUICK, "--log", log)
    other = ask("practise", "--notes", "A6 B6", "--log", log)
    assert "belongs to another passage" in other.err
    new = tmp_path / "new.log"
    assert "this log has no passage yet" in ask("practise", "--log", new).err
    assert not new.exists()
    score = tmp_path / "part.musicxml"
    score.write_bytes(FLUTE.read_bytes())
    assert "not a practice log" in ask("practise", score, "--log", score).err
    assert score.read_bytes() == FLUTE.read_bytes()
    assert "read again" in ask("practise", "-", "--log", new, stdin=FLUTE.read_bytes()).err
    assert "overwrite the input" in ask("practise", "--log", log, "--out", log).err
    assert json.loads(log.read_text().splitlines()[0])["kind"] == "plan"


def test_a_score_that_was_changed_or_moved_is_told(tmp_path: Path) -> None:
    """The log knows its passage and where the score was."""
    score, log = tmp_path / "part.musicxml", tmp_path / "my.log"
    score.write_bytes(FLUTE.read_bytes())
    assert ask("practise", score, "--bars", "46-51", "--days", 1, "--log", log).code == 0
    score.write_bytes(FLUTE.read_bytes().replace(b"<octave>6</octave>", b"<octave>5</octave>"))
    assert "notes have been changed" in ask("practise", "--log", log).err
    score.unlink()
    assert str(score) in ask("practise", "--log", log).err


def test_notes_without_a_grip_are_named_with_the_reason() -> None:
    """Three notes beyond the flute: exit 1, which they are and why."""
    answer = ask("practise", "--notes", "D7 E7 F7 G7", "--tempo", 96)
    words = " ".join(answer.out.split())
    assert answer.code == 1
    assert "3 notes have no grip and are left out: E7: needs " in words
    assert "F7: outside " in words
    assert "There is no change of fingers" not in words


def test_one_is_said_as_one() -> None:
    """One minute, one cell more."""
    text = ask("practise", FLUTE, "--bars", "46-60", "--days", 1, "--minutes", 1).out
    assert "1 minutes" not in text
    assert "Days, 1 minute each" in text
    assert "1 more are" not in text


def test_a_pitch_has_one_grip_in_a_drill_or_the_text_says_which_note_takes_which() -> None:
    """One of two C#6 is pinned to another grip; where a drill has two grips of a pitch they are told."""
    line = "(A6 G#6 F#6 E6 F#6 E6 D6 C#6 D6 C#6 B5 A5)"
    kept = Wishes(pins=(Pin(7, Grip.parse("L3 | Eb")),))
    made = practise(notes(line, tempo=126), flute(), kept, time=PracticeTime(cells=2))
    assert any("C#6" in planned.cell.pitches for planned in made.cells)
    assert {note.candidate.grip.short for note in made.route.notes if note.note.pitch.name == "C#6"} == {
        "3 | Eb",
        "| Eb",
    }
    for planned in made.cells:
        assert list(mixed_grips(1, planned)) == []
    planned = made.cells[0]
    again = next(
        drill
        for drill in planned.drills
        if drill.passage.notes[0].pitch in [note.pitch for note in drill.passage.notes[2:]]
    )
    first, second = again.grips[:2]
    two = replace(planned, drills=(replace(again, grips=(second, *again.grips[1:])),))
    name = again.passage.notes[0].pitch.name
    assert list(mixed_grips(2, two)) == [f"In 2.1 {name} is first {second.short}, then {first.short}."]
