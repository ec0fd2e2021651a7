"""The tables of a library: what is added up, what is compared across scores, and how they are written."""

import csv
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest
from tests.cli.run_gripway import FLUTE, ask
from tests.library.small_library import put, run, tree
from tests.library.test_run import rows

from gripway.csv_text import csv_text
from gripway.effort.load import LATE
from gripway.library.across_scores import findings
from gripway.library.engines import here
from gripway.library.library_wishes import LibraryWishes, identity
from gripway.library.one_score import work_on
from gripway.library.overview import advice, overview
from gripway.library.record import KINDS, Record, Row, ScoreJob
from gripway.library.repertoire import Repertoire
from gripway.library.run import run_library
from gripway.library.score_files import score_files
from gripway.library.score_rows import key_words, part_rows
from gripway.library.tables import COLUMNS
from gripway.model.house_style import HouseStyle, MarkChoice
from gripway.tasks.editions import edit
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.flutes import flute
from gripway.tasks.scores import read

MANUAL = Path(__file__).resolve().parents[2] / "examples" / "manual" / "library.md"


def record(composer: str, f_sharps: int, unusual: int, late: int) -> Record:
    """A part with so many F#6, of which so many have an unusual grip and so many are reached too late."""
    head = {"composer": composer, "instrument": "concert-flute"}
    plain = {"of": 0, "pitch": "F#6", "key": "1 sharp", "grip": "", "kind": "", "late": late}
    other = plain | {"grip": "T L1 L3 | R2 Eb", "kind": "alternate", "notes": unusual, "late": 0}
    change = {
        "of": 0,
        "from_pitch": "E6",
        "from_grip": "T L1 L2 | R1 R2 Eb",
        "to_pitch": "F#6",
        "to_grip": "T L1 L3 | R3 Eb",
    }
    return Record(
        {
            "parts": [head],
            "tally": [plain | {"notes": f_sharps - unusual}, *([other] if unusual else [])],
            "changes": [change | {"times": late, "load": 1.0 + late / 10}] if late else [],
            "grips": [head | {"pitch": "F#6", "grip": other["grip"], "saves": 1.5}] if unusual else [],
        }
    )


@pytest.fixture
def repertoire() -> Repertoire:
    """Three parts of two composers, twenty F#6 each."""
    found = Repertoire()
    for each in (record("Ann", 20, 5, 0), record("Ann", 20, 0, 3), record("", 20, 8, 1)):
        found.add(each)
    return found


def test_notes_are_added_up(repertoire: Repertoire) -> None:
    """By pitch, key and composer: parts, notes, unusual ones and late ones, with their shares."""
    found = {(row["by"], row["value"]): row for row in repertoire.statistics()}
    every = {"parts": 3, "notes": 60, "unusual": 13, "late": 4}
    for place in (("all", ""), ("pitch", "F#6"), ("key", "1 sharp"), ("instrument", "concert-flute")):
        assert {key: found[place][key] for key in every} == every
    assert found["all", ""]["unusual_share"] == round(13 / 60, 5)
    ann = found["composer", "Ann"]
    assert (ann["parts"], ann["notes"], ann["unusual"], ann["late"]) == (2, 40, 5, 3)
    assert found["composer", "not named"]["late_share"] == round(1 / 20, 5)


def test_how_often_a_grip_pays(repertoire: Repertoire) -> None:
    """In how many of the parts with its pitch, on how many notes, and what it saves."""
    found = {(row["by"], row["value"]): row for row in repertoire.unusual_grips()}
    every, ann, key = found["all", ""], found["composer", "Ann"], found["key", "1 sharp"]
    assert (every["parts"], every["parts_with_pitch"], every["saves"]) == (2, 3, 3.0)
    assert (every["notes"], every["notes_of_pitch"]) == (13, 60)
    assert (ann["parts"], ann["parts_with_pitch"], ann["saves"]) == (1, 2, 1.5)
    assert (key["parts"], key["saves"]) == (2, None)


