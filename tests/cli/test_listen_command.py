"""`gripway listen`: a recording in, the player's own cents out and into their list; and what to record."""

import json
import re
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.cli.run_gripway import Answer, ask
from tests.listening.sessions import Session, played, tones
from tests.sound.wav_bytes import wav

from gripway.catalog.own_files.tuner_list import read_cents
from gripway.listening.what_to_record import RecordingCard
from gripway.tasks.own.record_first import record_first

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
TAKES = EXAMPLES / "f_sharp_takes.wav"
STUDY = EXAMPLES / "rooftop_study.musicxml"
GRIP = ("--grip", "F#6=T 1 3 | 2 Eb")
SESSION = Session(length_s=1.2, breath_s=0.4)


def takes_file(folder: Path, *sessions: Session, rate_hz: int = 16_000) -> Path:
    """A recording of sessions one after another."""
    made = [tone for seed, session in enumerate(sessions) for tone in tones(session, seed)]
    path = folder / "takes.wav"
    path.write_bytes(wav(played(made, 0.4, rate_hz), rate_hz))
    return path


def listened(*words: object) -> Answer:
    """The answer to the example recording."""
    return ask("listen", TAKES, *GRIP, *words)


def test_a_sentence_first_then_the_takes(tmp_path: Path) -> None:
    """What was found and where it was written; nine takes; the caution; exit code 0."""
    found = listened("--list", tmp_path / "tuner.csv", "--date", "2027-01-31")
    first = " ".join(found.out.split("\n\n")[0].split())
    assert re.fullmatch(
        r"Your F#6 with T 1 3 \| 2 Eb lies 7 cents below your standard one, give or take 3: written to "
        r".*tuner\.csv\.",
        first,
    )
    assert len(re.findall(r"^\d +0:\d\d\.\d", found.out, re.MULTILINE)) == 9
    assert "Protect your hearing" in found.out
    assert found.code == 0
    (own,) = read_cents(tmp_path / "tuner.csv")
    assert (own.vs_standard, own.vs_spread_cents, own.takes, own.date) == (-7.4, 3.0, 3, "2027-01-31")
    assert own.spread_cents > 3.0
    assert "A4 reckoned from this one note" in found.out


def test_the_example_says_what_was_put_into_it() -> None:
    """Eight cents lower by its script, within the range that is told."""
    (found,) = listened("--dry-run", "--format", "json").json["grips"]
    assert found["cents_vs_standard"] == pytest.approx(-8.0, abs=found["cents_vs_standard_spread"])


def test_a_dry_run_writes_nothing(tmp_path: Path) -> None:
    """No list, and none is claimed to be written."""
    found = listened("--list", tmp_path / "tuner.csv", "--dry-run", "--format", "json").json
    assert found["written"] is None
    assert "nothing is written" in found["sentence"]
    assert not (tmp_path / "tuner.csv").exists()


def test_without_a_day_it_is_today(tmp_path: Path) -> None:
    """The system's own day."""
    before = date.today()
    listened("--list", tmp_path / "tuner.csv")
    (own,) = read_cents(tmp_path / "tuner.csv")
    assert before <= date.fromisoformat(own.date) <= date.today()


def test_the_players_own_list_is_added_to_and_then_used(tmp_path: Path) -> None:
    """A file that names no list gets one; the cents of `grips` are the measured ones."""
    player = tmp_path / "me.toml"
    player.write_text("[dials]\ntuning = 2\n")
    found = listened("--player", player, "--date", "2027-01-31")
    assert found.code == 0
    assert "names the list tuner.csv now" in found.err
    rows = ask("grips", "F#6", "--player", player, "--format", "json").json["grips"]
    (mine,) = [row for row in rows if row["grip"] == "T L1 L3 | R2 Eb"]
    assert (mine["cents_vs_standard"], mine["cents_source"]) == (-7.4, "measured")
    again = listened("--player", player, "--date", "2027-02-01")
    assert again.err == ""
    assert len((tmp_path / "tuner.csv").read_text().splitlines()) == 3


def test_a_player_file_that_is_not_there_is_made(tmp_path: Path) -> None:
    """With the list beside it, as taste --write and own-times --save make theirs."""
    player = tmp_path / "me.toml"
    assert listened("--player", player, "--date", "2027-01-31").code == 0
    assert player.read_text() == '[cents]\nfile = "tuner.csv"\n'
    assert len([*read_cents(tmp_path / "tuner.csv")]) == 1
    assert listened("--player", tmp_path / "other.toml", "--dry-run").code == 0
    assert not (tmp_path / "other.toml").exists()


