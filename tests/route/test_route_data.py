"""A route as data: the documented keys, plain JSON, and frames with one row a note."""

import json

import pytest
from tests.oracles.flutes import FIGURES, solver_of
from tests.oracles.passages import played

from gripway.asked.limits import Limits
from gripway.asked.wishes import Pin, Wishes
from gripway.limits.answer import solve_within
from gripway.model.grip import Grip
from gripway.model.passage import Passage, Remark
from gripway.route.result import Route
from gripway.route.route_data import note_frame, route_data
from gripway.route.route_frames import change_frame

CENTS_KEYS = [
    *(
        "cents",
        "cents_spread",
        "cents_vs_standard",
        "cents_vs_standard_spread",
        "cents_source",
        "cents_known",
    ),
]
NOTE_KEYS = [
    *("index", "id", "bar", "time_through", "pitch", "onset_ms", "length_ms", "grip", "touches", "kind"),
    *CENTS_KEYS,
    *("lineage", "flags", "flag_values", "why", "effort", "parts", "others"),
]
OTHER_KEYS = ["grip", "kind", *CENTS_KEYS, "effort_more"]
CHANGE_KEYS = [
    *("to", "change_ms", "available_ms", "load", "movers", "lead", "on_the_way", "effort", "parts"),
]


@pytest.fixture(scope="module")
def route() -> Route:
    """A route with a gap in the middle and a remark."""
    passage = played("(E6 F#6 G#6 A6) F7 pp C#5:1/2", 120.0)
    return solver_of().solve(Passage(passage.notes, remarks=(Remark("a turn left out", "3", "n2"),)))


def test_keys_are_the_documented_ones(route: Route) -> None:
    """The object, its notes, others and changes have just the documented keys, in their order."""
    data = route_data(route)
    assert list(data) == [
        *("schema", "instrument", "status", "sentence", "effort", "charges", "learn", "curve"),
        *("notes", "changes", "hardest", "remarks"),
    ]
    for note in data["notes"]:
        assert list(note) == NOTE_KEYS
        for other in note["others"]:
            assert list(other) == OTHER_KEYS
    for change in data["changes"]:
        assert list(change) == CHANGE_KEYS
    assert data["remarks"] == [{"text": "a turn left out", "bar": "3", "id": "n2"}]


def test_the_data_is_json_and_comes_back(route: Route) -> None:
    """Everything is plain JSON: written and read again it is the same."""
    data = route_data(route)
    assert json.loads(json.dumps(data, allow_nan=False)) == data


def test_a_gap_is_null_with_its_reason(route: Route) -> None:
    """A note without a grip has null for grip, kind and cents, and flags that say why."""
    gap = route_data(route)["notes"][4]
    assert [gap[key] for key in ("grip", "kind", "cents", "cents_source")] == [None] * 4
    assert (gap["touches"], gap["others"], gap["parts"]) == ([], [], {})
    assert any(gap["flags"])
    assert route_data(route)["status"] == "gaps"


def test_the_parts_add_up_to_the_effort(route: Route) -> None:
    """Parts add up to each effort, and all efforts with the charges to the route's."""
    data = route_data(route)
    entries = data["notes"] + data["changes"]
    for entry in entries:
        assert sum(entry["parts"].values()) == pytest.approx(entry["effort"])
    charges = data["charges"]["learning"] + data["charges"]["changing"]
    assert sum(entry["effort"] for entry in entries) + charges == pytest.approx(data["effort"])


def test_grips_are_told_twice_alike(route: Route) -> None:
    """`touches` are the words of `grip`."""
    for note in route_data(route)["notes"]:
        assert note["touches"] == (note["grip"] or "").replace("|", " ").split()


def test_changes_point_at_their_note(route: Route) -> None:
    """Changes lie between neighbours that both have grips; `hardest` lists some of them by load."""
    data = route_data(route)
    assert [change["to"] for change in data["changes"]] == [1, 2, 3]
    loads = {change["to"]: change["load"] for change in data["changes"] if change["movers"]}
    assert [loads[to] for to in data["hardest"]] == sorted(loads.values(), reverse=True)


