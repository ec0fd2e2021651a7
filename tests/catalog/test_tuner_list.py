"""The tuner's list: old and new columns, the latest day counts, rows are added and none is changed."""

from dataclasses import replace
from pathlib import Path

import pytest

from gripway.catalog.own_files import tuner_list
from gripway.catalog.own_files.players_list import list_of, name_list
from gripway.catalog.own_files.tuner_list import add_cents, cents_of, read_cents, tuner_rows
from gripway.errors import PlayerFileError
from gripway.model.grip import Grip
from gripway.model.player import OwnCents

GRIP = Grip.parse("T L1 L3 | R2 Eb")
OLD = "pitch,grip,cents,spread_cents\nF#6,T L1 L3 | R3 Eb,12,5\nF#6,T L1 | Eb,-14,\n"
HEAD = "pitch,grip,cents,spread_cents,vs_standard,takes,date,vs_spread_cents\n"
MEASURED = OwnCents(90, GRIP, 7.5, 8.0, -7.5, 3, "2027-01-31", 3.0)


def of(text: str) -> list[OwnCents]:
    """The readings of a text that count."""
    return list(cents_of(text, "tuner.csv"))


def test_a_row_with_all_columns() -> None:
    """Each value in its place."""
    assert of(f"{HEAD}F#6,T L1 L3 | R2 Eb,7.5,8,-7.5,3,2027-01-31,3\n") == [MEASURED]


def test_a_list_of_before_is_read_as_it_was() -> None:
    """No vs_standard, no takes, no date."""
    assert [(own.vs_standard, own.takes, own.date) for own in of(OLD)] == [(None, 0, "")] * 2


def test_of_rows_of_one_grip_the_latest_day_counts() -> None:
    """Wherever it stands; one without a day is the oldest; of one day the last."""
    row = "F#6,T L1 L3 | R2 Eb,{},3,,3,{}\n"
    days = [(1, "2027-01-31"), (2, "2026-12-01"), (3, ""), (4, "2027-01-31"), (5, "2027-01-30")]
    text = HEAD + "".join(row.format(*each) for each in days)
    assert [own.cents for own in of(text)] == [4.0]


def test_two_rows_of_one_grip_without_a_day_are_a_slip() -> None:
    """As they always were."""
    with pytest.raises(PlayerFileError, match="the same grip as in line 2"):
        of("pitch,grip,cents\nF#6,T L1 | Eb,5\nF#6,T L1 | Eb,6\n")


@pytest.mark.parametrize(
    ("cells", "what"),
    [
        ("5,3,x,3,2027-01-31", "'x'"),
        ("5,3,150,3,2027-01-31", "no reading of this note"),
        ("5,3,nan,3,2027-01-31", "no reading of this note"),
        ("5,3,,-1,2027-01-31", "-1 takes"),
        ("5,3,,1001,2027-01-31", "1001 takes"),
        ("5,3,,3.5,2027-01-31", "3.5"),
        ("5,3,,3,31.1.2027", "31.1.2027"),
        ("5,3,,3,2027-02-30", "day is out of range"),
    ],
)
def test_a_slip_in_the_newer_columns_is_named(cells: str, what: str) -> None:
    """With the line."""
    with pytest.raises(PlayerFileError, match=what) as slip:
        of(f"{HEAD}F#6,T L1 L3 | R2 Eb,{cells}\n")
    assert slip.value.place == "tuner.csv:2"


def test_rows_are_added_and_nothing_else_changes(tmp_path: Path) -> None:
    """A new list, a second day, an old list that gets columns: every old line stays as it was."""
    path = tmp_path / "tuner.csv"
    add_cents(path, [MEASURED])
    assert path.read_text() == f"{HEAD}F#6,T L1 L3 | R2 Eb,7.5,8.0,-7.5,3,2027-01-31,3.0\n"
    later = replace(MEASURED, cents=9.0, date="2027-02-01")
    add_cents(path, [later])
    assert path.read_text().startswith(f"{HEAD}F#6,T L1 L3 | R2 Eb,7.5,8.0,-7.5,3,2027-01-31,3.0\n")
    assert list(read_cents(path)) == [later]
    path.write_text(OLD)
    add_cents(path, [MEASURED])
    lines = path.read_text().splitlines()
    assert lines[0] == HEAD.strip()
    assert lines[1:3] == OLD.splitlines()[1:]
    assert [*read_cents(path)][2] == MEASURED


