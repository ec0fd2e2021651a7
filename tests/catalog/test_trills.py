"""The table of trills and its reader."""

from collections import defaultdict
from pathlib import Path

import pytest
from tests.every import every

from gripway.catalog.flute import trills
from gripway.catalog.flute.grips import allowed, read_grips
from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.flute.leans import lean_words
from gripway.catalog.flute.trills import TrillRow, read_trills, trill_rows
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import TableError
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch, plain_name

FULL = load_instrument("concert-flute", ["high-c", "c-sharp-trill"])
ROWS = read_trills("concert-flute")
KNOWN = tuple(row for row in ROWS if row.grips)


def number(name: str) -> int:
    """The note number of a pitch name."""
    return Pitch.parse(name).number


def row_id(row: TrillRow) -> str:
    """A name of the row for the report."""
    return f"{plain_name(row.lower)}-{plain_name(row.upper)} {'/'.join(grip.text for grip in row.grips)}"


@every(KNOWN, row_id)
def test_both_grips_of_a_pair_can_be_held_and_differ(row: TrillRow) -> None:
    """Something moves, and hands can hold both ends on a flute with the parts asked for."""
    flute = load_instrument("concert-flute", row.needs)
    assert row.movers
    assert len({flute.mechanism.hole_pattern(grip) for grip in row.grips}) == 2
    assert all(flute.mechanism.holds(grip) for grip in row.grips)


@every(KNOWN, row_id)
def test_a_pair_needs_the_parts_that_carry_its_touches(row: TrillRow) -> None:
    """B and Hc stand on a B foot, Kcs on a flute with that key."""
    part_of = {"B": "b-foot", "Hc": "high-c", "Kcs": "c-sharp-trill"}
    touches = {touch for grip in row.grips for touch in grip.touches}
    assert {part_of[touch] for touch in touches if touch in part_of} == row.needs


def test_every_half_and_whole_step_has_a_row() -> None:
    """From B3 to B6 up to C7-D7 no trill is missing, even where none is good."""
    pairs = {(row.lower, row.upper) for row in ROWS}
    for lower in range(number("C4"), number("C7") + 1):
        assert (lower, lower + 1) in pairs
        assert (lower, lower + 2) in pairs


def test_no_pair_stands_twice() -> None:
    """One row a pair of grips."""
    assert len({(row.lower, row.upper, row.grips) for row in ROWS}) == len(ROWS)


def test_rows_run_by_pitch() -> None:
    """Sorted by lower, then upper note; table order breaks ties within a pair."""
    keys = [(row.lower, row.upper) for row in ROWS]
    assert keys == sorted(keys)


def test_a_row_without_grips_says_that_no_good_trill_is_known() -> None:
    """Empty grips never mean that nothing is pressed."""
    empty = [row for row in ROWS if not row.grips]
    assert {(plain_name(row.lower), plain_name(row.upper)) for row in empty} == {("A#6", "C7"), ("C7", "D7")}
    assert all("no-good-trill" in row.flags for row in empty)


@pytest.mark.parametrize(
    ("lower", "upper", "mover"),
    [
        ("E4", "F#4", "R1"),  # the R1 trill (common practice, no source)
        ("C5", "D5", "Kd"),  # first trill key (common practice, no source)
        ("C#5", "D#5", "Kds"),  # second trill key (common practice, no source)
        ("A#4", "B4", "Sb"),  # side lever (common practice, no source)
        ("D4", "D#4", "Eb"),
        ("F6", "G6", "T"),
        ("G4", "A4", "L3"),
        ("D5", "E5", "R3"),
    ],
)
def test_the_first_pair_of_a_known_trill_moves_the_taught_finger(lower: str, upper: str, mover: str) -> None:
    """The trade teaches one finger for each of these."""
    first = trill_rows(load_instrument())[number(lower), number(upper)][0]
    assert first.movers == (mover,)


def test_the_c_sharp_to_d_sharp_trill_in_the_third_octave_moves_both_trill_keys() -> None:
    """Both keys for C#6-D#6 (common practice, no source)."""
    assert trill_rows(load_instrument())[number("C#6"), number("D#6")][0].movers == ("Kd", "Kds")


def test_flags_of_flat_and_sharp_notes_follow_their_cents() -> None:
    """From 15 cents on a note is flagged, below it is not."""
    for row in ROWS:
        for side, cents in (("lower", row.lower_cents), ("upper", row.upper_cents)):
            assert (f"{side}-flat" in row.flags) == (cents is not None and cents <= -15), row_id(row)
            assert (f"{side}-sharp" in row.flags) == (cents is not None and cents >= 15), row_id(row)


