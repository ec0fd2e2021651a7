"""The bores of an instrument: complete for every set of parts, traced to their sources, read strictly."""

from itertools import combinations
from pathlib import Path

import pytest
from tests.catalog.table_text import columns_of, csv_lines, own_table
from tests.every import every

from gripway.catalog.flute import bores as module
from gripway.catalog.flute.bores import BORE_COLUMNS, bores
from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import RequestError, TableError
from gripway.model.instrument import Instrument

FLUTE = load_instrument()
MEASURED, SCHEME = bores(FLUTE)

SEMITONES = {"c_thumb": 12, "b": 11, "as": 10, "a": 9, "gs": 8, "g": 7, "fs": 6, "f": 5, "e": 4}
"""Holes placed by Boehm's scheme, semitones above low C."""


def boehm_place_mm(semitones: int, a_hz: float) -> float:
    """Place of a hole from the embouchure: the column of its note, counted from the cork, less 51.5 mm."""
    # Boehm, The Flute and Flute-Playing, transl. Miller (from memory, page not seen):
    # 670 mm x 2^(-n/12) for a' = 435 Hz; the cork lies 17.5 mm behind the embouchure
    return 670.0 * 435.0 / a_hz * 2.0 ** (-semitones / 12.0) - 51.5 - 17.5


def every_flute() -> list[Instrument]:
    """The concert flute with every set of parts it can have together."""
    found: dict[tuple[str, ...], Instrument] = {}
    for size in range(len(FLUTE.known_parts) + 1):
        for parts in combinations(FLUTE.known_parts, size):
            try:
                flute = load_instrument("concert-flute", parts)
            except RequestError:
                continue
            found[flute.parts] = flute
    return list(found.values())


@every(every_flute(), lambda flute: "+".join(flute.parts) or "plain")
def test_a_bore_has_exactly_the_holes_of_the_mechanism(flute: Instrument) -> None:
    """Each hole of the mechanism stands once in each bore, and no other, from head to foot."""
    assert len(bores(flute)) == 2
    for bore in bores(flute):
        assert sorted(hole.id for hole in bore.holes) == sorted(hole.id for hole in flute.mechanism.holes)
        places = [hole.x_m for hole in bore.holes]
        assert places == sorted(places)


@every(every_flute(), lambda flute: "+".join(flute.parts) or "plain")
def test_the_pieces_of_a_bore_lie_end_to_end(flute: Instrument) -> None:
    """From the embouchure to the open end without a gap, every hole inside."""
    for bore in bores(flute):
        ends = [0.0, *(piece.end_m for piece in bore.pieces)]
        assert [piece.start_m for piece in bore.pieces] == ends[:-1]
        assert ends[-1] == bore.end_m
        assert all(0.0 < hole.x_m < bore.end_m for hole in bore.holes)


@pytest.mark.parametrize("name", ["piccolo", "alto-flute", "bass-flute"])
def test_no_bore_is_made_up_where_none_is_sourced(name: str) -> None:
    """Piccolo, alto and bass have no model."""
    assert bores(load_instrument(name)) == ()


def test_the_b_foot_is_longer_by_its_own_piece() -> None:
    """633.3 mm in place of 600.4 mm, with one hole more, just above the end of the C foot."""
    # Dickens (2007), measured geometry
    (long, *_) = bores(load_instrument("concert-flute", ["b-foot"]))
    assert (MEASURED.end_m, long.end_m) == pytest.approx((0.6004, 0.6333))
    assert {hole.id for hole in long.holes} - {hole.id for hole in MEASURED.holes} == {"c_foot_b"}


def test_the_second_bore_is_boehm_s_scheme_at_440_hertz() -> None:
    """Each hole from E to the thumb's C stands where the formula puts it, 13.5 mm wide in a 19 mm tube."""
    place_mm = {hole.id: 1000.0 * hole.x_m for hole in SCHEME.holes}
    for id_, semitones in SEMITONES.items():
        assert place_mm[id_] == pytest.approx(boehm_place_mm(semitones, 440.0), abs=0.051)
    widths = {1000.0 * hole.shape.radius_m * 2.0 for hole in SCHEME.holes if hole.id in SEMITONES}
    assert widths == {13.5}
    assert SCHEME.radius_at(0.4) == 0.0095


def test_boehm_s_scheme_meets_the_measured_flute() -> None:
    """At its own pitch the scheme gives a modern flute's holes within 4.2 mm, its end within 0.7."""
    # two independent sources: a formula of the nineteenth century, a measurement of 2007
    measured = {hole.id: 1000.0 * hole.x_m for hole in MEASURED.holes}
    apart = [abs(measured[id_] - boehm_place_mm(n, 435.0)) for id_, n in SEMITONES.items()]
    assert max(apart) < 4.2
    assert min(apart) < 0.2
    assert 1000.0 * MEASURED.end_m == pytest.approx(boehm_place_mm(0, 435.0), abs=0.7)


def test_the_scheme_says_what_is_taken_over() -> None:
    """No row of the scheme claims to be measured, and each says where it comes from."""
    lines = csv_lines(tables_folder() / "instruments/concert-flute/bore_scheme.csv")
    how, locator = lines[0].index("how"), lines[0].index("locator")
    assert {cells[how] for cells in lines[1:]} == {"recalled", "judgement", "modelled"}
    assert all(cells[locator] for cells in lines[1:])


def test_the_reader_asks_for_the_columns_that_are_described() -> None:
    """The reader's own list of columns is that of columns.toml."""
    for table in ("bore.csv", "bore_scheme.csv"):
        assert tuple(c.name for c in columns_of(f"instruments/concert-flute/{table}")) == BORE_COLUMNS


EMB = "emb,emb,0,0,6.4,5.7,4.4,,,,,,,,s,measured,"
CORK = "cork,cork,-17.5,0,8.4,8.5,,,,,,,,,s,measured,"
BORE = "bore,body,0,600,9.5,9.5,,,,,,,,,s,measured,"
END = "end,foot,600,,9.5,9.5,,,,,,,,,s,measured,"


@pytest.mark.parametrize(
    ("rows", "fault"),
    [
        ([EMB, CORK, BORE], r"bore\.csv.*0 rows of kind end"),
        ([EMB, CORK, BORE, END, END], r"2 rows of kind end"),
        ([CORK, BORE, END], r"0 rows of kind emb"),
        ([EMB, CORK, END], r"no piece of kind bore"),
        ([EMB, CORK, BORE.replace("bore,body,0", "bore,body,5"), END], r"bore\.csv:4:x_mm.*starts at 5 mm"),
        ([EMB, CORK, BORE.replace("600", "long"), END], r"bore\.csv:4:x2_mm.*not a length"),
        ([EMB, CORK, BORE, END, "horn,x,0,0,,,,,,,,,,,s,measured,"], r"bore\.csv:6:kind"),
    ],
)
def test_a_broken_bore_is_refused_with_its_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, rows: list[str], fault: str
) -> None:
    """What is missing, double, torn or not a number is named."""
    own_table(tmp_path, monkeypatch, module, f"instruments/{FLUTE.id}/bore.csv", BORE_COLUMNS, rows)
    with pytest.raises(TableError, match=fault):
        bores.__wrapped__(FLUTE)