def test_a_false_start_is_listed_and_voids_nothing(tmp_path: Path) -> None:
    """Nine takes are measured; the tenth note stands with its time, length and pitch."""
    made = tones(SESSION)
    path = tmp_path / "takes.wav"
    path.write_bytes(
        wav(played([*made[:4], replace(made[4], length_s=0.45), *made[4:]], 0.4, 16_000), 16_000)
    )
    found = ask("listen", path, *GRIP, "--dry-run")
    assert found.code == 0
    assert re.search(r"not taken for a take\n.*\n.*\n0:06\.8 +0\.[45] s +F#6\n", found.out)
    notes = ask("listen", path, *GRIP, "--dry-run", "--format", "json").json["notes"]
    assert [note["take"] for note in notes] == [1, 2, 3, 4, None, 5, 6, 7, 8, 9]


def test_notes_that_do_not_fit_are_all_listed(tmp_path: Path) -> None:
    """Eight notes: one line for the grip, and every note that was heard."""
    path = tmp_path / "takes.wav"
    path.write_bytes(wav(played(tones(SESSION)[:8], 0.4, 16_000), 16_000))
    found = ask("listen", path, *GRIP, "--dry-run")
    assert "F#6 with T 1 3 | 2 Eb: 8 notes were heard where 9 were asked for." in found.out
    assert len(re.findall(r"^0:\d\d\.\d +1\.[12] s +F#6$", found.out, re.MULTILINE)) == 8


def test_noise_is_named_with_what_to_do(tmp_path: Path) -> None:
    """Eight notes 5 dB above white noise: find a quieter room."""
    sound = played(tones(SESSION)[:8], 0.4, 16_000)
    hiss = np.random.default_rng(1).standard_normal(len(sound))
    path = tmp_path / "takes.wav"
    path.write_bytes(wav(0.3 * sound + 0.3 * 0.56 * sound.std() * hiss, 16_000))
    first = " ".join(ask("listen", path, *GRIP, "--dry-run").out.split("\n\n")[0].split())
    assert "what sounds between the notes is only" in first
    assert "find a quieter room" in first


def test_only_the_first_row_of_a_card_was_played(tmp_path: Path) -> None:
    """It says how to ask for that row alone, and one line for each row that is missing."""
    path = takes_file(tmp_path, SESSION)
    words = ("--grip", "A6=T 2 4 | 1 Eb", "--grip", "E6=T 1 2 | Eb", "--dry-run")
    found = ask("listen", path, *GRIP, *words)
    assert found.out.startswith("Only row 1 was heard: ask for --top 1, or play")
    assert found.out.count("0 notes were heard where 9 were asked for.") == 2
    assert ask("listen", path, *GRIP, *words, "--top", "1").code == 0


@pytest.mark.parametrize(("hertz", "remarks"), [(440.7, 0), (447.0, 1)])
def test_the_reference_may_be_given(hertz: float, remarks: int) -> None:
    """The standard grip gets a row of its own; an A4 that no flute is tuned to is remarked on."""
    found = listened("--reference", hertz, "--dry-run", "--format", "json").json
    assert (found["reference_hz"], found["reference_pitches"]) == (pytest.approx(hertz, abs=0.01), 0)
    assert [row["cents_vs_standard"] is None for row in found["grips"]] == [True, False]
    assert len(found["remarks"]) == remarks
    said = listened("--reference", hertz, "--dry-run")
    assert f"{hertz:.1f} Hz that was given" in said.out
    assert ("give your A4: --reference 440" in said.err) is bool(remarks)


def test_several_grips_of_which_one_cannot_be_measured(tmp_path: Path) -> None:
    """The other is written all the same; the sentence says which to play again; exit code 1."""
    short = replace(SESSION, pitch=93, length_s=0.7)
    path = takes_file(tmp_path, SESSION, short)
    found = ask(
        "listen",
        path,
        *GRIP,
        "--grip",
        "A6=T 2 4 | 1 Eb",
        "--list",
        tmp_path / "tuner.csv",
        "--format",
        "json",
    )
    assert found.code == 1
    assert [row["pitch"] for row in found.json["grips"]] == ["F#6"]
    assert found.json["missing"] == [{"pitch": "A6", "grip": "T L2 L4 | R1 Eb"}]
    assert found.json["sentence"].startswith("Play A6 with T 2 4 | 1 Eb again: of 9 takes 9 cannot be used")
    assert "too short: 0.7 s" in found.json["sentence"]
    assert [own.pitch for own in read_cents(tmp_path / "tuner.csv")] == [90]


