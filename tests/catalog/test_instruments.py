"""Reading instruments and their optional parts from tables."""

import re
import shutil
from pathlib import Path

import pytest

from gripway.catalog.flute import instruments
from gripway.catalog.flute.instruments import instrument_names, load_instrument
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import RequestError, TableError
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch


@pytest.fixture
def own_tables(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the instrument tables that the reader uses and a test may spoil."""
    shutil.copytree(tables_folder() / "instruments", tmp_path / "instruments")
    monkeypatch.setattr(instruments, "tables_folder", lambda: tmp_path)
    return tmp_path / "instruments"


def change(path: Path, old: str, new: str) -> None:
    """Replace one piece of text in a table, which must be there."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.mark.parametrize("name", instrument_names())
def test_every_instrument_there_is_loads_with_each_of_its_parts(name: str) -> None:
    """Each instrument can be had plain and with any one of its parts."""
    plain = load_instrument(name)
    assert plain.id == name
    assert plain.parts == ()
    assert plain.lowest < plain.highest
    for part in plain.known_parts:
        assert part in load_instrument(name, [part]).parts


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("flute", "concert-flute"),
        ("Concert Flute", "concert-flute"),
        (" concert_flute ", "concert-flute"),
        ("PICCOLO", "piccolo"),
        ("alto", "alto-flute"),
        ("Bass", "bass-flute"),
    ],
)
def test_natural_spellings_of_an_instrument_are_understood(said: str, meant: str) -> None:
    """Letter case, spaces and everyday names lead to the instrument."""
    assert load_instrument(said) is load_instrument(meant)


@pytest.mark.parametrize("parts", [["B-Foot", "split e"], ["split-e", "b_foot", "b-foot"], "split-e, b foot"])
def test_parts_may_be_spelt_and_ordered_freely(parts: list[str] | str) -> None:
    """The same parts give the same instrument, however they are written."""
    assert load_instrument("flute", parts) is load_instrument("concert-flute", ["b-foot", "split-e"])


def test_a_part_brings_along_what_it_stands_on() -> None:
    """A high-C facilitator comes with the B foot it is mounted on."""
    assert load_instrument("flute", ["gizmo"]).parts == ("b-foot", "high-c")


def test_unknown_instruments_are_refused_with_the_known_ones() -> None:
    """The next step lists every instrument there is."""
    with pytest.raises(RequestError, match="unknown instrument 'ocarina'") as caught:
        load_instrument("ocarina")
    assert all(name in caught.value.next_step for name in instrument_names())


def test_unknown_parts_are_refused_with_the_known_ones() -> None:
    """The next step lists the parts this instrument may have; a piccolo has no B foot."""
    with pytest.raises(RequestError, match="unknown part 'b-foot'") as caught:
        load_instrument("piccolo", ["b-foot"])
    assert caught.value.next_step == "The parts a piccolo may have are split-e, c-sharp-trill"


def test_parts_that_exclude_each_other_are_refused() -> None:
    """Split E acts on a hole the open-G# flute lacks: nobody's flute has both."""
    with pytest.raises(RequestError, match="no concert flute has both open-g-sharp and split-e"):
        load_instrument("flute", ["split-e", "open-g-sharp"])


def test_optional_rows_count_only_with_their_parts() -> None:
    """Foot keys, trill key and holes come with their part and only then."""
    plain = load_instrument("flute").mechanism
    full = load_instrument("flute", ["high-c", "c-sharp-trill"]).mechanism
    assert set(full.touches) - set(plain.touches) == {"B", "Hc", "Kcs"}
    assert {h.id for h in full.holes} - {h.id for h in plain.holes} == {"c_foot_b", "tr_cs"}
    assert "gs_dup" not in {h.id for h in load_instrument("flute", ["open-g-sharp"]).mechanism.holes}


def test_the_range_reaches_from_low_b_to_e7() -> None:
    """The flute's tables cover B3 to E7 as written."""
    flute = load_instrument("flute")
    assert (flute.lowest, flute.highest) == (Pitch.parse("B3").number, Pitch.parse("E7").number)


def test_holes_run_from_head_to_foot() -> None:
    """The holes stand in the order of their distance from the embouchure.

    Distances in mm from the embouchure hole, a measured modern flute: P. A. Dickens, Flute
    acoustics, PhD thesis, UNSW, 2007, appendix. The two G# holes lie 0.5 mm apart on two
    sides of the tube and count as one place; the C#-trill hole is a fit of our own.
    """
    place_mm = {
        "tr_ds": 200.7, "tr_d": 218.0, "cs_vent": 234.4, "tr_cs": 248.0, "c_thumb": 266.9, "b": 286.1,
        "as": 307.1, "a": 330.3, "gs": 352.0, "gs_dup": 352.0, "g": 376.9, "fs": 402.6, "f": 429.9,
        "e": 458.7, "ds": 490.3, "d": 524.3, "cs": 557.3, "c_foot_b": 592.3,
    }  # fmt: skip
    holes = load_instrument("flute", ["b-foot", "c-sharp-trill"]).mechanism.holes
    assert set(place_mm) == {hole.id for hole in holes}
    places = [place_mm[hole.id] for hole in holes]
    assert places == sorted(places)