@pytest.mark.parametrize(
    "text",
    [
        OLD.rstrip("\n"),
        OLD.replace("\n", "\r\n"),
        "﻿" + OLD,
        "grip,pitch,mine,cents\nT L1 | Eb,F#6,with the old head joint,-14\n",
        'pitch,grip,cents\nF#6,"T L1 | Eb",-14\n',
    ],
    ids=["no line end", "windows", "byte order mark", "other columns", "quotes"],
)
def test_lists_of_every_form_are_added_to(text: str, tmp_path: Path) -> None:
    """What was in it reads as it did, with the new row behind it."""
    path = tmp_path / "tuner.csv"
    path.write_bytes(text.encode())
    before = list(read_cents(path))
    add_cents(path, [MEASURED])
    assert list(read_cents(path)) == [*before, MEASURED]
    assert path.read_bytes().count(b"\r\n") in (0, path.read_bytes().count(b"\n"))


def test_a_list_that_is_none_is_left_alone(tmp_path: Path) -> None:
    """A faulty one, one that would grow too long, one that cannot be written."""
    path = tmp_path / "tuner.csv"
    path.write_text("dear diary\n")
    with pytest.raises(PlayerFileError):
        add_cents(path, [MEASURED])
    assert path.read_text() == "dear diary\n"


def test_a_list_grows_no_longer_than_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It must be read again later, up to the bound of own files."""
    path = tmp_path / "tuner.csv"
    path.write_text(OLD)
    monkeypatch.setattr(tuner_list, "MOST_BYTES", len(OLD) + 10)
    with pytest.raises(PlayerFileError, match="too long"):
        add_cents(path, [MEASURED])
    assert path.read_text() == OLD


def test_rows_for_the_page_have_the_newer_columns_where_there_is_something() -> None:
    """A list of before comes back as it was."""
    assert [*tuner_rows(of(OLD))[0]] == ["pitch", "grip", "cents", "spread_cents"]
    assert ",".join(tuner_rows([MEASURED])[0]) == HEAD.strip()


PLAYERS = {
    "": f'[cents]\nfile = "{"tuner.csv"}"\n',
    "[dials]\ntuning = 2": '[dials]\ntuning = 2\n\n[cents]\nfile = "tuner.csv"\n',
    "[cents] # mine\n\n[dials]\ntuning = 2\n": '[cents] # mine\nfile = "tuner.csv"\n\n[dials]\ntuning = 2\n',
}


@pytest.mark.parametrize(("text", "named"), PLAYERS.items())
def test_a_new_list_is_named_in_the_players_file(text: str, named: str, tmp_path: Path) -> None:
    """In its table or in a new one at the end; a file that names a list stays as it is."""
    path = tmp_path / "me.toml"
    path.write_text(text)
    assert list_of(path) == tmp_path / "tuner.csv"
    assert name_list(path)
    assert path.read_text() == named
    assert not name_list(path)
    path.write_text('[cents]\nfile = "mine.csv"\n')
    assert list_of(path) == tmp_path / "mine.csv"
    assert not name_list(path)


def test_a_players_file_of_another_form_is_left_alone(tmp_path: Path) -> None:
    """Dotted keys are not added to; it says what to write."""
    path = tmp_path / "me.toml"
    path.write_text("cents = {}\n")
    with pytest.raises(PlayerFileError, match="Write \\[cents\\]"):
        name_list(path)
    assert path.read_text() == "cents = {}\n"