def test_nothing_is_written_where_nothing_was_measured(tmp_path: Path) -> None:
    """Two notes where nine were asked for."""
    path = tmp_path / "two.wav"
    path.write_bytes(wav(played(tones(SESSION)[:2], 0.4, 16_000), 16_000))
    found = ask("listen", path, *GRIP, "--list", tmp_path / "tuner.csv")
    assert found.code == 1
    assert "2 notes were heard where 9 were asked for" in " ".join(found.out.split())
    assert not (tmp_path / "tuner.csv").exists()


def test_an_alto_flute_is_heard_a_fourth_lower(tmp_path: Path) -> None:
    """Written D6 sounds A5."""
    path = takes_file(tmp_path, replace(SESSION, pitch=81))
    words = ("--instrument", "alto-flute", "--grip", "D6=T 1 | Kd Eb", "--dry-run", "--format", "json")
    (row,) = ask("listen", path, *words).json["grips"]
    assert row["pitch"] == "D6"
    assert row["cents_vs_standard"] == pytest.approx(SESSION.difference, abs=row["cents_vs_standard_spread"])


def test_a_grip_of_no_table_is_said() -> None:
    """It is measured and kept; a remark says that no route will take it."""
    found = ask("listen", TAKES, "--grip", "F#6=1 3 | Eb", "--dry-run", "--format", "json").json
    assert "no table" in found["remarks"][0]["text"]
    assert len(found["grips"]) == 1