def test_a_lean_comes_with_basis_spread_and_origin_or_not_at_all() -> None:
    """The four cells stand or fall together."""
    for row in ROWS:
        known = row.lower_cents is not None or row.upper_cents is not None
        assert bool(row.basis) == bool(row.lean_how) == (row.spread_cents > 0) == known, row_id(row)


def test_one_set_of_open_holes_leans_one_way_in_both_tables() -> None:
    """A modelled figure belongs to pitch and holes, whichever row states it."""
    figures = defaultdict(set)
    for grip_row in read_grips("concert-flute"):
        if grip_row.modelled is not None:
            figures[grip_row.pitch, FULL.mechanism.hole_pattern(grip_row.grip)].add(grip_row.modelled.cents)
    for row in KNOWN:
        sides = zip((row.lower, row.upper), row.grips, (row.lower_cents, row.upper_cents), strict=True)
        for pitch, grip, cents in sides:
            if cents is not None and row.lean_how == "modelled":
                figures[pitch, FULL.mechanism.hole_pattern(grip)].add(cents)
    assert {key: values for key, values in figures.items() if len(values) > 1} == {}


def test_judged_leans_have_the_size_of_a_word() -> None:
    """A lean that is no figure of the model is a word of the table of words."""
    sizes = {word.cents for word in lean_words().values()}
    for row in ROWS:
        if row.lean_how == "judgement":
            assert {row.lower_cents, row.upper_cents} - {None} <= sizes, row_id(row)


def test_no_grip_of_a_pair_is_one_never_to_be_proposed() -> None:
    """The two tables do not contradict each other."""
    banned = {(row.pitch, row.grip) for row in read_grips("concert-flute") if "never-propose" in row.flags}
    for row in KNOWN:
        assert not {(row.lower, row.grips[0]), (row.upper, row.grips[1])} & banned, row_id(row)


def test_a_trill_grip_of_the_grip_table_meets_its_partner_here() -> None:
    """Each trill grip with a partner stands in a pair with it, unless its row says why not."""
    pairs = {(row.lower, row.upper, grip) for row in KNOWN for grip in row.grips}
    missing = [
        f"{plain_name(row.pitch)} {row.grip}"
        for row in read_grips("concert-flute")
        if row.kind == "trill"
        and not any(
            (min(row.pitch, partner), max(row.pitch, partner), row.grip) in pairs for partner in row.partners
        )
    ]
    assert missing == []


def test_open_g_sharp_swaps_what_the_left_little_finger_does() -> None:
    """In the G-G# trill L4 lifts for the upper note instead of going down."""
    row = trill_rows(load_instrument("concert-flute", ["open-g-sharp"]))[number("G4"), number("G#4")][0]
    assert [grip.text for grip in row.grips] == ["T L1 L2 L3 L4 | Eb", "T L1 L2 L3 | Eb"]
    assert row.movers == ("L4",)


def test_pairs_for_a_missing_key_stay_but_are_not_allowed() -> None:
    """So that the answer can say which key would help."""
    rows = trill_rows(load_instrument())[number("B4"), number("C#5")]
    assert [allowed(row, load_instrument()) for row in rows] == [True, False, True]


def test_a_piccolo_has_no_trill_of_the_foot_it_lacks() -> None:
    """Pairs with Cs, C, B or Hc are left out, and no flute cents are reused."""
    rows = [row for pair in trill_rows(load_instrument("piccolo")).values() for row in pair]
    assert rows
    assert not any(grip.has(touch) for row in rows for grip in row.grips for touch in ("Cs", "C", "B", "Hc"))
    assert all(row.upper_cents is None and row.lower_cents is None for row in rows)


def test_one_grip_without_the_other_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A pair has two grips or none; the fault is named by row and column."""
    text = (tables_folder() / "trills/concert-flute.csv").read_text(encoding="utf-8")
    old = "C7,D7,whole,,,"
    assert old in text
    (tmp_path / "trills").mkdir()
    (tmp_path / "trills/broken.csv").write_text(text.replace(old, "C7,D7,whole,L1 | Eb,,"), encoding="utf-8")
    monkeypatch.setattr(trills, "tables_folder", lambda: tmp_path)
    with pytest.raises(TableError, match=r"trills/broken\.csv:\d+:upper_grip"):
        read_trills.__wrapped__("broken")


def test_grips_are_canonical() -> None:
    """Each grip prints as it is written."""
    assert all(Grip.parse(grip.text) == grip for row in KNOWN for grip in row.grips)