def test_the_c_sharp_trill_key_opens_its_own_hole() -> None:
    """Kcs opens one hole more and moves no other."""
    mechanism = load_instrument("flute", ["c-sharp-trill"]).mechanism
    b5 = Grip.parse("T L1 | Eb")
    added = set(mechanism.open_holes(b5.with_touches("Kcs"))) - set(mechanism.open_holes(b5))
    assert {hole.id for hole in added} == {"tr_cs"}


@pytest.mark.parametrize(
    ("table", "old", "new", "place", "what"),
    [
        ("holes.csv", "open,L1", "ajar,L1", r"holes\.csv:4:rest", "'ajar' is none of open, shut"),
        ("holes.csv", "open,L1", "open,L9", r"holes\.csv:4:touches", "'L9' is not a touch"),
        ("holes.csv", "open,L1", "open,", r"holes\.csv:4:touches", "the cell is empty"),
        ("holes.csv", "3,cs_vent", "2,cs_vent", r"holes\.csv:4:place", "place 2 follows place 2"),
        ("holes.csv", "3,cs_vent", "x,cs_vent", r"holes\.csv:4:place", "'x' is not a whole number"),
        ("holes.csv", ",rest,", ",at_rest,", r"holes\.csv:1", "they must be place,hole,sounds,rest"),
        ("holes.csv", "open,L1,", "open,L1,,", r"holes\.csv:4", "11 cells; the table has 10 columns"),
        ("holes.csv", "C#5,open", '"C#5,open', r"holes\.csv", "cannot be read"),
        ("reach.csv", "LT,Tb", "XX,Tb", r"reach\.csv:3:finger", "'XX' is none of LT, L1"),
        ("reach.csv", "LT,Tb,yes", "LT,Tb,often", r"reach\.csv:3:first_choice", "'often' is none of yes, no"),
        ("instrument.toml", 'lowest = "B3"', 'lowest = "H3"', r"toml:lowest", "'H3' is not a pitch"),
        ("instrument.toml", 'lowest = "B3"', "", r"toml:lowest", "the key is missing"),
        ("instrument.toml", 'lowest = "B3"', "lowest = 59", r"toml:lowest", "59 is not of the kind str"),
        ("instrument.toml", "lowest =", "lowset =", r"toml:lowset", "unknown key"),
        ("instrument.toml", "dencies = true", "dencies = 1", r"toml:tendencies", "1 is not of the kind bool"),
        ("instrument.toml", 'also = ["gizmo"', "also = [7", r"toml:parts\.high-c\.also", "must be text"),
        ("instrument.toml", 'with = ["b-foot"', 'with = ["foot"', r"toml:parts\.high-c\.with", "part foot"),
        ("instrument.toml", 'title = "B f', 'titel = "B f', r"toml:parts\.b-foot\.titel", "unknown key"),
        ("instrument.toml", "[parts.b-foot]", "[parts.b-foot", r"toml", "cannot be read"),
        (
            "instrument.toml", 'how = "judgement"', 'how = "judgement"\nwithout_holes = ["b_flat"]',
            r"toml:without_holes", "the mechanism has no b_flat",
        ),
    ],
)  # fmt: skip
def test_a_spoilt_table_is_refused_with_its_place(
    own_tables: Path, table: str, old: str, new: str, place: str, what: str
) -> None:
    """The error names file, row and column (or key), and what is wrong there."""
    change(own_tables / "concert-flute" / table, old, new)
    with pytest.raises(TableError, match=re.escape(what)) as caught:
        load_instrument("concert-flute", ["high-c"])
    assert re.fullmatch(rf"instruments/concert-flute/.*{place}", caught.value.place)


def test_a_missing_table_is_refused_with_its_name(own_tables: Path) -> None:
    """An instrument whose mechanism folder has no reach table names that table."""
    (own_tables / "concert-flute" / "reach.csv").unlink()
    with pytest.raises(TableError, match="cannot be read") as caught:
        load_instrument("piccolo")
    assert caught.value.place == "instruments/concert-flute/reach.csv"


def test_a_new_instrument_is_a_new_folder_and_no_code(own_tables: Path) -> None:
    """A folder with an instrument.toml of its own is found and loaded by its name."""
    folder = own_tables / "treble-flute"
    shutil.copytree(own_tables / "alto-flute", folder)
    change(folder / "instrument.toml", "sounds_semitones = -5", "sounds_semitones = 7")
    instruments._ids.cache_clear()
    assert load_instrument("Treble Flute").sounds_semitones == 7