def test_the_hardest_changes(repertoire: Repertoire) -> None:
    """Parts, times, and the load at worst; the advice names the grip and the change."""
    (row,) = repertoire.hardest_changes()
    assert (row["parts"], row["times"], row["load"]) == (2, 4, 1.3)
    said = advice([row], list(repertoire.unusual_grips()))
    assert said == (
        "Learn F#6 T 1 3 | 2 Eb first: it pays in 2 of 3 parts with that pitch; "
        "practise E6 to F#6: it is too fast 4 times in 2 parts."
    )
    assert advice([], []).startswith("Stay with the standard grips")


def test_the_grip_that_saves_most_is_learnt_first(repertoire: Repertoire) -> None:
    """Among all rows the one that saves most, not the first or the least; of equals that of more parts."""
    (row,) = (row for row in repertoire.unusual_grips() if row["by"] == "all")
    less, more = row | {"pitch": "E6", "saves": 0.5}, row | {"pitch": "G#6", "saves": 9.0}
    assert advice([], [less, more, row]).startswith("Learn G#6 ")
    wider = more | {"pitch": "A6", "parts": more["parts"] + 1}
    assert advice([], [more, wider, row]).startswith("Learn A6 ")
    assert advice([], [more | {"by": "composer"}, less]).startswith("Learn E6 ")


def test_key_signatures_in_words() -> None:
    """None, one and several, either way: the statistics by key rest on these words."""
    assert [key_words(fifths) for fifths in (-2, -1, 0, 1, 2)] == [
        "2 flats",
        "1 flat",
        "no signs",
        "1 sharp",
        "2 sharps",
    ]


def test_a_change_is_late_above_its_load_only(tmp_path: Path) -> None:
    """Alike changes are one row with their times and the worst of their loads; just in time none is late."""
    put(tmp_path / "a.musicxml", "(E6 F#6 E6 F#6 E6) G6", 240)
    reading, mine = read(tmp_path / "a.musicxml"), FlutePlayer(flute())
    edition = edit(reading)
    route = edition.even.route

    def rows_at(*loads: float) -> dict[str, list[Row]]:
        changes = tuple(replace(each, load=load) for each, load in zip(route.changes, loads, strict=True))
        other = replace(edition, even=replace(edition.even, route=replace(route, changes=changes)))
        return part_rows("a.musicxml", 0, reading, other, mine)

    found = rows_at(1.2, 0.5, 1.6, 0.5, LATE)
    assert [(row["times"], row["load"]) for row in found["changes"]] == [(2, 1.6)]
    assert found["parts"][0]["late_changes"] == sum(row["late"] for row in found["tally"]) == 2
    assert rows_at(*[LATE] * 5)["changes"] == []


def test_the_overview_says_what_to_do_first(repertoire: Repertoire) -> None:
    """The sentence comes before the plots; each bar has its figure in words; no other file is asked for."""
    changes, grips = list(repertoire.hardest_changes()), list(repertoire.unusual_grips())
    page = overview(changes, grips, list(repertoire.statistics()))
    assert page.index("Learn F#6") < page.index("<svg")
    assert "4 times in 2 parts, at worst load 1.30" in page
    assert "src=" not in page
    assert "None." in overview([], [], [])


def said(figure: str, tempo: float, grip: str, mask: int) -> dict[str, object]:
    """The first grip of a figure in a score."""
    place = {"part": "Flute", "bar": "3", "note": "F#6", "id": "P1-n9"}
    return {"figure": figure, "tempo": tempo, "grip": grip, "rows": [mask], **place}


@pytest.mark.parametrize(
    ("tempo", "mask", "differs"),
    [(100.0, 2, True), (110.0, 2, True), (110.1, 2, False), (100.0, 1, False)],
)
def test_figures_are_compared_across_scores(tempo: float, mask: int, differs: bool) -> None:
    """Other grips of one figure, at most a tenth away in tempo (figure_tempo_factor); equal ones agree."""
    first = Record({"figures": [said("x", 100.0, "T L1 L3 | R3 Eb", 1), said("y", 100.0, "T", 7)]})
    then = Record({"figures": [said("x", tempo, "T L1 L3 | R2 Eb", mask)]})
    found = list(findings([("one.xml", first), ("two.xml", then)]))
    assert [row["file"] for row in found] == ["two.xml"] * differs
    if differs:
        assert found[0]["what"] == (
            "T 1 3 | 2 Eb here, T 1 3 | 3 Eb in the same figure in bar 3 (Flute, one.xml)"
        )