BAD = {
    "no grip": ((TAKES, "--dry-run"), "say what was played"),
    "two ways": ((TAKES, *GRIP, "--asked", TAKES, "--dry-run"), "say what was played"),
    "no list": ((TAKES, *GRIP), "no list to write to"),
    "two files": ((TAKES, TAKES, *GRIP, "--dry-run"), "several recordings"),
    "no pitch": (
        (TAKES, "--grip", "T 1 3 | 2 Eb", "--dry-run"),
        "--grip: 'T 1 3 | 2 Eb' names no pitch and grip",
    ),
    "odd pitch": ((TAKES, "--grip", "H6=T 1 | Eb", "--dry-run"), "'H6' is not a pitch"),
    "odd grip": ((TAKES, "--grip", "F#6=T 9 | Eb", "--dry-run"), "'9' is not a touch"),
    "no hand": ((TAKES, "--grip", "F#6=T Tb | Eb", "--dry-run"), "cannot press T, Tb"),
    "standard": ((TAKES, "--grip", "F#6=T 1 3 | 3 Eb", "--dry-run"), "is the standard grip itself"),
    "twice": ((TAKES, *GRIP, *GRIP, "--dry-run"), "is asked for twice"),
    "too high": ((TAKES, "--grip", "F8=T 1 | Eb", "--dry-run"), "has no standard grip"),
    "odd day": ((TAKES, *GRIP, "--list", "none.csv", "--date", "31.1.2027"), "is no day"),
    "html": ((TAKES, *GRIP, "--dry-run", "--format", "html"), "there is no page of a recording"),
    "no file": (("nowhere.wav", *GRIP, "--dry-run"), "nowhere.wav: cannot be read"),
    "no file before all": (("nowhere.wav",), "nowhere.wav: cannot be read"),
    "no recording": ((STUDY, *GRIP, "--dry-run"), "is no recording"),
    "odd reference": ((TAKES, *GRIP, "--dry-run", "--reference", "4400"), "4400 Hz is no A"),
    "card with a grip": (("--card", STUDY, *GRIP), "goes with a recording"),
    "no card": ((TAKES, "--asked", STUDY, "--dry-run"), "is no card"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_bad_request_is_refused(name: str) -> None:
    """Exit code 2, what is wrong and what to do, no traceback."""
    words, what = BAD[name]
    found = ask("listen", *words)
    assert (found.code, found.data) == (2, b"")
    assert what in found.err
    assert "fault" not in found.err


def test_a_recording_is_left_as_it_was(tmp_path: Path) -> None:
    """Not a byte of it changes, and it is not taken for the answer's file."""
    path = takes_file(tmp_path, SESSION)
    before = path.read_bytes()
    ask("listen", path, *GRIP, "--list", tmp_path / "tuner.csv")
    assert ask("listen", path, *GRIP, "--dry-run", "--out", path).code == 2
    assert path.read_bytes() == before


@pytest.fixture
def one_card(monkeypatch: pytest.MonkeyPatch) -> None:
    """A card for the same parts, flute and wishes is worked out once; the commands tell it in their forms."""
    made: list[tuple[list[object], RecordingCard]] = []

    def once(*asked: Any) -> RecordingCard:
        *about, _progress = asked
        if (known := next((card for before, card in made if before == about), None)) is None:
            made.append((about, known := record_first(*asked)))
        return known

    monkeypatch.setattr("gripway.tasks.own.record_first.record_first", once)


@pytest.mark.usefixtures("one_card")
def test_the_card_says_what_to_record_first(tmp_path: Path) -> None:
    """The harmonic of E6 hangs on its doubt; as text, page and JSON, which names what is played then."""
    card = ask("listen", "--card", STUDY, "--format", "json").json
    assert [(each["pitch"], each["grip"]) for each in card["grips"]] == [("E6", "T L1 L2 | Eb")]
    (first,) = card["grips"]
    assert first["notes"] >= abs(first["if_higher"] - first["if_lower"]) > 0
    text = ask("listen", "--card", STUDY).out
    assert text.startswith(card["sentence"])
    page = ask("listen", "--card", STUDY, "--format", "html").out
    assert page.startswith("<!DOCTYPE html>")
    assert page.count("<li>") == 1
    assert "9 notes, about 1 minute" in page
    assert "standard: T 1 2 | 1 2 Eb" in page
    assert "bars 1-4, 8-10" in page
    assert "gripway listen --card SCORE --format json --out card.json" in page
    ask("listen", "--card", STUDY, "--format", "html", "--out", tmp_path / "first.html")
    assert json.loads((tmp_path / "first.json").read_text()) == card
    assert "--asked first.json" in (tmp_path / "first.html").read_text()
    (tmp_path / "mine.json").write_text("{}")
    assert ask("listen", "--card", STUDY, "--format", "html", "--out", tmp_path / "mine.html").code == 2
    assert (tmp_path / "mine.json").read_text() == "{}"
    path = tmp_path / "card.json"
    path.write_text(json.dumps(card))
    takes = takes_file(tmp_path, replace(SESSION, pitch=88, other_cents=-20.0))
    (row,) = ask("listen", takes, "--asked", path, "--dry-run", "--format", "json").json["grips"]
    assert (row["pitch"], row["grip"]) == ("E6", "T L1 L2 | Eb")
    assert row["cents_vs_standard"] == pytest.approx(-25.0, abs=row["cents_vs_standard_spread"])


def test_what_was_measured_is_traced(tmp_path: Path) -> None:
    """A reading that changes a grip is named with its day by --explain."""
    (tmp_path / "tuner.csv").write_text(
        "pitch,grip,cents,spread_cents,vs_standard,takes,date\nE6,T 1 2 | Eb,-45,3,-60,3,2027-01-31\n"
    )
    player = tmp_path / "me.toml"
    player.write_text('[known]\ngrips = ["E6: T 1 2 | Eb"]\n[cents]\nfile = "tuner.csv"\n')
    told = ask("finger", STUDY, "--bars", "1-2", "--player", player, "--explain").out
    assert "What your own cents change" in told
    assert "T 1 2 | Eb -60 ±3 against the standard grip, 3 takes, 2027-01-31" in " ".join(told.split())
    assert "own cents" not in ask("finger", STUDY, "--bars", "1-2", "--explain").out


def test_a_reading_that_changes_nothing_is_named(tmp_path: Path) -> None:
    """With its list, its cents and its day, by --explain."""
    listened("--player", tmp_path / "me.toml", "--date", "2027-01-31")
    words = ("finger", "--notes", "E5 F5", "--tempo", "60", "--player", tmp_path / "me.toml", "--explain")
    told = " ".join(ask(*words).out.split())
    assert (
        "1 reading of tuner.csv counted (F#6 T 1 3 | 2 Eb -7 ±3 against the standard grip, 3 takes, "
        "2027-01-31); it changes no grip here."
    ) in told


def test_loud_and_quiet_recordings_say_the_same(tmp_path: Path) -> None:
    """A hundredth of the level, in 24 bits."""
    sound, path = played(tones(SESSION), 0.4, 16_000), tmp_path / "quiet.wav"
    path.write_bytes(wav(0.01 * sound, 16_000, bits=24))
    (row,) = ask("listen", path, *GRIP, "--dry-run", "--format", "json").json["grips"]
    assert row["cents_vs_standard"] == pytest.approx(SESSION.difference, abs=row["cents_vs_standard_spread"])
    path.write_bytes(wav(np.column_stack([sound, 0 * sound]), 16_000, bits=8))
    (side,) = ask("listen", path, *GRIP, "--dry-run", "--format", "json").json["grips"]
    assert side["cents_vs_standard"] == pytest.approx(row["cents_vs_standard"], abs=0.5)
