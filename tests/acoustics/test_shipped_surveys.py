"""The shipped surveys: one for every flute, what the model says today, believed only where they fit."""

import json
import zlib
from pathlib import Path

import pytest
from tests.acoustics.surveys import WITH_PAIRS, flutes, made, named, pairs
from tests.tiers import some, thinned

from gripway.catalog import shipped_surveys as module
from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.shipped_surveys import ENDING, FOLDER, GZIP, INDEX, as_text, ship, shipped
from gripway.catalog.tables.locator import our_tables
from gripway.model.instrument import Instrument
from gripway.model.survey import Survey
from gripway.tasks.flute_knowledge import AskedGrips, survey_of
from gripway.tasks.trill_lists import pairs_name

RENEW = "run python -m tests.acoustics.surveys"
FLUTES = list(flutes())
SHIPPED = our_tables() / FOLDER

MOST_BYTES = 300_000
"""What the pairs may take in the wheel (judgement)."""


def name_of(flute: Instrument) -> str:
    """A flute in a test's name."""
    return "-".join((flute.id, *flute.parts))


def test_every_flute_has_its_survey_and_nothing_else_is_shipped() -> None:
    """Names with the digests of today's tables and code, every file in use."""
    index = json.loads((SHIPPED / INDEX).read_bytes())
    with_pairs = [load_instrument("concert-flute", parts) for parts in WITH_PAIRS]
    names = {pairs_name(flute, AskedGrips.of(flute)) for flute in with_pairs}
    assert set(index) == {named(flute) for flute in FLUTES} | names, RENEW
    assert {f"{stem}{ENDING}" for stem in index.values()} == {path.name for path in SHIPPED.glob("*.gz")}


@pytest.mark.parametrize("flute", thinned(FLUTES[::3], len(FLUTES)), ids=name_of)
def test_a_shipped_survey_is_what_the_model_says(flute: Instrument) -> None:
    """Worked out anew the text in the file is the same, byte for byte."""
    stem = json.loads((SHIPPED / INDEX).read_bytes())[named(flute)]
    text = zlib.decompress((SHIPPED / f"{stem}{ENDING}").read_bytes(), GZIP)
    assert text == as_text(made(flute)), RENEW


def test_shipped_pairs_are_what_the_model_says() -> None:
    """Worked out anew the shipped pairs are the same, byte for byte, and they are small."""
    index = json.loads((SHIPPED / INDEX).read_bytes())
    for name, (_, data) in pairs(some(WITH_PAIRS, len(WITH_PAIRS))).items():
        path = SHIPPED / f"{index[name]}{ENDING}"
        assert zlib.decompress(path.read_bytes(), GZIP) == as_text(data), RENEW
    size = sum(path.stat().st_size for path in SHIPPED.glob(f"pairs-*{ENDING}"))
    assert 0 < size < MOST_BYTES


def test_a_survey_of_other_tables_is_not_believed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With a table of the user's own the name is another, under which nothing is shipped."""
    flute = load_instrument("concert-flute")
    assert shipped(named(flute)) is not None
    source = our_tables() / "acoustics" / "regulation.csv"
    (tmp_path / "acoustics").mkdir()
    (tmp_path / "acoustics" / source.name).write_bytes(source.read_bytes() + b"\n")
    monkeypatch.setenv("GRIPWAY_TABLES", str(tmp_path))
    assert shipped(named(flute)) is None


@pytest.mark.parametrize("content", [b"", b"not gzip", zlib.compress(b"{}"), b"\x1f\x8b\x08\x00"])
def test_a_damaged_file_is_none(content: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What cannot be read is passed over, so that it is worked out as before."""
    (tmp_path / FOLDER).mkdir()
    ship(tmp_path / FOLDER, {"a": ("file", {"version": 1})})
    monkeypatch.setattr(module, "our_tables", lambda: tmp_path)
    assert shipped("a") == {"version": 1}
    (tmp_path / FOLDER / f"file{ENDING}").write_bytes(content)
    assert shipped("a") is None


def test_equal_objects_are_one_file(tmp_path: Path) -> None:
    """Under the shorter of their names; what was shipped before goes."""
    ship(tmp_path, {"old": ("gone", {"x": 0})})
    ship(tmp_path, {"b": ("long-name", {"x": 1}), "a": ("name", {"x": 1}), "c": ("other", {"x": 2})})
    assert {path.name for path in tmp_path.iterdir()} == {"name.json.gz", "other.json.gz", INDEX}
    assert json.loads((tmp_path / INDEX).read_bytes()) == {"a": "name", "b": "name", "c": "other"}


def test_the_first_answer_takes_the_shipped_survey() -> None:
    """What a flute's survey is read from needs no cache: it is the one in the file."""
    flute = load_instrument("concert-flute", ["b-foot", "open-holes"])
    data = shipped(named(flute))
    assert data is not None
    assert survey_of(flute) == Survey.of_data(data)