def test_every_column_is_described() -> None:
    """Each table and each of its columns stands in the manual."""
    text = MANUAL.read_text(encoding="utf-8")
    for table, columns in COLUMNS.items():
        assert f"| `{table}` |" in text
        known = text + (MANUAL.parent / "consistency.md").read_text(encoding="utf-8")
        for column in columns:
            assert f"`{column}`" in known, (table, column)


def test_parquet_has_what_csv_has(tmp_path: Path) -> None:
    """Row by row and column by column, every table, the empty ones with their types; twice the same bytes."""
    put(tmp_path / "scores" / "a.musicxml", "(E6 F#6 E6 F#6) G6", 240, composer="=Ann")
    (tmp_path / "scores" / "b.musicxml").write_bytes(b"<")
    found = score_files(tmp_path / "scores").scores
    for out in (tmp_path / "one", tmp_path / "two"):
        run_library(found, out, LibraryWishes(), here, parquet=True)
    assert tree(tmp_path / "one") == tree(tmp_path / "two")
    for table, columns in COLUMNS.items():
        frame = pd.read_parquet(tmp_path / "one" / "data" / f"{table}.parquet")
        assert list(frame.columns) == list(columns)
        assert {name: str(kind) for name, kind in frame.dtypes.items()} == dict(columns)
        bare = frame.astype(object).where(frame.notna(), None)
        path = tmp_path / "one" / "data" / f"{table}.csv"
        assert csv_text(bare.to_dict("records"), list(columns)) == path.read_text(encoding="utf-8")


def test_no_cell_is_a_formula(tmp_path: Path) -> None:
    """A composer or a file called like one is text in every table."""
    put(tmp_path / "scores" / "=cmd.musicxml", "(E6 F#6 E6 F#6) G6", 240, composer="=1+1")
    run(tmp_path / "scores", tmp_path / "out")
    assert rows(tmp_path / "out", "parts")[0]["composer"] == " =1+1"
    for path in (tmp_path / "out" / "data").glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as stream:
            assert not [cell for row in csv.reader(stream) for cell in row if cell.startswith(("=", "@"))]


def test_a_record_is_small_and_comes_back(tmp_path: Path) -> None:
    """As JSON it reads back as it was, of known kinds only."""
    put(tmp_path / "a.musicxml", "(E6 F#6 E6 F#6) G6", 240)
    answer = work_on(ScoreJob("a.musicxml", (tmp_path / "a.musicxml").read_bytes()), LibraryWishes())
    assert Record.parse(answer.record.text()) == answer.record
    assert set(answer.record.rows) <= set(KINDS)
    assert "errors" not in answer.record.rows


def test_the_same_wishes_are_known_by_their_digest() -> None:
    """The order of sets makes no difference, every other value does."""
    one, other = (
        LibraryWishes(house=HouseStyle(omit=MarkChoice(kinds=frozenset(kinds))))
        for kinds in (("trill", "harmonic", "vented"), ("vented", "trill", "harmonic"))
    )
    assert identity(one) == identity(other)
    assert identity(one) != identity(LibraryWishes())
    assert identity(LibraryWishes(reports=True)) != identity(LibraryWishes())


def test_what_a_grip_buys_is_what_finger_says() -> None:
    """The saving of a grip is that of the route without figures, though marks keep figures to one grip."""
    answer = ask("finger", FLUTE, "--format", "json").json
    rows = work_on(ScoreJob("a.xml", FLUTE.read_bytes()), LibraryWishes()).record.of("grips")
    keys = ("pitch", "grip", "kind", "saves", "steady")
    assert [{key: row[key] for key in keys} for row in rows] == [
        {key: learn[key] for key in keys} for learn in answer["learn"]
    ]
    assert rows
    assert all(row["saves"] > 0 for row in rows)
