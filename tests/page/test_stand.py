"""The file for the stand: one document that asks for nothing, in which every text stays text."""

import base64
import hashlib
import json
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from gripway.page.browser_data.stand_file import WIDTHS_MM
from gripway.score.reading.read_options import ReadOptions
from gripway.tasks.flutes import flute
from gripway.tasks.reports import stand_file
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes, read

ROOFTOP = Path(__file__).resolve().parents[2] / "examples" / "rooftop_study.musicxml"
HOSTILE = "</script><script>document.title='gone'</script><!--<img src=x onerror=alert(1)>&amp;"
"""Ends a block of data, begins a script, a comment and an image: text like any other."""


class _Document(HTMLParser):
    """What an HTML parser of its own finds: tags with their attributes, and what stands in scripts."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.scripts: list[str] = []
        self.heading = ""
        self._in = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self._in = tag
        if tag == "script":
            self.scripts.append("")

    def handle_endtag(self, tag: str) -> None:
        self._in = ""

    def handle_data(self, data: str) -> None:
        if self._in == "script":
            self.scripts[-1] += data
        elif self._in == "h1":
            self.heading += data


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The study as a file for the stand, with a title and a part name that would run."""
    path = tmp_path_factory.mktemp("hostile") / "hostile.musicxml"
    text = ROOFTOP.read_text(encoding="utf-8")
    text = text.replace("Study for a windy rooftop", _escaped(HOSTILE))
    text = re.sub(r"<part-name>[^<]*", lambda _: f"<part-name>Flute {_escaped(HOSTILE)}", text)
    path.write_text(text, encoding="utf-8")
    reading = read(path, ReadOptions(tempo=176.0))
    return stand_file(reading, finger(reading.passage, flute("concert-flute")), flute("concert-flute"))


@pytest.fixture(scope="module")
def document(written: str) -> _Document:
    """The same, as an HTML parser reads it."""
    return _Document(written)


def _data(document: _Document) -> Any:
    return json.loads(document.scripts[0])


def test_a_script_in_a_title_or_a_part_stays_text(document: _Document) -> None:
    """There are our two scripts and no other, no image, no handler; the title is read as it was written."""
    assert [attrs.get("id") for tag, attrs in document.tags if tag == "script"] == ["stand-data", None]
    assert not [tag for tag, _ in document.tags if tag in ("img", "link", "iframe", "object", "base")]
    assert not [name for _, attrs in document.tags for name in attrs if name.startswith("on")]
    assert document.heading == HOSTILE


def test_the_policy_lets_only_our_script_run(document: _Document) -> None:
    """Nothing is fetched (default-src 'none'), and the digest (CSP level 3) is that of our script."""
    (policy,) = [attrs["content"] for tag, attrs in document.tags if "http-equiv" in attrs]
    digest = base64.b64encode(hashlib.sha256(document.scripts[1].encode()).digest()).decode()
    assert policy is not None
    assert policy.startswith("default-src 'none';")
    assert re.findall(r"script-src ([^;]*);", policy) == [f"'sha256-{digest}'"]


def test_no_address_is_in_it(written: str) -> None:
    """But the names of SVG's own namespaces (W3C), which nobody fetches."""
    found = set(re.findall(r"(?:https?:)?//[a-z][\w.]*\.[a-z]{2,}[\w/.]*", written))
    assert found <= {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}


def test_the_music_stands_in_it_for_every_width(document: _Document) -> None:
    """Each width has all written notes of the route, each once."""
    data = _data(document)
    ids = {note["id"] for note in data["route"]["notes"]}
    assert [sheet["width_mm"] for sheet in data["sheets"]] == list(WIDTHS_MM)
    for sheet in data["sheets"]:
        drawn = [name for system in sheet["systems"] for name in system["notes"] if name in ids]
        assert len(drawn) == len(set(drawn))
        assert set(drawn) == ids


def test_every_note_has_its_grips(document: _Document) -> None:
    """Its own first, whose loads are those of the route, then others; each with a diagram and known facts."""
    data = _data(document)
    loads = {change["to"]: change["load"] for change in data["route"]["changes"]}
    for note, grips in zip(data["route"]["notes"], data["grips"], strict=True):
        facts = [data["facts"][place] for place, *_ in grips]
        assert facts[0]["grip"] == note["grip"]
        for load, to in zip(grips[0][1:], (note["index"], note["index"] + 1), strict=True):
            assert load == (pytest.approx(loads[to], abs=0.006) if to in loads else None)
        assert all(fact["grip"] in data["route"]["pictures"] for fact in facts)
    assert max(map(len, data["grips"])) > 1


def test_a_line_of_notes_has_its_file_too() -> None:
    """Its notes have the ids of the score that is written for them."""
    route = finger(notes("E6 F#6 G#6 A6"), flute("concert-flute"))
    data = _data(_Document(stand_file(None, route, flute("concert-flute"))))
    assert len(data["route"]["notes"]) == 4
    assert {note["id"] for note in data["route"]["notes"]} <= set(data["sheets"][0]["systems"][0]["notes"])
