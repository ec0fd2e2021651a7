"""A work saved by the page, read for its score and its pins."""

import base64
import json
from pathlib import Path
from typing import Any

import pytest

from gripway.catalog.own_files.session_file import read_session
from gripway.errors import RequestError

SESSION: dict[str, Any] = {
    "format": "gripway-session",
    "version": 1,
    "source": {"name": "part.musicxml", "data": base64.b64encode(b"<score-partwise/>").decode()},
    "wishes": {"pins": [{"note": "P1-n3", "grip": "T L1 L3 | R2 Eb"}], "tempo": 120, "bans": []},
    "past": [],
    "future": [],
}


def saved(folder: Path, **changed: Any) -> Path:
    """A session file with some keys changed."""
    path = folder / "work.json"
    path.write_text(json.dumps(SESSION | changed))
    return path


def test_a_session_gives_its_score_and_its_pins(tmp_path: Path) -> None:
    """Bytes, name, tempo and pins are there; what taste does not need is passed over."""
    found = read_session(saved(tmp_path))
    assert (found.name, found.data, found.tempo) == ("part.musicxml", b"<score-partwise/>", 120)
    assert [(note, grip.text) for note, grip in found.pins] == [("P1-n3", "T L1 L3 | R2 Eb")]


def test_a_line_of_notes_is_kept_as_one(tmp_path: Path) -> None:
    """With its unit and its tempo."""
    found = read_session(saved(tmp_path, source={"notes": "E6 F#6", "unit": "1/8", "tempo": 90}))
    assert (found.data, found.notes, found.unit, found.line_tempo) == (None, "E6 F#6", "1/8", 90)


@pytest.mark.parametrize(
    ("changed", "place"),
    [
        ({"format": "other"}, "work.json"),
        ({"version": 2}, "work.json"),
        ({"source": {}}, "work.json: source"),
        ({"source": {"data": "no base64"}}, "work.json: source.data"),
        ({"wishes": {"pins": [{"note": "n1", "grip": "T L9"}]}}, "work.json: wishes.pins.grip"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(tmp_path: Path, changed: dict[str, Any], place: str) -> None:
    """File and key, and what to do."""
    with pytest.raises(RequestError) as problem:
        read_session(saved(tmp_path, **changed))
    assert problem.value.place.endswith(place)
    assert problem.value.next_step


def test_what_is_no_json_is_refused(tmp_path: Path) -> None:
    """Cut off, or none at all."""
    path = tmp_path / "work.json"
    path.write_text(json.dumps(SESSION)[:40])
    with pytest.raises(RequestError, match="no session file"):
        read_session(path)
    with pytest.raises(RequestError, match="cannot be read"):
        read_session(tmp_path / "nowhere.json")
