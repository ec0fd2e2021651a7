"""The examples: valid scores, lines that say the same, and outputs that are what the commands print now."""

import csv
import json
import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from examples.regenerate import PICTURES, commands
from lxml import etree
from tests.cli.run_gripway import ask
from tests.in_process import run
from tests.score.w3c_schema import schema_errors
from tests.tiers import thinned

import gripway
from gripway.edition.printed_pins import read_mark
from gripway.model.passage import Passage
from gripway.score.reading.score_reading import ScoreReading

ROOT = Path(__file__).resolve().parents[1]
EXAMPLES = ROOT / "examples"
COMMANDS = commands()
TEMPOS = {"rooftop_study": 126, "weathercock_part": 108, "kettle_trills": 72, "ladder_cell": 112}
"""Quarters a minute printed in each score."""

OWN_FILES = {
    *("README.md", "commands.toml", "regenerate.py", "picture.py", "tempos.ipynb"),
    *("takes.py", "f_sharp_takes.wav"),
    *("trill_take.py", "E5-F5.wav"),
    *("player.toml", "rules.toml", "tuner.csv", "house_style.toml", "decisions.toml"),
    "windmill_rounds.musicxml",
}


def score_of(name: str) -> ScoreReading:
    """A passage's score."""
    return gripway.read(EXAMPLES / f"{name}.musicxml")


def line_of(name: str) -> Passage:
    """A passage's line of notes, at the tempo of its score."""
    return gripway.notes((EXAMPLES / f"{name}.txt").read_text(encoding="utf-8"), TEMPOS[name])


def rows_of(name: str, *options: str) -> list[dict[str, str]]:
    """The notes of a score's route with these options, as the CSV says them."""
    told = " ".join((f"gripway finger examples/{name}.musicxml --format csv", *options))
    return list(csv.DictReader(run(told).splitlines()))


@pytest.mark.parametrize("output", thinned(sorted(COMMANDS), 3))
def test_an_output_is_what_its_command_prints(output: str) -> None:
    """Run again, the command beside an output prints it byte for byte (else: examples/regenerate.py)."""
    assert run(COMMANDS[output]) == (EXAMPLES / output).read_text(encoding="utf-8")


def test_the_example_decisions_have_their_places() -> None:
    """Every one of them is found in the part they are for."""
    told = ask("finger", EXAMPLES / "weathercock_part.musicxml", "--decisions", EXAMPLES / "decisions.toml")
    assert (told.code, "no longer fits" in told.err) == (0, False)


def seen_in(picture: str) -> list[list[str]]:
    """What a picture of music shows: its words, its diagrams and music signs, its brackets."""
    etree.fromstring(picture.encode())
    return [
        re.findall(r">([^<>]+)</t(?:ext|span)>", picture),
        re.findall(r'<use [^>]*href="#([\w-]+)"', picture.partition("</defs>")[2]),
        re.findall(r'class="(bracket[^"]*)"', picture),
    ]


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_shows_what_its_command_shows(name: str) -> None:
    """Made again it has the same words, diagrams, signs and brackets; it is small and needs no other file."""
    stored = (EXAMPLES / name).read_text(encoding="utf-8")
    words, shapes, brackets = seen_in(stored)
    assert seen_in(run(PICTURES[name])) == [words, shapes, brackets]
    assert [word for word in words if "×" in word] == [
        "0.83×",
        "1.02×",
    ]  # hard from 0.8 on; one is late, which a bracket says
    assert brackets == ["bracket worst"]
    assert "16!" in "".join(words)
    rows = rows_of("ladder_cell", "--player examples/player.toml")
    assert sum(shape.startswith("grip-") for shape in shapes) == sum(
        row["kind"] != "standard" for row in rows
    )
    assert len(stored) < 150_000
    assert "http" not in stored.replace("http://www.w3.org/2000/svg", "")


def test_every_file_of_the_folder_belongs_to_a_passage() -> None:
    """Each passage has its score, its line and an output of both; nothing else lies about."""
    present = {path.name for path in EXAMPLES.iterdir() if path.is_file()}
    inputs = {f"{name}{ending}" for name in TEMPOS for ending in (".musicxml", ".txt")}
    outputs = {f"{name}{ending}" for name in TEMPOS for ending in (".out.txt", ".line.out.txt")}
    assert outputs <= set(COMMANDS)
    assert present == inputs | set(COMMANDS) | set(PICTURES) | OWN_FILES


@pytest.mark.parametrize(
    "name", [*TEMPOS, "windmill_rounds", "weathercock_part.out", "weathercock_part.house.out"]
)
def test_a_score_keeps_the_schema(name: str) -> None:
    """Our scores, and the one we marked, are valid MusicXML 4.0 (W3C schema)."""
    assert schema_errors((EXAMPLES / f"{name}.musicxml").read_bytes()) == []


@pytest.mark.parametrize("name", TEMPOS)
def test_every_bar_of_a_score_is_full(name: str) -> None:
    """The notes and rests of each bar add up to its time signature."""
    root = etree.parse(EXAMPLES / f"{name}.musicxml").getroot()
    divisions = int(root.findtext(".//divisions"))
    metre = Fraction(int(root.findtext(".//beats")), int(root.findtext(".//beat-type")))
    for measure in root.iter("measure"):
        ticks = sum(int(duration.text) for duration in measure.iter("duration"))
        assert Fraction(ticks, 4 * divisions) == metre, measure.get("number")


