"""The grips of one pitch: standard first, playable first, and why there is none."""

import json

import pytest
from tests.oracles.flutes import number, solver_of

from gripway.candidates.grip_list import GripList, grip_frame, grip_list, grip_list_data
from gripway.model.pitch import Pitch

DOCUMENTED = {
    *("grip", "touches", "kind", "cents", "cents_spread", "cents_vs_standard", "cents_source", "response"),
    *("lineage", "requires", "source", "confidence", "use", "flags"),
}


def listed(pitch: str, *flute: str) -> GripList:
    """The list of a pitch on a flute."""
    return grip_list(Pitch.parse(pitch), solver_of(*flute).book)


@pytest.mark.parametrize("pitch", ["B3", "C4", "A#5", "E6", "F#6", "C7", "E7"])
def test_standard_and_playable_come_first(pitch: str) -> None:
    """Playable grips before those that need a part, and among each the standard first."""
    facts = listed(pitch).grips
    orders = [(fact.candidate is None, fact.row.kind != "standard") for fact in facts]
    assert orders == sorted(orders)
    assert facts


def test_keys_and_json() -> None:
    """Every documented key is there and the object is plain JSON."""
    data = grip_list_data(listed("F#6"))
    assert list(data) == ["pitch", "instrument", "grips"]
    for entry in data["grips"]:
        assert entry.keys() >= DOCUMENTED
        assert entry["touches"] == entry["grip"].replace("|", " ").split()
    assert json.loads(json.dumps(data, allow_nan=False)) == data


def test_the_written_name_is_kept() -> None:
    """Gb6 is listed as such, with the grips of F#6."""
    flat, sharp = grip_list_data(listed("Gb6")), grip_list_data(listed("F#6"))
    assert (flat["pitch"], flat["grips"]) == ("Gb6", sharp["grips"])


def test_a_grip_that_needs_a_part_says_so() -> None:
    """Low B on a C foot is listed, not playable, flagged with what it needs; the list says why."""
    data = grip_list_data(listed("B3"))
    (grip,) = data["grips"]
    assert (grip["playable"], grip["flags"]) == (False, ["needs b-foot"])
    assert "b-foot" in data["problem"]
    assert grip_list_data(listed("B3", "concert-flute", "b-foot"))["grips"][0]["playable"]


@pytest.mark.parametrize("pitch", ["A3", "F7", "C9"])
def test_outside_the_flute_is_an_empty_list_with_its_reason(pitch: str) -> None:
    """No grips, and the range of the flute in the reason."""
    found = listed(pitch)
    assert found.grips == ()
    assert "B3 to E7" in found.problem


def test_the_piccolo_tells_no_cents() -> None:
    """Nothing of the flute's tuning is told of the piccolo."""
    for entry in grip_list_data(listed("E6", "piccolo"))["grips"]:
        assert [entry[key] for key in ("cents", "cents_spread", "cents_vs_standard", "cents_source")] == [
            None
        ] * 4


def test_what_only_a_model_knows_is_flagged() -> None:
    """C#6 with the thumb alone is known from a model only."""
    entry = next(e for e in grip_list_data(listed("C#6"))["grips"] if e["grip"] == "T | Eb")
    assert "known from a model only" in entry["flags"]


def test_the_frame_has_one_row_a_grip() -> None:
    """One row a grip, lists as text."""
    found = listed("E6")
    frame = grip_frame(found)
    assert list(frame["grip"]) == [fact.grip.text for fact in found.grips]
    assert not any(isinstance(cell, list) for column in frame for cell in frame[column])
    assert number("E6") == found.pitch.number
