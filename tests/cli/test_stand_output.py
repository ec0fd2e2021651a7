"""`gripway finger --format stand`: one file for a tablet, and what is refused."""

import json
import re
from pathlib import Path
from typing import Any

from tests.cli.run_gripway import PICCOLO, ask
from tests.cli.tiny_scores import note, part, score

NOTES = "".join(note(pitch) for pitch in ("E6", "F#6", "G6", "A6"))


def data_of(text: str) -> Any:
    """The block of data of a file for the stand."""
    found = re.search(r'id="stand-data">(.*?)</script>', text)
    assert found is not None
    return json.loads(found[1])


def test_the_chosen_bars_are_written_to_a_file(tmp_path: Path) -> None:
    """With the flute the part is for, and every note of the answer as JSON."""
    out = tmp_path / "stand.html"
    asked = ("finger", PICCOLO, "--bars", "1-30", "--format")
    assert ask(*asked, "stand", "--out", out).code == 0
    text = out.read_text(encoding="utf-8")
    assert "bars 1-30" in text
    grips = [note["grip"] for note in data_of(text)["route"]["notes"]]
    assert grips == [note["grip"] for note in ask(*asked, "json").json["notes"]]
    assert data_of(text)["route"]["instrument"]["id"] == "piccolo"


def test_a_pin_holds_and_is_told() -> None:
    """A pinned note of a line has its pin alone; the others have runners-up."""
    answer = ask(
        "finger", "--notes", "E6 F#6 G#6 A6", "--pin", "n2=T 1 3 | 2 Eb", "--format", "stand", "--quiet"
    )
    data = data_of(answer.out)
    assert data["pinned"] == [1]
    assert [data["facts"][place]["short"] for place, *_ in data["grips"][1]] == ["T 1 3 | 2 Eb"]
    assert all(len(grips) > 1 for k, grips in enumerate(data["grips"]) if k != 1)


def test_it_holds_one_part_and_one_route() -> None:
    """Several parts, and routes to compare, are refused with the way out."""
    two = score(part(NOTES, name="Flute 1"), part(NOTES, name="Flute 2"))
    several = ask("finger", "-", "--part", "all", "--format", "stand", stdin=two)
    assert (several.code, several.data) == (2, b"")
    assert "--format stand: this form holds the answer for one part" in several.err
    compared = ask("finger", "--notes", "E6 F#6", "--tradeoff", "--format", "stand")
    assert (compared.code, compared.data) == (2, b"")
    assert "--format stand: such a file has one route, --tradeoff has several" in compared.err