@pytest.mark.parametrize("name", TEMPOS)
def test_a_line_has_the_notes_of_its_score(name: str) -> None:
    """Pitches, lengths, times, dynamics and slurs are the same, in the order they are played."""
    written = [
        (note.pitch.name, note.length, round(note.onset_ms, 3), note.dynamic, note.slurred)
        for note in score_of(name).passage.notes
    ]
    told = [
        (note.pitch.name, note.length, round(note.onset_ms, 3), note.dynamic, note.slurred)
        for note in line_of(name).notes
    ]
    assert told == written


@pytest.mark.parametrize("name", TEMPOS)
def test_a_line_gets_the_grips_of_its_score(name: str) -> None:
    """But for key and ornaments, for which the line has no sign, the route is the same."""
    passage = score_of(name).passage
    bare = replace(passage, notes=tuple(replace(note, fifths=0, ornament=None) for note in passage.notes))
    routes = [gripway.finger(each, gripway.flute()) for each in (bare, line_of(name))]
    grips = [[note.candidate and note.candidate.grip.text for note in route.notes] for route in routes]
    assert grips[0] == grips[1]
    assert routes[0].effort == routes[1].effort


@pytest.mark.parametrize("name", ["ladder_cell"])
def test_without_ornaments_the_line_needs_no_score(name: str) -> None:
    """The cell has no B-flat, so that it gives the same grips, key and all, from the line alone."""
    routes = [gripway.finger(each, gripway.flute()) for each in (score_of(name).passage, line_of(name))]
    first, second = [[note.candidate and note.candidate.grip for note in route.notes] for route in routes]
    assert first == second


def test_the_marked_part_only_has_more_lines() -> None:
    """An editor who compares the two files sees our marks and nothing else."""
    before = (EXAMPLES / "weathercock_part.musicxml").read_text(encoding="utf-8").splitlines()
    after = (EXAMPLES / "weathercock_part.out.musicxml").read_text(encoding="utf-8").splitlines()
    rest = iter(after)
    assert all(line in rest for line in before)
    assert len(after) > len(before)


def test_the_marks_say_the_grips_that_are_not_plain() -> None:
    """Every marked note of the part has its bracketed grip, every plain one has none."""
    reading = gripway.read(EXAMPLES / "weathercock_part.out.musicxml")
    grips = {row["id"]: row for row in rows_of("weathercock_part")}
    for note in reading.passage.notes:
        row = grips[note.id]
        if row["kind"] == "standard" and not note.fingering:
            continue
        (mark,) = note.fingering
        assert mark.startswith("[")
        assert mark.endswith("]")
        assert read_mark(mark).text == row["grip"] or note.time_through > 1


def test_the_part_is_what_an_editor_brings() -> None:
    """24 to 40 bars with several dynamics, a trill, and a repeat that is played twice."""
    notes = score_of("weathercock_part").passage.notes
    assert 24 <= int(notes[-1].bar) <= 40
    assert len({note.dynamic for note in notes}) >= 4
    assert [note.ornament.kind for note in notes if note.ornament] == ["trill"]
    assert max(note.time_through for note in notes) == 2


def test_the_trills_are_read_with_their_accidental_marks() -> None:
    """Neighbours as printed: in F major an unmarked A goes to B-flat, a marked one to B natural."""
    notes = score_of("kettle_trills").passage.notes
    upper = [(n.pitch.name, n.ornament.upper.name) for n in notes if n.ornament and n.ornament.upper]
    assert ("A5", "B5") in upper
    assert ("D6", "Eb6") in upper
    assert ("E6", "F#6") in upper
    assert ("G6", "Ab6") in upper
    assert ("Bb5", "C6") in upper


def test_the_cell_is_the_one_teachers_know() -> None:
    """F#6 G#6 A6 stands in it (a trouble spot of A major by common practice, no source)."""
    names = [note.pitch.name for note in score_of("ladder_cell").passage.notes]
    assert any(names[place : place + 3] == ["F#6", "G#6", "A6"] for place in range(len(names)))


def test_the_player_changes_the_cell() -> None:
    """Her ban holds, and her tuner's reading stands where she has one, called measured."""
    plain, hers = rows_of("ladder_cell"), rows_of("ladder_cell", "--player examples/player.toml")
    assert [row["grip"] for row in plain] != [row["grip"] for row in hers]
    assert not any(row["pitch"] == "A6" and row["grip"] == "T L2 | Eb" for row in hers)
    with (EXAMPLES / "tuner.csv").open(encoding="utf-8", newline="") as stream:
        own = {(row["pitch"], row["grip"]): float(row["cents"]) for row in csv.DictReader(stream)}
    measured = [row for row in hers if (row["pitch"], row["grip"]) in own]
    assert measured
    assert all(float(row["cents"]) == own[row["pitch"], row["grip"]] for row in measured)
    assert {row["cents_source"] for row in measured} == {"measured"}


def test_the_stored_data_are_one_answer() -> None:
    """The JSON and the CSV of the cell tell the same grips."""
    data = json.loads((EXAMPLES / "ladder_cell.out.json").read_text(encoding="utf-8"))
    with (EXAMPLES / "ladder_cell.out.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert [note["grip"] for note in data["notes"]] == [row["grip"] for row in rows]
