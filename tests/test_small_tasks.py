"""Fifteen small tasks of a notebook, done with the public names alone, and what a slip is answered with."""

from collections.abc import Callable
from pathlib import Path

import pytest

import gripway as g

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
PART = EXAMPLES / "weathercock_part.musicxml"
CELL = EXAMPLES / "ladder_cell.musicxml"
LINE = "E6 F#6 G#6 A6 | G#6 F#6 E6:1/4"


@pytest.fixture(scope="module")
def mine() -> g.FlutePlayer:
    """A concert flute with a plain player, kept for all tasks."""
    return g.FlutePlayer(g.flute())


@pytest.fixture(scope="module")
def passage() -> g.Passage:
    """A line of notes at a quick tempo."""
    return g.notes(LINE, tempo=160)


@pytest.fixture(scope="module")
def route(passage: g.Passage, mine: g.FlutePlayer) -> g.Route:
    """The route of the line, with its learning curve."""
    return g.finger(passage, mine, g.wishes(curve=True))


def test_1_read_a_part() -> None:
    """Two bars of the first flute, from a path."""
    reading = g.read(PART, part=1, bars="3-4")
    assert {note.bar for note in reading.passage.notes} == {"3", "4"}


def test_2_pin_a_grip(passage: g.Passage, mine: g.FlutePlayer) -> None:
    """The second note keeps the grip that was asked for."""
    found = g.finger(passage, mine, g.wishes(pins="2=T 1 3 | 2 Eb"))
    pinned = found.notes[1].candidate
    assert pinned is not None
    assert pinned.grip == g.Grip.parse("T 1 3 | 2 Eb")


def test_3_ban_grips(passage: g.Passage, mine: g.FlutePlayer) -> None:
    """A grip of one pitch, and a kind of grips."""
    found = g.finger(passage, mine, g.wishes(bans=["F#6=T 1 3 | 3 Eb", "harmonic"]))
    used = g.note_frame(found)
    assert "T L1 L3 | R3 Eb" not in set(used[used["pitch"] == "F#6"]["grip"])
    assert "harmonic" not in set(used["kind"])


def test_4_compare_tempos(mine: g.FlutePlayer, passage: g.Passage, route: g.Route) -> None:
    """Effort grows with the tempo, and the tempo is told below which the standard grips do as well."""
    efforts = [g.finger(g.notes(LINE, tempo=tempo), mine).effort for tempo in (80, 120, 160)]
    assert efforts == sorted(efforts)
    worth = g.worth_it(route, mine)
    assert worth is not None
    assert worth.passage is not None
    assert worth.passage.standard_quarters is not None
    assert worth.passage.standard_quarters > 160


def test_5_sum_the_ledger(route: g.Route) -> None:
    """The parts of the effort add up to it."""
    parts = g.ledger_frame(route)
    assert parts["effort"].sum() == pytest.approx(route.effort, abs=1e-9)
    assert {"holding", "moving"} <= set(parts["of"])


def test_6_learning_curve(route: g.Route) -> None:
    """From no new grip on, each new grip leaves less effort."""
    assert [len(step.grips) for step in route.curve] == [*range(len(route.curve))]
    efforts = [step.effort for step in route.curve]
    assert len(efforts) > 1
    assert efforts == sorted(efforts, reverse=True)
    assert all(step.bound <= step.effort for step in route.curve)
    frame = g.curve_frame(route)
    assert frame["effort"].tolist() == pytest.approx(efforts, abs=5e-4)
    assert frame["learn"].tolist()[0] == ""
    assert frame["learn"].str.split("; ").str.len().tolist()[1:] == frame["grips"].tolist()[1:]


def test_7_pairs_for_a_trill(mine: g.FlutePlayer) -> None:
    """The best pair first, as a value and as a row."""
    found = g.trill("F6", "G6", mine)
    assert g.trill_frame(found)["lower_grip"].iloc[0] == found.pairs[0].lower.grip.text


def test_8_diagram(route: g.Route, mine: g.FlutePlayer, tmp_path: Path) -> None:
    """Of a note of the route, as a picture in a file."""
    note = route.notes[0].candidate
    assert note is not None
    (tmp_path / "grip.svg").write_text(g.diagram(note.grip, mine))
    assert (tmp_path / "grip.svg").read_text().startswith("<svg")


