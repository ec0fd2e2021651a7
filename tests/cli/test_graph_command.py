"""`gripway graph`: the graph itself, its questions, its forms, and what it refuses."""

import io
import os
from pathlib import Path

import networkx as nx
import pandas as pd
import pytest
from tests.cli.run_gripway import ask, on_a_terminal
from tests.cli.test_route_text import ESCAPE
from tests.every import every

import gripway

SMALL = ("graph", "--from", "E6", "--to", "F#6")
BRIDGE = ("graph", "--bridge", "F#6", "G#6")
NEAR = ("graph", "--near", "E6: T 1 2 | Eb", "--fingers", 2)
HARDEST = ("graph", "--hardest", "--from", "E6", "--to", "A6")


def small() -> "nx.DiGraph[str]":
    """The graph of SMALL, from Python."""
    return gripway.graph(gripway.flute(), "E6", "F#6")


def test_the_summary_counts_the_graph() -> None:
    """Grips and changes as in the graph, one row a pitch."""
    graph, text = small(), ask(*SMALL).out
    never = graph.graph["not_possible"]
    assert f"{graph.number_of_nodes()} grips, {graph.number_of_edges() + never} changes" in text
    assert [line.split()[0] for line in text.splitlines() if line[:2] in ("E6", "F6", "F#")] == [
        "E6",
        "F6",
        "F#6",
    ]


def test_changes_that_vanish_are_counted() -> None:
    """The 80 thumb slides between D#6 and E6 have no edge at 125 ms and have one at 400 ms."""
    words = ("graph", "--from", "D#6", "--to", "E6")
    quick, slow = (ask(*words, "--available", ms, "--format", "json").json for ms in (125, 400))
    assert (quick["not_possible"], slow["not_possible"]) == (80, 0)
    assert len(slow["changes"]) == len(quick["changes"]) + 80
    assert "80 not possible in this time" in ask(*words).out


def test_graphml_is_the_graph_on_the_screen_and_in_a_file(tmp_path: Path) -> None:
    """The same bytes; networkx reads them as the graph Python gives."""
    out = tmp_path / "g.graphml"
    assert ask(*SMALL, "--format", "graphml", "--out", out).code == 0
    assert out.read_bytes() == ask(*SMALL, "--format", "graphml").data
    assert dict(nx.read_graphml(out).edges) == dict(small().edges)


def test_csv_and_json_have_the_same_changes_and_grips() -> None:
    """Read back by pandas and by json."""
    data = ask(*SMALL, "--format", "json").json
    changes = pd.read_csv(io.StringIO(ask(*SMALL, "--format", "csv").out))
    grips = pd.read_csv(io.StringIO(ask(*SMALL, "--format", "csv", "--table", "grips").out))
    assert [row["effort"] for row in data["changes"]] == list(changes["effort"])
    assert [row["node"] for row in data["grips"]] == list(grips["node"]) == list(small())
    assert (data["instrument"], data["available_ms"]) == ("concert-flute", 125.0)


def test_a_bridge_in_all_its_forms() -> None:
    """Text, JSON and CSV tell the chain that Python finds."""
    found = gripway.bridge(gripway.flute(), "F#6", "G#6")
    data, text = ask(*BRIDGE, "--format", "json").json, ask(*BRIDGE).out
    assert [data["from"], *(row["to"] for row in data["changes"])] == list(found.path)
    assert (data["effort"], data["notes"]) == (found.effort, found.notes)
    assert f"notes: {found.notes}" in text
    assert "Direct: 5 fingers" in text
    assert list(pd.read_csv(io.StringIO(ask(*BRIDGE, "--format", "csv").out))["to"]) == list(found.path[1:])


def test_no_bridge_is_a_gap_that_says_what_it_takes() -> None:
    """Exit 1, in every form, with the fingers needed."""
    words = ("graph", "--bridge", "C5", "D5", "--fingers", 1)
    answer = ask(*words)
    data = ask(*words, "--format", "json").json
    assert (answer.code, data["changes"], data["effort"]) == (1, [], None)
    assert f"takes --fingers {data['fingers_needed']}" in answer.out
    assert len(pd.read_csv(io.StringIO(ask(*words, "--format", "csv").out))) == 0


def test_near_grips_in_all_their_forms() -> None:
    """Of one pitch; nothing near is exit 1."""
    found = gripway.near(gripway.flute(), "E6: T 1 2 | Eb", 2, of="D6")
    answer = ask(*NEAR, "--of", "D6", "--format", "json")
    assert [row["to"] for row in answer.json["changes"]] == list(found.grips)
    assert list(pd.read_csv(io.StringIO(ask(*NEAR, "--of", "D6", "--format", "csv").out))["to"]) == list(
        found.grips
    )
    assert "T 1 2 3 | Eb" in ask(*NEAR, "--of", "D6").out
    none = ask("graph", "--near", "E6", "--fingers", 0, "--within", 0)
    assert (none.code, "--fingers 1" in none.out) == (1, True)