def test_truth_is_apart_from_preference(route: Route) -> None:
    """Load is change_ms over available_ms times the factor of a slur or tongued note."""
    for change in route_data(route)["changes"]:
        load = FIGURES.slurred_factor * change["change_ms"] / change["available_ms"]
        assert change["load"] == pytest.approx(load, abs=2e-3)


def test_note_frame_has_one_row_a_note(route: Route) -> None:
    """The frame of notes has the documented columns and a row for every note, the gap too."""
    frame = note_frame(route)
    assert list(frame.columns) == [*(key for key in NOTE_KEYS if key != "flag_values"), "usual"]
    assert list(frame["usual"].fillna(False)) == [
        n.candidate is not None and n.candidate.usual for n in route.notes
    ]
    assert list(frame["index"]) == list(range(6))
    assert list(frame["pitch"]) == ["E6", "F#6", "G#6", "A6", "F7", "C#5"]
    assert frame["grip"].isna().sum() == 1


def test_change_frame_has_one_row_a_change(route: Route) -> None:
    """The frame of changes has the documented columns and a row for every change."""
    frame = change_frame(route)
    assert list(frame.columns) == ["to", "bar", "pitch", "onset_ms", *CHANGE_KEYS[1:]]
    assert list(frame["to"]) == [1, 2, 3]
    assert all(isinstance(text, str) for text in frame["movers"])


def test_frames_hold_no_lists(route: Route) -> None:
    """What goes to CSV is text and numbers."""
    for frame in (note_frame(route), change_frame(route)):
        assert not any(isinstance(cell, (list, dict)) for column in frame for cell in frame[column])


def test_one_note_has_no_change() -> None:
    """A single note exports without changes, its frame of changes empty."""
    route = solver_of().solve(played("D6"), Wishes(others=0))
    data = route_data(route)
    assert (data["changes"], data["hardest"], data["notes"][0]["others"]) == ([], [], [])
    assert len(change_frame(route)) == 0


def test_what_is_to_learn_is_what_the_notes_have() -> None:
    """Every grip to learn has just its notes, the one that saves most first; charges count them."""
    passage = played("(G4 F#5 E5 F#5 E5 F#5 E5 D5) (E6 D6 E6 D6 E6 D6 C6 B5)", 138.0)
    data = route_data(solver_of().solve(passage, Wishes(curve=True)))
    assert len(data["learn"]) > 0
    for grip in data["learn"]:
        assert list(grip) == [
            *("pitch", "grip", "kind", "places", "saves", "cents", "cents_spread", "steady"),
        ]
        for place in grip["places"]:
            note = data["notes"][place["index"]]
            assert (note["bar"], note["pitch"]) == (place["bar"], grip["pitch"])
            assert set(grip["grip"].split()) <= set(note["grip"].split())
        assert 0 <= grip["steady"] <= 1
    saves = [grip["saves"] for grip in data["learn"]]
    assert saves == sorted(saves, reverse=True)
    charges = data["charges"]
    assert charges["learning"] == pytest.approx(charges["each"] * len(data["learn"]))
    (mine,) = [step for step in data["curve"] if step["grips"] == len(data["learn"])]
    assert mine["effort"] + charges["learning"] == pytest.approx(data["effort"])
    assert list(mine) == ["grips", "effort", "bound", "worst_load", "places", "learn"]


def test_under_limits_nobody_knows_what_a_grip_saves() -> None:
    """The grips are told with null; what they charge is paid all the same: 2 of 64 notes of one effort."""
    limits = Limits(same_figure=True)
    data = route_data(
        solve_within(
            solver_of(),
            played("D6 F#6:1/4", 60.0),
            Wishes(pins=(Pin(1, Grip.parse("T 1 3 | 2 Eb")),), limits=limits),
        )
    )
    assert [grip["saves"] for grip in data["learn"]] == [None]
    assert data["charges"] == {"learning": 0.031, "changing": 0.0, "each": 0.031}
    assert data["curve"] == []