def test_9_plan(passage: g.Passage, mine: g.FlutePlayer) -> None:
    """Two days of a quarter of an hour, and the sheet to print."""
    plan = g.practise(passage, mine, time=g.PracticeTime(minutes=15, days=2))
    assert [day.day for day in plan.days] == [1, 2]
    assert g.plan_sheet(plan, mine).startswith("<!DOCTYPE html>")


def test_10_limits(passage: g.Passage, mine: g.FlutePlayer) -> None:
    """A limit in words is kept."""
    found = g.finger(passage, mine, g.wishes(limits="no unusual grips"))
    assert set(g.note_frame(found)["kind"]) == {"standard"}
    assert found.limits is not None


def test_11_a_players_file(passage: g.Passage) -> None:
    """The flute of the file with its parts, and the player's own dials."""
    me = g.player(EXAMPLES / "player.toml")
    own = g.flute(me.instrument, me.parts)
    assert set(me.parts) <= set(own.parts)
    assert (
        g.finger(passage, own, g.wishes(player=me)).effort == g.finger(passage, g.FlutePlayer(own, me)).effort
    )
    assert g.flute(g.Player().instrument).id == "concert-flute"


def test_12_a_flute_of_ones_own(tmp_path: Path) -> None:
    """A folder with one file: a flute of the piccolo's keys, by its name."""
    ours = EXAMPLES.parent / "tables" / "instruments" / "piccolo" / "instrument.toml"
    (tmp_path / "instruments" / "my-flute").mkdir(parents=True)
    text = ours.read_text().replace('title = "piccolo"', 'title = "my flute"')
    (tmp_path / "instruments" / "my-flute" / "instrument.toml").write_text(text)
    try:
        assert g.use_tables(tmp_path) == ("instruments/my-flute/instrument.toml",)
        assert g.flute("my-flute").title == "my flute"
    finally:
        g.use_tables(None)


def test_13_unusual_grips_of_a_pitch(mine: g.FlutePlayer) -> None:
    """Those that are not the standard one, as values and as rows."""
    found = g.grips("F#6", mine)
    others = [each.grip.text for each in found.grips if each.kind != "standard"]
    rows = g.grip_frame(found)
    assert others == list(rows[rows["kind"] != "standard"]["grip"])
    assert others


def test_14_export_a_frame(route: g.Route, tmp_path: Path) -> None:
    """The notes as CSV, one line a note."""
    g.note_frame(route).to_csv(tmp_path / "notes.csv", index=False)
    assert len((tmp_path / "notes.csv").read_text().splitlines()) == len(route.notes) + 1


def test_15_marks_in_a_score(mine: g.FlutePlayer) -> None:
    """Every note marked, in the bytes of the score."""
    reading = g.read(CELL)
    marked = g.mark(reading, g.finger(reading.passage, mine), g.HouseStyle(which="every"))
    assert marked.count(b"<fingering") == len(reading.passage.notes)


SLIPS: dict[str, tuple[Callable[[], object], str, str]] = {
    "text for a passage": (lambda: g.finger("E6", g.flute()), "a str is no passage", "notes("),
    "notes for a passage": (lambda: g.finger(g.notes("E6").notes, g.flute()), "no passage", "read("),
    "name for a flute": (lambda: g.grips("E6", "piccolo"), "a str is no flute", "flute("),
    "flute first": (lambda: g.grips(g.flute(), "E6"), "an Instrument is no pitch", "F#6"),
    "text for wishes": (
        lambda: g.finger(g.notes("E6"), g.flute(), "3=T"),
        *("a str is no set of wishes", "wishes("),
    ),
    "path for a player": (lambda: g.FlutePlayer(g.flute(), "me.toml"), "a str is no player", "player("),
    "passage for a score": (
        lambda: g.mark(g.read(CELL).passage, g.finger(g.notes("E6"), g.flute())),
        *("a Passage is no score", "read("),
    ),
    "note for a grip": (
        lambda: g.diagram(g.finger(g.notes("E6"), g.flute()).notes[0], g.flute()),
        *("a RouteNote is no grip", "candidate"),
    ),
    "flute for a diagram": (lambda: g.diagram("E6", "piccolo"), "a str is no flute", "flute("),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_value_of_another_kind_is_answered_with_what_to_give(slip: str) -> None:
    """No AttributeError of ours: what it is not, and what to write."""
    ask, what, step = SLIPS[slip]
    with pytest.raises(g.GripwayError) as caught:
        ask()
    assert what in caught.value.what
    assert step in caught.value.next_step