@pytest.mark.parametrize("measure", ["load", "ms", "effort", "fingers"])
def test_the_matrix_is_the_same_in_all_its_forms(measure: str) -> None:
    """CSV and JSON hold the frame Python gives; the text its rounded figures."""
    frame = gripway.hardest_matrix(gripway.hardest(gripway.flute(), "E6", "A6"), measure)
    words = (*HARDEST, "--measure", measure)
    csv = pd.read_csv(io.StringIO(ask(*words, "--format", "csv").out), index_col="from")
    pd.testing.assert_frame_equal(csv, frame, check_names=False)
    data = ask(*words, "--format", "json").json
    assert data["matrix"] == [[None if pd.isna(x) else x for x in row] for row in frame.to_numpy()]
    (row,) = [line for line in ask(*words).out.splitlines() if line.startswith("E6 ") and "·" in line]
    shown = [cell.rstrip("!") for cell in row.split()[2:]]
    digits = 0 if measure in ("ms", "fingers") else 2
    assert shown == [f"{x:.{digits}f}" for x in frame.loc["E6"].dropna()]


def test_the_list_of_the_hardest_has_movers_and_reasons() -> None:
    """As many as asked for, as JSON and CSV, each with why."""
    data = ask(*HARDEST, "--top", 3, "--format", "json").json["hardest"]
    csv = pd.read_csv(io.StringIO(ask(*HARDEST, "--top", 3, "--format", "csv", "--table", "changes").out))
    assert [row["load"] for row in data] == list(csv["load"])
    assert all(row["movers"] and "ms" in row["why"] for row in data)
    assert len(data) == 3


@pytest.mark.parametrize("columns", [60, 80, 100])
def test_marks_and_width_on_a_terminal(columns: int) -> None:
    """Late changes carry a sign, not a colour alone, and no line is wider than the terminal."""
    text = ESCAPE.sub("", on_a_terminal("graph", "--hardest", "--top", 3, columns=columns).out)
    assert "!!" in text
    assert max(len(line) for line in text.splitlines()) <= columns
    for name in ("C6", "B6"):
        assert sum(line.startswith(f"{name} ") for line in text.splitlines()) >= 1


def test_a_change_that_is_not_late_has_no_mark() -> None:
    """With much time nothing is marked."""
    text = ask("graph", "--hardest", "--available", 2000, "--top", 0).out
    assert not [line for line in text.splitlines() if line[:2] in ("C6", "E6", "B6") and "!" in line]


def test_the_time_of_a_note_value_at_a_tempo() -> None:
    """A quarter at 60 lasts 1000 ms, an eighth at 100 lasts 300: arithmetic of the metronome mark."""
    for words, time_ms in (
        (("60", "--unit", "1/4"), 1000.0),
        (("100", "--unit", "1/8"), 300.0),
        (("120",), 125.0),
    ):
        data = ask(*HARDEST, "--tempo", *words, "--format", "json").json
        assert data["available_ms"] == data["hardest"][0]["available_ms"] == time_ms


def test_flute_and_player_count(tmp_path: Path) -> None:
    """Parts bring grips, bans take them away, the piccolo has its own range."""
    assert "B3" in ask("graph", "--from", "B3", "--to", "C4", "--with", "b-foot").out
    player = tmp_path / "me.toml"
    player.write_text('[bans]\nkinds = ["harmonic"]\n')
    assert "harmonic" not in ask(*SMALL, "--player", player, "--format", "csv", "--table", "grips").out
    assert "harmonic" in ask(*SMALL, "--format", "csv", "--table", "grips").out
    assert "C4" not in ask("graph", "--instrument", "piccolo").out


def test_a_range_without_a_grip_is_a_gap() -> None:
    """B3 without a B foot: exit 1 and a remark."""
    answer = ask("graph", "--from", "B3", "--to", "B3")
    assert answer.code == 1
    assert "no pitch of this range has a grip" in answer.err
    left = ask("graph", "--hardest", "--from", "B3", "--to", "E4")
    assert (left.code, "B3 left out: needs b-foot" in left.err) == (0, True)


@every(
    [
        (("--from", "A6", "--to", "C6"), "range is empty"),
        (("--from", "H6"), "--from: 'H6' is not a pitch"),
        (("--to", "C2"), "Its tables cover B3 to E7"),
        (("--available", "-5"), "--available: -5 ms"),
        (("--available", "nan"), "--available: nan ms"),
        (("--available", "1e9"), "10 to 10000 ms"),
        (("--tempo", "0"), "--tempo: 0 quarters"),
        (("--tempo", "120", "--available", "100"), "given twice"),
        (("--unit", "1/8"), "--unit: a note value needs a tempo"),
        (("--tempo", "90", "--unit", "x"), "--unit"),
        (("--tempo", "5", "--unit", "4"), "--tempo and --unit"),
        (("--near", "E6", "--hardest"), "--near and --hardest are two questions"),
        (("--near", "Q"), "is not a pitch"),
        (("--near", "E6: L4"), "has no grip 4 |"),
        (("--near", "E6", "--of", "Z"), "--of"),
        (("--near", "E6", "--of", "F7"), "outside the concert flute"),
        (("--near", "E6", "--of", "D6", "--within", "3"), "not both"),
        (("--near", "E6", "--from", "C6"), "--from: this option is for the graph itself and --hardest"),
        (("--bridge", "E6", "E6"), "both ends"),
        (("--bridge", "E6"), "2 arguments"),
        (("--top", "3"), "--top: this option is for --hardest"),
        (("--stops", "3"), "--stops"),
        (("--hardest", "--fingers", "2"), "--fingers"),
        (("--fingers", "10"), "--fingers"),
        (("--hardest", "--format", "graphml"), "answered by a table"),
        (("--table", "grips"), "for --format csv"),
        (("--format", "csv", "--table", "matrix"), "It has changes or grips"),
        (("--near", "E6", "--format", "csv", "--table", "grips"), "only one table"),
        (("--hardest", "--from", "E7", "--to", "E7"), "no two pitches"),
        (("--instrument", "oboe"), "oboe"),
    ]
)
def test_bad_requests_say_what_and_where(words: tuple[str, ...], told: str) -> None:
    """Exit 2, nothing on standard output, one message."""
    answer = ask("graph", *words)
    assert (answer.code, answer.data) == (2, b"")
    assert told in answer.err
    assert len(answer.err.splitlines()) == 1


@pytest.mark.parametrize(("form", "name"), [
    ("graphml", "g.csv"), ("csv", "g.graphml"), ("json", "g.csv"), ("text", "g.graphml"), ("csv", "g.png"),
])  # fmt: skip
def test_a_name_that_says_something_else_is_refused(form: str, name: str, tmp_path: Path) -> None:
    """No file of the wrong ending comes to be."""
    answer = ask(*SMALL, "--format", form, "--out", tmp_path / name)
    assert answer.code == 2
    assert name in answer.err
    assert list(tmp_path.iterdir()) == []


def test_the_players_file_is_never_overwritten(tmp_path: Path) -> None:
    """Not under its name and not through a link."""
    player, link = tmp_path / "me.toml", tmp_path / "other"
    player.write_text("[dials]\ntuning = 2\n")
    os.link(player, link)
    for out in (player, link):
        answer = ask(*SMALL, "--player", player, "--out", out)
        assert (answer.code, "overwrite the input" in answer.err) == (2, True)
    assert player.read_text() == "[dials]\ntuning = 2\n"


@pytest.mark.whole
def test_same_question_same_bytes() -> None:
    """Two runs of every form agree."""
    for words in ((*SMALL, "--format", "graphml"), (*HARDEST, "--pair", "best", "--format", "json"), BRIDGE):
        assert ask(*words).data == ask(*words).data


@pytest.mark.whole
def test_progress_is_shown_of_long_work_only() -> None:
    """On a terminal a bar for the whole flute, none for an octave; nothing of it where errors are kept."""
    quick = on_a_terminal("graph", "--hardest", "--top", 0).out
    long = on_a_terminal("graph", "--hardest", "--pair", "best", "--from", "C4", "--to", "D7", "--top", 0).out
    assert "changes" not in quick.split("concert flute")[0]
    assert "1482 changes" in long.split("concert flute")[0]
    assert ask("graph", "--hardest", "--pair", "best", "--from", "C4", "--to", "D7", "--top", 0).err == ""


def test_a_late_cell_alone_is_painted() -> None:
    """The figures of a row are plain, but for the hardest ones; its pitch is bold."""
    text = on_a_terminal("graph", "--hardest", "--top", 0).out
    (row,) = [line for line in text.splitlines() if ESCAPE.sub("", line).startswith("F6 ")]
    assert [code for code in ESCAPE.findall(row) if code not in ("", "0")] == ["1"]
    assert "\x1b[1;31m" in text
